"""From a negative's entry to its camera, its pieces and its rendered exposure."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from camera import Camera, Pose, framed, pose_for
from dimensions import BOATHOOK_BAND_PITCH, BOATHOOK_LENGTH, FLOAT_DECK_Z, FLOAT_TRACK
from model import build
from negatives import Negative
from shapes import Piece, tube, vec

SMALL = ("rigging",)
BAYS = {
    "front-float-bay": ((-250, -1750, -2050), (1150, -350, -900)),
    "float-tail-bay": ((4300, -1850, -2750), (8150, -500, 1130)),
    "port-bay": ((-1300, -6100, -2700), (3000, 300, 860)),
}


def pieces_of(neg: Negative) -> list[Piece]:
    """The aeroplane's pieces and any props, in aeroplane axes."""
    pieces = build(neg.state)
    if neg.scheme == "1935":
        swap = {"cowl": "cowl-dark", "rudder": "dope", "fin": "dope", "blue": "dope"}
        for p in pieces:
            p.finish = swap.get(p.finish, p.finish)
    if "boathook" in neg.props:
        pieces += boathook()
    return pieces


def boathook_ends() -> tuple[np.ndarray, np.ndarray]:
    """Butt and tip of the boathook that leans on the near edge of the port float."""
    a = vec(-420, -FLOAT_TRACK / 2 - 760, FLOAT_DECK_Z - 900)
    axis = vec(0.62, 0.10, 0.78)
    return a, a + axis / np.linalg.norm(axis) * BOATHOOK_LENGTH


def boathook_points() -> dict[str, tuple[float, ...]]:
    """Ends of the boathook and its painted bands, counted from the tip."""
    a, b = boathook_ends()
    back = (a - b) / BOATHOOK_LENGTH
    out = {"boathook-butt": tuple(a), "boathook-tip": tuple(b)}
    for k in (1, 2, 3):
        out[f"boathook-band-{k}"] = tuple(b + back * k * BOATHOOK_BAND_PITCH)
    return out


def boathook() -> list[Piece]:
    """The boathook: pole, iron and three white bands at an even pitch."""
    a, b = boathook_ends()
    tip = b - (b - a) * 0.06
    side = vec(60, 0, -30)
    back = (a - b) / BOATHOOK_LENGTH
    bands = [b + back * k * BOATHOOK_BAND_PITCH for k in (1, 2, 3)]
    rings = [tube("boathook", "white", p - back * 14, p + back * 14, 20.5, 14) for p in bands]
    return [*rings, tube("boathook", "old-timber", a, tip, 19, 12), tube("boathook", "steel", tip, b, 13, 10),
            tube("boathook", "steel", tip, tip + side + (b - tip) * 0.5, 10, 8)]


def subject_points(neg: Negative, pieces: list[Piece]) -> np.ndarray:
    """What must be in the frame, in aeroplane mm."""
    for name in neg.subject:
        if name in BAYS:
            (x0, y0, z0), (x1, y1, z1) = BAYS[name]
            return np.array([(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)], float)
    chosen = [p for p in pieces if not neg.subject or p.component.startswith(neg.subject)]
    return np.concatenate([p.vertices for p in chosen])


def camera_of(neg: Negative, pieces: list[Piece]) -> tuple[Camera, Pose]:
    """The camera (aeroplane axes) and how the aeroplane stands."""
    pose = pose_for(neg.state, neg.lift)
    subject = pose.out(subject_points(neg, pieces))
    middle = (subject.max(axis=0) + subject.min(axis=0)) / 2
    a = math.radians(neg.azimuth)
    flat = math.sqrt(max(neg.distance**2 - (neg.eye - middle[2]) ** 2, 1.0))
    station = np.array([middle[0] - flat * math.cos(a), middle[1] - flat * math.sin(a), neg.eye])
    camera = framed(station, subject, neg.size, neg.fill, pose, neg.roll, neg.shift, neg.level, neg.nudge)
    return camera, pose


def expose(neg: Negative, folder: Path, paint: Path, percent: int, samples: int) -> Path:
    """Render one negative's scene to a linear EXR in ``folder``."""
    import places
    import stage

    stage.clear()
    finishes = stage.Finishes(paint)
    pieces = pieces_of(neg)
    camera, pose = camera_of(neg, pieces)
    for p in pieces:
        stage.add(p, finishes, pose)
    turn = (neg.azimuth if neg.turn is None else neg.turn) - 90
    site = places.Site(finishes, turn, neg.place_seed)
    places.PLACES[neg.place](site, neg.lift)
    # The sun's azimuth is counted from straight behind the camera.
    behind = (neg.azimuth if neg.turn is None else neg.turn) + 180
    stage.sun(behind + neg.sun[0], neg.sun[1], 3.4)
    stage.look(camera, pose, neg.distance, neg.stop / 2)
    out = folder / f"{neg.id}.exr"
    stage.expose(out, neg.size, samples, 1, percent)
    return out
