"""The small remains, photographed on a bench: ribs, chine, rudder post, strut foot, fin frame."""

from __future__ import annotations

import math

import numpy as np

import dimensions as d
from paint import cloud
from shapes import (
    Array,
    Piece,
    airfoil,
    bent_tube,
    box,
    lathe,
    loft,
    rivets,
    slab,
    smooth_outline,
    strut,
    tube,
    vec,
)
from wreckage import bar_points, scale_bar

RIB_BAR = (vec(150, -330, 0), vec(1, 0, 0))


def one_rib(y: float, lift: float, broken: float | None, seed: int) -> list[Piece]:
    """A built-up timber rib lying on the bench: cap strips, uprights and braces."""
    rng = np.random.default_rng(seed)
    sec = airfoil(24) * np.array([d.LOWER_CHORD, d.LOWER_CHORD])
    n = 24
    top, bottom = sec[:n][::-1], sec[n - 1:]

    def lay(p: Array) -> Array:
        p = np.atleast_2d(p)
        bow = 6 * np.sin(p[:, 0] / 260 + seed)
        return np.column_stack([p[:, 0], y + p[:, 1] + bow, np.full(len(p), lift + 7) + 5 * np.sin(p[:, 0] / 400 + 2 * seed)])

    out = []
    def strip(a: Array, w: float) -> None:
        q = lay(a)
        if broken is not None:
            q = q[q[:, 0] < broken + rng.normal(0, 30)]
        if len(q) > 1:
            out.append(bent_tube("ribs", "old-timber", q, w, 4))
    x = np.linspace(8, d.LOWER_CHORD - 6, 70)
    tz, bz = np.interp(x, top[:, 0], top[:, 1]), np.interp(x, bottom[:, 0], bottom[:, 1])
    strip(np.column_stack([x, tz]), 8)
    strip(np.column_stack([x, bz]), 8)
    posts = np.linspace(0.06, 0.88, 9) * d.LOWER_CHORD
    for k, a in enumerate(posts):
        t0, b0 = np.interp(a, x, tz), np.interp(a, x, bz)
        if k in (3, 6) and seed % 2:
            continue
        s = np.linspace(0, 1, 6)[:, None]
        strip(np.array([a, b0]) * (1 - s) + np.array([a, t0]) * s, 6)
        if k + 1 < len(posts):
            b = posts[k + 1]
            p, q = ((a, b0), (b, np.interp(b, x, tz))) if k % 2 else ((a, t0), (b, np.interp(b, x, bz)))
            strip(np.array(p) * (1 - s) + np.array(q) * s, 6)
    for spar in (d.FRONT_SPAR, d.REAR_SPAR):
        a = spar * d.LOWER_CHORD
        if broken is None or a < broken:
            t0, b0 = np.interp(a, x, tz), np.interp(a, x, bz)
            out.append(box("ribs", "old-timber", (a - 34, y + b0 + 4, lift), (a + 34, y + t0 - 4, lift + 5)))
    return out


def ribs_build() -> list[Piece]:
    out = one_rib(330, 0, None, 3) + one_rib(20, 0, None, 4) + one_rib(-250, 0, 930, 5)
    rng = np.random.default_rng(1)
    for k in range(5):
        p = vec(1020 + 90 * k, -260 + rng.normal(0, 35), 8)
        out.append(tube("ribs", "old-timber", p, p + vec(*rng.normal(0, 1, 2) * 60, 0) + vec(50, 0, 0), 7, 4))
    return out + scale_bar("scale-bar", *RIB_BAR, 1000, 50, 6)


def ribs_points() -> dict[str, Array]:
    out: dict[str, Array] = {}
    for k, y in ((1, 330), (2, 20), (3, -250)):
        out[f"rib-{k}-nose"] = vec(6, y + 4, 14)
        if k < 3:
            out[f"rib-{k}-tail"] = vec(d.LOWER_CHORD - 6, y + 2, 14)
        out[f"rib-{k}-front-spar"] = vec(d.FRONT_SPAR * d.LOWER_CHORD, y + 60, 8)
    return out | bar_points(*RIB_BAR, 1000, 6)


CHINE_BAR = (vec(60, -120, 0), vec(1, 0.02, 0))
CHINE_LOST = (9, 10, 23, 38, 39)


def chine_line(s: Array) -> Array:
    return np.column_stack([s, 60 + 26 * np.sin(s / 1180 * math.pi), 18 + 3 * np.sin(s / 200)])


