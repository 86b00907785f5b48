"""Floats with their struts and water rudders, and the wheels of the works trials."""

from __future__ import annotations

import math

import numpy as np

import dimensions as d
from dimensions import (
    chine_z,
    float_half_beam,
    half_width,
    keel_z,
    longeron_z,
)
from shapes import (
    HANDS,
    Array,
    Piece,
    bent_tube,
    box,
    lathe,
    loft,
    rivets,
    rounded,
    slab,
    smooth_path,
    strut,
    tube,
    vec,
    wire,
)


def float_unit(hand: str, s: float, long_post: bool) -> list[Piece]:
    """One metal float with chine angles, rivets, seams, deck fittings, post and water rudder."""
    name, y0, deck = f"float-{hand}", s * d.FLOAT_TRACK / 2, d.FLOAT_DECK_Z
    bow, stern = d.FLOAT_BOW_X, d.FLOAT_STERN_X
    xs = np.unique(np.concatenate([
        bow + 1500 * np.linspace(0, 1, 26) ** 1.6, np.linspace(0, stern, 44),
        [d.FLOAT_STEP_X - 0.5, d.FLOAT_STEP_X + 0.5]]))  # fmt: skip

    def section(x: float) -> dict[str, Array]:
        b = float_half_beam(x)
        kz, cz = min(keel_z(x), chine_z(x) - 8), chine_z(x)
        top = deck - 60 + (-90.0 * max(0, 1 - (x - bow) / 900) ** 2)
        top = max(top, cz + 12)
        deck_b = b * 0.93
        k = np.linspace(0, 1, 6)
        bottom = np.column_stack([np.full(6, x), k * b, kz + (cz - kz) * k - 22 * np.sin(math.pi * k)])
        side = np.column_stack([np.full(4, x), b + (deck_b - b) * k[:6:2][[0, 1, 2, 2]], np.linspace(cz, top, 4)])
        side[:, 1] = np.linspace(b, deck_b, 4)
        q = np.linspace(-1, 1, 11)
        cap = np.column_stack([np.full(11, x), deck_b * q, top + 75 * (1 - np.abs(q) ** 2.4)])
        return {"bottom": bottom, "side": side, "deck": cap}

    cut = [section(float(x)) for x in xs]
    pieces = []
    for m in (-1.0, 1.0):
        for key in ("bottom", "side"):
            rings = np.stack([c[key] for c in cut]) * vec(1, m, 1) + vec(0, y0, 0)
            pieces.append(loft(name, "float", rings, False, False))
    pieces.append(loft(name, "float", np.stack([c["deck"] for c in cut]) + vec(0, y0, 0), False, False))
    for x in (bow, stern):
        c = section(x)
        right = np.concatenate([c["bottom"], c["side"]])
        left = right * vec(1, -1, 1)
        ring = np.concatenate([right, left[::-1]]) + vec(0, y0, 0)
        pieces.append(Piece(name, "float", ring, [tuple(range(len(ring)))], smooth=False))
    for x in np.arange(-900, stern - 200, 620.0):
        c = section(float(x))
        right = np.concatenate([c["bottom"], c["side"], c["deck"][::-1][:6]])
        for m in (-1.0, 1.0):
            pieces.append(bent_tube(name, "float", right * vec(1, m, 1) + vec(0, y0, 0), 5, 6))
    run = np.linspace(bow + 260, stern - 80, 90)
    for m in (-1.0, 1.0):
        edge = np.array([(x, y0 + m * float_half_beam(x), chine_z(x)) for x in run])
        pieces.append(bent_tube(name, "metal", edge, 13, 6))
        for dz in (26, 52):
            lean = np.array([(x, y0 + m * (float_half_beam(x) - dz * 0.075), chine_z(x) + dz) for x in run])
            pieces.append(rivets(name, "metal", lean, vec(0, m, 0.1), d.CHINE_RIVET_PITCH))
    keel = np.array([(x, y0, keel_z(x) - 8) for x in np.linspace(bow + 120, d.FLOAT_STEP_X - 2, 50)])
    pieces.append(bent_tube(name, "metal", keel, 16, 6))
    for x in (-950, 900, 1900, 3300, 4300):
        pieces.append(lathe(name, "metal", [(deck + 10, 150), (deck + 26, 150), (deck + 30, 120), (deck + 30, 0.1)], vec(x, y0, 0), "z", 28))
    for x in (-1180, 3900):
        pieces.append(tube(name, "steel", vec(x, y0, deck), vec(x, y0, deck + 110), 22))
        pieces.append(tube(name, "steel", vec(x, y0 - 90, deck + 80), vec(x, y0 + 90, deck + 80), 15))
    post = d.WATER_RUDDER_POST_OPERATOR if long_post else d.WATER_RUDDER_POST_WORKS
    x, top = stern + 40, deck + 90
    wr = f"water-rudder-{hand}"
    pieces.append(tube(wr, "steel", vec(x, y0, top), vec(x, y0, top - post), 21, 14))
    foot = top - post
    pieces.append(slab(wr, "water-rudder", rounded([
        (x + 5, y0, foot + 400), (x + 250, y0, foot + 400), (x + d.WATER_RUDDER_CHORD, y0, foot + 250),
        (x + d.WATER_RUDDER_CHORD - 30, y0, foot - 60), (x + 150, y0, foot - 130), (x - 20, y0, foot - 40)]), vec(0, 1, 0), 26))
    for z in (top - 90, top - 300):
        pieces.append(box(wr, "steel", (stern - 40, y0 - 36, z - 25), (x + 26, y0 + 36, z + 25)))
    if long_post:
        z = top - d.WATER_RUDDER_POST_WORKS + 120
        pieces.append(lathe(wr, "rusty", [(z - 120, 29), (z + 120, 29)], vec(x, y0, 0), "z", 16))
        for dz in (-80, 80):
            pieces.append(tube(wr, "steel", vec(x, y0 - 44, z + dz), vec(x, y0 + 44, z + dz), 8))
    pieces.append(tube(wr, "steel", vec(x, y0 - 150, top - 10), vec(x, y0 + 150, top - 10), 12))
    return pieces


