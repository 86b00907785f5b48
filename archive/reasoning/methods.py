"""Each way of measuring, from a measurement's record to a figure with its errors: needs numpy."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from archive.core import allowances as allow
from archive.metrology import circle, line, measured_out, plane, scale
from archive.metrology.outcome import NoEstimate, Outcome
from archive.metrology.solve import Array
from archive.metrology.starts import ORDINARY_LENS
from archive.reasoning.in_space import in_network
from archive.reasoning.known import Points, stretch_of, surveys_of, taped
from archive.reasoning.on_plane import (
    by_lengths,
    flattened,
    lengths_on_plane,
    no_lengths,
    points_on_plane,
    sought,
)
from archive.reasoning.picked import (
    Asked,
    Picture,
    Refused,
    ends,
    known_length,
    pictures_of,
    pixel,
    surveyed,
)
from archive.records.measurement import KnownLength


def work_out(asked: Asked, draws: int = 0) -> tuple[Outcome, tuple[str, ...]]:
    """The figure of a measurement (mm) or the reason for none, and the REFs that it rests on.

    Raises `Refused` where the record itself gives no hold. `draws` simulates it so many times.
    """
    method = METHODS.get(asked.measurement.method or "")
    if method is None:
        raise Refused("M1", "It names no way of measuring.", "Add method:.")
    return method(asked, pictures_of(asked), draws)


Worked = tuple[Outcome, tuple[str, ...]]


def _scale(asked: Asked, pictures: tuple[Picture, ...], draws: int) -> Worked:
    picture = _only(pictures)
    known = _reference(asked)
    length, errors, ref = known_length(asked, known, pictures)
    rule = _measure(asked, picture, known.between)
    thing = _measure(asked, picture, ends(asked))
    scene, note = _scene(asked, picture, known, rule, length)
    outcome = scale.beside(thing, rule, length, errors, scene, draws)
    return _noted(outcome, note), (picture.photo.ref, ref)


def _circle(asked: Asked, pictures: tuple[Picture, ...], draws: int) -> Worked:
    picture = _only(pictures)
    _unbent(picture)
    known = _reference(asked)
    length, errors, ref = known_length(asked, known, pictures)
    rule = _measure(asked, picture, known.between)
    own = [p.point for p in asked.measurement.picks if p.point and p.point not in known.between]
    names = [name for name in dict.fromkeys(own) if name in picture.at]
    rim = np.array([picture.at[name] for name in names]).reshape(-1, 2)
    labels = tuple(f"pick|{picture.photo.ref}|{name}" for name in names)
    scene, note = _scene(asked, picture, known, rule, length)
    lean = math.radians(allow.LEAN_DEG)
    outcome = circle.diameter(rim, labels, rule, length, errors, scene, lean, draws)
    return _noted(outcome, note), (picture.photo.ref, ref)


def _plane(asked: Asked, pictures: tuple[Picture, ...], draws: int) -> Worked:
    picture = _only(pictures)
    if by_lengths(asked):
        return _by_lengths(asked, picture, draws)
    points, flat, allowed = points_on_plane(asked, picture)
    outcome = plane.length_on_plane(
        flat.known, sought(asked, picture), picture.size, picture.bend_on_plane, allowed, draws
    )
    outcome = _in_space(outcome, points, flat.axes, flat.sigma)
    return taped(outcome, points), (picture.photo.ref, *surveys_of(points))


def _by_lengths(asked: Asked, picture: Picture, draws: int) -> Worked:
    """On a plane of which no points were surveyed, but lengths on it are known."""
    spans = lengths_on_plane(asked, picture)
    outcome = measured_out.length_by_lengths(
        spans.pixels, spans.labels, spans.stretches, spans.ends, spans.pick_px, picture.size,
        picture.bend_on_plane, draws,
    )  # fmt: skip
    return outcome, (picture.photo.ref, *spans.refs)


def _stations(asked: Asked, pictures: tuple[Picture, ...], draws: int) -> Worked:
    picture = _only(pictures)
    _unbent(picture)
    no_lengths(asked)
    points = surveyed(asked, pictures)
    flat = flattened(asked, picture, points, 1)
    if flat.off > 0.05 * float(np.ptp(flat.known.at)):
        raise Refused(
            "M8",
            f"The known points stand up to {flat.off:.0f} mm off one line.",
            "Keep to points that lie on one straight line.",
        )
    outcome = line.length_on_line(flat.known, sought(asked, picture), draws)
    outcome = _in_space(outcome, points, flat.axes, flat.sigma)
    return taped(outcome, points), (picture.photo.ref, *surveys_of(points))


METHODS: Mapping[str, Callable[[Asked, tuple[Picture, ...], int], Worked]] = MappingProxyType(
    {
        "scale": _scale,
        "circle": _circle,
        "plane": _plane,
        "stations": _stations,
        "camera": in_network,
        "known-plane": in_network,
        "symmetry": in_network,
        "several": in_network,
    }
)


def _only(pictures: tuple[Picture, ...]) -> Picture:
    if len(pictures) != 1:
        raise Refused("M1", "This method takes one photograph.", "Write one measurement for each.")
    return pictures[0]


def _unbent(picture: Picture) -> None:
    if picture.photo.lens == "bends":
        raise Refused(
            "M8",
            f"The lens of “{picture.photo.title}” bends lines, and this way has nothing to find by "
            "how much.",
            "Measure on a plane, by known points all round, or find the camera.",
        )


def _reference(asked: Asked) -> KnownLength:
    if not asked.measurement.references:
        raise Refused("M1", "It names no known length.", "Add a known length to references:.")
    if len(asked.measurement.references) > 1:
        raise Refused(
            "M1", "This method takes one known length.", "Write one measurement for each."
        )
    return asked.measurement.references[0]


def _measure(asked: Asked, picture: Picture, names: tuple[str, ...]) -> scale.Measure:
    if len(names) != 2:
        raise Refused("M1", "A length lies between two picks.", "Name just two.")
    one, other = (f"pick|{picture.photo.ref}|{name}" for name in names)
    pixels = np.array([pixel(picture, name) for name in names])
    return scale.Measure(pixels, (one, other), picture.pick_px(names))


def _scene(
    asked: Asked, picture: Picture, known: KnownLength, rule: scale.Measure, length: float
) -> tuple[scale.Scene, str]:
    """How the thing stands to the camera, and a sentence on what had to be assumed."""
    written, nearer = asked.measurement.camera_distance, known.nearer
    if nearer is None and not known.same_plane:
        raise Refused(
            "M8",
            "Nobody says whether the known length lies in the plane of what is measured.",
            "Say same_plane: yes, or how much nearer to the camera it is.",
        )
    if nearer is not None and known.same_plane is not True and written is None:
        raise Refused(
            "M8",
            "The known length lies in another plane, and nobody says how far off the camera stood.",
            "Add camera_distance:, or find the camera from surveyed points.",
        )
    notes = []
    if written is not None:
        distance = written.mm
        distance_u = written.u_mm or allow.DISTANCE_DOUBT * distance
    else:
        shown = float(np.hypot(*(rule.pixels[1] - rule.pixels[0]))) or 1.0
        distance = ORDINARY_LENS * picture.size[0] * length / shown
        distance_u = allow.LENS_DOUBT * distance
        notes.append("The camera's distance is that of an ordinary lens.")
    tilt = asked.measurement.tilt_deg
    if tilt is None and asked.measurement.method == "scale":
        notes.append(f"Nobody says how far it leans from square: {allow.TILT_DEG:.0f}° is allowed.")
    scene = scale.Scene(
        distance=distance,
        distance_u=distance_u,
        nearer=nearer.mm if nearer else 0.0,
        nearer_u=(nearer.u_mm or allow.NEARER_DOUBT * abs(nearer.mm)) if nearer else 0.0,
        depth_limit=0.0 if nearer else allow.SAME_PLANE_MM,
        tilt=math.radians(float(tilt) if tilt is not None else allow.TILT_DEG),
        size=picture.size,
        label=picture.photo.ref,
        stretch=stretch_of(asked),
        bend=picture.bend_on_plane,
    )
    return scene, " ".join(notes)


def _noted(outcome: Outcome, note: str) -> Outcome:
    return outcome if isinstance(outcome, NoEstimate) else outcome.with_notes(note)


def _in_space(outcome: Outcome, points: Points, axes: Array, sigma: Mapping[str, Array]) -> Outcome:
    """The errors of known points told along x, y and z, as other methods tell them.

    Each row along a plane's axis is shared out over x, y and z in the parts that made up its error,
    so that what two measurements share by a surveyed point is found by name.
    """
    if isinstance(outcome, NoEstimate):
        return outcome
    kept: list[tuple[str, float]] = []
    spread: dict[str, Array] = {}
    left: dict[str, float] = {}
    for label, effect in outcome.errors:
        place, _, axis = label.rpartition(":")
        if place not in sigma or axis not in ("a", "b"):
            kept.append((label, effect))
            continue
        parts = axes["ab".index(axis)] * sigma[place]
        share = parts / max(float(np.linalg.norm(parts)), 1e-12)
        spread[place] = spread.get(place, np.zeros(3)) + effect * share
        left[place] = left.get(place, 0.0) + effect * effect
    for place, effects in spread.items():
        # two axes with one coordinate in common are told with the strength that was found
        strength = math.sqrt(left[place] / max(float(effects @ effects), 1e-300))
        kept += [(f"{place}:{c}", float(e) * strength) for c, e in zip("xyz", effects, strict=True)]
    return replace(outcome, errors=tuple((label, effect) for label, effect in kept if effect))