def chine_build() -> list[Piece]:
    """A torn length of chine angle with its rivet line."""
    s = np.linspace(0, 1180, 200)
    mid = chine_line(s)
    tear = 6 * cloud((1, 200), (1, 40), 4)[0] + 3
    rows = []
    for o, z in ((-46, 0), (-20, 0), (0, 0), (3, 4), (6, 26), (8, 46)):
        edge = tear if o == -46 else (-tear * 1.5 if o == 8 else 0)
        rows.append(mid + np.column_stack([np.zeros(200), np.full(200, float(o)) + (edge if o < 0 else 0), np.full(200, float(z)) + (edge if o > 0 else 0)]))
    out = [loft("chine-strip", "corroded", np.stack(rows), False, False)]
    p = rivets("chine-strip", "metal", mid + vec(0, -23, 1), vec(0, 0, 1), d.CHINE_RIVET_PITCH, 6)
    lost = {i for k in CHINE_LOST for i in range(8 * k, 8 * k + 8)}
    p.faces = [f for i, f in enumerate(p.faces) if i not in lost]
    out.append(p)
    at = rivet_places()
    for k in CHINE_LOST:
        out.append(lathe("chine-strip", "dark", [(0.8, 0.1), (0.8, 3.2)], at[k] + vec(0, 0, 0.8), "z", 14))
    return out + scale_bar("scale-bar", *CHINE_BAR, 1000, 50, 4)


def rivet_places() -> Array:
    s = np.linspace(0, 1180, 200)
    path = chine_line(s) + vec(0, -23, 1)
    run = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    at = np.arange(d.CHINE_RIVET_PITCH / 2, run[-1], d.CHINE_RIVET_PITCH)
    return np.stack([np.interp(at, run, path[:, k]) for k in range(3)], 1)


def chine_points() -> dict[str, Array]:
    at = rivet_places()
    return {f"rivet-{k + 1:02d}": at[k] + vec(0, 0, 3) for k in range(0, len(at), 5)} | bar_points(*CHINE_BAR, 1000, 4)


POST_BAR = (vec(-20, -150, 0), vec(1, 0, 0))


def post_build() -> list[Piece]:
    """The lengthened water-rudder post: works tube, sleeve, operator's longer tail."""
    L = d.WATER_RUDDER_POST_OPERATOR
    s = np.linspace(0, L, 50)
    path = np.column_stack([s, 10 * np.sin(s / L * 2.4), 40 + 0 * s])
    out = [bent_tube("rudder-post", "rusted-tube", path, 21, 20)]
    a = d.WATER_RUDDER_POST_WORKS - 240
    out.append(bent_tube("sleeve", "corroded", path[(s > a) & (s < a + 240)], 29, 24))
    for x in (a + 40, a + 200):
        y = float(np.interp(x, s, path[:, 1]))
        out.append(tube("sleeve", "steel", vec(x, y, 5), vec(x, y, 78), 8, 6))
        out.append(tube("sleeve", "steel", vec(x, y, 66), vec(x, y, 76), 15, 6))
    for x in (90, 300):
        y = float(np.interp(x, s, path[:, 1]))
        out.append(box("rudder-post", "rusty", (x - 26, y - 60, 26), (x + 26, y + 10, 54)))
    blade = [(660, 28), (850, 30), (880, 160), (800, 300), (690, 250), (655, 120)]
    pts = smooth_outline(np.array([(x, y, 40.0) for x, y in blade]), 3)
    out.append(slab("water-rudder-blade", "holed", pts, vec(0, 0, 1), 20))
    return out + scale_bar("scale-bar", *POST_BAR, 900, 50, 5)


def post_points() -> dict[str, Array]:
    L = d.WATER_RUDDER_POST_OPERATOR
    y = lambda x: 10 * math.sin(x / L * 2.4)  # noqa: E731
    a = d.WATER_RUDDER_POST_WORKS - 240
    return {"post-top": vec(0, y(0), 61), "post-foot": vec(L, y(L), 61), "sleeve-upper-end": vec(a, y(a), 69),
            "sleeve-lower-end": vec(a + 240, y(a + 240), 69)} | bar_points(*POST_BAR, 900, 5)


FOOT_BAR = (vec(-130, -150, 0), vec(1, 0, 0))


