"""Whether the points of one picture lie on those of another as a flat print lies on a flat print.

Nothing is drawn by chance: each matched pair of points gives a place, a size and a turn, and so by
itself says how one picture lies on the other; every such proposal is tried. A picture that was
turned over or is a negative costs no second look: both only change the order of the 128 numbers
that a point is known by.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

LEAST = 12
"""Points that must fit, each in a cell of its own: unrelated pictures gave 8 at most."""
CELL = 30.0
"""A cell is the longer side of the picture over this."""
RATIO = 0.86
_NEAR = 6.0 / 720  # of the longer side: how well a point must fit
_WIDE = 2.5 * _NEAR
_TRIED = 12

WAYS = ((False, False), (True, False), (False, True), (True, True))
"""(mirrored, negative): how the second picture may lie on the first."""


def _order(mirrored: bool, negative: bool) -> Any:
    """The order of the 128 numbers of a point in a picture turned over, or with its tones reversed.

    They lie as 4 rows of 4 places of 8 directions. A negative turns each point half round; a mirror
    reverses the rows and the sense of the directions.
    """
    order = np.arange(128).reshape(4, 4, 8)
    if negative:
        order = order[::-1, ::-1]
    if mirrored:
        order = order[::-1][:, :, (8 - np.arange(8)) % 8]
    return order.reshape(128)


ORDERS = {way: _order(*way) for way in WAYS}


@dataclass(frozen=True, eq=False)
class Sight:
    """The points of one picture: `points` (n, 4) are x, y, size in its upright pixels and angle in
    degrees, `marks` (n, 128) bytes; `width_px` and `height_px` its size; `area` (4, 2) the corners
    of the picture proper."""

    width_px: int
    height_px: int
    area: Any
    points: Any
    marks: Any

    @property
    def long_px(self) -> float:
        """The longer side, in pixels."""
        return float(max(self.width_px, self.height_px))

    @cached_property
    def exact(self) -> Any:
        """The marks as float32: their products are whole numbers below 2^24, so sums are exact in
        whatever order a library takes them."""
        return self.marks.astype(np.float32)

    @cached_property
    def lengths(self) -> Any:
        """The square of each mark's length."""
        return (self.exact**2).sum(1)


@dataclass(frozen=True, slots=True)
class Fit:
    """How the second picture lies on the first: `warp` (2, 3) takes its pixels there."""

    warp: Any
    matches: int
    mirrored: bool
    negative: bool


def fit(one: Sight, other: Sight, ways: tuple[tuple[bool, bool], ...] = WAYS) -> Fit | None:
    """The best way in which `other` lies on `one`; None where too few points fit."""
    if len(one.points) < LEAST or len(other.points) < LEAST:
        return None
    best: Fit | None = None
    for mirrored, negative in ways:
        found = _fit(one, other, mirrored, negative)
        if found and (best is None or found.matches > best.matches):
            best = found
    return best


def _fit(one: Sight, other: Sight, mirrored: bool, negative: bool) -> Fit | None:
    mine, theirs = _matched(one, other, ORDERS[mirrored, negative])
    if len(mine) < LEAST:
        return None
    to, start = one.points[mine].astype(float), other.points[theirs].astype(float)
    near = _NEAR * one.long_px
    best, count = None, 0
    proposals = _proposals(to, start, mirrored, negative)
    moved = np.einsum("kij,nj->kni", proposals[:, :, :2], start[:, :2]) + proposals[:, None, :, 2]
    off = np.hypot(*np.moveaxis(moved - to[None, :, :2], 2, 0))
    scores = (off < _WIDE * one.long_px).sum(1)
    for index in np.argsort(-scores, kind="stable")[:_TRIED]:
        if scores[index] < 4:
            break
        warp, inside = _refined(proposals[index], to, start, near, off[index])
        fitting = _spread(one, to[inside])
        if warp is not None and fitting > count and _plausible(warp, one, other):
            best, count = warp, fitting
    return Fit(best, count, mirrored, negative) if best is not None and count >= LEAST else None


def _matched(one: Sight, other: Sight, order: Any) -> tuple[Any, Any]:
    """Places of points that are each other's nearest, and nearer than the next by RATIO."""
    marks = other.exact[:, order]
    far = one.lengths[:, None] + other.lengths[None, :] - 2 * (one.exact @ marks.T)
    nearest = far.argmin(1)
    rows = np.arange(len(far))
    first = far[rows, nearest]
    far[rows, nearest] = np.inf
    second = far.min(1)
    far[rows, nearest] = first
    clear = np.flatnonzero(first < RATIO**2 * second)
    mutual = clear[far[:, nearest[clear]].argmin(0) == clear]
    return mutual, nearest[mutual]


def _proposals(to: Any, start: Any, mirrored: bool, negative: bool) -> Any:
    """One map (2, 3) for each matched pair, from its place, size and angle alone."""
    scale = to[:, 2] / start[:, 2]
    angle = np.radians(start[:, 3] + (180.0 if negative else 0.0))
    # Turned over first, a point's angle changes its sign.
    turn = np.radians(to[:, 3]) + (angle if mirrored else -angle)
    flip = -1.0 if mirrored else 1.0
    cos, sin = scale * np.cos(turn), scale * np.sin(turn)
    linear = np.stack([np.stack([cos, -sin * flip], -1), np.stack([sin, cos * flip], -1)], 1)
    shift = to[:, :2] - np.einsum("nij,nj->ni", linear, start[:, :2])
    return np.concatenate([linear, shift[:, :, None]], 2)


def _refined(warp: Any, to: Any, start: Any, near: float, off: Any) -> tuple[Any, Any]:
    """The affine map through what fits, drawn tighter step by step, and what fits it."""
    inside = off < 2.5 * near
    for factor in (2.0, 1.4, 1.0, 1.0):
        if inside.sum() < 4:
            return None, inside
        warp = affine(start[inside, :2], to[inside, :2])
        if warp is None:
            return None, inside
        off = np.hypot(*(start[:, :2] @ warp[:, :2].T + warp[:, 2] - to[:, :2]).T)
        inside = off < factor * near
    return warp, inside


def affine(start: Any, to: Any) -> Any:
    """The map (2, 3) by least squares from points (n, 2) to points (n, 2); None if they lie on a
    line."""
    middle = start.mean(0)
    spread = start - middle
    normal = spread.T @ spread
    if normal[0, 0] * normal[1, 1] - normal[0, 1] ** 2 <= 1e-6 * np.trace(normal) ** 2:
        return None
    linear = np.linalg.solve(normal, spread.T @ (to - to.mean(0))).T
    return np.column_stack([linear, to.mean(0) - linear @ middle])


def _spread(one: Sight, points: Any) -> int:
    """How many cells of the first picture hold a point that fits."""
    cells = np.floor(points[:, :2] * CELL / one.long_px).astype(int)
    return len({(int(x), int(y)) for x, y in cells})


def _plausible(warp: Any, one: Sight, other: Sight) -> bool:
    """Whether paper could lie so: neither squeezed nor blown up beyond what printing does."""
    large, small = np.linalg.svd(warp[:, :2], compute_uv=False)
    scale = one.long_px / other.long_px
    return bool(
        small > 0 and 0.12 * scale <= small and large <= 8 * scale and large / small <= 1.35
    )
