"""What a picture is recognised by: points and their surroundings; runs in the child only.

The points are those of D. G. Lowe, "Distinctive image features from scale-invariant keypoints"
(2004), taken as the square roots of R. Arandjelović and A. Zisserman, "Three things everyone should
know to improve object retrieval" (2012); OpenCV finds them.
"""

from __future__ import annotations

import base64
from typing import Any, TypedDict

import cv2
import numpy as np

from archive.imaging.limits import Limits
from archive.imaging.mount import picture_area
from archive.imaging.raster import Grey, grey_of

LONG_SIDE = 720
"""Pixels of the longer side that points are looked for at."""
MOST = 800
"""Points kept of one picture."""
COARSE = 5.0
"""Half of the points are wider than this many pixels: they outlive a halftone screen."""


class Seen(TypedDict):
    """What the child answers: `points` are rows of float32 (x, y in upright pixels of the file,
    size in the same, angle in degrees), `marks` rows of 128 bytes, both in base64; `area` is the
    outline of the picture proper within its mount."""

    width: int
    height: int
    area: list[list[float]]
    points: str
    marks: str


def look(path: str, sha256: str, limits: Limits) -> Seen:
    """The points of the picture at `path`; raises `Refused`."""
    grey = grey_of(path, sha256, limits)
    points, marks = points_of(grey)
    return {
        "width": grey.width_px,
        "height": grey.height_px,
        "area": picture_area(grey),
        "points": _packed(points),
        "marks": _packed(marks),
    }


def points_of(grey: Grey) -> tuple[Any, Any]:
    """Points (n, 4) as float32, marks (n, 128) as bytes."""
    cv2.setNumThreads(1)
    shape = grey.pixels.shape
    shrink = min(1.0, LONG_SIDE / max(shape))
    small = grey.pixels
    if shrink < 1.0:
        size = (max(1, round(shape[1] * shrink)), max(1, round(shape[0] * shrink)))
        small = cv2.resize(grey.pixels, size, interpolation=cv2.INTER_AREA)
    area = np.array(picture_area(grey)) / [
        grey.width_px / small.shape[1],
        grey.height_px / small.shape[0],
    ]
    mask = np.zeros(small.shape, np.uint8)
    cv2.fillConvexPoly(mask, np.round(area).astype(np.int32), 255)
    finder = cv2.SIFT.create(nfeatures=0, contrastThreshold=0.012, edgeThreshold=12, sigma=1.6)
    levelled = _levelled(small)
    # Chosen before they are described: the dots of a screen outshine all that lies under them.
    found, marks = finder.compute(levelled, _chosen(finder.detect(levelled, mask)))
    if not found:
        return np.zeros((0, 4), np.float32), np.zeros((0, 128), np.uint8)
    per_x, per_y = grey.width_px / small.shape[1], grey.height_px / small.shape[0]
    rows = [
        ((p.pt[0] + 0.5) * per_x - 0.5, (p.pt[1] + 0.5) * per_y - 0.5, p.size * per_x, p.angle)
        for p in found
    ]
    taken = np.maximum(marks, 0.0)
    taken /= np.maximum(taken.sum(1, keepdims=True), 1e-9)
    return np.array(rows, np.float32), np.minimum(np.round(np.sqrt(taken) * 512), 255).astype(
        np.uint8
    )


def _levelled(small: Any) -> Any:
    """Local mean and contrast evened out, so that tone and fading don't choose the points."""
    smooth = cv2.GaussianBlur(small.astype(np.float32), (0, 0), 0.8)
    mean = cv2.GaussianBlur(smooth, (0, 0), 12)
    spread = np.sqrt(np.maximum(cv2.GaussianBlur((smooth - mean) ** 2, (0, 0), 12), 0.0))
    return np.clip(128 + 45 * (smooth - mean) / (spread + 4), 0, 255).astype(np.uint8)


def _chosen(found: Any) -> list[Any]:
    """The strongest, half of them coarse ones; the order never hangs on the finder's own."""
    order = sorted(found, key=lambda point: (-point.response, point.pt, point.size, point.angle))
    coarse = [point for point in order if point.size > COARSE][: MOST // 2]
    held = {id(point) for point in coarse}
    return (coarse + [point for point in order if id(point) not in held])[:MOST]


def _packed(array: Any) -> str:
    return base64.b64encode(np.ascontiguousarray(array).tobytes()).decode("ascii")
