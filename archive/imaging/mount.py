"""Where in a scan the picture itself lies: without the scanner's bed, black card and white border;
runs in the child only."""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np

from archive.imaging.raster import Grey

_WORK_PX = 256
_STEP = 5  # grey levels that a flat border may wander from one pixel to the next
_LEAST = 0.25  # of the scan's area: anything smaller is no picture in a border
_FULL = 0.94  # of its own rectangle: a picture has four straight sides, a sky has not


def picture_area(grey: Grey) -> list[list[float]]:
    """Four corners of the picture proper, in upright pixels of the file.

    A border is what runs flat from the edge of the scan up to something with four straight sides,
    twice over (the bed, then the paper); where no such thing is found, the whole scan is meant.
    """
    whole = [
        [0.0, 0.0],
        [float(grey.width_px), 0.0],
        [float(grey.width_px), float(grey.height_px)],
        [0.0, float(grey.height_px)],
    ]
    shape = grey.pixels.shape
    scale = min(1.0, _WORK_PX / max(shape))
    size = (max(8, round(shape[1] * scale)), max(8, round(shape[0] * scale)))
    small = cv2.resize(grey.pixels, size, interpolation=cv2.INTER_AREA)
    small = cv2.medianBlur(small, 3)
    outside = np.zeros(small.shape, bool)
    found = None
    for _ in range(2):
        outside = _flat_from(small, outside)
        corners = _rectangle(~outside)
        if corners is not None:
            found = corners
    if found is None:
        return whole
    per = [grey.width_px / size[0], grey.height_px / size[1]]
    return [[float(x * per[0]), float(y * per[1])] for x, y in found]


def _flat_from(small: Any, outside: Any) -> Any:
    """`outside` grown by all that runs flat from the rim of what is inside."""
    rows, columns = small.shape
    padded = np.zeros((rows + 2, columns + 2), np.uint8)
    padded[1:-1, 1:-1] = outside
    rim = ~outside
    inner = cv2.erode(rim.astype(np.uint8), np.ones((5, 5), np.uint8), borderValue=0)
    seeds = np.argwhere(rim & (inner == 0))
    kept = small.copy()
    if not len(seeds):
        return outside
    level = float(np.median(small[tuple(seeds.T)]))
    grown = outside.copy()
    for row, column in seeds[:: max(1, len(seeds) // 200)]:
        if grown[row, column] or abs(float(small[row, column]) - level) > 40:
            continue
        mask = padded.copy()
        cv2.floodFill(
            kept,
            mask,
            (int(column), int(row)),
            0,
            _STEP,
            _STEP,
            4 | cv2.FLOODFILL_MASK_ONLY | (2 << 8),
        )
        grown |= mask[1:-1, 1:-1] == 2
        padded[1:-1, 1:-1] = grown
    return cv2.dilate(grown.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)


def _rectangle(inside: Any) -> Any:
    """The corners (4, 2) of the largest thing inside, a little within it; None if it has no four
    straight sides."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(inside.astype(np.uint8))
    if count < 2:
        return None
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    body = (labels == largest).astype(np.uint8)
    outlines, _ = cv2.findContours(body, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    outline = max(outlines, key=cv2.contourArea)
    area = cv2.contourArea(outline)
    box = cv2.minAreaRect(outline)
    around = box[1][0] * box[1][1]
    if area < _LEAST * inside.size or area > 0.985 * inside.size or area < _FULL * around:
        return None
    lean = min(box[2] % 90, 90 - box[2] % 90)
    if lean > 8:
        return None
    inner = (box[0], (max(1.0, box[1][0] - 3), max(1.0, box[1][1] - 3)), box[2])
    corners = cv2.boxPoints(inner)
    return np.clip(corners, 0, [inside.shape[1], inside.shape[0]])
