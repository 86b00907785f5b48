"""The figures of a claim on one axis, and what they come to."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.estimated import Estimated, FigureTaken
from archive.records.claim import Claim
from archive.site import words
from archive.site.context import Context
from archive.site.page import Grade, Link, ReasonShown

WIDE, LEFT, RIGHT = 360.0, 10.0, 350.0
"""The drawing is as wide as a telephone: so many units, with its axis between these."""
ROW, TOP, FOOT = 42.0, 8.0, 46.0
MARGIN = 0.06
LABEL = 36
"""How many letters of a figure's name stand on the drawing; the table has all of them."""
STEPS = (1.0, 2.0, 5.0, 10.0)
TICKS = 6
APART = 70.0
"""Names of stock sizes nearer to each other than this would run into one another."""
DISAGREE = "disagree"
VERDICTS = {
    "one figure": "one figure",
    "agree": "they agree",
    "scatter": "they scatter, and the error is widened",
    "pieces differ": "the pieces truly differ",
    DISAGREE: "they disagree",
    "no figure": "no figure",
}


@dataclass(frozen=True, slots=True)
class BarShown:
    """A figure on the axis: from `low` to `high` across, `at` the value; "" where there is none.

    `line` is the drafting line of the grade that it lends, "" where it lends none; `counted` tells
    whether it is taken in.
    """

    y: str
    text_y: str
    low: str
    at: str
    high: str
    line: str
    counted: bool
    name: str
    value: str


@dataclass(frozen=True, slots=True)
class TickShown:
    """A tick of the axis, or a stock size on it; `name` is "" where it would run into another."""

    x: str
    name: str
    likely: bool = False


@dataclass(frozen=True, slots=True)
class SpindleShown:
    """The mark of what the figures come to together: a spindle as long as its error."""

    path: str
    at: str
    y: str
    text_y: str
    value: str


@dataclass(frozen=True, slots=True)
class PlotShown:
    """The drawing: bars, axis, tolerance and stock sizes, all in units of the drawing."""

    width: str
    height: str
    axis_y: str
    says: str
    bars: tuple[BarShown, ...]
    spindle: SpindleShown | None
    ticks: tuple[TickShown, ...]
    stock: tuple[TickShown, ...]
    band: tuple[str, str] | None
    band_label: str
    made_to: str


@dataclass(frozen=True, slots=True)
class FigureShown:
    """A figure in the table beside the drawing."""

    link: Link
    member: str
    kind: str
    size: str
    other_size: str
    grade: Grade | None
    share: str
    why: str


@dataclass(frozen=True, slots=True)
class SizeShown:
    """A stock size that it may be."""

    name: str
    size: str
    chance: str


@dataclass(frozen=True, slots=True)
class EstimateShown:
    """All that is told of a claim's figures."""

    claim: Link
    part: Link | None
    verdict: str
    open: bool
    size: str
    other_size: str
    plot: PlotShown | None
    figures: tuple[FigureShown, ...]
    stock: str
    stock_sizes: tuple[SizeShown, ...]
    reasons: tuple[ReasonShown, ...]
    fits: str
    outside: str


def telling(estimated: Estimated) -> bool:
    """Does a drawing tell more than the one figure?"""
    drawn = sum(line.value_mm is not None for line in estimated.lines)
    return drawn > 1 or estimated.stock is not None or estimated.made_to_mm is not None


def shown(context: Context, estimated: Estimated, *, alone: bool = False) -> EstimateShown:
    """A claim's figures as its own page shows them; `alone` where they stand without the claim."""
    joined = estimated.together
    size = other = ""
    if joined is not None and joined.value_mm is not None:
        size, other = context.both(joined.value_mm, joined.half95_mm)
    home = estimated.ref.partition("#")[0]
    stock = estimated.stock
    return EstimateShown(
        claim=context.link(estimated.ref, home),
        part=context.link(home) if alone else None,
        verdict=VERDICTS[estimated.finding.verdict],
        open=estimated.finding.verdict == DISAGREE,
        size=size,
        other_size=other,
        plot=_plot(context, estimated) if telling(estimated) else None,
        figures=tuple(_figure(context, estimated, line) for line in estimated.lines),
        stock=stock.row if stock else "",
        stock_sizes=tuple(
            SizeShown(one.name, context.both(one.size_mm, None)[1], _percent(one.chance))
            for one in stock.sizes
        )
        if stock
        else (),
        reasons=context.reasons(estimated.finding, home),
        fits=_fits(context, estimated),
        outside=_outside(context, estimated),
    )


