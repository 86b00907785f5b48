"""Plain solids as vertex and face arrays: lofts, tubes, faired struts, slabs, lathes."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

Array = np.ndarray
HANDS = (("port", -1.0), ("starboard", 1.0))


@dataclass
class Piece:
    """One mesh: a component's name, a finish, vertices in mm, faces, and uv per vertex if any."""

    component: str
    finish: str
    vertices: Array
    faces: list[tuple[int, ...]]
    uv: Array | None = None
    smooth: bool = True
    extra: dict[str, float] = field(default_factory=dict)


def vec(*v: float) -> Array:
    return np.array(v, dtype=float)


def unit(v: Array) -> Array:
    return v / np.linalg.norm(v)


def grid_faces(rows: int, cols: int, wrap: bool, offset: int = 0) -> list[tuple[int, ...]]:
    """Quads between consecutive rings of ``cols`` points; ``wrap`` closes each ring."""
    faces: list[tuple[int, ...]] = []
    for r in range(rows - 1):
        for c in range(cols if wrap else cols - 1):
            d = (c + 1) % cols
            a, b = r * cols, (r + 1) * cols
            faces.append((offset + a + c, offset + a + d, offset + b + d, offset + b + c))
    return faces


def loft(
    component: str, finish: str, rings: Array, caps: bool = True, wrap: bool = True,
    uv: Array | None = None, smooth: bool = True,
) -> Piece:  # fmt: skip
    """A skin through ``rings`` (n, m, 3)."""
    n, m = rings.shape[:2]
    faces = grid_faces(n, m, wrap)
    if caps and wrap:
        faces.append(tuple(range(m)))
        faces.append(tuple(range((n - 1) * m, n * m))[::-1])
    return Piece(component, finish, rings.reshape(-1, 3), faces, uv, smooth)


def frame_of(p: Array, q: Array, hint: Array) -> tuple[Array, Array, Array]:
    """Axis, side and up unit vectors for a member from p to q, 'side' nearest to hint."""
    axis = unit(q - p)
    if abs(float(axis @ unit(hint))) > 0.98:
        hint = vec(0.13, 1, 0.21)
    side = unit(hint - axis * float(hint @ axis))
    return axis, side, np.cross(axis, side)


def tube(component: str, finish: str, p: Array, q: Array, radius: float, sides: int = 10) -> Piece:
    """A round member."""
    p, q = np.asarray(p, float), np.asarray(q, float)
    _, a, b = frame_of(p, q, vec(0, 0, 1))
    t = np.linspace(0, 2 * math.pi, sides, endpoint=False)
    ring = radius * (np.cos(t)[:, None] * a + np.sin(t)[:, None] * b)
    return loft(component, finish, np.stack([p + ring, q + ring]))


def bent_tube(
    component: str, finish: str, path: Array, radius: float, sides: int = 10, closed: bool = False
) -> Piece:
    """A round member along a path of points (n, 3)."""
    path = np.asarray(path, float)
    n = len(path)
    rings = []
    t = np.linspace(0, 2 * math.pi, sides, endpoint=False)
    hint = vec(0.31, 0.17, 0.93)
    for i in range(n):
        before = path[(i - 1) % n] if closed or i else path[0]
        after = path[(i + 1) % n] if closed or i < n - 1 else path[-1]
        _, a, b = frame_of(before, after, hint)
        hint = a
        rings.append(path[i] + radius * (np.cos(t)[:, None] * a + np.sin(t)[:, None] * b))
    if closed:
        rings.append(rings[0])
    return loft(component, finish, np.stack(rings), caps=not closed)


def strut(
    component: str, finish: str, p: Array, q: Array, chord: float, thickness: float
) -> Piece:
    """A faired member, its long axis fore and aft, tapering to its ends."""
    p, q = np.asarray(p, float), np.asarray(q, float)
    _, a, b = frame_of(p, q, vec(1, 0, 0))
    t = np.linspace(0, 2 * math.pi, 20, endpoint=False)
    shape = np.cos(t)[:, None] * a * chord / 2
    shape = shape + (np.sin(t) * (1 - 0.35 * np.cos(t)))[:, None] * b * thickness / 2
    rings = []
    for k, s in ((0, 0.45), (0.05, 0.8), (0.15, 1), (0.5, 1.05), (0.85, 1), (0.95, 0.8), (1, 0.45)):
        rings.append(p + (q - p) * k + shape * s)
    return loft(component, finish, np.stack(rings))


