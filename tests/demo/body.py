"""The fuselage: skin, cockpits, hatch, one-sided fittings; and its bare tube frame."""

from __future__ import annotations

import math

import numpy as np

import dimensions as d
from dimensions import (
    belly_z,
    half_width,
    longeron_z,
)
from shapes import (
    Array,
    Piece,
    bent_tube,
    box,
    lathe,
    loft,
    rivets,
    smooth_path,
    tube,
    vec,
)

SKIN_X = (-420.0, 7400.0)
SKIN_Z = (-1080.0, 260.0)


def deck_crown(x: float) -> float:
    """Height of the decking over the upper longerons."""
    return float(np.interp(x, [0, 900, 1900, 3000, 5000, 7300], [120, 185, 215, 190, 120, 70]))


def half_ring(x: float) -> Array:
    """One side of the fuselage section at ``x``: (31, 2) of y >= 0 and z, crown to belly."""
    xs = max(x, 0.0)
    w, zb, crown = half_width(xs), longeron_z(xs), deck_crown(xs)
    a = np.linspace(math.pi / 2, 0, 13)
    deck = np.stack([w * np.cos(a), crown * np.sin(a)], 1)
    s = np.linspace(0, 1, 12)[1:]
    side = np.stack([w * (1 - 0.04 * s) + 10 * np.sin(math.pi * s), (zb + 40) * s], 1)
    b = np.linspace(0, math.pi / 2, 4)[1:]
    corner = np.stack([w * 0.96 - 40 + 40 * np.cos(b), zb + 40 - 40 * np.sin(b)], 1)
    k = np.linspace(1, 0, 5)[1:]
    floor = np.stack([(w * 0.96 - 40) * k, zb - 30 * (1 - k**2)], 1)
    ring = np.concatenate([deck, side, corner, floor])
    if x < 0:
        run = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(ring, axis=0), axis=1))])
        t = math.pi * run / run[-1]
        radius = 525 - 45 * min(1, -x / 420) ** 2
        circle = np.stack([radius * np.sin(t), d.HUB_Z + radius * np.cos(t)], 1)
        u = min(1.0, -x / 330)
        u = u * u * (3 - 2 * u)
        ring = ring * (1 - u) + circle * u
    return ring


def fuselage() -> list[Piece]:
    """Skin with cockpit openings, coamings, screens, hatch and small one-sided fittings."""
    xs = np.unique(np.concatenate([
        np.linspace(-420, 0, 12), np.arange(0, 3200, 40.0), np.arange(3200, d.STERNPOST_X, 110.0),
        [d.STERNPOST_X]]))  # fmt: skip
    rings, uv = [], []
    for x in xs:
        h = half_ring(float(x))
        port = np.stack([-h[:, 0], h[:, 1]], 1)[::-1]
        whole = np.concatenate([port, h[1:]])
        rings.append(np.column_stack([np.full(len(whole), x), whole]))
        u = (x - SKIN_X[0]) / (SKIN_X[1] - SKIN_X[0])
        v = np.clip((whole[:, 1] - SKIN_Z[0]) / (SKIN_Z[1] - SKIN_Z[0]), 0, 1) / 2
        m = len(h)
        v[m:] = 1 - v[m:]
        v[m - 1] = 0.5
        uv.append(np.column_stack([np.full(len(v), u), v]))
    skin = loft("fuselage", "skin", np.stack(rings), caps=False, wrap=False, uv=np.concatenate(uv))
    keep = []
    for f in skin.faces:
        c = skin.vertices[list(f)].mean(axis=0)
        if c[2] > 20 and any(in_cockpit(c, x0) for x0 in (d.COCKPIT_FRONT_X, d.COCKPIT_REAR_X)):
            continue
        keep.append(f)
    skin.faces = keep
    pieces = [skin]
    end = half_ring(d.STERNPOST_X)
    ring = np.concatenate([end, np.stack([-end[:, 0], end[:, 1]], 1)[::-1]])
    cap = np.column_stack([np.full(len(ring), d.STERNPOST_X), ring])
    pieces.append(Piece("fuselage", "blue", cap, [tuple(range(len(cap)))], smooth=False))
    pieces.append(lathe("fuselage", "dark", [(-425, 0.1), (-425, 485)], vec(0, 0, d.HUB_Z)))
    for which, x0 in (("front", d.COCKPIT_FRONT_X), ("rear", d.COCKPIT_REAR_X)):
        pieces += cockpit(which, x0)
    x0, half, wide = d.HATCH_X, d.HATCH_LENGTH / 2, d.HATCH_WIDTH / 2
    z = belly_z(x0)
    pieces.append(box("camera-hatch", "bare", (x0 - half, -wide, z - 24), (x0 + half, wide, z + 25)))
    for o in (-1, 1):
        for lo, hi in (((x0 - half, o * wide - 12, z - 34), (x0 + half, o * wide + 12, z - 20)),
                       ((x0 + o * half - 12, -wide, z - 34), (x0 + o * half + 12, wide, z - 20))):
            pieces.append(box("camera-hatch", "metal", lo, hi))
    pieces.append(lathe("camera-hatch", "metal", [(z - 40, 112), (z - 22, 132), (z + 10, 132)],
                        vec(x0, 0, 0), "z"))
    pieces.append(lathe("camera-hatch", "lens", [(z - 43, 0.1), (z - 43, 92), (z - 30, 100)],
                        vec(x0, 0, 0), "z"))
    for o in (-1, 1):
        path = np.array([(x, o * (wide - 22), z - 25) for x in np.linspace(x0 - half, x0 + half, 9)])
        pieces.append(rivets("camera-hatch", "metal", path, vec(0, 0, -1), 40, 6))
    # One-sided fittings: they give away a print that was turned over.
    path = [(-520, 330, -760), (-380, 520, -800), (-100, 560, -800), (700, 545, -800), (1150, 560, -830)]
    pieces.append(bent_tube("exhaust", "rusty", smooth_path(path), 52, 14))
    y = -half_width(2050) - 4
    for dz in (-500, -820):
        pieces.append(box("boarding-step", "metal", (2010, y - 90, dz), (2150, y + 20, dz + 22)))
    pieces.append(tube("venturi", "metal", vec(760, -530, -120), vec(1010, -530, -120), 34, 14))
    return pieces