def _fits(context: Context, estimated: Estimated) -> str:
    if estimated.fits is None or estimated.tolerance_mm is None:
        return ""
    return f"made to it, it fits {_percent(estimated.fits)} of the time"


def _outside(context: Context, estimated: Estimated) -> str:
    if not estimated.outside or estimated.made_to_mm is None:
        return ""
    chosen = context.both(estimated.made_to_mm, None)[0]
    return f"The figure chosen, {chosen}, lies outside what the figures say."


def _percent(chance: float) -> str:
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def _item_grade(context: Context, estimated: Estimated, line: FigureTaken) -> Grade | None:
    graded = context.findings.claims.get(estimated.ref)
    for item in graded.items if graded else ():
        if item.index == line.index:
            return Grade.of(item.cap)
    return None


def _member(context: Context, estimated: Estimated, line: FigureTaken) -> str:
    """The tag of the member of a row that was measured, "" where none is named."""
    claim = context.library.get(estimated.ref)
    written = claim.evidence if isinstance(claim, Claim) else ()
    return (written[line.index].member or "") if line.index < len(written) else ""


def _figure(context: Context, estimated: Estimated, line: FigureTaken) -> FigureShown:
    size, other = ("no figure", "")
    if line.value_mm is not None:
        size, other = context.both(line.value_mm, line.half95_mm)
    return FigureShown(
        link=context.link(line.measured or line.ref),
        member=_member(context, estimated, line),
        kind=line.kind,
        size=size,
        other_size=other,
        grade=_item_grade(context, estimated, line),
        share=f"{100 * line.share:.0f} %" if line.share else "",
        why=line.why,
    )


class _Axis:
    """From millimetres to units across the drawing."""

    def __init__(self, estimated: Estimated) -> None:
        joined, ends = estimated.together, []
        for line in estimated.lines:
            if line.value_mm is not None:
                half = line.half95_mm or 0.0
                ends += [line.value_mm - half, line.value_mm + half]
        middle = estimated.made_to_mm
        if joined is not None and joined.value_mm is not None:
            half = joined.half95_mm or 0.0
            ends += [joined.value_mm - half, joined.value_mm + half]
            middle = joined.value_mm if middle is None else middle
        if middle is not None:
            tolerance = estimated.tolerance_mm or 0.0
            extent = max(ends) - min(ends)
            ends.append(middle)
            if 2 * tolerance <= 2 * extent:
                ends += [middle - tolerance, middle + tolerance]
        if estimated.stock is not None:
            ends += [one.size_mm for one in estimated.stock.sizes[:2]]
        low, high = min(ends), max(ends)
        extent = (high - low) or abs(low) * 0.01 or 1.0
        self.low, self.high = low - MARGIN * extent, high + MARGIN * extent

    def x(self, value_mm: float) -> float:
        return LEFT + (value_mm - self.low) / (self.high - self.low) * (RIGHT - LEFT)

    def holds(self, value_mm: float) -> bool:
        return self.low <= value_mm <= self.high

    def ticks(self) -> Iterator[TickShown]:
        extent = self.high - self.low
        power = 10.0 ** math.floor(math.log10(extent / TICKS))
        step = next(power * s for s in STEPS if extent / (power * s) <= TICKS)
        places = max(0, -math.floor(math.log10(step) + 1e-9))
        number = math.ceil(self.low / step)
        while number * step <= self.high:
            value = number * step
            yield TickShown(_n(self.x(value)), f"{value:.{places}f}".replace("-", "−"))
            number += 1


