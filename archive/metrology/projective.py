"""Plane to picture: homographies by the direct linear transform.

Source: Hartley & Zisserman (2004), algorithm 4.2 and 2.3.
"""

from __future__ import annotations

import numpy as np

from archive.metrology.solve import Array


def homography(plane: Array, pixels: Array) -> Array | None:
    """H (3, 3), H[2, 2] = 1, from plane points (k ≥ 4, 2) to pixels (k, 2); None if degenerate."""
    to_plane, to_pixels = _normalising(plane), _normalising(pixels)
    x = np.column_stack([plane, np.ones(len(plane))]) @ to_plane.T
    u = (np.column_stack([pixels, np.ones(len(pixels))]) @ to_pixels.T)[:, :2]
    nought = np.zeros_like(x)
    rows = np.vstack([np.hstack([x, nought, -u[:, :1] * x]), np.hstack([nought, x, -u[:, 1:] * x])])
    _, singular, right = np.linalg.svd(rows)
    if singular[7] < 1e-9 * singular[0]:
        return None
    found = np.linalg.inv(to_pixels) @ right[-1].reshape(3, 3) @ to_plane
    if abs(found[2, 2]) < 1e-300 or abs(np.linalg.det(found / np.linalg.norm(found))) < 1e-15:
        return None
    return np.asarray(found / found[2, 2])


def carried(h: Array, points: Array) -> Array:
    """Points (…, 2) taken through a homography (3, 3)."""
    w = points @ h[:, :2].T + h[:, 2]
    return np.asarray(w[..., :2] / w[..., 2:])


def inverse(h: Array) -> Array:
    """The way back of a homography (3, 3)."""
    return np.asarray(np.linalg.inv(h), dtype=np.float64)


def _normalising(points: Array) -> Array:
    middle, spread = points.mean(0), float(points.std()) or 1.0
    return np.array(
        [[1 / spread, 0, -middle[0] / spread], [0, 1 / spread, -middle[1] / spread], [0, 0, 1.0]]
    )
