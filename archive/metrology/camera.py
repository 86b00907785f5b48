"""A camera: how a point in space falls on a print, the derivatives, and how to take one apart.

The model is the pinhole with one radial term and unequal scales of the print. A camera is eleven
numbers: log f (px), log of the stretch (across over down), the middle (cx, cy), a rotation vector,
a translation, and k1; then X' = R X + t, (a, b) = (X'₁, X'₂)/X'₃, d = 1 + k1 (a² + b²),
u = cx + f √s · d · a and v = cy + f/√s · d · b. Source: R. Hartley & A. Zisserman, Multiple View
Geometry in Computer Vision, 2nd ed. (2004), 6.1, 6.2, 7.1, 7.4; rotation vectors: A4.3.2.
"""

from __future__ import annotations

import numpy as np

from archive.metrology.solve import Array

SIZE = 11
LOG_F, STRETCH, CX, CY, K1 = 0, 1, 2, 3, 10
TURN = slice(4, 7)
MOVE = slice(7, 10)


def crossed(w: Array) -> Array:
    """The matrices [w]× (…, 3, 3) of vectors w (…, 3): [w]× v = w × v."""
    out = np.zeros((*w.shape[:-1], 3, 3))
    out[..., 0, 1], out[..., 0, 2], out[..., 1, 2] = -w[..., 2], w[..., 1], -w[..., 0]
    out[..., 1, 0], out[..., 2, 0], out[..., 2, 1] = w[..., 2], -w[..., 1], w[..., 0]
    return out


def rotation(w: Array) -> Array:
    """The rotation matrices (…, 3, 3) of rotation vectors (…, 3), in radians (Rodrigues)."""
    angle = np.linalg.norm(w, axis=-1)[..., None, None]
    near = angle < 1e-8
    safe = np.where(near, 1.0, angle)
    k = crossed(w)
    one = np.where(near, 1.0, np.sin(safe) / safe)
    two = np.where(near, 0.5, (1 - np.cos(safe)) / safe**2)
    return np.asarray(np.eye(3) + one * k + two * (k @ k))


def right_jacobian(w: Array) -> Array:
    """J (…, 3, 3) with exp(w + δ) ≈ exp(w) exp(J δ), so that ∂(R v)/∂w = −R [v]× J."""
    angle = np.linalg.norm(w, axis=-1)[..., None, None]
    near = angle < 1e-4
    safe = np.where(near, 1.0, angle)
    k = crossed(w)
    one = np.where(near, 0.5, (1 - np.cos(safe)) / safe**2)
    two = np.where(near, 1 / 6, (safe - np.sin(safe)) / safe**3)
    return np.asarray(np.eye(3) - one * k + two * (k @ k))


def rotation_vector(turn: Array) -> Array:
    """The rotation vector (3,) of a rotation matrix, with length 0 to π."""
    cosine = np.clip((np.trace(turn) - 1) / 2, -1, 1)
    angle = float(np.arccos(cosine))
    axis = np.array([turn[2, 1] - turn[1, 2], turn[0, 2] - turn[2, 0], turn[1, 0] - turn[0, 1]])
    if angle < 1e-9:
        return np.asarray(axis / 2)
    if angle < np.pi - 1e-4:
        return np.asarray(axis * angle / (2 * np.sin(angle)))
    outer = (turn + np.eye(3)) / 2
    column = int(np.argmax(np.diag(outer)))
    found = outer[:, column] / np.sqrt(outer[column, column])
    if axis @ found < 0:
        found = -found
    return np.asarray(found * angle)


def project(camera: Array, points: Array) -> tuple[Array, Array, Array]:
    """Pixels of points (…, k, 3) in cameras (…, 11), with derivatives.

    Returns pixels (…, k, 2), by the camera (…, k, 2, 11) and by the point (…, k, 2, 3). A point
    behind the camera comes out as not a number.
    """
    f = np.exp(camera[..., LOG_F])[..., None]
    root = np.exp(camera[..., STRETCH] / 2)[..., None]
    fx, fy = f * root, f / root
    turn = rotation(camera[..., TURN])
    inner = np.einsum("...ij,...kj->...ki", turn, points) + camera[..., None, MOVE]
    z = np.where(inner[..., 2] > 0, inner[..., 2], np.nan)
    a, b = inner[..., 0] / z, inner[..., 1] / z
    k1 = camera[..., K1][..., None]
    square = a * a + b * b
    d = 1 + k1 * square
    pixels = np.stack(
        [camera[..., CX][..., None] + fx * d * a, camera[..., CY][..., None] + fy * d * b], -1
    )
    # by (a, b), then by the point in the camera's own axes
    ua, ub = fx * (d + 2 * k1 * a * a), fx * 2 * k1 * a * b
    va, vb = fy * 2 * k1 * a * b, fy * (d + 2 * k1 * b * b)
    by_inner = np.stack(
        [
            np.stack([ua / z, ub / z, -(ua * a + ub * b) / z], -1),
            np.stack([va / z, vb / z, -(va * a + vb * b) / z], -1),
        ],
        -2,
    )
    by_point = by_inner @ turn[..., None, :, :]
    by_camera = np.zeros((*pixels.shape, SIZE))
    by_camera[..., 0, LOG_F], by_camera[..., 1, LOG_F] = fx * d * a, fy * d * b
    by_camera[..., 0, STRETCH], by_camera[..., 1, STRETCH] = fx * d * a / 2, -fy * d * b / 2
    by_camera[..., 0, CX] = by_camera[..., 1, CY] = 1.0
    by_camera[..., MOVE] = by_inner
    by_camera[..., 0, K1], by_camera[..., 1, K1] = fx * square * a, fy * square * b
    swing = right_jacobian(camera[..., TURN])
    by_camera[..., TURN] = -by_point @ crossed(points) @ swing[..., None, :, :]
    return pixels, by_camera, by_point


