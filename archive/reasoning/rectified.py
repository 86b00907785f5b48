"""The planes that can be laid out at true scale: those of every measurement on a plane that holds.

A measurement that is refused has no such view: what speaks against the figure speaks against it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from archive.core import allowances as allow
from archive.core.lengths import COVER
from archive.core.rectified import Doubt, Reckoned, Rectified, Spot
from archive.core.verdicts import Findings
from archive.metrology import measured_out, plane, rectify
from archive.metrology.outcome import NoEstimate
from archive.metrology.solve import Array
from archive.reasoning.evidence import is_flipped
from archive.reasoning.ground import Given
from archive.reasoning.known import surveys_of
from archive.reasoning.on_plane import by_lengths, lengths_on_plane, points_on_plane, sought
from archive.reasoning.picked import Asked, Picture, ends, pictures_of
from archive.reasoning.times import Times
from archive.reasoning.weigh import ground_of
from archive.records.library import Library

ASKEW = 0.9994
"""Cosine of 2 degrees: a plane that leans by less is counted in the aircraft's own axes, which then
are out by less than one part in a thousand."""
PLACES, LOOKED_AT = 3, 13
"""Doubts are told at so many places across the known points and as many down, and looked for at so
many over the whole sheet."""
DIGITS = 10
"""Significant figures of the numbers that pixels hang on, the same on every machine."""
TALL_MM = 10.0
"""The height off the plane for which it is told how far it moves a thing."""


def rectified(
    library: Library, findings: Findings, given: Given, times: Times | None = None
) -> dict[str, Rectified]:
    """The view at true scale of every plane that a measurement was taken on, by its REF."""
    on_planes = [
        record
        for record in library.measurements.values()
        if record.method == "plane" and findings.measurements[record.ref].value_mm is not None
    ]
    if not on_planes:
        return {}
    grades = {ref: graded.grade for ref, graded in findings.claims.items()}
    ground = ground_of(library, given, grades, findings.measurements, times)
    held = {ref: graded.held for ref, graded in findings.claims.items()}
    views = {}
    for record in on_planes:
        asked = Asked(ground, record, held, given.sizes)
        (picture,) = pictures_of(asked)
        lying = _lying(asked, picture)
        if lying is not None:
            views[record.ref] = _view(asked, picture, lying)
    return views


@dataclass(frozen=True)
class Lying:
    """A plane, the names of its known points and the REFs that they come from, and how it lies on
    the aircraft: its `axes` (2, 3) and where they begin (3,); None where no point was surveyed."""

    straight: rectify.Straightened
    names: tuple[str, ...]
    refs: tuple[str, ...]
    axes: Array | None = None
    middle: Array | None = None

    @property
    def normal(self) -> str:
        """The axis of the aircraft that the plane is square to; "" where it lies askew."""
        if self.axes is None:
            return ""
        square = np.abs(np.cross(*self.axes))
        return "xyz"[int(square.argmax())] if square.max() >= ASKEW else ""

    @property
    def up(self) -> Array:
        """What is up on the plane, (2,): the aircraft's z, on a level plane its y.

        Where no point was surveyed: along or square to the first known length, whichever is nearer
        to the picture's own up.
        """
        if self.axes is None:
            seen = self.straight.slopes(self.straight.known.mean(0)[None])[0]
            up = np.linalg.solve(seen, np.array([0.0, -1.0]))
            axis = int(np.abs(up).argmax())
            return np.asarray(np.eye(2)[axis] * np.sign(up[axis]), np.float64)
        level = self.normal == "z" or float(np.linalg.norm(self.axes[:, 2])) < 0.2
        return np.asarray(self.axes[:, 1] if level else self.axes[:, 2])


def _lying(asked: Asked, picture: Picture) -> Lying | None:
    if by_lengths(asked):
        spans = lengths_on_plane(asked, picture)
        by_spans = measured_out.solved_by_lengths(
            spans.pixels, spans.labels, spans.stretches, spans.ends, spans.pick_px, picture.size,
            picture.bend_on_plane,
        )  # fmt: skip
        if isinstance(by_spans, NoEstimate):
            return None
        said = asked.measurement.off_plane
        off = said.mm if said else allow.OFF_PLANE_MM
        straight = rectify.straightened_by_lengths(by_spans, spans.ends, picture.size, off)
        names = tuple(by_spans[3][number] for number in by_spans[4])
        return None if isinstance(straight, NoEstimate) else Lying(straight, names, spans.refs)
    points, flat, off = points_on_plane(asked, picture)
    solved = plane.solved_plane(
        flat.known, sought(asked, picture), picture.size, picture.bend_on_plane
    )
    if isinstance(solved, NoEstimate):
        return None
    straight = rectify.straightened(solved, len(flat.known.at), picture.size, off)
    if isinstance(straight, NoEstimate):
        return None
    names = tuple(label.rpartition("|")[2] for label in flat.known.pick_labels)
    return Lying(straight, names, surveys_of(points), flat.axes, flat.middle)


def _view(asked: Asked, picture: Picture, lying: Lying) -> Rectified:
    straight = lying.straight
    sheet = rectify.frame(straight, lying.up)
    ring = rectify.hull(straight.known)
    across, down, seen_from = _reckoned(lying, sheet)
    around = sheet.on_sheet(ring)
    doubts = _doubts(straight, sheet, ring, (around.min(0), around.max(0)), PLACES)
    whole = (np.zeros(2), np.array([sheet.width, sheet.height]))
    everywhere = (*doubts, *_doubts(straight, sheet, ring, whole, LOOKED_AT))
    lean = np.linalg.norm(plane.leans(straight.h, ring, straight.size), axis=1)
    stands = 0.0
    if lying.normal and lying.middle is not None:
        stands = float(lying.middle["xyz".index(lying.normal)])
    cx, cy, focal, bend = map(_figure, rectify.lens(straight))
    return Rectified(
        ref=asked.measurement.ref,
        photo=picture.photo.ref,
        width_mm=sheet.width,
        height_mm=sheet.height,
        px_per_m=sheet.px_per_m,
        to_photo=tuple(map(_figure, sheet.to_photo(straight).ravel().tolist())),
        lens=(cx, cy, focal, bend),
        mirrored=is_flipped(picture.photo),
        normal=lying.normal,
        stands_mm=_mm(stands),
        seen_from=seen_from,
        across=across,
        down=down,
        origin="" if lying.normal else lying.names[0],
        surveyed=lying.axes is not None,
        within=_spots(sheet.on_sheet(ring)),
        margin_mm=_mm(sheet.margin),
        known=tuple(zip(lying.names, _spots(sheet.on_sheet(straight.known)), strict=True)),
        ends=tuple(zip(ends(asked), _spots(sheet.on_sheet(straight.sought)), strict=True)),
        doubts=doubts,
        everywhere=everywhere,
        finest_mm=_mm(sheet.finest),
        coarsest_mm=_mm(sheet.coarsest),
        off_plane_mm=_mm(straight.off_plane),
        lean_mm=_mm(TALL_MM * float(lean.max())),
        worked_over=tuple(_worked_over(picture, straight, sheet)),
        rests_on=tuple(dict.fromkeys((picture.photo.ref, *lying.refs))),
    )


def _reckoned(lying: Lying, sheet: rectify.Frame) -> tuple[Reckoned, Reckoned, int]:
    """How places are counted across and down, and from which side of the plane it is seen."""
    if lying.axes is None or lying.middle is None or not lying.normal:
        across, down = sheet.on_sheet(lying.straight.known[:1])[0]
        return Reckoned("u", _mm(-across), 1), Reckoned("v", _mm(down), -1), 0
    corner = lying.middle + sheet.corner @ lying.axes
    sides = []
    for way in (sheet.right, sheet.down):
        along = way @ lying.axes
        axis = int(np.abs(along).argmax())
        sides.append(Reckoned("xyz"[axis], _mm(float(corner[axis])), int(np.sign(along[axis]))))
    towards = np.cross(sheet.right @ lying.axes, -sheet.down @ lying.axes)
    return sides[0], sides[1], int(np.sign(towards["xyz".index(lying.normal)]))


def _doubts(
    straight: rectify.Straightened,
    sheet: rectify.Frame,
    ring: Array,
    box: tuple[Array, Array],
    places: int,
) -> tuple[Doubt, ...]:
    """The doubts at so many places each way of a box of the sheet, as far as these are shown."""
    lines = [np.linspace(low, high, places) for low, high in zip(*box, strict=True)]
    at = np.stack(np.meshgrid(*lines), -1).reshape(-1, 2)
    there = sheet.on_plane(at)
    shown = straight.before_camera(there) & (rectify.outside_by(there, ring) <= sheet.margin)
    pixels = straight.pixels(there)
    shown &= ((pixels >= 0) & (pixels <= np.array(straight.size))).all(1)
    found, flat = straight.doubts(there[shown], allow.TAPE)
    return tuple(
        Doubt(spot, _mm(COVER * float(u)), _mm(COVER * float(lying)))
        for spot, u, lying in zip(_spots(at[shown]), found, flat, strict=True)
    )


def _worked_over(
    picture: Picture, straight: rectify.Straightened, sheet: rectify.Frame
) -> list[tuple[Spot, ...]]:
    found = []
    for patch in picture.photo.retouched:
        if patch.outline:
            pixels = np.array([[float(x), float(y)] for x, y in patch.outline])
            if is_flipped(picture.photo):
                pixels[:, 0] = picture.size[0] - pixels[:, 0]
            places = straight.places(pixels)
            if straight.before_camera(places).all():
                found.append(_spots(sheet.on_sheet(places)))
    return found


def _spots(at: Array) -> tuple[Spot, ...]:
    return tuple((_mm(x), _mm(y)) for x, y in at.tolist())


def _mm(value: float) -> float:
    return round(float(value), 2)


def _figure(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")
