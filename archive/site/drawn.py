"""What measuring has to draw on a photograph: sizes, picks, known points, and how well they fit.

All places are pixels of the original, as the page's drawing counts. Nothing is worked out here but
where a line ends: an arrow is drawn longer than it is, and the page says by how much.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.verdicts import Fitted, Measured
from archive.records.measurement import Measurement
from archive.records.photo import Photo
from archive.site.context import Context
from archive.site.page import Link
from archive.site.words import plain

Spot = tuple[float, float]

ARROWS = 20
"""How many times longer than the misfit an arrow is drawn: misfits are a pixel or two."""


@dataclass(frozen=True, slots=True)
class SizeDrawn:
    """A measured size: its record, its words, and its line where both ends are picked here."""

    link: Link
    says: str
    ends: tuple[Spot, Spot] | None

    @property
    def middle(self) -> Spot:
        """Where its words stand."""
        (x1, y1), (x2, y2) = self.ends or ((0.0, 0.0), (0.0, 0.0))
        return (x1 + x2) / 2, (y1 + y2) / 2


@dataclass(frozen=True, slots=True)
class PickDrawn:
    """A pick: its name, its place, and whether it is a point known from a survey."""

    name: str
    at: Spot
    known: bool


@dataclass(frozen=True, slots=True)
class Drawn:
    """All of it. `fit` names the measurement whose solution gives the arrows and the frame.

    `arrows` run from each pick towards where the solution sees its point; `frame` are the edges of
    the known structure as that solution sees them. `unit` is the size of small marks in pixels.
    """

    sizes: tuple[SizeDrawn, ...]
    picks: tuple[PickDrawn, ...]
    fit: Link | None
    arrows: tuple[tuple[Spot, Spot], ...]
    frame: tuple[tuple[Spot, ...], ...]
    times: int
    unit: float


def drawn(context: Context, photo: Photo, width: int) -> Drawn:
    """What is drawn on a photograph that is `width` pixels wide."""
    taken = [
        measurement
        for measurement in context.library.measurements.values()
        if photo.ref in {ref.partition("#")[0] for ref in measurement.photos}
    ]
    picks = dict(_known(photo))
    for measurement in taken:
        picks.update(_picks(measurement, photo))
    best = max(
        (context.findings.measurements.get(measurement.ref) for measurement in taken),
        key=lambda found: len(_here(found, photo)),
        default=None,
    )
    fitted = _here(best, photo)
    surveyed = {p.id for survey in context.library.surveys.values() for p in survey.points}
    return Drawn(
        sizes=tuple(_size(context, measurement, photo, picks) for measurement in taken),
        picks=tuple(PickDrawn(plain(n), at, n in surveyed) for n, at in picks.items()),
        fit=context.link(best.ref) if best and fitted else None,
        arrows=tuple((one.picked_px, _longer(one)) for one in fitted),
        frame=tuple(_frame(context, best, photo)) if best else (),
        times=ARROWS,
        unit=max(width, 320) / 160,
    )


def _here(found: Measured | None, photo: Photo) -> tuple[Fitted, ...]:
    return tuple(one for one in (found.fitted if found else ()) if one.photo == photo.ref)


def _known(photo: Photo) -> Iterator[tuple[str, Spot]]:
    for name, at in photo.picks.items():
        if at:
            yield name, (float(at[0]), float(at[1]))


def _picks(measurement: Measurement, photo: Photo) -> Iterator[tuple[str, Spot]]:
    alone = len(measurement.photos) == 1
    for pick in measurement.picks:
        here = (pick.photo or "").partition("#")[0] == photo.ref or (alone and not pick.photo)
        if here and pick.at and pick.point:
            yield pick.point, (float(pick.at[0]), float(pick.at[1]))


def _size(
    context: Context, measurement: Measurement, photo: Photo, picks: dict[str, Spot]
) -> SizeDrawn:
    found = context.findings.measurements.get(measurement.ref)
    says = found.finding.verdict if found else ""
    ends = None
    own = picks | dict(_picks(measurement, photo))
    if found is not None and found.value_mm is not None:
        says, _ = context.both(found.value_mm, found.half95_mm)
        at = [own[name] for name in measurement.between if name in own]
        if len(at) == 2 and measurement.method not in ("camera", "circle"):
            ends = at[0], at[1]
    return SizeDrawn(context.link(measurement.ref), says, ends)


def _longer(one: Fitted) -> Spot:
    (x, y), (u, v) = one.picked_px, one.seen_px
    return x + ARROWS * (u - x), y + ARROWS * (v - y)


def _frame(context: Context, found: Measured, photo: Photo) -> Iterator[tuple[Spot, ...]]:
    """The edges of the surveys, through the points that the solution sees."""
    seen = {one.point: one.seen_px for one in _here(found, photo) if one.known}
    seen |= {name: spot for ref, name, spot in found.structure if ref == photo.ref}
    for survey in context.library.surveys.values():
        for line in survey.lines:
            run = tuple(seen[name] for name in line.through if name in seen)
            if len(run) > 1:
                yield run


def measurable(photo: Photo) -> bool:
    """Is there anything to be measured on the picture? A paper has no size but its own."""
    return photo.shows_what != "document"
