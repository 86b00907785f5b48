"""Engine, ring cowl and propeller."""

from __future__ import annotations

import math

import numpy as np

import dimensions as d
from shapes import (
    Piece,
    bent_tube,
    lathe,
    loft,
    smooth_path,
    strut,
    tube,
    vec,
)


def engine() -> list[Piece]:
    """Seven-cylinder air-cooled radial with push rods and exhaust stubs."""
    c = vec(0, 0, d.HUB_Z)
    case = [(-1130, 60), (-1110, 130), (-1010, 165), (-960, 235), (-700, 250), (-600, 190), (-430, 180)]
    pieces = [lathe("engine", "engine", case, c, sides=42)]
    for k in range(d.CYLINDER_COUNT):
        a = 2 * math.pi * k / d.CYLINDER_COUNT
        out = vec(0, math.sin(a), math.cos(a))
        across = vec(0, math.cos(a), -math.sin(a))
        profile = [(225, 70)]
        r = 250.0
        while r < d.CYLINDER_HEAD_RADIUS - 60:
            big = 88 if r < 420 else 104
            profile += [(r, 66), (r + 2, big), (r + 6, big), (r + 8, 66)]
            r += 17
        profile += [(r, 70), (r + 30, 60), (r + 50, 0.1)]
        barrel = lathe("engine", "cylinder", profile, vec(0, 0, 0), "z", 24, smooth=False)
        turn = np.stack([vec(1, 0, 0), across, out], 1)
        barrel.vertices = barrel.vertices @ turn.T + c + vec(-840, 0, 0)
        pieces.append(barrel)
        for side in (-1, 1):
            foot = c + vec(-975, 0, 0) + out * 225 + across * 34 * side
            top = c + vec(-905, 0, 0) + out * (d.CYLINDER_HEAD_RADIUS - 40) + across * 66 * side
            pieces.append(tube("engine", "metal", foot, top, 11, 8))
            lo = c + vec(-930, 0, 0) + out * (d.CYLINDER_HEAD_RADIUS - 62) + across * 62 * side
            pieces.append(tube("engine", "engine", lo, lo + vec(150, 0, 0) + out * 18, 34, 10))
        stub = [c + vec(-780, 0, 0) + out * 500 + across * 40, c + vec(-640, 0, 0) + out * 520 + across * 60, c + vec(-560, 0, 0) + out * 430 + across * 60]
        pieces.append(bent_tube("engine", "rusty", smooth_path([tuple(p) for p in stub]), 34, 10))
    t = np.linspace(0, 2 * math.pi, 60, endpoint=False)
    ring = np.column_stack([np.full(60, -555.0), 430 * np.sin(t), d.HUB_Z + 430 * np.cos(t)])
    pieces.append(bent_tube("engine", "rusty", ring, 46, 12, closed=True))
    return pieces


def cowl() -> list[Piece]:
    """The ring cowl: an aerofoil section turned about the engine axis, with its rivet bands."""
    outer, n = d.COWL_DIAMETER / 2, 26
    t = np.linspace(0, 2 * math.pi, n, endpoint=False)
    profile = []
    for a in t:
        x = 0.5 - 0.5 * math.cos(a)
        depth = 46 * math.sin(a) * (1 - 0.55 * x) * (1.0 if math.sin(a) > 0 else 0.75)
        camber = 26 * math.sin(math.pi * min(1, x * 1.15) ** 0.7)
        profile.append((d.COWL_FRONT_X + x * d.COWL_CHORD, outer - 46 + depth + camber * 0.6 - 34 * x))
    pieces = [lathe("cowl", "cowl", profile, vec(0, 0, d.HUB_Z), sides=96, closed=True)]
    for x, r in ((-980.0, outer + 9), (-700.0, outer - 22), (-590.0, outer - 45)):
        c = np.linspace(0, 2 * math.pi, 120)
        for k in range(0, 119, 1):
            a = (c[k] + c[k + 1]) / 2
            out = vec(0, math.sin(a), math.cos(a))
            p = vec(x, 0, d.HUB_Z) + out * (r - 4)
            pieces.append(tube("cowl", "cowl", p, p + out * 6, 6, 6))
    for a in (0.45, math.pi - 0.45, math.pi + 0.45, -0.45):
        out = vec(0, math.sin(a), math.cos(a))
        pieces.append(strut("cowl", "steel", vec(-720, 0, d.HUB_Z) + out * 560, vec(-620, 0, d.HUB_Z) + out * 480, 30, 16))
    return pieces


def propeller(angle_deg: float = 28.0) -> list[Piece]:
    """A two-bladed wooden propeller, right-handed, at rest."""
    pieces = []
    for turn in (0.0, 180.0):
        a = math.radians(angle_deg + turn)
        radial, tangent = vec(0, math.sin(a), math.cos(a)), vec(0, math.cos(a), -math.sin(a))
        rings = []
        for r in np.linspace(60, d.PROPELLER_DIAMETER / 2, 22):
            u = r / (d.PROPELLER_DIAMETER / 2)
            chord = float(np.interp(u, [0, 0.12, 0.45, 0.8, 0.95, 1], [120, 125, 225, 180, 120, 20]))
            thick = float(np.interp(u, [0, 0.12, 0.5, 1], [120, 105, 38, 8]))
            pitch = math.atan2(1750, 2 * math.pi * r) if r > 150 else math.atan2(1750, 942)
            along = math.cos(pitch) * tangent + math.sin(pitch) * vec(1, 0, 0)
            through = np.cross(along, radial)
            t = np.linspace(0, 2 * math.pi, 18, endpoint=False)
            rings.append(vec(d.HUB_X + 60, 0, d.HUB_Z) + radial * r
                         + np.cos(t)[:, None] * along * chord / 2 + np.sin(t)[:, None] * through * thick / 2)
        pieces.append(loft("propeller", "timber", np.stack(rings)))
    hub = [(d.HUB_X, 0.1), (d.HUB_X, 40), (d.HUB_X + 12, 105), (d.HUB_X + 24, 110), (d.HUB_X + 24, 70), (d.HUB_X + 140, 70)]
    pieces.append(lathe("propeller", "steel", hub, vec(0, 0, d.HUB_Z), sides=32))
    for k in range(8):
        a = k * math.pi / 4
        p = vec(d.HUB_X + 10, 82 * math.sin(a), d.HUB_Z + 82 * math.cos(a))
        pieces.append(tube("propeller", "steel", p, p + vec(-16, 0, 0), 10, 6))
    return pieces
