"""Lays one picture on another and asks, place by place, whether the same is there, and where;
runs in the child only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np

from archive.imaging.fitting import affine
from archive.imaging.raster import Grey

LONG_SIDE = 800
SHORT_SIDE = 480
"""Pixels of the comparison that an overlap has at least: a small copy is blown up to them."""
BLOCK, STRIDE = 48, 32
_WIDE, _CLOSE = 14, 9  # pixels that a block is looked for around its place: first, then
_TEXTURED = 3.0  # grey levels of detail, the least that a block is judged by
SAME = 0.5
MOVED_FROM = 1.8
"""Pixels that a thing must have moved to be said to have moved."""
SOFT = 2.2
"""So many times wider is the detail that pictures are compared by where a screen hides the rest."""


@dataclass(frozen=True, eq=False)
class Laid:
    """Blocks of the overlap, in pixels of the comparison, `per_px` pixels of the first file each.

    `places` (n, 2) are their middles; `off` (n, 2) where the best likeness lies from there; `best`
    and `here` the likeness (-1 to 1) at the best place and at the block's own; `contrast` the
    stronger of their details, in grey levels. `warp` (2, 3) takes pixels of the second file to
    pixels of the first, refined. `blown_up` is how many of these pixels one of the coarser picture
    takes: 1 but for small ones.
    """

    warp: Any
    per_px: float
    places: Any
    off: Any
    best: Any
    here: Any
    contrast: Any
    size: tuple[int, int]
    blown_up: float = 1.0

    @property
    def agree(self) -> Any:
        """Blocks where the same is at the same place."""
        far = np.hypot(*self.off.T)
        return ((self.here > SAME) & (self.best - self.here < 0.06)) | (
            (self.best > SAME) & (far < 1.3 * self.blown_up)
        )

    @property
    def moved(self) -> Any:
        """Blocks whose content is there, but elsewhere. An edge that slides along itself is as like
        at its own place, and has not moved."""
        far = np.hypot(*self.off.T)
        there = (
            (self.best > 0.7) & (far > MOVED_FROM * self.blown_up) & (self.best - self.here > 0.08)
        )
        return there & ~self.agree


def lay(
    one: Grey,
    other: Grey,
    warp: Any,
    areas: tuple[Any, Any],
    negative: bool,
    soft: float = 1.0,
) -> Laid | None:
    """The blocks of `other` looked for on `one`, by detail `soft` times as wide as a lens draws it;
    None where too little overlaps.

    `warp` (2, 3) takes pixels of the second file to pixels of the first; `areas` are the corners of
    the picture proper in each file.
    """
    cv2.setNumThreads(1)
    found = None
    for reach in (_WIDE, _CLOSE):
        found = _compare(one, other, warp, areas, negative, reach, soft)
        if found is None:
            return None
        if reach == _CLOSE:
            break
        sure = found.best > 0.7
        if sure.sum() < 6:
            break
        better = _refit(found, sure)
        if better is None:
            break
        warp = compose(_scaled(found.per_px, better), warp)
    return found


def _refit(laid: Laid, sure: Any) -> Any:
    """The affine map of the comparison that takes each sure block to where it was found."""
    places, off = laid.places[sure], laid.off[sure]
    keep = np.ones(len(places), bool)
    change = None
    for _ in range(3):
        change = affine(places[keep], places[keep] + off[keep])
        if change is None:
            return None
        left = np.hypot(*(places @ change[:, :2].T + change[:, 2] - places - off).T)
        keep = left <= max(1.0, float(np.median(left[keep])) * 2.5)
        if keep.sum() < 6:
            return None
    return change


def _scaled(per_px: float, change: Any) -> Any:
    """A map of comparison pixels as one of file pixels."""
    return np.column_stack([change[:, :2], change[:, 2] * per_px])


def compose(after: Any, before: Any) -> Any:
    """The map (2, 3) that does `before`, then `after`."""
    linear = after[:, :2] @ before[:, :2]
    return np.column_stack([linear, after[:, :2] @ before[:, 2] + after[:, 2]])


def detail(grey: Any, soft: float = 1.0) -> Any:
    """Tones without their slow change and without their grain, as float32."""
    fine = cv2.GaussianBlur(grey, (0, 0), 1.4 * soft)
    return fine - cv2.GaussianBlur(grey, (0, 0), 7 * soft)


def on_comparison(
    grey: Grey, warp: Any, per_px: float, size: tuple[int, int], smooth: int = cv2.INTER_LINEAR
) -> Any:
    """`grey` as float32 in pixels of the comparison: `warp` takes file pixels to those of the first
    file, `per_px` of which are one here. What is reduced is averaged first."""
    pixels = grey.pixels
    scale = float(np.sqrt(abs(np.linalg.det(warp[:, :2])))) * grey.per_px / per_px
    if scale < 0.8:
        shrunk = (
            max(1, round(pixels.shape[1] * scale)),
            max(1, round(pixels.shape[0] * scale)),
        )
        pixels = cv2.resize(pixels, shrunk, interpolation=cv2.INTER_AREA)
    step = np.array([grey.width_px / pixels.shape[1], grey.height_px / pixels.shape[0]])
    linear = warp[:, :2] * step / per_px
    middle = warp[:, :2] @ (step / 2 - 0.5) + warp[:, 2]
    shift = (middle + 0.5) / per_px - 0.5
    whole = np.column_stack([linear, shift])
    return cv2.warpAffine(
        pixels.astype(np.float32), whole, size, flags=smooth, borderMode=cv2.BORDER_REPLICATE
    )


def overlap(areas: tuple[Any, Any], warp: Any, per_px: float, size: tuple[int, int]) -> Any:
    """A mask (rows, columns) of where both pictures proper lie."""
    mask = np.zeros((size[1], size[0]), np.uint8)
    cv2.fillConvexPoly(mask, np.round(areas[0] / per_px).astype(np.int32), 1)
    second = np.zeros_like(mask)
    laid = (areas[1] @ warp[:, :2].T + warp[:, 2]) / per_px
    cv2.fillConvexPoly(second, np.round(laid).astype(np.int32), 1)
    return cv2.erode(mask & second, np.ones((9, 9), np.uint8), borderValue=0)


def scale_of(one: Grey, other: Grey, warp: Any, long_side: float) -> float:
    """Pixels of the first file to one of a comparison: no finer than the coarser of the two, nor
    than `long_side` of the first."""
    stretch = float(np.sqrt(abs(np.linalg.det(warp[:, :2]))))
    whole = max(one.width_px, one.height_px)
    return max(one.per_px, stretch * other.per_px, whole / long_side)


def _compare(
    one: Grey,
    other: Grey,
    warp: Any,
    areas: tuple[Any, Any],
    negative: bool,
    reach: int,
    soft: float,
) -> Laid | None:
    extent = _extent(areas, warp)
    coarser = scale_of(one, other, warp, 1e9)
    per_px = max(min(coarser, extent / SHORT_SIDE), extent / LONG_SIDE)
    size = (max(1, round(one.width_px / per_px)), max(1, round(one.height_px / per_px)))
    ground = detail(on_comparison(one, _SAME, per_px, size), soft)
    laid = detail(on_comparison(other, warp, per_px, size), soft)
    if negative:
        laid = -laid
    mask = overlap(areas, warp, per_px, size)
    places, off, best, here, contrast = [], [], [], [], []
    inner = cv2.integral(mask)
    for top in range(reach, size[1] - BLOCK - reach + 1, STRIDE):
        for left in range(reach, size[0] - BLOCK - reach + 1, STRIDE):
            if _inside(inner, left, top) < 0.97:
                continue
            block = laid[top : top + BLOCK, left : left + BLOCK]
            under = ground[top : top + BLOCK, left : left + BLOCK]
            strength = max(float(block.std()), float(under.std()))
            if strength < _TEXTURED:
                continue
            around = ground[top - reach : top + BLOCK + reach, left - reach : left + BLOCK + reach]
            surface = cv2.matchTemplate(around, block, cv2.TM_CCOEFF_NORMED)
            surface = np.where(np.isfinite(surface) & (np.abs(surface) <= 1.01), surface, 0.0)
            row, column = np.unravel_index(int(surface.argmax()), surface.shape)
            peak = _peak(surface, int(row), int(column))
            places.append((left + BLOCK / 2, top + BLOCK / 2))
            off.append((peak[0] - reach, peak[1] - reach))
            best.append(float(surface[row, column]))
            here.append(float(surface[reach, reach]))
            contrast.append(strength)
    if not places:
        return None
    return Laid(
        warp,
        per_px,
        np.array(places),
        np.array(off),
        np.array(best),
        np.array(here),
        np.array(contrast),
        size,
        max(1.0, coarser / per_px),
    )


_SAME = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


def _extent(areas: tuple[Any, Any], warp: Any) -> float:
    """The longer side of the overlap, in pixels of the first file."""
    laid = areas[1] @ warp[:, :2].T + warp[:, 2]
    low = np.maximum(areas[0].min(0), laid.min(0))
    high = np.minimum(areas[0].max(0), laid.max(0))
    return float(max(1.0, *(high - low)))


def _inside(inner: Any, left: int, top: int) -> float:
    right, bottom = left + BLOCK, top + BLOCK
    whole = inner[bottom, right] - inner[top, right] - inner[bottom, left] + inner[top, left]
    return float(whole) / (BLOCK * BLOCK)


def _peak(surface: Any, row: int, column: int) -> tuple[float, float]:
    """The top of the surface to a part of a pixel, by a parabola each way."""

    def between(low: float, middle: float, high: float) -> float:
        bend = low - 2 * middle + high
        return 0.0 if abs(bend) < 1e-9 else float(np.clip((low - high) / (2 * bend), -0.5, 0.5))

    x, y = float(column), float(row)
    if 0 < column < surface.shape[1] - 1:
        x += between(*surface[row, column - 1 : column + 2])
    if 0 < row < surface.shape[0] - 1:
        y += between(*surface[row - 1 : row + 2, column])
    return x, y
