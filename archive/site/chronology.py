"""The chronology, drawn to scale: events, states and photographs on one axis of time.

It spans the life of the aircraft: its states, and what the period photographs add. What happened
later has no place on this scale, and is listed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from archive.core.dates import show_bounds
from archive.core.verdicts import Clash, Dated
from archive.records.aircraft import Sister
from archive.site.context import Context
from archive.site.dating import when
from archive.site.lists import frame
from archive.site.page import Link, Page, ReasonShown

MOST_LABELS = 9
"""As many years as can be lettered along the axis of a wide sheet."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A stroke along the axis, in per cent of it; `kind` is sure, maybe, span or open."""

    left: str
    right: str
    kind: str


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the drawing: what it is and when, its strokes, single days, and end ticks."""

    link: Link
    when: str
    note: str
    marks: tuple[Mark, ...]
    points: tuple[str, ...]
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """A line across the drawing: the beginning of a year, with its number where there is room."""

    at: str
    label: str


@dataclass(frozen=True, slots=True)
class ClashShown:
    """Statements that can't all be true, and what to look at again."""

    statements: tuple[ReasonShown, ...]
    aside: str
    check: str


@dataclass(frozen=True, slots=True)
class ChronologyShown:
    """The whole sheet."""

    ticks: tuple[Tick, ...]
    crossing: tuple[str, ...]
    events: tuple[Row, ...]
    states: tuple[Row, ...]
    photographs: tuple[Row, ...]
    undated: tuple[Link, ...]
    outside: tuple[Row, ...]
    clashes: tuple[ClashShown, ...]


