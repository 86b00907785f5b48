"""The large remains: bent fuselage frame, floats, half cowl; and the card mock-up in its jig."""

from __future__ import annotations

import math

import numpy as np

import body
import dimensions as d
import gear
import nose
from shapes import (
    Array,
    Piece,
    box,
    loft,
    strut,
    tube,
    vec,
)


def scale_bar(name: str, at: Array, along: Array, length: float, step: float, thick: float = 6.0) -> list[Piece]:
    """A bar in black and white divisions, laid from ``at`` in the direction ``along``."""
    along = along / np.linalg.norm(along)
    side = np.cross(vec(0, 0, 1), along)
    out = []
    wide = max(step * 0.35, 12)
    for k in range(round(length / step)):
        a, b = at + along * k * step, at + along * (k + 1) * step
        v = np.array([p + side * s * wide / 2 + vec(0, 0, z) for p in (a, b) for s in (-1, 1) for z in (0, thick)])
        f = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
        out.append(Piece(name, "black" if k % 2 else "white", v, f, smooth=False))
    return out


def bar_points(at: Array, along: Array, length: float, thick: float = 6.0) -> dict[str, Array]:
    along = along / np.linalg.norm(along)
    up = vec(0, 0, thick)
    return {"scale-bar-start": at + up, "scale-bar-end": at + along * length + up}


def dent(v: Array, centre: Array, radius: float, push: Array) -> Array:
    """Push the vertices near a point in."""
    r = np.linalg.norm(v - centre, axis=1) / radius
    return v + np.exp(-r**2)[:, None] * push


def refine(p: Piece) -> Piece:
    """Split every quad in four."""
    verts, faces = list(p.vertices), []
    mid: dict[tuple[int, int], int] = {}

    def half(a: int, b: int) -> int:
        key = (min(a, b), max(a, b))
        if key not in mid:
            mid[key] = len(verts)
            verts.append((p.vertices[a] + p.vertices[b]) / 2)
        return mid[key]

    for f in p.faces:
        if len(f) != 4:
            faces.append(f)
            continue
        a, b, c, e = f
        m = len(verts)
        verts.append(p.vertices[list(f)].mean(axis=0))
        ab, bc, ce, ea = half(a, b), half(b, c), half(c, e), half(e, a)
        faces += [(a, ab, m, ea), (ab, b, bc, m), (m, bc, c, ce), (ea, m, ce, e)]
    return Piece(p.component, p.finish, np.array(verts), faces, None, p.smooth)


FRAME_BEND = 430.0
FRAME_BAR = (vec(900, -900, -1690), vec(1, -0.04, 0))


def frame_sag(p: Array) -> Array:
    t = max(0.0, (p[0] - 3500) / 3800)
    return p + vec(-60 * t * t, 0.4 * FRAME_BEND * t * t, -FRAME_BEND * t * t)


def trestle(x: float, y: float, top: float, foot: float, wide: float = 1100.0, along: str = "y") -> list[Piece]:
    """A sawn timber trestle under a find."""
    out = []
    h = wide / 2
    def at(a: float, b: float, z: float) -> Array:
        return vec(x + b, y + a, z) if along == "y" else vec(x + a, y + b, z)
    lo, hi = at(-h, -45, top - 90), at(h, 45, top)
    out.append(box("trestle", "bench", tuple(np.minimum(lo, hi)), tuple(np.maximum(lo, hi))))
    for a in (-h + 120, h - 120):
        for b in (-1, 1):
            out.append(tube("trestle", "bench", at(a, b * 20, top - 60), at(a, b * 240, foot), 38, 4))
        out.append(tube("trestle", "bench", at(a, -130, (top + foot) / 2), at(a, 130, (top + foot) / 2), 30, 4))
    return out