def centre(camera: Array) -> Array:
    """Where a camera (11,) stood, (3,), in the axes of the points."""
    return np.asarray(-rotation(camera[TURN]).T @ camera[MOVE])


def ray(camera: Array, pixel: Array) -> Array:
    """The direction (3,), of unit length, in the axes of the points, that a pixel (2,) looks in."""
    fx = np.exp(camera[LOG_F] + camera[STRETCH] / 2)
    fy = np.exp(camera[LOG_F] - camera[STRETCH] / 2)
    bent = np.array([(pixel[0] - camera[CX]) / fx, (pixel[1] - camera[CY]) / fy])
    straight = bent.copy()
    for _ in range(8):
        straight = bent / (1 + camera[K1] * (straight @ straight))
    direction = rotation(camera[TURN]).T @ np.array([*straight, 1.0])
    return np.asarray(direction / np.linalg.norm(direction))


def matrix(camera: Array) -> Array:
    """The 3 × 4 projection matrix of a camera (11,), without its lens term."""
    fx = np.exp(camera[LOG_F] + camera[STRETCH] / 2)
    fy = np.exp(camera[LOG_F] - camera[STRETCH] / 2)
    inner = np.array([[fx, 0, camera[CX]], [0, fy, camera[CY]], [0, 0, 1]])
    return np.asarray(inner @ np.column_stack([rotation(camera[TURN]), camera[MOVE]]))


def direct(points: Array, pixels: Array) -> Array | None:
    """The projection matrix (3, 4) by the direct linear transform, of 6 or more points (k, 3).

    Source: Hartley & Zisserman (2004), algorithm 7.1. None for a degenerate set.
    """
    middle, spread = points.mean(0), points.std() or 1.0
    centre_px, spread_px = pixels.mean(0), pixels.std() or 1.0
    x = np.column_stack([(points - middle) / spread, np.ones(len(points))])
    u, v = ((pixels - centre_px) / spread_px).T
    nought = np.zeros_like(x)
    rows = np.vstack(
        [np.hstack([x, nought, -u[:, None] * x]), np.hstack([nought, x, -v[:, None] * x])]
    )
    _, singular, right = np.linalg.svd(rows)
    if singular[-2] < 1e-9 * singular[0]:
        return None
    found = right[-1].reshape(3, 4)
    back = np.array([[spread_px, 0, centre_px[0]], [0, spread_px, centre_px[1]], [0, 0, 1.0]])
    onto = np.eye(4)
    onto[:3, :3] /= spread
    onto[:3, 3] = -middle / spread
    return np.asarray(back @ found @ onto)


def taken_apart(p: Array) -> tuple[Array, Array, Array]:
    """A projection matrix (3, 4) as inner matrix K (3, 3), rotation R (3, 3) and centre C (3,).

    K has a positive diagonal and K[2, 2] = 1, and R is a rotation proper. Source: Hartley &
    Zisserman (2004), 6.2.4 (RQ by way of QR of the rows turned over).
    """
    m = p[:, :3] * np.sign(np.linalg.det(p[:, :3]))
    q, r = np.linalg.qr(np.flipud(m).T)
    inner, turn = np.fliplr(np.flipud(r.T)), np.flipud(q.T)
    signs = np.diag(np.sign(np.diag(inner)))
    inner, turn = inner @ signs, signs @ turn
    stood = -np.linalg.solve(p[:, :3], p[:, 3])
    return np.asarray(inner / inner[2, 2]), np.asarray(turn), np.asarray(stood)


def triangulated(matrices: Array, pixels: Array) -> Array:
    """The point (3,) that projection matrices (k, 3, 4) see at pixels (k, 2): linear.

    Source: Hartley & Zisserman (2004), 12.2.
    """
    rows = np.concatenate(
        [
            pixels[:, :1] * matrices[:, 2] - matrices[:, 0],
            pixels[:, 1:] * matrices[:, 2] - matrices[:, 1],
        ]
    )
    rows = rows / np.linalg.norm(rows, axis=1, keepdims=True)
    scale = np.abs(rows).max(axis=0)
    scale = np.where(scale > 0, scale, 1.0)
    found = np.linalg.svd(rows / scale)[2][-1] / scale
    return np.asarray(found[:3] / found[3])
