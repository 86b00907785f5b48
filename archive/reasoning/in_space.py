"""A size found from cameras: points in space, a plane, the other hand, or several photographs."""

from __future__ import annotations

import math

import numpy as np

from archive.core import allowances as allow
from archive.metrology import space
from archive.metrology.network import Priors
from archive.metrology.outcome import Outcome
from archive.reasoning.known import lengths_of, stretch_of, surveys_of, taped
from archive.reasoning.picked import (
    Asked,
    Picture,
    Refused,
    ends,
    pixel,
    place_of,
    readable,
    surveyed,
)

UP = np.array([0.0, 1.0, 0.0])
"""The aircraft's plane of symmetry is y = 0: the axes say so."""


def in_network(
    asked: Asked, pictures: tuple[Picture, ...], draws: int
) -> tuple[Outcome, tuple[str, ...]]:
    """The figure (mm) by way of cameras, and the REFs that it rests on."""
    points = surveyed(asked, pictures)
    places = {}
    for name, (survey, point) in points.items():
        at, sigma = place_of(point)
        places[name] = space.Place(np.array(at), np.array(sigma), f"survey|{survey.ref}|{name}")
    one, other = ends(asked)
    for name in (one, other):
        if not any(name in picture.at for picture in pictures):
            pixel(pictures[0], name)
    own = [p.point for p in asked.measurement.picks if p.point]
    views = tuple(
        space.View(
            picture.photo.ref,
            Priors(
                picture.size,
                middle=allow.WHOLE if picture.photo.frame == "whole" else allow.CROPPED,
                stretch=stretch_of(asked),
                bend=picture.bend,
            ),
            {n: np.array(at) for n, at in picture.at.items() if n in places or n in own},
            picture.pick_px(),
            picture.doubt_px,
        )
        for picture in pictures
    )
    spans = tuple(
        space.Span(
            known.between[0], known.between[1], length, math.hypot(*(e for _, e in errors)), name
        )
        for known, length, errors, _, name in lengths_of(asked, pictures)
    )
    scene = space.Scene(places, views, _planes(asked), _pairs(asked, own), spans, _structure(asked))
    find = space.camera_distance if asked.measurement.method == "camera" else space.length_in_space
    outcome = find(scene, one, other, draws)
    refs = (*(picture.photo.ref for picture in pictures), *surveys_of(points))
    named = tuple(known.known or "" for known in asked.measurement.references)
    return taped(outcome, points), (*refs, *named)


def _structure(asked: Asked) -> dict[str, np.ndarray]:
    """The points that the named surveys join by lines: seen, they show how well the whole fits."""
    found = {}
    for ref in dict.fromkeys(ref.partition("#")[0] for ref in asked.measurement.points):
        survey = asked.library.surveys.get(ref.partition("/")[2])
        joined = {name for line in survey.lines for name in line.through} if survey else set()
        for point in survey.points if survey else ():
            if point.id in joined and readable(point):
                found[point.id] = np.array(place_of(point)[0])
    return found


def _planes(asked: Asked) -> dict[str, space.Plane]:
    given = asked.measurement.on_plane
    if given is None or given.at is None or given.axis not in ("x", "y", "z"):
        if asked.measurement.method == "known-plane":
            raise Refused("M1", "Nobody says which plane the picks lie on.", "Add on_plane:.")
        return {}
    normal = np.eye(3)["xyz".index(given.axis)]
    flat = space.Plane(normal, given.at.mm, given.at.u_mm or 5.0, f"flat|{asked.measurement.ref}|")
    return dict.fromkeys(ends(asked), flat)


def _pairs(asked: Asked, own: list[str]) -> tuple[tuple[str, str, space.Plane], ...]:
    """Picks that mirror each other: the names are alike but for port and starboard."""
    if asked.measurement.method != "symmetry":
        return ()
    within = asked.measurement.symmetric_within
    half = (within.half95_mm or within.mm) if within else allow.SYMMETRIC_MM
    mirror = space.Plane(UP, 0.0, half / 1.96, "mirror||")
    pairs = [(name, opposite(name)) for name in dict.fromkeys(own) if "port" in name.split("-")]
    return tuple((one, other, mirror) for one, other in pairs if other in own)


def opposite(name: str) -> str:
    """The name of the same point on the other hand.

    >>> opposite("strut-front-port-foot")
    'strut-front-starboard-foot'
    """
    turned = {"port": "starboard", "starboard": "port"}
    return "-".join(turned.get(word, word) for word in name.split("-"))
