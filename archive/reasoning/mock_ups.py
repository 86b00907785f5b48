"""Does the mock-up stand where the photograph has the thing: point by point, in millimetres."""

from __future__ import annotations

import dataclasses

import numpy as np

from archive.core import allowances as allow
from archive.core.lengths import COVER
from archive.core.verdicts import LaidOver
from archive.metrology import laid_over, space
from archive.metrology.network import Priors
from archive.metrology.outcome import Errors, NoEstimate
from archive.reasoning.known import Points, stretch_of, surveys_of
from archive.reasoning.picked import (
    Asked,
    Picture,
    Refused,
    pictures_of,
    pixel,
    place_of,
    surveyed,
)

WAYS = {"x": ("aft", "forward"), "y": ("to starboard", "to port"), "z": ("higher", "lower")}
"""Axis of the aircraft → how the shop says its two ways."""

OWN_MIDDLE, OWN_STRETCH = 0.01, 0.0005
"""How far the axis of a camera of today lies off the middle of its frame, in parts of the diagonal,
and how unequal its two scales may be: one standard deviation each (common practice, no source)."""
LEAST_OFF_MM = 0.1
"""A plane that points lie on exactly would leave the network without a row to weigh."""

Laid = tuple[LaidOver, ...]


def lay_over(asked: Asked) -> tuple[Laid | NoEstimate, tuple[str, ...], Errors]:
    """Each named point of a mock-up against the period photograph, and the REFs it rests on.

    Last come the sources of the largest of all the errors (mm).
    """
    pictures = pictures_of(asked)
    period, mock_up = _two(pictures)
    plane, axes = _plane(asked)
    points = surveyed(asked, pictures)
    names = list(dict.fromkeys(asked.measurement.between))
    if not names:
        raise Refused("M1", "It names no point to compare.", "Name the points in between:.")
    for picture in (period, mock_up):
        for name in names:
            pixel(picture, name)
    off = asked.measurement.off_plane
    off_mm = (off.mm if off else allow.OFF_PLANE_MM) / COVER
    pairs = [(f"{name}@photograph", f"{name}@mock-up") for name in names]
    scene = _scene(asked, (period, mock_up), points, pairs, names, plane, off_mm)
    directions = np.eye(3)[["xyz".index(axis) for axis in axes]]
    found = laid_over.shifts(scene, pairs, directions)
    refs = (period.photo.ref, mock_up.photo.ref, *surveys_of(points))
    if isinstance(found, NoEstimate):
        return found, refs, ()
    # Where the plane itself lies is in doubt for both pictures alike: solved again with it moved.
    moved = found
    if plane.sigma:
        other = dataclasses.replace(plane, offset=plane.offset + plane.sigma)
        again = laid_over.shifts(
            _scene(asked, (period, mock_up), points, pairs, names, other, off_mm), pairs, directions
        )
        if isinstance(again, NoEstimate):
            return again, refs, ()
        moved = again
    label = f"flat|{asked.measurement.ref}|both"
    laid, worst = [], found[0].along[0]
    for name, shift, shifted in zip(names, found, moved, strict=True):
        along = tuple(
            one.with_errors((label, two.value - one.value))
            for one, two in zip(shift.along, shifted.along, strict=True)
        )
        whole = dataclasses.replace(shift, along=along, chi2=laid_over.together(along))
        laid.append(_point(name, axes, whole, period))
        worst = max((worst, *along), key=lambda each: each.u)
    return tuple(laid), refs, worst.errors


def told(point: LaidOver) -> str:
    """One point in a sentence, as the shop says it."""
    ways = " and ".join(
        f"{abs(mm):.0f}\u00a0mm {WAYS[axis][0 if mm >= 0 else 1]} (± {half:.0f}\u00a0mm)"
        for axis, mm, half in point.along
    )
    name = point.point.replace("-", " ")
    if point.differs:
        return f"The mock-up's {name} stands apart from the photograph's: {ways}."
    return f"The mock-up's {name} falls on the photograph's as far as can be told: {ways}."


def _two(pictures: tuple[Picture, ...]) -> tuple[Picture, Picture]:
    period = [p for p in pictures if p.photo.shows_what == "period"]
    mock_ups = [p for p in pictures if p.photo.shows_what == "mock-up"]
    if len(pictures) != 2 or len(period) != 1 or len(mock_ups) != 1:
        raise Refused(
            "M1",
            "A mock-up is laid over one period photograph.",
            "Name two photographs: one of kind period, one of kind mock-up.",
        )
    return period[0], mock_ups[0]


def _plane(asked: Asked) -> tuple[space.Plane, str]:
    """The plane that the points lie on, and the aircraft's axes in it."""
    given = asked.measurement.on_plane
    if given is None or given.at is None or given.axis not in WAYS:
        raise Refused(
            "M1",
            "Nobody says on which plane the points lie, and one picture alone gives no depth.",
            "Add on_plane:, square to one of the aircraft's axes.",
        )
    at = "xyz".index(given.axis)
    label = f"flat|{asked.measurement.ref}|"
    plane = space.Plane(np.eye(3)[at], given.at.mm, given.at.u_mm or 5.0, label)
    return plane, "xyz".replace(given.axis, "")


def _scene(
    asked: Asked,
    pictures: tuple[Picture, Picture],
    points: Points,
    pairs: list[tuple[str, str]],
    names: list[str],
    plane: space.Plane,
    off_mm: float,
) -> space.Scene:
    places = {}
    for name, (survey, point) in points.items():
        at, sigma = place_of(point)
        label = f"survey|{survey.ref}|{name}"
        places[name] = space.Place(np.array(at), np.array(sigma), label)
    views = []
    for turn, picture in enumerate(pictures):
        picks = {n: np.array(at) for n, at in picture.at.items() if n in places}
        picks |= {
            pair[turn]: np.array(picture.at[name]) for pair, name in zip(pairs, names, strict=True)
        }
        middle = allow.WHOLE if picture.photo.frame == "whole" else allow.CROPPED
        if picture.photo.shows_what == "mock-up":
            # Our own camera: the file is the whole frame, and no paper has stretched.
            priors = Priors(picture.size, OWN_MIDDLE, stretch=OWN_STRETCH, bend=picture.bend)
        else:
            priors = Priors(picture.size, middle, stretch=stretch_of(asked), bend=picture.bend)
        views.append(space.View(picture.photo.ref, priors, picks, picture.pick_px()))
    near = dataclasses.replace(plane, sigma=max(off_mm, LEAST_OFF_MM))
    flat = {name: near for pair in pairs for name in pair}
    return space.Scene(places, tuple(views), flat)


def _point(name: str, axes: str, shift: laid_over.Shift, period: Picture) -> LaidOver:
    return LaidOver(
        point=name,
        along=tuple(
            (axis, round(each.value, 1), round(COVER * each.u, 1))
            for axis, each in zip(axes, shift.along, strict=True)
        ),
        differs=shift.differs,
        photo=period.photo.ref,
        seen_px=period.at[name],
        stands_px=(round(shift.at[0], 1), round(shift.at[1], 1)),
    )