def fuselage_build() -> list[Piece]:
    out = body.frame(FRAME_BEND)
    fw = [(0, y, z) for y, z in ((-430, -960), (-300, -1000), (280, -1000), (440, -900), (455, -80), (330, 120), (-20, 160), (-330, 100), (-455, -120))]
    plate = np.array(fw, float) + np.column_stack([20 * np.sin(np.arange(9)), np.zeros(9), np.zeros(9)])
    out.append(Piece("firewall", "corroded", plate, [tuple(range(9))], smooth=False))
    seat = loft("seat", "corroded", np.array([[(x, y, -760 + 60 * (abs(y) / 200) ** 2 + 0.4 * max(0, x - 2560)) for y in np.linspace(-200, 200, 9)] for x in np.linspace(2380, 2780, 7)]), False, False)
    out.append(refine(seat))
    for x in (900, 3500, 5900):
        z = (d.longeron_z(x) if x < 5000 else d.longeron_z(x) - FRAME_BEND * ((x - 3500) / 3800) ** 2) - 20
        out += trestle(x, 0, z, -1700, 1300)
    return out + scale_bar("scale-bar", *FRAME_BAR, 2000, 100, 30)


def fuselage_points() -> dict[str, Array]:
    pts = {n: frame_sag(np.array(p)) for n, p in d.named_points().items() if n.startswith("frame-")}
    return pts | bar_points(*FRAME_BAR, 2000, 30)


def float_build(hand: str, keep_from: float, seed: int) -> list[Piece]:
    side = -1.0 if hand == "port" else 1.0
    rng = np.random.default_rng(seed)
    hits = [(rng.uniform(-1200, 5000), rng.choice([-1, 1]), rng.uniform(0.2, 0.9), rng.uniform(160, 420)) for _ in range(26)]
    out = []
    for p in gear.float_unit(hand, side, True):
        v = p.vertices - vec(0, side * d.FLOAT_TRACK / 2, 0)
        p = Piece(p.component, "corroded" if p.finish in ("float", "metal") else "rusty", v, p.faces, None, p.smooth)
        if p.component.startswith("water-rudder"):
            continue
        big = len(p.faces) > 150 and p.finish == "corroded" and len(p.faces[0]) == 4 and len(p.vertices) < 2000
        if big:
            p = refine(p)
        for x, s, u, r in hits:
            c = vec(x, s * d.float_half_beam(min(max(x, -1400), 5300)), d.FLOAT_DECK_Z - 100 - 420 * u)
            p.vertices = dent(p.vertices, c, r, vec(0, -s * r * 0.22, 0))
        for x in (400.0, 1500.0, 3600.0):
            p.vertices = dent(p.vertices, vec(x, 60, d.FLOAT_DECK_Z), 420, vec(0, 0, -70))
        if big:
            p.finish = "holed"
        if keep_from > -2000:
            edge = keep_from + 90 * np.sin(p.vertices[:, 2] / 37) + 60 * np.sin(p.vertices[:, 1] / 61)
            ok = p.vertices[:, 0] > edge
            p.faces = [f for f in p.faces if all(ok[list(f)])]
            if not p.faces:
                continue
        out.append(p)
    for x in np.arange(-900, 5200, 620.0):
        if x < keep_from + 150:
            continue
        b, top = d.float_half_beam(x) * 0.9, d.FLOAT_DECK_Z - 60
        out.append(Piece("bulkhead", "corroded", np.array([(x, -b, d.chine_z(x)), (x, 0, d.keel_z(x) + 20), (x, b, d.chine_z(x)), (x, b * 0.92, top), (x, -b * 0.92, top)]), [(0, 1, 2, 3, 4)], smooth=False))
    return out


FLOAT_BAR_P = (vec(600, -1150, -2988), vec(1, 0.05, 0))
FLOAT_BAR_S = (vec(2300, 900, -2560), vec(1, -0.06, 0))


def float_port() -> list[Piece]:
    out = float_build("port", -9999, 5)
    for x in (300, 2200, 3900):
        out += trestle(x, 0, d.keel_z(x) - 22, -3000 if d.keel_z(x) > -2995 else d.keel_z(x) - 200, 900)
    return out + scale_bar("scale-bar", *FLOAT_BAR_P, 2000, 100, 12)


def float_points(hand: str, keep_from: float, bar: tuple[Array, Array], length: float) -> dict[str, Array]:
    out = {}
    y = (-1 if hand == "port" else 1) * d.FLOAT_TRACK / 2
    for n, p in d.named_points().items():
        if n.startswith((f"float-{hand}", f"float-strut-front-{hand}-foot", f"float-strut-rear-{hand}-foot")) and p[0] > keep_from + 120:
            out[n] = np.array(p) - vec(0, y, 0)
    return out | bar_points(*bar, length, 12)


def float_starboard() -> list[Piece]:
    out = float_build("starboard", 900.0, 12)
    return out + scale_bar("scale-bar", *FLOAT_BAR_S, 1000, 100, 12)


