"""A plane laid out at true scale, as the page of its measurement shows it and says it.

Nothing is worked out here but where lines and words stand on the picture.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.rectified import Doubt, Reckoned, Rectified, Spot, round_step
from archive.records.measurement import Measurement
from archive.site.addresses import TEMPLATES, template_of
from archive.site.context import Context
from archive.site.page import Link
from archive.site.words import plain

Per = tuple[str, str]
"""A place on the picture in per cent of its width and height."""

GRID_LINES, HATCHES = 8, 60
"""No more lines of the grid across than this; so many lines of hatching fit across."""

ONLY = (
    "Only what lies in this plane is at true size and in its true place. What stands off it, "
    "nearer or farther, is displaced and not to scale."
)
"""What must stand beside every such view, on a page and on paper."""

MEASURE_FIRST = "Measure the line first. If it isn’t 100 mm long, don’t use this sheet."
NEVER_FOR_FLIGHT = (
    "Static display only, never for flight: a template is no approved drawing, and nothing made to "
    "it may fly or carry a load over people."
)

PLANES = {
    "x": "The upright plane across the aircraft, at station {}",
    "y": "The upright plane along the aircraft, at butt line {}",
    "z": "The level plane at water line {}",
}
SIDES = {
    "x": ("from astern", "from ahead"),
    "y": ("from starboard", "from port"),
    "z": ("from above", "from below"),
}
LINES = {"x": "station (mm aft)", "y": "butt line (mm to starboard)", "z": "water line (mm up)"}
"""Axis the plane is square to → how it is called, and from which of its sides it is seen; axis of
the aircraft → what is counted along it."""


@dataclass(frozen=True, slots=True)
class LineShown:
    """A line of the grid: how far along, in per cent, and what stands at it."""

    at: str
    label: str


@dataclass(frozen=True, slots=True)
class NoteShown:
    """Words at a place of the picture."""

    at: Per
    says: str


@dataclass(frozen=True, slots=True)
class RectifiedShown:
    """The view: its pictures, what is drawn on it, and what is said of it.

    `upright` and `level` are the grid's lines; `outline` the edges of the known points' outline;
    `worked_over` are the corners of retouched places in the units of `box`, hatched by lines that
    stand `hatch` of them apart; `ends` the two ends of what is measured and `size` its
    words; `bar` the scale bar's length in per cent; `papers` the templates to print.
    """

    src: str
    width: int
    height: int
    alt: str
    whole: str
    whole_says: str
    plane: str
    says: tuple[str, ...]
    upright: tuple[LineShown, ...]
    level: tuple[LineShown, ...]
    outline: tuple[tuple[Per, Per], ...]
    box: str
    hatch: str
    worked_over: tuple[str, ...]
    known: tuple[NoteShown, ...]
    ends: tuple[Per, ...]
    size: str
    doubts: tuple[NoteShown, ...]
    bar: str
    bar_says: str
    counted: str
    papers: tuple[Link, ...]


def rectified(context: Context, measurement: Measurement) -> RectifiedShown | None:
    """The view of a measurement's plane; None where there is none, or no picture of it."""
    plane = context.view.rectified.get(measurement.ref)
    made = context.rectified.get(measurement.ref)
    if plane is None or made is None:
        return None
    found = context.findings.measurements[measurement.ref]
    size = ""
    if found.value_mm is not None:
        size, _ = context.both(found.value_mm, found.half95_mm)
    step = round_step(plane.width_mm / GRID_LINES)
    bar = plane.bar_mm

    def per(spot: Spot) -> Per:
        return f"{100 * spot[0] / plane.width_mm:.2f}%", f"{100 * spot[1] / plane.height_mm:.2f}%"

    def edges(ring: tuple[Spot, ...]) -> Iterator[tuple[Per, Per]]:
        for one, other in zip(ring, ring[1:] + ring[:1], strict=True):
            yield per(one), per(other)

    whole = made.whole
    return RectifiedShown(
        src=context.page(made.small.path),
        width=made.small.width_px,
        height=made.small.height_px,
        alt=f"{plane_words(plane)}, laid out at true scale from “{context.name(plane.photo)}”",
        whole=context.page(whole.path),
        whole_says=f"{whole.width_px} × {whole.height_px} pixels, {plane.px_per_m} to the metre",
        plane=plane_words(plane),
        says=tuple(sentences(plane)),
        upright=tuple(
            LineShown(per((at, 0))[0], f"{value:g}")
            for at, value in grid(plane.across, plane.width_mm, step)
        ),
        level=tuple(
            LineShown(per((0, at))[1], f"{value:g}")
            for at, value in grid(plane.down, plane.height_mm, step)
        ),
        outline=tuple(edges(plane.within)),
        box=f"0 0 {plane.width_mm:g} {plane.height_mm:g}",
        hatch=f"{plane.width_mm / HATCHES:.4g}",
        worked_over=tuple(" ".join(f"{x:g},{y:g}" for x, y in ring) for ring in plane.worked_over),
        known=tuple(NoteShown(per(at), plain(name)) for name, at in plane.known),
        ends=tuple(per(at) for _, at in plane.ends),
        size=size,
        doubts=tuple(NoteShown(per(one.at), doubt_words(one)) for one in plane.doubts),
        bar=f"{100 * bar / plane.width_mm:.2f}%",
        bar_says=f"{bar:g} mm" if bar < 1000 else f"{bar / 1000:g} m",
        counted=counted(plane),
        papers=tuple(
            Link(f"Template to print, {called}", context.page(template_of(plane.ref, paper)))
            for paper, called in TEMPLATES.items()
        ),
    )


