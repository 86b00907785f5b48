"""What was raised from the lake and how it was photographed: one entry a picture, with its camera."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

import fragments
import prints
import wreckage
from camera import Camera, Pose, framed
from shapes import Array, Piece


@dataclass(frozen=True)
class Find:
    """One modern photograph: what lies in it, where the camera stood and how it is lit."""

    id: str
    date: str
    build: Callable[[], list[Piece]]
    survey: Callable[[], dict[str, tuple[float, float, float]]]
    azimuth: float
    distance: float
    eye: float
    size: tuple[int, int] = (1800, 1200)
    fill: float = 0.9
    lift: float = 0.0
    place: str = "workshop"
    suffix: str = ".jpg"

    def pieces(self) -> list[Piece]:
        return self.build()

    def points(self) -> dict[str, tuple[float, float, float]]:
        return {k: tuple(float(c) for c in v) for k, v in self.survey().items()}


FINDS = (
    Find("remains-fuselage", "2025-02-19", wreckage.fuselage_build, wreckage.fuselage_points, 52, 8.6, 1.75, (1800, 1060), lift=1.70),
    Find("remains-float-port", "2025-03-04", wreckage.float_port, lambda: wreckage.float_points("port", -9999, wreckage.FLOAT_BAR_P, 2000), 66, 7.6, 1.6, (1800, 960), lift=3.0),
    Find("remains-float-starboard", "2024-08-27", wreckage.float_starboard, lambda: wreckage.float_points("starboard", 900, wreckage.FLOAT_BAR_S, 1000), -128, 6.0, 1.75, (1800, 1040), lift=2.57, place="shore"),
    Find("ribs-three", "2025-05-12", fragments.ribs_build, fragments.ribs_points, 80, 2.6, 1.9, (1700, 1150), place="bench"),
    Find("chine-fragment-asfound", "2025-03-18", fragments.chine_build, fragments.chine_points, 84, 1.7, 1.25, (2000, 900), place="bench"),
    Find("rudder-post-operator", "2025-04-02", fragments.post_build, fragments.post_points, 84, 1.5, 1.15, (1800, 1000), place="bench"),
    Find("strut-foot-asfound", "2025-04-09", fragments.foot_build, fragments.foot_points, 62, 0.95, 0.55, (1500, 1200), fill=0.84, place="bench"),
    Find("cowl-port-asfound", "2026-06-02", wreckage.cowl_build, wreckage.cowl_points, 62, 3.2, 1.5, (1600, 1250), place="workshop"),
    Find("fin-frame-asfound", "2025-05-20", fragments.fin_build, fragments.fin_points, 90, 2.7, 2.6, (1500, 1250), place="bench"),
    Find("mockup-strut", "2027-02-09", wreckage.mockup_build, wreckage.mockup_points, 42, 11.5, 1.55, (1800, 1200), fill=0.92, lift=2.0),
)  # fmt: skip


def camera_of(find: Find, pieces: list[Piece]) -> tuple[Camera, Pose]:
    """The camera of a find's photograph."""
    pose = Pose(np.eye(3), np.array([0, 0, find.lift]))
    own = [p for p in pieces if p.component not in ("trestle", "jig", "chock")]
    subject = pose.out(np.concatenate([p.vertices for p in own]))
    mid = (subject.max(axis=0) + subject.min(axis=0)) / 2
    a = math.radians(find.azimuth)
    flat = math.sqrt(max(find.distance**2 - (find.eye - mid[2]) ** 2, 0.05))
    station = np.array([mid[0] - flat * math.cos(a), mid[1] - flat * math.sin(a), find.eye])
    return framed(station, subject, find.size, find.fill, pose, 0.3), pose


def outline_samples(pieces: list[Piece]) -> dict[str, Array]:
    """Points on each component of a find."""
    out = {}
    for name in dict.fromkeys(p.component for p in pieces):
        v = np.concatenate([p.vertices for p in pieces if p.component == name])
        rng = np.random.default_rng(2)
        out[name] = v if len(v) < 3000 else v[rng.choice(len(v), 3000, replace=False)]
    for name in ("trestle", "jig", "chock"):
        out.pop(name, None)
    return out


def print_of(find: Find) -> prints.Print:
    """A modern picture is the whole frame, without border."""
    return prints.Print(find.id + find.suffix, find.id, find.size, border=0, look="colour")


def expose(find: Find, folder: Path, percent: int, samples: int) -> Path:
    """Render a find's photograph to a linear EXR."""
    import rooms
    import stage

    stage.clear()
    finishes = stage.Finishes(None)
    pieces = find.pieces()
    camera, pose = camera_of(find, pieces)
    for p in pieces:
        stage.add(p, finishes, pose)
    rooms.ROOMS[find.place](finishes, find.azimuth - 90, pieces, pose)
    stage.look(camera, pose)
    out = folder / f"{find.id}.exr"
    stage.expose(out, find.size, samples, 1, percent)
    return out