def in_cockpit(c: Array, x0: float) -> bool:
    """Whether a decking point lies within the opening centred on ``x0``."""
    return ((c[0] - x0) / (d.COCKPIT_LENGTH / 2)) ** 2 + (c[1] / (d.COCKPIT_WIDTH / 2)) ** 2 < 1


def deck_height(x: float, y: float) -> float:
    """Height of the decking at ``x``, ``y``."""
    w = half_width(x)
    return deck_crown(x) * math.sqrt(max(0.0, 1 - (y / w) ** 2))


def cockpit(which: str, x0: float) -> list[Piece]:
    """Leather-bound coaming, windscreen and seat of one cockpit."""
    name = f"cockpit-{which}"
    t = np.linspace(0, 2 * math.pi, 64, endpoint=False)
    edge = []
    for a in t:
        x, y = x0 + d.COCKPIT_LENGTH / 2 * math.cos(a), d.COCKPIT_WIDTH / 2 * math.sin(a)
        edge.append((x, y, deck_height(x, y) + 12))
    pieces = [bent_tube(name, "leather", np.array(edge), 38, 12, closed=True)]
    lacing = np.array(edge[::2])
    pieces.append(rivets(name, "bare", lacing + vec(0, 0, 30), vec(0, 0, 1), 60, 7))
    pieces.append(box(name, "leather", (x0 + 130, -220, -640), (x0 + 200, 220, 60)))
    pieces.append(box(name, "leather", (x0 - 260, -210, -600), (x0 + 180, 210, -520)))
    pieces.append(box(name, "panel", (x0 - 310, -330, -300), (x0 - 290, 330, 40)))
    for k, (dy, dz) in enumerate([(-190, -60), (-65, -40), (65, -40), (190, -60), (0, -180)]):
        pieces.append(lathe(name, "dial" if k % 2 else "bare",
                            [(x0 - 289, 48), (x0 - 278, 50), (x0 - 278, 40), (x0 - 284, 0.1)],
                            vec(0, dy, dz), sides=24))
    pieces.append(tube(name, "metal", vec(x0 - 100, 0, -560), vec(x0 - 120, 0, -180), 14))
    front = x0 - d.COCKPIT_LENGTH / 2 - 30
    screen = f"windscreen-{which}"
    corners = []
    for y, dx in ((-260, 150), (-120, 0), (120, 0), (260, 150)):
        z = deck_height(front + dx, y) + 8
        rise = 250 if abs(y) < 200 else 190
        corners.append((vec(front + dx, y, z), vec(front + dx + 95, y * 0.86, z + rise)))
    for (a0, a1), (b0, b1) in zip(corners, corners[1:], strict=False):
        pieces.append(Piece(screen, "glass", np.stack([a0, b0, b1, a1]), [(0, 1, 2, 3)], smooth=False))
        for p, q in ((a0, b0), (a1, b1), (a0, a1), (b0, b1)):
            pieces.append(tube(screen, "metal", p, q, 9, 8))
    return pieces


def frame(bend: float = 0.0) -> list[Piece]:
    """The bare welded tube frame of the fuselage, as raised; ``bend`` droops the tail in mm."""
    def sag(p: Array) -> Array:
        t = max(0.0, (p[0] - 3500) / 3800)
        return p + vec(-60 * t * t, 0.4 * bend * t * t, -bend * t * t)

    pieces = []
    st = d.FRAME_STATIONS
    corner = lambda x, s, low: sag(vec(x, s * half_width(x) * (0.96 if low else 1), longeron_z(x) if low else 0))  # noqa: E731
    r = d.LONGERON_TUBE / 2
    for s in (-1.0, 1.0):
        for low in (False, True):
            run = np.array([corner(x, s, low) for x in np.linspace(st[0], st[-1], 60)])
            pieces.append(bent_tube("frame", "rusted-tube", run, r, 10))
        for k, (a, b) in enumerate(zip(st, st[1:], strict=False)):
            pieces.append(tube("frame", "rusted-tube", corner(a, s, True), corner(a, s, False), r * 0.8))
            flip = k % 2 == 0
            pieces.append(tube("frame", "rusted-tube", corner(a, s, flip), corner(b, s, not flip), r * 0.7))
        pieces.append(tube("frame", "rusted-tube", corner(st[-1], s, True), corner(st[-1], s, False), r * 0.8))
    for k, x in enumerate(st):
        for low in (False, True):
            pieces.append(tube("frame", "rusted-tube", corner(x, -1, low), corner(x, 1, low), r * 0.7))
        if k + 1 < len(st) and k not in (1, 2):
            pieces.append(tube("frame", "rusted-tube", corner(x, -1, False), corner(st[k + 1], 1, False), r * 0.55))
            pieces.append(tube("frame", "rusted-tube", corner(x, 1, True), corner(st[k + 1], -1, True), r * 0.55))
        for s in (-1.0, 1.0):
            for low in (False, True):
                p = corner(x, s, low)
                pieces.append(box("frame", "rusted-tube", p - vec(36, 4, 36), p + vec(36, 4, 36)))
    return pieces