class Axis:
    """Days along the width of the sheet."""

    def __init__(self, first: date, last: date) -> None:
        """From the beginning of the first month to the end of the last, with a little room."""
        room = max(20, (last - first).days // 40)
        self.first = date.fromordinal(max(1, first.toordinal() - room))
        self.last = date.fromordinal(min(date.max.toordinal(), last.toordinal() + room))

    def at(self, day: date | None, otherwise: float = 0.0) -> str:
        """Where a day stands, in per cent of the width."""
        if day is None:
            return f"{otherwise:g}%"
        part = (day.toordinal() - self.first.toordinal()) / max(1, (self.last - self.first).days)
        return f"{min(max(100 * part, 0.0), 100.0):.2f}%"

    def holds(self, dated: Dated) -> bool:
        """Does any of it lie on the sheet?"""
        early = dated.earliest or dated.latest
        late = dated.latest or dated.earliest
        return bool(early and late and early <= self.last and late >= self.first)

    def ticks(self) -> tuple[Tick, ...]:
        """The first days of years; every so many are lettered."""
        years = range(self.first.year + 1, self.last.year + 1)
        step = -(-max(1, len(years)) // MOST_LABELS)
        return tuple(
            Tick(self.at(date(year, 1, 1)), str(year) if not i % step else "")
            for i, year in enumerate(years)
        )


def pages(context: Context) -> Iterator[Page]:
    """The chronology's page."""
    yield Page(
        "chronology.html",
        "chronology",
        frame(context, "Chronology", "chronology"),
        _shown(context),
    )


def _shown(context: Context) -> ChronologyShown:
    findings = context.findings
    photographs = [
        findings.dates[photo.ref]
        for photo in context.library.photos.values()
        if photo.shows_what == "period" and photo.ref in findings.dates
    ]
    photographs.sort(key=lambda d: (str(d.earliest or d.latest or ""), str(d.latest), d.ref))
    events = [dated for ref, dated in findings.dates.items() if ref.startswith("events/")]
    axis = _axis(context, photographs)
    on_it = [dated for dated in events if axis is not None and axis.holds(dated)]
    drawn = [dated for dated in photographs if axis is not None and axis.holds(dated)]
    return ChronologyShown(
        ticks=axis.ticks() if axis else (),
        crossing=tuple(axis.at(d.earliest) for d in on_it if d.earliest == d.latest)
        if axis
        else (),
        events=tuple(_row(context, axis, dated) for dated in on_it) if axis else (),
        states=tuple(_state(context, axis, ref) for ref in findings.spells) if axis else (),
        photographs=tuple(_photograph(context, axis, dated) for dated in drawn) if axis else (),
        undated=tuple(
            context.link(d.ref) for d in (*events, *photographs) if not d.earliest and not d.latest
        ),
        outside=tuple(
            Row(context.link(d.ref), when(d), "", (), (), ())
            for d in (*events, *photographs)
            if (d.earliest or d.latest) and d not in on_it and d not in drawn
        ),
        clashes=tuple(_clash(context, clash) for clash in findings.clashes),
    )


def _axis(context: Context, photographs: Sequence[Dated]) -> Axis | None:
    """The span of the drawing: the states, and what photographs add to them; None for nothing."""
    findings = context.findings
    spells = [bound for spell in findings.spells.values() for bound in (spell.begins, spell.ends)]
    days = _days(spells) or _days(
        [dated for ref, dated in findings.dates.items() if ref.startswith("events/")]
    )
    days += _days(photographs)
    return Axis(min(days), max(days)) if days else None


def _days(found: Sequence[Dated]) -> list[date]:
    return [day for dated in found for day in (dated.earliest, dated.latest) if day is not None]


def _row(context: Context, axis: Axis, dated: Dated, note: str = "") -> Row:
    """A day as a point; a span as a line between two ticks, left open where nothing bounds it."""
    link = context.link(dated.ref)
    if dated.earliest is not None and dated.earliest == dated.latest:
        return Row(link, when(dated), note, (), (axis.at(dated.earliest),), ())
    left, right = axis.at(dated.earliest, 0.0), axis.at(dated.latest, 100.0)
    kind = "span" if dated.earliest and dated.latest else "open"
    ends = tuple(
        end for end, day in ((left, dated.earliest), (right, dated.latest)) if day is not None
    )
    return Row(link, when(dated), note, (Mark(left, right, kind),), (), ends)


def _photograph(context: Context, axis: Axis, dated: Dated) -> Row:
    must = [context.library.title(s) for s, f in dated.states.items() if f.verdict == "must"]
    may = [context.library.title(s) for s, f in dated.states.items() if f.verdict == "may"]
    note = must[0] if must else f"may show: {'; '.join(may)}" if may else ""
    photo = context.library.photos.get(dated.ref.partition("/")[2])
    sister = context.library.get(photo.sister) if photo and photo.sister else None
    if isinstance(sister, Sister):
        note = f"of {sister.mark or sister.id}"
    return _row(context, axis, dated, note)


def _state(context: Context, axis: Axis, ref: str) -> Row:
    """A state as a bar: solid while it certainly held, broken where it may have."""
    spell = context.findings.spells[ref]
    begins, ends = spell.begins, spell.ends
    aircraft = context.library.aircraft
    marks = []
    if begins.earliest != begins.latest or begins.latest is None:
        marks.append(Mark(axis.at(begins.earliest, 0.0), axis.at(begins.latest, 0.0), "maybe"))
    if ends.earliest != ends.latest or ends.earliest is None:
        marks.append(Mark(axis.at(ends.earliest, 100.0), axis.at(ends.latest, 100.0), "maybe"))
    sure = (axis.at(begins.latest, 0.0), axis.at(ends.earliest, 100.0))
    known = begins.latest is None or ends.earliest is None or begins.latest <= ends.earliest
    if known:
        marks.append(Mark(*sure, "sure"))
    spans = (show_bounds(b.earliest, b.latest) for b in (begins, ends))
    first, last = ("" if text == "undated" else text for text in spans)
    told = "; ".join(
        filter(None, (f"begins {first}" if first else "", f"ends {last}" if last else ""))
    )
    note = "the aircraft is rebuilt to this" if aircraft and aircraft.target == ref else ""
    return Row(context.link(ref), told, note, tuple(marks), (), ())


def _clash(context: Context, clash: Clash) -> ClashShown:
    aside = " ".join(clash.finding.reasons[i].says for i in clash.aside)
    return ClashShown(context.told(clash.finding.reasons), aside, clash.check)
