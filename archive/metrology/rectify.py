"""A plane of a photograph laid out at true scale: where it may be shown, how finely, how surely.

A view is shown no farther than the known points reach, and a margin: beyond nothing says that the
surface is still the plane. Doubts are told for places, in the direction in which they are largest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archive.metrology.judge import estimate
from archive.metrology.measured_out import Solved as ByLengths
from archive.metrology.outcome import NoEstimate
from archive.metrology.plane import REACH, Solved, apart, leans, seen
from archive.metrology.projective import carried, inverse
from archive.metrology.solve import Array, Fit, Problem
from archive.metrology.starts import ORDINARY_LENS

SAMPLES = 9
"""Resolution is looked at on a grid of so many places each way."""
ENLARGED = 2.0
"""A view is made no finer than so many times what the photograph shows in the middle of it."""
UNBENDING = 12
"""Rounds of Newton's method: more than enough for a thousandth of a pixel."""
LONGEST_PX, MOST_PX = 6000, 16_000_000
"""A view has no longer side and no more pixels than these, in which its file is still handy."""


Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Straightened:
    """A plane as it was solved.

    `h` (3, 3) takes places of the plane (mm) to pixels, before the lens bends them by `bend`, its
    k1; `covariance` (9, 9) is of the first eight numbers of h and of k1. `known` (k, 2) are the
    places of the known points and `sought` (2, 2) the ends of what is measured; `size` is width and
    height of the picture. What lies on the plane may stand off it by `off_plane`, at most. Where
    `afloat`, no point was surveyed: the plane lies by its known points alone, as best they fit.
    """

    h: Array
    bend: float
    covariance: Array
    known: Array
    sought: Array
    size: tuple[float, float]
    off_plane: float
    afloat: bool = False

    def pixels(self, places: Array) -> Array:
        """Where places (k, 2) of the plane are on the picture, (k, 2) pixels."""
        return seen(self._at(places), self.size)[0].reshape(-1, 2)

    def places(self, pixels: Array) -> Array:
        """Which places of the plane pixels (k, 2) show, (k, 2) mm: the lens undone, then h.

        How far from the middle a pixel was before the lens, is found by Newton's method.
        """
        middle, focal = np.array(self.size) / 2, ORDINARY_LENS * self.size[0]
        bent = (pixels - middle) / focal
        far = np.linalg.norm(bent, axis=-1, keepdims=True)
        straight = far
        for _ in range(UNBENDING):
            off = straight * (1 + self.bend * straight**2) - far
            straight = straight - off / np.maximum(1 + 3 * self.bend * straight**2, 0.1)
        return carried(inverse(self.h), middle + focal * bent * straight / np.maximum(far, 1e-12))

    def slopes(self, places: Array) -> Array:
        """How pixels move with places: (k, 2, 2), pixels a millimetre."""
        by = seen(self._at(places), self.size)[1]
        k = len(places)
        return np.stack([by[2 * i : 2 * i + 2, 9 + 2 * i : 11 + 2 * i] for i in range(k)])

    def before_camera(self, places: Array) -> Mask:
        """Which places (k, 2) the picture can show, (k,): on this side of the plane's horizon, and
        not so far out that the lens's bend, as found, would fold them back."""
        w = places @ self.h[2, :2] + self.h[2, 2]
        ahead = w * np.sign(np.append(self.known.mean(0), 1.0) @ self.h[2]) > 0
        flat = carried(self.h, places) - np.array(self.size) / 2
        far = np.linalg.norm(flat, axis=-1) / (ORDINARY_LENS * self.size[0])
        return np.asarray(ahead & (1 + 3 * self.bend * far**2 > 0), np.bool_)

    def doubts(self, places: Array, tape: float = 0.0) -> tuple[Array, Array]:
        """The standard deviation (mm) of each place (k, 2) in its worst direction, (k,): of what
        stands off the plane by no more than is allowed for, and of what lies flat in it.

        The covariance of h and k1 is carried to the place (JCGM 100:2008, 5.2.2); to it come what
        stands off the plane, seen aslant, and `tape`, in parts of the distance from the middle.
        """
        moves = self._moves(places)
        if self.afloat:
            moves = moves - _rigid(places) @ np.linalg.pinv(
                _rigid(self.known).reshape(-1, 3)
            ) @ self._moves(self.known).reshape(-1, 9)
        spread = moves @ self.covariance @ np.swapaxes(moves, 1, 2)
        aslant = leans(self.h, places, self.size) * self.off_plane / math.sqrt(3)
        far = tape * np.linalg.norm(places - self.known.mean(0), axis=1)
        off, flat = (
            np.sqrt(np.maximum(np.linalg.eigvalsh(each)[:, -1], 0.0) + far**2)
            for each in (spread + aslant[:, :, None] * aslant[:, None, :], spread)
        )
        return np.asarray(off), np.asarray(flat)

    def _at(self, places: Array) -> Array:
        return np.concatenate([self.h.ravel()[:8], [self.bend], places.ravel()])

    def _moves(self, places: Array) -> Array:
        """How the place that a pixel is taken for moves with h and k1: (k, 2, 9)."""
        by = seen(self._at(places), self.size)[1][:, :9].reshape(-1, 2, 9)
        return np.asarray(-np.linalg.solve(self.slopes(places), by), np.float64)