def foot_build() -> list[Piece]:
    """The port front strut's foot fitting with a stub of the strut."""
    out = []
    plate = [(-75, -62), (60, -70), (84, 0), (60, 70), (-75, 62), (-95, 0)]
    rng = np.random.default_rng(4)
    base = [np.array([(x + rng.normal(0, 1), y, z) for x, y in plate]) for z in (3, 11)]
    out.append(loft("strut-foot", "rusted-tube", np.stack(base), smooth=False))
    for sx in (-1, 1):
        for sy in (-1, 1):
            c = vec(sx * 29 - 6, sy * 29, 0)
            out.append(lathe("strut-foot", "dark", [(11.3, 0.1), (11.3, 5.2)], c, "z", 22))
            out.append(lathe("strut-foot", "corroded", [(11.2, 5.2), (12.2, 6.4), (11.2, 8)], c, "z", 22))
    for sy in (-17, 17):
        lug = np.array([[(x, sy + o, z) for x, z in ((-30, 11), (30, 11), (26, 60), (10, 82), (-10, 82), (-26, 60))] for o in (-3, 3)])
        out.append(loft("strut-foot", "rusted-tube", lug, smooth=False))
    out.append(tube("strut-foot", "steel", vec(0, -34, 58), vec(0, 34, 58), 8, 14))
    out.append(tube("strut-foot", "steel", vec(0, -34, 58), vec(0, -26, 58), 14, 6))
    stub = strut("strut-stub", "corroded", vec(0, 0, 52), vec(150, 18, 330), d.STRUT_CHORD, d.STRUT_THICKNESS)
    ring = stub.vertices.reshape(-1, 20, 3)
    cut = ring[:6].copy()
    cut[5] += np.random.default_rng(8).normal(0, 7, (20, 3)) * vec(0.4, 0.4, 1)
    out.append(loft("strut-stub", "corroded", cut))
    return out + scale_bar("scale-bar", *FOOT_BAR, 300, 10, 3)


def foot_points() -> dict[str, Array]:
    out = {f"hole-{n}": vec(sx * 29 - 6, sy * 29, 11.5) for n, sx, sy in (("front-port", -1, -1), ("front-starboard", -1, 1), ("rear-port", 1, -1), ("rear-starboard", 1, 1))}
    return out | {"pin-port-end": vec(0, -34, 58)} | bar_points(*FOOT_BAR, 300, 3)


FIN_BAR = (vec(150, -250, 0), vec(1, 0, 0))


def fin_build() -> list[Piece]:
    """The bent tube frame of fin and rudder, lying on the floor."""
    rud = np.array([(0, 1090), (200, 1120), (620, 900), (870, 420), (870, 60), (700, -360), (360, -470), (20, -450)], float) + vec(80, 500)
    o = smooth_outline(rud, 3)
    def lay(p: Array) -> Array:
        p = np.atleast_2d(p)
        t = np.clip((p[:, 1] - 900) / 700, 0, 1)
        return np.column_stack([p[:, 0] + 90 * t**2, p[:, 1], 22 + 150 * t**2 + 10 * np.sin(p[:, 0] / 170)])
    out = [bent_tube("fin-frame", "rusted-tube", lay(o), 13, 10, closed=True)]
    for z in (180, 480, 800, 1130, 1400):
        hit = o[np.argsort(np.abs(o[:, 1] - z))[:8]]
        a, b = hit[np.argmin(hit[:, 0])], hit[np.argmax(hit[:, 0])]
        if z == 1130:
            b = a + (b - a) * 0.62
        s = np.linspace(0, 1, 12)[:, None]
        out.append(bent_tube("fin-frame", "rusted-tube", lay(a * (1 - s) + b * s), 9, 8))
    post = np.column_stack([np.full(30, 105.0), np.linspace(60, 1560, 30)])
    out.append(bent_tube("fin-frame", "rusted-tube", lay(post), 17, 12))
    for z in (250, 750, 1300):
        q = lay(np.array([80.0, z]))[0]
        out.append(box("fin-frame", "rusty", tuple(q - vec(34, 30, 20)), tuple(q + vec(24, 30, 20))))
    return out + scale_bar("scale-bar", *FIN_BAR, 1000, 50, 6)


def fin_points() -> dict[str, Array]:
    return {"rudder-post-foot": vec(105, 60, 40), "rudder-hinge-1": vec(80, 250, 44), "rudder-hinge-2": vec(80, 750, 44)} | bar_points(*FIN_BAR, 1000, 6)
