"""Where to begin the search for a camera: from the linear solution, and from all round the object.

With few points, most of them on one side, the linear solution alone misses the camera in a quarter
of cases, so that directions all round are tried whenever it fits badly or the points lie flat.
"""

from __future__ import annotations

import numpy as np

from archive.metrology.camera import (
    CX,
    CY,
    LOG_F,
    MOVE,
    SIZE,
    TURN,
    centre,
    direct,
    project,
    rotation_vector,
    taken_apart,
)
from archive.metrology.solve import Array, Problem, descend

ORDINARY_LENS = 1.5
"""Focal length of an ordinary lens in widths of the picture (common practice, no source)."""


def flatness(points: Array) -> float:
    """Least over greatest spread of points (k, 3): 0 where they lie on one plane."""
    singular = np.linalg.svd(points - points.mean(0), compute_uv=False)
    return float(singular[-1] / singular[0]) if len(points) > 2 and singular[0] > 0 else 0.0


def straightness(points: Array) -> float:
    """Middle over greatest spread of points (k, 2 or 3): 0 where they lie on one line."""
    singular = np.linalg.svd(points - points.mean(0), compute_uv=False)
    return float(singular[1] / singular[0]) if singular[0] > 0 else 0.0


def find_cameras(
    points: Array, pixels: Array, size: tuple[float, float], sigma_px: float
) -> list[tuple[Array, float]]:
    """Cameras (11,) that see points (k, 3) at pixels (k, 2), best first, with their chi-square.

    `size` is width and height of the picture in pixels. The middle is held at the picture's, the
    print unstretched and the lens without bend: these are freed later. Solutions that look from
    directions more than 8° apart are listed apart; there may be none.
    """
    width, height = size
    middle = np.array([width / 2, height / 2])
    problem = _resection(points, pixels, middle, sigma_px, width)
    found: list[tuple[Array, float]] = []
    start = _linear_start(points, pixels) if len(points) >= 6 else None
    if start is not None:
        x, cost = descend(problem, start[None], most=40)
        found = [(_camera(x[0], middle), float(cost[0]))]
    dof = max(1, 2 * len(points) - 7)
    good = bool(found) and found[0][1] < 4 * dof + 10
    if not good or flatness(points) < 0.02:
        starts = _all_round(points, pixels, middle, width)
        if len(starts):
            x, cost = descend(problem, starts, most=40)
            found += [(_camera(a, middle), float(c)) for a, c in zip(x, cost, strict=True)]
    found = [(c, cost) for c, cost in found if np.isfinite(cost)]
    return _distinct(sorted(found, key=lambda pair: pair[1]), points.mean(0))


def _distinct(found: list[tuple[Array, float]], target: Array) -> list[tuple[Array, float]]:

    kept: list[tuple[Array, float, Array]] = []
    for camera, cost in found:
        look = centre(camera) - target
        look = look / (np.linalg.norm(look) or 1.0)
        if all(look @ other < np.cos(np.radians(8)) for _, _, other in kept):
            kept.append((camera, cost, look))
        if len(kept) == 4:
            break
    return [(camera, cost) for camera, cost, _ in kept]


def _camera(x: Array, middle: Array) -> Array:
    camera = np.zeros(SIZE)
    camera[LOG_F], camera[TURN], camera[MOVE] = x[0], x[1:4], x[4:7]
    camera[CX], camera[CY] = middle
    return camera


def _resection(
    points: Array, pixels: Array, middle: Array, sigma_px: float, width: float
) -> Problem:
    """Seven unknowns: log f, rotation vector, translation; the points taken as they are given."""
    columns = [LOG_F, 4, 5, 6, 7, 8, 9]

    def predict(x: Array) -> tuple[Array, Array]:
        camera = np.zeros((*x.shape[:-1], SIZE))
        camera[..., columns] = x
        camera[..., CX], camera[..., CY] = middle
        seen, by_camera, _ = project(
            camera, np.broadcast_to(points, (*x.shape[:-1], *points.shape))
        )
        flat = seen.reshape(*x.shape[:-1], -1)
        jacobian = by_camera[..., columns].reshape(*flat.shape, 7)
        prior = np.zeros((*x.shape[:-1], 1, 7))
        prior[..., 0, 0] = 1.0
        return (
            np.concatenate([flat, x[..., :1]], -1),
            np.concatenate([jacobian, prior], -2),
        )

    observed = np.append(pixels.ravel(), np.log(ORDINARY_LENS * width))
    sigma = np.append(np.full(pixels.size, sigma_px), 1.0)
    labels = ("",) * observed.size
    return Problem(predict, observed, sigma, labels, np.full(observed.size, -1))


def _linear_start(points: Array, pixels: Array) -> Array | None:
    p = direct(points, pixels)
    if p is None or not np.linalg.det(p[:, :3]):
        return None
    inner, turn, stood = taken_apart(p)
    f = (inner[0, 0] + inner[1, 1]) / 2
    if not np.isfinite(f) or f <= 0:
        return None
    move = -turn @ stood
    start = np.concatenate([[np.log(f)], rotation_vector(turn), move])
    return start if ((points @ turn.T + move)[:, 2] > 0).all() else None


def _all_round(points: Array, pixels: Array, middle: Array, width: float) -> Array:
    """Starts (k, 7): directions spread over the sphere, turned about the line of sight, two lenses.

    For each the best translation follows linearly; the 40 that fit best are kept.
    """
    i = np.arange(60)
    z = 1 - (2 * i + 1) / 60
    around = i * np.pi * (3 - np.sqrt(5))
    level = np.sqrt(1 - z * z)
    look = np.stack([level * np.cos(around), level * np.sin(around), z], -1)
    turns = []
    for direction in look:
        other = np.array([0, 0, 1.0]) if abs(direction[2]) < 0.9 else np.array([1.0, 0, 0])
        right = np.cross(direction, -other)
        right /= np.linalg.norm(right)
        down = np.cross(direction, right)
        for roll in np.arange(8) * np.pi / 4:
            c, s = np.cos(roll), np.sin(roll)
            turns.append(np.stack([c * right + s * down, c * down - s * right, direction]))
    scored: list[tuple[float, Array]] = []
    for f in (ORDINARY_LENS * width, 4 * width):
        r = np.array(turns)
        inner = np.einsum("bij,kj->bki", r, points)
        uv = (pixels - middle) / f
        k = len(points)
        rows = np.zeros((len(r), 2 * k, 3))
        rows[:, :k, 0] = rows[:, k:, 1] = 1.0
        rows[:, :k, 2], rows[:, k:, 2] = -uv[:, 0], -uv[:, 1]
        right_side = np.concatenate(
            [uv[:, 0] * inner[..., 2] - inner[..., 0], uv[:, 1] * inner[..., 2] - inner[..., 1]], 1
        )
        normal = np.swapaxes(rows, 1, 2) @ rows + 1e-12 * np.eye(3)
        move = np.linalg.solve(normal, np.swapaxes(rows, 1, 2) @ right_side[..., None])[..., 0]
        depth = inner[..., 2] + move[:, None, 2]
        error = (inner[..., :2] + move[:, None, :2]) / depth[..., None] - uv
        cost = np.where((depth > 0).all(1), (error**2).sum((1, 2)) * f * f, np.inf)
        for b in np.argsort(cost)[:25]:
            if np.isfinite(cost[b]):
                start = np.concatenate([[np.log(f)], rotation_vector(r[b]), move[b]])
                scored.append((float(cost[b]), start))
    scored.sort(key=lambda pair: pair[0])
    return np.array([start for _, start in scored[:40]]).reshape(-1, 7)