def straightened(
    solved: Solved, known: int, size: tuple[float, float], off_plane: float
) -> Straightened | NoEstimate:
    """A plane of points known on it, the first `known` of the solution's."""
    problem, found, left, names, ends = solved
    return _of(problem, found, left, names, list(range(known)), ends, size, off_plane, False)


def straightened_by_lengths(
    solved: ByLengths, ends: tuple[int, int], size: tuple[float, float], off_plane: float
) -> Straightened | NoEstimate:
    """A plane of which no points were surveyed, but lengths on it are known."""
    problem, found, left, names, tied, _ = solved
    return _of(problem, found, left, names, tied, ends, size, off_plane, True)


def _of(
    problem: Problem, found: Fit, left: tuple[str, ...], names: list[str], known: list[int],
    ends: tuple[int, int], size: tuple[float, float], off_plane: float, afloat: bool,
) -> Straightened | NoEstimate:  # fmt: skip
    figure = apart(9 + 2 * ends[0], 9 + 2 * ends[1], 2)
    result = estimate(problem, found, left, names, figure)
    if isinstance(result, NoEstimate):
        return result
    places = found.x[9:].reshape(-1, 2)
    return Straightened(
        np.append(found.x[:8], 1.0).reshape(3, 3),
        float(found.x[8]),
        found.covariance[:9, :9] * result.scaled**2,
        places[known],
        places[list(ends)],
        size,
        off_plane,
        afloat,
    )


def _rigid(places: Array) -> Array:
    """How places (k, 2) move with two shifts and a turn: (k, 2, 3)."""
    moves = np.zeros((len(places), 2, 3))
    moves[:, 0, 0] = moves[:, 1, 1] = 1.0
    moves[:, 0, 2], moves[:, 1, 2] = -places[:, 1], places[:, 0]
    return moves


@dataclass(frozen=True)
class Frame:
    """A sheet laid on the plane: its upper left `corner` (2,), the unit vectors `right` and `down`
    (2,), its width and height in mm, its pixels a metre, and how far past the known points it goes.

    `finest` and `coarsest` are what one pixel of the photograph covers on the plane (mm), at its
    best and, in its worst direction, at its worst.
    """

    corner: Array
    right: Array
    down: Array
    width: float
    height: float
    px_per_m: int
    margin: float
    finest: float
    coarsest: float

    def on_plane(self, at: Array) -> Array:
        """Places of the plane from places (k, 2) of the sheet, both mm."""
        return np.asarray(self.corner + at @ np.vstack([self.right, self.down]))

    def on_sheet(self, places: Array) -> Array:
        """Places of the sheet from places (k, 2) of the plane, both mm."""
        return np.asarray((places - self.corner) @ np.vstack([self.right, self.down]).T)

    def to_photo(self, plane: Straightened) -> Array:
        """H (3, 3) from places of the sheet to pixels, before the lens bends them; H[2, 2] = 1."""
        lay = np.eye(3)
        lay[:2] = np.column_stack([self.right, self.down, self.corner])
        h = plane.h @ lay
        return np.asarray(h / h[2, 2])