def box(component: str, finish: str, low: Array, high: Array) -> Piece:
    """A box between two corners."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    v = np.array([(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)], float)
    f = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    return Piece(component, finish, v, [tuple(x) for x in f], smooth=False)


def lathe(
    component: str, finish: str, profile: Array, centre: Array, axis: str = "x", sides: int = 48,
    closed: bool = False, smooth: bool = True,
) -> Piece:  # fmt: skip
    """A turned solid: ``profile`` rows are (along, radius)."""
    t = np.linspace(0, 2 * math.pi, sides, endpoint=False)
    rings = []
    for along, r in profile:
        c, s = r * np.cos(t), r * np.sin(t)
        d = np.full_like(c, along)
        order = {"x": (d, s, c), "y": (c, d, s), "z": (c, s, d)}[axis]
        rings.append(np.stack(order, axis=1) + centre)
    if closed:
        rings.append(rings[0])
    return loft(component, finish, np.stack(rings), caps=not closed, smooth=smooth)


def slab(
    component: str, finish: str, outline: Array, normal: Array, thickness: float
) -> Piece:
    """A lens-shaped surface on a flat outline (n, 3): a fin, a rudder, a tailplane."""
    outline = np.asarray(outline, float)
    centre = outline.mean(axis=0)
    normal = unit(np.asarray(normal, float))
    rings = []
    for scale, lift in ((0.0, 0.5), (0.55, 0.5), (0.85, 0.42), (0.97, 0.22), (1.0, 0.0)):
        rings.append(centre + (outline - centre) * max(scale, 1e-3) + normal * thickness * lift)
    for scale, lift in ((0.97, 0.22), (0.85, 0.42), (0.55, 0.5), (0.0, 0.5)):
        rings.append(centre + (outline - centre) * max(scale, 1e-3) - normal * thickness * lift)
    return loft(component, finish, np.stack(rings), caps=False)


def smooth_outline(points: Array, steps: int = 3) -> Array:
    """Round a polygon's corners by cutting them (Chaikin's scheme)."""
    p = np.asarray(points, float)
    for _ in range(steps):
        q = np.roll(p, -1, axis=0)
        p = np.stack([0.75 * p + 0.25 * q, 0.25 * p + 0.75 * q], axis=1).reshape(-1, p.shape[1])
    return p


def airfoil(n: int = 14, thickness: float = 0.115) -> Array:
    """A flat-bottomed section: (2n, 2) of chord fraction and height fraction, from the tail."""
    x = (1 - np.cos(np.linspace(0, math.pi, n))) / 2
    half = 5 * thickness * (
        0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    camber = 0.045 * np.sin(math.pi * x**0.8)
    top = np.stack([x, camber + half], 1)[::-1]
    bottom = np.stack([x, camber - half * 0.9], 1)[1:]
    return np.concatenate([top, bottom])


def rivets(
    component: str, finish: str, path: Array, normal: Array, pitch: float, radius: float = 4.5
) -> Piece:
    """Round heads at an even pitch along a path (n, 3), standing out along ``normal``."""
    path = np.asarray(path, float)
    step = np.linalg.norm(np.diff(path, axis=0), axis=1)
    s = np.concatenate([[0], np.cumsum(step)])
    at = np.arange(pitch / 2, s[-1], pitch)
    centres = np.stack([np.interp(at, s, path[:, k]) for k in range(3)], 1)
    normal = unit(np.asarray(normal, float))
    _, a, b = frame_of(np.zeros(3), normal, vec(1, 0, 0))
    t = np.linspace(0, 2 * math.pi, 7, endpoint=False)
    ring = np.cos(t)[:, None] * a + np.sin(t)[:, None] * b
    local = np.concatenate([ring * radius, ring * radius * 0.6 + normal * radius * 0.6])
    verts, faces = [], []
    for i, c in enumerate(centres):
        o = i * 14
        verts.append(local + c)
        faces += [(o + k, o + (k + 1) % 7, o + 7 + (k + 1) % 7, o + 7 + k) for k in range(7)]
        faces.append(tuple(o + 7 + k for k in range(7)))
    return Piece(component, finish, np.concatenate(verts), faces)


def smooth_path(points: list[tuple[float, float, float]], n: int = 40) -> Array:
    """A rounded path through control points."""
    p = np.array(points, float)
    for _ in range(3):
        q = np.repeat(p, 2, axis=0)
        q[1:-2:2], q[2:-1:2] = 0.75 * p[:-1] + 0.25 * p[1:], 0.25 * p[:-1] + 0.75 * p[1:]
        p = q
    return p[np.r_[True, np.linalg.norm(np.diff(p, axis=0), axis=1) > 1e-6]]


def wire(p: Array, q: Array) -> Piece:
    """A streamlined rigging wire."""
    return tube("rigging", "wire", p, q, 4.5, 6)


def rounded(points: list[tuple[float, float, float]]) -> Array:
    """A polygon given as tuples, its corners rounded."""
    return smooth_outline(np.array(points, float), 3)
