"""Plane to picture: homographies by the direct linear transform, and heights over a plane.

Sources: Hartley & Zisserman (2004), algorithm 4.2 and 2.3; P. Heckbert, Fundamentals of Texture
Mapping and Image Warping (1989), for the square; A. Criminisi, I. Reid & A. Zisserman, Single View
Metrology, IJCV 40(2):123 (2000), for heights.
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


def square_to_quad(corners: Array) -> Array:
    """H from the unit square (0,0) (1,0) (1,1) (0,1) to four corners (4, 2), in closed form."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    below = dx1 * dy2 - dx2 * dy1
    g, h = (sx * dy2 - dx2 * sy) / below, (dx1 * sy - sx * dy1) / below
    return np.array(
        [
            [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
            [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
            [g, h, 1.0],
        ]
    )


def carried(h: Array, points: Array) -> Array:
    """Points (…, 2) taken through a homography (3, 3)."""
    w = points @ h[:, :2].T + h[:, 2]
    return np.asarray(w[..., :2] / w[..., 2:])


def inverse(h: Array) -> Array:
    """The way back of a homography (3, 3)."""
    return np.asarray(np.linalg.inv(h), dtype=np.float64)


def height_scale(horizon: Array, upright: Array, base: Array, top: Array, height: float) -> float:
    """The scale α of heights over a plane, from one known height between pixels base and top (2,).

    `horizon` (3,) is the plane's vanishing line and `upright` (3,) the vanishing point of heights,
    homogeneous: α Z = −‖b × t‖ / ((l · b) ‖v × t‖), with l, b and t as given (Criminisi, eq. 10).
    """
    return _height_ratio(horizon, upright, base, top) / height


def height_over(horizon: Array, upright: Array, base: Array, top: Array, scale: float) -> float:
    """The height between pixels base and top (2,) over a plane whose scale of heights is known."""
    return _height_ratio(horizon, upright, base, top) / scale


def _height_ratio(horizon: Array, upright: Array, base: Array, top: Array) -> float:
    b, t = np.append(base, 1.0), np.append(top, 1.0)
    unit = horizon / np.linalg.norm(horizon)
    above = np.linalg.norm(np.cross(b, t))
    return float(-above / ((unit @ b) * np.linalg.norm(np.cross(upright, t))))


def _normalising(points: Array) -> Array:
    middle, spread = points.mean(0), float(points.std()) or 1.0
    return np.array(
        [[1 / spread, 0, -middle[0] / spread], [0, 1 / spread, -middle[1] / spread], [0, 0, 1.0]]
    )