def frame(plane: Straightened, up: Array) -> Frame:
    """The sheet that holds all that may be shown of a plane, `up` (2,) of the plane being its up.

    It is turned as the photograph shows the plane, never mirrored. It reaches past the known points
    by the part of their extent that a measured point may lie outside (`plane.REACH`).
    """
    down = -up / np.linalg.norm(up)
    right = np.array([-down[1], down[0]])
    turned = plane.slopes(plane.known.mean(0)[None])[0] @ np.column_stack([right, down])
    if np.linalg.det(turned) < 0:
        right = -right
    ring = hull(plane.known)
    extent = max(float(np.linalg.norm(a - b)) for a in ring for b in ring)
    margin = REACH * extent
    flat = plane.known @ np.column_stack([right, down])
    low, high = flat.min(0) - margin, flat.max(0) + margin
    width, height = (math.ceil(side) for side in high - low)
    lines = [np.linspace(a, b, SAMPLES) for a, b in zip(low, high, strict=True)]
    places = np.stack(np.meshgrid(*lines), -1).reshape(-1, 2) @ np.vstack([right, down])
    shown = plane.before_camera(places) & (outside_by(places, ring) <= margin)
    scales = np.linalg.svd(plane.slopes(np.vstack([places[shown], plane.known])), compute_uv=False)
    usual = float(np.median(np.sqrt(scales[:, 0] * scales[:, 1])))
    fine = min(
        float(scales[:, 0].max()),
        ENLARGED * usual,
        LONGEST_PX / max(width, height),
        math.sqrt(MOST_PX / (width * height)),
    )
    return Frame(
        low @ np.vstack([right, down]),
        right,
        down,
        width,
        height,
        max(1, round(1000 * fine)),
        margin,
        1 / float(scales[:, 0].max()),
        1 / float(scales[:, 1].min()),
    )


def hull(points: Array) -> Array:
    """The convex hull (m, 2) of points (k, 2), counter-clockwise: A. M. Andrew, Another efficient
    algorithm for convex hulls in two dimensions, Inf. Proc. Letters 9:216 (1979)."""
    ordered = sorted(map(tuple, points.tolist()))

    def half(run: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
        kept: list[tuple[float, ...]] = []
        for p in run:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return np.array(half(ordered) + half(ordered[::-1]))


def _turn(a: tuple[float, ...], b: tuple[float, ...], c: tuple[float, ...]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def outside_by(places: Array, ring: Array) -> Array:
    """How far places (k, 2) lie outside a convex ring (m, 2), counter-clockwise; 0 within it."""
    start, way = ring, np.roll(ring, -1, axis=0) - ring
    to = places[:, None, :] - start[None]
    along = np.clip((to * way).sum(-1) / (way**2).sum(-1), 0, 1)
    far = np.linalg.norm(to - along[..., None] * way, axis=-1).min(1)
    within = (way[:, 0] * to[..., 1] - way[:, 1] * to[..., 0] >= 0).all(1)
    return np.where(within, 0.0, far)


def lens(plane: Straightened) -> tuple[float, float, float, float]:
    """Middle (across, down), focal length (px) and k1 of the lens that bends the picture."""
    return plane.size[0] / 2, plane.size[1] / 2, ORDINARY_LENS * plane.size[0], plane.bend
