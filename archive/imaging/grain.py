"""Whether two pictures share the grain and dust of one negative; runs in the child only.

Grain is what is left where a picture shows nothing: places without structure in either picture,
beyond what the lens drew. The same fine detail there, and only at the one right place, can come
from nothing but one negative, or one scanner's own pattern.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np

from archive.imaging.laying import BLOCK, on_comparison, overlap, scale_of
from archive.imaging.raster import FINEST_PX, Grey

_REACH = 4
_MOST = 240  # places looked at


@dataclass(frozen=True, slots=True)
class Shared:
    """`rho` is the lower quartile over places of the fine detail's correlation, `z` by how many
    standard deviations it stands above the same at wrong shifts; `places` how many were looked at.
    `same_place` says that both lie at one place of their scans."""

    rho: float
    z: float
    places: int
    same_place: bool


def shared_grain(
    one: Grey, other: Grey, warp: Any, areas: tuple[Any, Any], negative: bool
) -> Shared:
    """The grain that two pictures share, `other` laid on `one` by `warp` (2, 3)."""
    cv2.setNumThreads(1)
    lies = not negative and same_place(warp)  # a scanner's pattern has one sense in all its scans
    per_px = scale_of(one, other, warp, FINEST_PX)
    size = (max(1, round(one.width_px / per_px)), max(1, round(one.height_px / per_px)))
    straight = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    ground = on_comparison(one, straight, per_px, size, cv2.INTER_CUBIC)
    laid = on_comparison(other, warp, per_px, size, cv2.INTER_CUBIC)
    mask = overlap(areas, warp, per_px, size)
    spots = _empty_places(ground, laid, mask)
    if not spots:
        return Shared(0.0, 0.0, 0, lies)
    fine, under = _fine(laid), _fine(ground)
    if negative:
        fine = -fine
    surfaces = []
    for left, top in spots:
        block = fine[top : top + BLOCK, left : left + BLOCK]
        around = under[top - _REACH : top + BLOCK + _REACH, left - _REACH : left + BLOCK + _REACH]
        surface = cv2.matchTemplate(around, block, cv2.TM_CCOEFF_NORMED)
        surfaces.append(np.where(np.isfinite(surface) & (np.abs(surface) <= 1.01), surface, 0.0))
    quarter = np.quantile(np.array(surfaces), 0.25, axis=0)
    row, column = np.unravel_index(int(quarter.argmax()), quarter.shape)
    rows, columns = np.indices(quarter.shape)
    wrong = quarter[np.maximum(abs(rows - row), abs(columns - column)) > 1]
    rho = float(quarter[row, column])
    z = (rho - float(wrong.mean())) / max(float(wrong.std()), 1e-4)
    return Shared(rho, z, len(spots), lies)


def same_place(warp: Any) -> bool:
    """Whether the pictures lie at one place of two scans of one scale, along either side: then what
    they share may be the scanner's."""
    linear, shift = warp[:, :2], warp[:, 2]
    upright = np.abs(linear - np.eye(2)).max() < 0.002
    return bool(upright and (abs(shift[0]) < 3 or abs(shift[1]) < 3))


def _fine(grey: Any) -> Any:
    return grey - cv2.GaussianBlur(grey, (0, 0), 1.8)


def _empty_places(ground: Any, laid: Any, mask: Any) -> list[tuple[int, int]]:
    """Corners of blocks where neither picture shows any structure.

    Structure is detail a few pixels wide, measured against the finest: where it is lowest in a
    picture there is only grain.
    """
    rows, columns = mask.shape
    corners = [
        (left, top)
        for top in range(_REACH, rows - BLOCK - _REACH + 1, BLOCK)
        for left in range(_REACH, columns - BLOCK - _REACH + 1, BLOCK)
        if mask[top : top + BLOCK, left : left + BLOCK].min()
    ]
    if not corners:
        return []
    fits = np.ones(len(corners), bool)
    for grey in (ground, laid):
        fine = grey - cv2.GaussianBlur(grey, (0, 0), 1.2)
        middle = cv2.GaussianBlur(grey, (0, 0), 2.0) - cv2.GaussianBlur(grey, (0, 0), 6.0)
        energy = np.array(
            [
                [float((band[t : t + BLOCK, x : x + BLOCK] ** 2).mean()) for band in (middle, fine)]
                for x, t in corners
            ]
        )
        slope = energy[:, 0] / (energy[:, 1] + 0.05)
        burnt = energy[:, 1] < 0.02  # nothing at all: burnt out, or painted over
        fits &= (slope < 2 * np.quantile(slope, 0.1)) & ~burnt
    chosen = [corner for corner, fit in zip(corners, fits, strict=True) if fit]
    return chosen[:: max(1, -(-len(chosen) // _MOST))]