def plane_of(context: Context, ref: str) -> Link | None:
    """The way to the plane of a measurement (its REF), where that is laid out at true scale."""
    if ref not in context.rectified:
        return None
    return Link("its plane at true scale, to print", f"{context.href(ref)}#_plane")


def grid(side: Reckoned, length_mm: float, step: float) -> Iterator[tuple[float, float]]:
    """Where round values stand along a side of the sheet: (mm along it, the value)."""
    ends = sorted((side.value(0.0), side.value(length_mm)))
    number = math.ceil(ends[0] / step)
    while number * step <= ends[1]:
        yield (number * step - side.at_mm) * side.ways, number * step
        number += 1


def plane_words(plane: Rectified) -> str:
    """Which plane of the aircraft it is, and from where it is seen."""
    if not plane.surveyed:
        return "A plane known by lengths on it; where it lies on the aircraft isn’t known"
    if not plane.normal:
        return "A plane that lies askew"
    where = f"{plane.stands_mm:.0f}".replace("-", "−") + " mm"
    side = SIDES[plane.normal][0 if plane.seen_from > 0 else 1]
    return f"{PLANES[plane.normal].format(where)}, seen {side}"


def counted(plane: Rectified) -> str:
    """What the figures at the grid are."""
    if plane.normal:
        along, up = LINES[plane.across.axis], LINES[plane.down.axis]
        return f"Across: {along}. Up and down: {up}."
    return f"Millimetres from {plain(plane.origin)}: u to the right, v up."


def doubt_words(doubt: Doubt) -> str:
    """A doubt as it stands on the picture: rounded up, in millimetres."""
    return f"± {_up(doubt.half95_mm)}"


def _up(mm: float) -> str:
    return f"{math.ceil(mm - 1e-6):.0f}" if mm >= 10 else f"{math.ceil(10 * mm - 1e-6) / 10:.1f}"


def place_words(plane: Rectified, at: Spot) -> str:
    """A place by the figures at the grid."""
    values = (plane.across.value(at[0]), plane.down.value(at[1]))
    return ", ".join(
        f"{side.axis} {value:.0f}".replace("-", "−")
        for side, value in zip((plane.across, plane.down), values, strict=True)
    )


def sentences(plane: Rectified) -> Iterator[str]:
    """What must be known to use it: what it can't tell, how sure places are, how fine it is."""
    yield ONLY
    best, worst = plane.best, plane.worst
    flat = max(one.flat95_mm for one in plane.everywhere)
    least = min(one.flat95_mm for one in plane.everywhere)
    yield (
        f"A place on it is known to ± {_up(best.half95_mm)} mm at best (near "
        f"{place_words(plane, best.at)}) and ± {_up(worst.half95_mm)} mm at worst (near "
        f"{place_words(plane, worst.at)}), 95 times in 100, for what stands within "
        f"{plane.off_plane_mm:g} mm of the plane; for what lies flat in it, ± {_up(least)} to "
        f"± {_up(flat)} mm. What stands another 10 mm off is moved by up to "
        f"{_up(plane.lean_mm)} mm more."
    )
    yield (
        "The dashed line joins the known points. The view goes "
        f"{plane.margin_mm:.0f} mm past it and no farther: beyond nothing says that the surface is "
        "still this plane."
    )
    yield (
        f"One pixel of the photograph covers {plane.finest_mm:.2g} mm here at its best and "
        f"{plane.coarsest_mm:.2g} mm at its worst: nothing smaller can be told, however large it "
        "is printed."
    )
    if plane.mirrored:
        yield "The photograph is flipped; here it is put right."
    if plane.worked_over:
        yield "Where it is hatched, the photograph was worked over: take nothing from there."