def _plot(context: Context, estimated: Estimated) -> PlotShown:
    axis = _Axis(estimated)
    bars = [_bar(context, axis, estimated, place) for place in range(len(estimated.lines))]
    rows = len(bars)
    joined, spindle = estimated.together, None
    if joined is not None and joined.value_mm is not None and len(joined.counted) > 1:
        spindle = _spindle(context, axis, estimated, rows)
        rows += 1
    axis_y = TOP + rows * ROW + 4
    middle = estimated.made_to_mm
    if middle is None and joined is not None:
        middle = joined.value_mm
    band, label = None, ""
    if middle is not None and estimated.tolerance_mm:
        ends = [middle - estimated.tolerance_mm, middle + estimated.tolerance_mm]
        if all(map(axis.holds, ends)):
            band = (_n(axis.x(ends[0])), _n(axis.x(ends[1]) - axis.x(ends[0])))
            label = f"± {context.both(estimated.tolerance_mm, None)[0]}"
    made_to = estimated.made_to_mm
    return PlotShown(
        width=_n(WIDE),
        height=_n(axis_y + FOOT + (20 if estimated.stock else 0)),
        axis_y=_n(axis_y),
        says=_says(context, estimated),
        bars=tuple(bars),
        spindle=spindle,
        ticks=tuple(axis.ticks()),
        stock=tuple(_stock(axis, estimated)),
        band=band,
        band_label=label,
        made_to=_n(axis.x(made_to)) if made_to is not None else "",
    )


def _bar(context: Context, axis: _Axis, estimated: Estimated, place: int) -> BarShown:
    line = estimated.lines[place]
    y = TOP + place * ROW
    low = at = high = ""
    value = "no figure"
    if line.value_mm is not None:
        half = line.half95_mm or 0.0
        low, at, high = (_n(axis.x(line.value_mm + side * half)) for side in (-1, 0, 1))
        value = context.both(line.value_mm, line.half95_mm)[0]
    grade = _item_grade(context, estimated, line)
    kind = {"photograph": "Photo", "paper": "Paper", "metal": "Metal"}[line.kind]
    name = _member(context, estimated, line) or context.library.title(
        line.measured or line.ref.partition("#")[0]
    )
    return BarShown(
        y=_n(y + 26),
        text_y=_n(y + 12),
        low=low,
        at=at,
        high=high,
        line=grade.line if grade else "",
        counted=bool(line.share),
        name=words.beginning(f"{kind}: {name}", LABEL),
        value=value,
    )


def _spindle(context: Context, axis: _Axis, estimated: Estimated, row: int) -> SpindleShown:
    joined = estimated.together
    assert joined is not None and joined.value_mm is not None
    half = joined.half95_mm or 0.0
    low, at, high = (axis.x(joined.value_mm + side * half) for side in (-1, 0, 1))
    y = TOP + row * ROW + 26
    wide = min(4.0, (high - low) / 4)
    points = (
        *((low, y), (at - wide, y - 6), (at + wide, y - 6)),
        *((high, y), (at + wide, y + 6), (at - wide, y + 6)),
    )
    path = "M" + "L".join(f"{_n(x)} {_n(across)}" for x, across in points) + "Z"
    value = context.both(joined.value_mm, joined.half95_mm)[0]
    return SpindleShown(path, _n(at), _n(y), _n(y - 14), value)


def _stock(axis: _Axis, estimated: Estimated) -> Iterator[TickShown]:
    """The stock sizes on the axis; the likelier are named first, as far as there is room."""
    stock = estimated.stock
    if stock is None:
        return
    order = {one.name: place for place, one in enumerate(stock.sizes)}
    there = [(name, mm) for name, mm in stock.near if axis.holds(mm)]
    named: dict[str, float] = {}
    for name, mm in sorted(there, key=lambda one: order.get(one[0], len(order))):
        room = LEFT + APART / 3 <= axis.x(mm) <= RIGHT - APART / 3
        if room and all(abs(axis.x(mm) - other) >= APART for other in named.values()):
            named[name] = axis.x(mm)
    for name, mm in there:
        yield TickShown(_n(axis.x(mm)), name if name in named else "", name == stock.said)


def _says(context: Context, estimated: Estimated) -> str:
    """The drawing in a sentence; the table beside it has the rest."""
    joined = estimated.together
    verdict = VERDICTS[estimated.finding.verdict]
    figures = words.count(len(estimated.lines), "line")
    told = f"{figures} on one axis in millimetres; {verdict}"
    if joined is not None and joined.value_mm is not None:
        told += f"; together {context.both(joined.value_mm, joined.half95_mm)[0]}"
    return f"{told}. The table below says the same."


def _n(value: float) -> str:
    return f"{value:.1f}"
