"""From a measurement's record to the points and lengths that are known on one plane or line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from archive.core import allowances as allow
from archive.metrology import line, measured_out, plane
from archive.metrology.solve import Array
from archive.metrology.starts import straightness
from archive.reasoning.known import Points, lengths_of
from archive.reasoning.picked import Asked, Picture, Refused, ends, pixel, place_of, surveyed


@dataclass(frozen=True)
class Flattened:
    """Surveyed points in the best plane or line through them.

    `axes` (1 or 2, 3) are its directions in the aircraft's axes and `middle` (3,) where it begins;
    `sigma` gives each point's errors along x, y and z, by label; `off` is the largest distance (mm)
    of a point from it.
    """

    known: plane.Known
    axes: Array
    middle: Array
    sigma: Mapping[str, Array]
    off: float


@dataclass(frozen=True)
class Spans:
    """Lengths known on a plane between picks: pixels (k, 2) and their labels, the numbers of the
    two ends of what is measured, the error of a pick, and the REFs that the lengths come from."""

    pixels: Array
    labels: list[str]
    stretches: list[measured_out.Stretch]
    ends: tuple[int, int]
    pick_px: float
    refs: tuple[str, ...]


def by_lengths(asked: Asked) -> bool:
    """Is the plane known by lengths on it, and by no surveyed point?"""
    return bool(asked.measurement.references) and not asked.measurement.points


def points_on_plane(asked: Asked, picture: Picture) -> tuple[Points, Flattened, float]:
    """The surveyed points of a plane, how they lie on it, and how far, at most, what is picked may
    stand off it (mm)."""
    no_lengths(asked)
    points = surveyed(asked, (picture,))
    flat = flattened(asked, picture, points, 2)
    if flat.off > 0.05 * float(np.ptp(flat.known.at, axis=0).max()):
        raise Refused(
            "M8",
            f"The known points stand up to {flat.off:.0f} mm off one plane.",
            "Keep to points that lie on one plane, or find the camera from points in space.",
        )
    said = asked.measurement.off_plane
    return points, flat, said.mm if said else max(flat.off, allow.OFF_PLANE_MM)


def lengths_on_plane(asked: Asked, picture: Picture) -> Spans:
    """The known lengths of a plane of which no points were surveyed."""
    found = lengths_of(asked, (picture,))
    names = list(dict.fromkeys((*(n for k, *_ in found for n in k.between), *ends(asked))))
    stretches = [
        measured_out.Stretch(
            names.index(known.between[0]), names.index(known.between[1]), length,
            math.hypot(*(effect for _, effect in errors)), name,
        )
        for known, length, errors, _, name in found
    ]  # fmt: skip
    one, other = (names.index(name) for name in ends(asked))
    return Spans(
        np.array([pixel(picture, name) for name in names]),
        [f"pick|{picture.photo.ref}|{name}" for name in names],
        stretches,
        (one, other),
        picture.pick_px(names),
        tuple(ref for *_, ref, _ in found),
    )


def sought(asked: Asked, picture: Picture) -> plane.Sought:
    """The two picks that are measured."""
    names = ends(asked)
    labels = [f"pick|{picture.photo.ref}|{name}" for name in names]
    pixels = np.array([pixel(picture, name) for name in names])
    return plane.Sought(pixels, labels, picture.pick_px())


def no_lengths(asked: Asked) -> None:
    """Raises `Refused` where known lengths are named beside surveyed points."""
    if asked.measurement.references:
        raise Refused(
            "M1",
            "This way goes by surveyed points, and known lengths are named.",
            "Leave references: out, or find the camera from points in space, which takes both.",
        )


def flattened(asked: Asked, picture: Picture, points: Points, axes_count: int) -> Flattened:
    """The known points in the best plane (2) or line (1) through them.

    What a point stands off is added to its error, since it moves the point along by that, times the
    tangent of the view's slant.
    """
    names = [name for name in points if name in picture.at]
    needed = plane.FEWEST if axes_count == 2 else line.FEWEST
    if len(names) < needed:
        raise Refused(
            "M8",
            f"It needs {needed} known points on the picture, and has {len(names)}.",
            "Pick more surveyed points that are named in points:.",
        )
    places = np.array([place_of(points[name][1])[0] for name in names])
    sigma = np.array([place_of(points[name][1])[1] for name in names])
    if axes_count == 2 and straightness(places) < plane.STRAIGHT:
        raise Refused("M8", "The known points lie on one line.", "Add a point well off that line.")
    middle = places.mean(0)
    _, _, right = np.linalg.svd(places - middle)
    axes = right[:axes_count]
    away = np.linalg.norm((places - middle) @ right[axes_count:].T, axis=1)
    slant = 1.0
    if axes_count == 1:
        tilt = asked.measurement.tilt_deg
        slant = math.tan(math.radians(float(tilt) if tilt is not None else allow.LINE_TILT_DEG))
    along = np.sqrt((sigma**2) @ (axes**2).T + (away[:, None] * slant) ** 2 / 3)
    labels = [f"survey|{points[name][0].ref}|{name}" for name in names]
    known = plane.Known(
        (places - middle) @ axes.T,
        along,
        np.array([picture.at[name] for name in names]),
        labels,
        [f"pick|{picture.photo.ref}|{name}" for name in names],
    )
    by_label = dict(zip(labels, sigma, strict=True))
    return Flattened(known, axes, middle, by_label, float(away.max()))
