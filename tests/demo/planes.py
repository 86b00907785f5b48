"""Wings, struts, rigging wires, and the tail surfaces."""

from __future__ import annotations

import math

import numpy as np

import dimensions as d
from dimensions import (
    dihedral_rise,
    interplane_pins,
)
from shapes import (
    HANDS,
    Piece,
    airfoil,
    box,
    loft,
    rounded,
    slab,
    strut,
    tube,
    vec,
    wire,
)


def wing(name: str, span: float, chord: float, edge: float, z0: float) -> list[Piece]:
    """One fabric-covered wing, tip to tip, drawn in over its ribs; top and underside apart."""
    half = span / 2
    inner = np.arange(-half + 900, half - 899, d.RIB_PITCH / 8)
    tip = half - 900 * (1 - np.sin(np.linspace(0, math.pi / 2, 16)))[::1]
    ys = np.unique(np.round(np.concatenate([-tip, inner, tip]), 3))
    n = 16
    section = airfoil(n)
    rings, uv = [], []
    for y in ys:
        t = max(0.0, (abs(y) - (half - 900)) / 900)
        s = max(0.02, math.sqrt(max(0.0, 1 - t**2.3)))
        sag = abs(math.sin(math.pi * y / d.RIB_PITCH)) ** 0.8
        nose = abs(math.sin(2 * math.pi * y / d.RIB_PITCH)) ** 0.8
        c, h = section[:, 0], section[:, 1].copy() * chord
        pull = 9 * sag * np.sin(math.pi * np.clip(c, 0, 1)) ** 0.6 + 3 * nose * (c < 0.3)
        h[:n] -= pull[:n] * (c[:n] > 0.02)
        h[n:] += 0.6 * pull[n:]
        x = edge + chord * (0.45 + (c - 0.45) * s) - 16 * sag * (c > 0.97)
        rings.append(np.column_stack([x, np.full(2 * n - 1, y), z0 + dihedral_rise(y) + h * s]))
        uv.append(np.column_stack([np.full(2 * n - 1, (y + half) / span), 1 - (x - edge) / chord]))
    r, w = np.stack(rings), np.stack(uv)
    return [
        loft(name, f"{name}-top", r[:, :n], False, False, w[:, :n].reshape(-1, 2)),
        loft(name, f"{name}-under", r[:, n - 1:], False, False, w[:, n - 1:].reshape(-1, 2)),
    ]


def wings() -> list[Piece]:
    """Both wings."""
    return wing("wing-upper", d.UPPER_SPAN, d.UPPER_CHORD, d.UPPER_LEADING_EDGE_X, d.UPPER_WING_Z) + wing(
        "wing-lower", d.LOWER_SPAN, d.LOWER_CHORD, d.LOWER_LEADING_EDGE_X, d.LOWER_WING_Z)


def struts() -> list[Piece]:
    """Interplane and cabane struts with their end fittings, and all rigging wires."""
    pieces = []
    for hand, s in HANDS:
        name = f"strut-interplane-{hand}"
        pins = {}
        for row, spar in (("front", d.FRONT_SPAR), ("rear", d.REAR_SPAR)):
            foot, head = (np.array(p) for p in interplane_pins(spar, s))
            pins[row] = (foot, head)
            pieces.append(strut(name, "strut", foot, head, d.STRUT_CHORD, d.STRUT_THICKNESS))
            for p in (foot, head):
                pieces.append(box(name, "steel", p - vec(40, 26, 24), p + vec(40, 26, 24)))
                pieces.append(tube(name, "steel", p - vec(0, 34, 0), p + vec(0, 34, 0), 9, 8))
        pieces.append(wire(pins["front"][0], pins["rear"][1]))
        pieces.append(wire(pins["rear"][0], pins["front"][1]))
        for row, spar in (("front", d.FRONT_SPAR), ("rear", d.REAR_SPAR)):
            foot, head = pins[row]
            root = vec(d.LOWER_LEADING_EDGE_X + spar * d.LOWER_CHORD, s * 480, d.LOWER_WING_Z + 60)
            top = vec(d.UPPER_LEADING_EDGE_X + spar * d.UPPER_CHORD, s * 380, d.UPPER_WING_Z - 20)
            for o in (-28, 28):
                pieces.append(wire(root + vec(o, 0, 0), head + vec(o, 0, -30)))
            pieces.append(wire(top, foot + vec(0, 0, 30)))
            base = vec(top[0] + (-120 if row == "front" else 150), s * 452, 10)
            pieces.append(strut("cabane", "strut", base, top, 74, 32))
        pieces.append(wire(vec(330, s * 452, 10), vec(d.UPPER_LEADING_EDGE_X + d.REAR_SPAR * d.UPPER_CHORD, s * 380, d.UPPER_WING_Z - 20)))
        if s < 0:
            foot, head = pins["front"]
            p = foot + (head - foot) * 0.62
            pieces.append(tube("pitot", "metal", p + vec(-330, 0, 0), p, 9, 8))
    return pieces


def tail() -> list[Piece]:
    """Fin, rudder, tailplane, elevators and their struts."""
    fin = [(6350, 0, 60), (6560, 0, 500), (6900, 0, 1010), (7130, 0, 1130), (7255, 0, 1100), (7285, 0, -330), (6900, 0, -250)]
    rud = [(7275, 0, 1090), (7480, 0, 1120), (7900, 0, 900), (8150, 0, 420), (8150, 0, 60), (7980, 0, -360), (7640, 0, -470), (7305, 0, -450)]
    pieces = [
        slab("fin-rudder", "fin", rounded(fin), vec(0, 1, 0), 70),
        slab("fin-rudder", "rudder", rounded(rud), vec(0, 1, 0), 80),
    ]
    for z in (-250, 250, 800):
        pieces.append(box("fin-rudder", "steel", (7255, -34, z), (7320, 34, z + 60)))
    for hand, s in HANDS:
        h = d.TAILPLANE_SPAN / 2
        plane = [(6360, s * 90, 60), (6480, s * 700, 60), (6700, s * 1560, 60), (6880, s * h, 60), (7120, s * (h - 20), 60), (7160, s * 60, 60)]
        elev = [(7180, s * 130, 60), (7150, s * (h - 30), 60), (7360, s * (h - 90), 60), (7620, s * 1480, 60), (7760, s * 800, 60), (7650, s * 330, 60)]
        pieces.append(slab("tailplane", "dope", rounded(plane), vec(0, 0, 1), 75))
        pieces.append(slab("tailplane", "dope", rounded(elev), vec(0, 0, 1), 62))
        for x in (6640, 7080):
            pieces.append(strut("tail-strut", "strut", vec(x, s * 120, -380), vec(x, s * 1050, 40), 52, 24))
        pieces.append(wire(vec(7080, s * 1200, 80), vec(7080, 0, 880)))
    return pieces