def float_struts(hand: str, s: float) -> list[Piece]:
    """The inclined members between fuselage and one float."""
    name, y = f"float-struts-{hand}", s * d.FLOAT_TRACK / 2
    pieces = []
    ends = []
    for x in (d.SPREADER_X_FRONT, d.SPREADER_X_REAR):
        head = vec(x, s * half_width(x) * 0.96, longeron_z(x))
        foot = vec(x, y, d.FLOAT_DECK_Z + 30)
        ends.append((head, foot))
        pieces.append(strut(name, "strut", head, foot, d.FLOAT_STRUT_CHORD, 44))
        pieces.append(box(name, "steel", foot - vec(80, 55, 30), foot + vec(80, 55, 18)))
        for k in (-1, 1):
            pieces.append(tube(name, "steel", foot + vec(k * 52, 30, 14), foot + vec(k * 52, 30, 34), 11, 6))
            pieces.append(tube(name, "steel", foot + vec(k * 52, -30, 14), foot + vec(k * 52, -30, 34), 11, 6))
    pieces.append(strut(name, "strut", ends[0][0] + vec(60, 0, 0), ends[1][1] - vec(120, 0, 0), 96, 40))
    wing_head = vec(d.LOWER_LEADING_EDGE_X + 0.14 * d.LOWER_CHORD, s * 1500, d.LOWER_WING_Z + 20)
    pieces.append(wire(ends[0][1] + vec(0, 0, 30), wing_head))
    return pieces


def spreaders() -> list[Piece]:
    """The two bars that hold the floats apart, and their crossed wires."""
    pieces = []
    y, z = d.FLOAT_TRACK / 2, d.FLOAT_DECK_Z + 20
    for x in (d.SPREADER_X_FRONT, d.SPREADER_X_REAR):
        pieces.append(strut("spreader", "strut", vec(x, -y, z), vec(x, y, z), 84, 42))
        top = longeron_z(x)
        for s in (-1, 1):
            pieces.append(wire(vec(x, s * y, z + 20), vec(x, -s * half_width(x) * 0.9, top)))
    for s in (-1, 1):
        pieces.append(wire(vec(d.SPREADER_X_FRONT, s * y, z), vec(d.SPREADER_X_REAR, -s * y, z)))
    return pieces


def wheels() -> list[Piece]:
    """The split-axle wheeled gear of the works trials, and the tail skid."""
    pieces = []
    for hand, s in HANDS:
        name = f"wheel-{hand}"
        hub = vec(d.AXLE_X, s * (d.WHEEL_TRACK / 2), d.AXLE_Z)
        r, w = d.WHEEL_DIAMETER / 2, 80
        t = np.linspace(0, 2 * math.pi, 24, endpoint=False)
        tyre = [(hub[1] + w * math.cos(a), r - 70 + 70 * math.sin(a)) for a in t]
        pieces.append(lathe(name, "rubber", tyre, vec(hub[0], 0, hub[2]), "y", 48, closed=True))
        disc = [(hub[1] - 75, 40), (hub[1] - 40, r - 90), (hub[1] + 40, r - 90), (hub[1] + 75, 40)]
        pieces.append(lathe(name, "blue", disc, vec(hub[0], 0, hub[2]), "y", 40))
        end = hub - vec(0, s * 60, 0)
        for x, z in ((40, -960), (1050, -990)):
            pieces.append(strut("undercarriage", "strut", vec(x, s * 430, z), end, 78, 36))
        pieces.append(strut("undercarriage", "strut", vec(420, 0, -1060), end, 66, 36))
        pieces.append(wire(vec(40, s * 430, -960), vec(d.AXLE_X, -s * 850, d.AXLE_Z)))
    skid = smooth_path([(6900, 0, -420), (7050, 0, -640), (7350, 0, -760), (7520, 0, -740)])
    return [*pieces, bent_tube("tail-skid", "timber", skid, 30, 10),
            strut("tail-skid", "strut", vec(7150, 0, -430), vec(7120, 0, -680), 50, 30)]