COWL_BAR = (vec(-300, -980, 0), vec(1, 0.3, 0))


def cowl_build() -> list[Piece]:
    """The port half of the ring cowl: hammered, holed and sprung."""
    ring = nose.cowl()[0]
    v = ring.vertices - vec(d.COWL_FRONT_X + d.COWL_CHORD / 2, 0, d.HUB_Z)
    keep = v[:, 1] <= 20
    p = Piece("cowl-half", "corroded", v, [f for f in ring.faces if all(keep[list(f)])])
    p = refine(p)
    rng = np.random.default_rng(6)
    for _ in range(46):
        a, x = rng.uniform(0.05, math.pi - 0.05), rng.uniform(-230, 230)
        c = vec(x, -640 * math.sin(a), 640 * math.cos(a))
        p.vertices = dent(p.vertices, c, rng.uniform(35, 110), -c / 640 * rng.uniform(-6, 22))
    p.vertices = dent(p.vertices, vec(60, -520, 360), 210, vec(20, 70, -60))
    p.finish = "holed"
    spread = 1 + 0.08 * (np.abs(p.vertices[:, 2]) / 650) ** 2
    p.vertices = p.vertices * np.column_stack([np.ones_like(spread), spread, np.ones_like(spread)])
    p.vertices = p.vertices + vec(0, 0, 655)
    for q in (p,):
        q.smooth = True
    props = [box("chock", "bench", (-300, -320, 0), (300, -200, 60))]
    return [p, *props, *scale_bar("scale-bar", *COWL_BAR, 500, 50, 6)]


def cowl_points() -> dict[str, Array]:
    return {"cowl-joint-upper": vec(-100, 0, 655 + 640), "cowl-joint-lower": vec(-100, 0, 15)} | bar_points(*COWL_BAR, 500, 6)


def mockup_build() -> list[Piece]:
    """The bare frame on stands with jigged spars, and a pale card strut tried in place."""
    out = body.frame(0.0)
    for x in (900, 3500, 5900):
        out += trestle(x, 0, d.longeron_z(x) - 20, -2000, 1300)
    for spar in (d.FRONT_SPAR, d.REAR_SPAR):
        lx, ux = d.LOWER_LEADING_EDGE_X + spar * d.LOWER_CHORD, d.UPPER_LEADING_EDGE_X + spar * d.UPPER_CHORD
        out.append(strut("jig-spar", "bench", vec(lx, -430, d.LOWER_WING_Z + 60), vec(lx, -4500, d.LOWER_WING_Z + 60 + d.dihedral_rise(4500) - 15), 44, 100))
        out.append(strut("jig-spar", "bench", vec(ux, 900, d.UPPER_WING_Z + 10), vec(ux, -4500, d.UPPER_WING_Z + 10 + d.dihedral_rise(4500)), 44, 100))
        for s in (-1, 1):
            out.append(tube("jig", "metal", vec(ux, s * 440, 10), vec(ux, s * 380, d.UPPER_WING_Z - 20), 22))
        out.append(tube("jig", "metal", vec(ux - 60, -4350, -2000), vec(ux - 60, -4350, d.UPPER_WING_Z + 150), 26))
        out.append(tube("jig", "metal", vec(lx, -4300, -2000), vec(lx, -4300, d.LOWER_WING_Z + 170), 24))
    foot, head = (np.array(p) for p in d.interplane_pins(d.FRONT_SPAR, -1))
    out.append(strut("card-strut", "card", foot, head, d.STRUT_CHORD, d.STRUT_THICKNESS))
    for p in (foot, head):
        out.append(box("card-strut", "card", tuple(p - vec(40, 24, 20)), tuple(p + vec(40, 24, 20))))
    return out + scale_bar("scale-bar", vec(100, -3300, -1995), vec(1, 0.1, 0), 1000, 100, 12)


def mockup_points() -> dict[str, Array]:
    pts = {n: np.array(p) for n, p in d.named_points().items() if n.startswith("frame-")}
    foot, head = d.interplane_pins(d.FRONT_SPAR, -1)
    return pts | {"strut-front-port-foot": np.array(foot), "strut-front-port-head": np.array(head)} | bar_points(vec(100, -3300, -1995), vec(1, 0.1, 0), 1000, 12)
