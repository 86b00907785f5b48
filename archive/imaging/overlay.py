"""Brings two related pictures to one frame, and shows what differs; runs in the child only."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Any

import cv2
import numpy as np
from PIL import Image

from archive.imaging.derive import encode, written
from archive.imaging.laying import detail
from archive.imaging.limits import Limits
from archive.imaging.raster import Grey, grey_of
from archive.imaging.recipes import Made, OverlayRecipe

FILES = ("first.jpg", "second.jpg", "difference.jpg")
_OUTSIDE = 128
_CLEAR = 9.0  # grey levels of detail that two prints of one negative differ by anyhow


def overlay(path: str, other: str, recipe: OverlayRecipe, out: str, limits: Limits) -> Made:
    """Writes the first picture's part of the overlap, the second's laid on it, and the difference.

    All three are grey and of one size. Raises `Refused` for the pictures' faults, and OSError where
    `out` can't be written.
    """
    cv2.setNumThreads(1)
    first, second = grey_of(path, recipe.sums[0], limits), grey_of(other, recipe.sums[1], limits)
    width, height = recipe.size
    left, top, right, bottom = recipe.box
    to_frame = np.array(
        [
            [width / (right - left), 0.0, -left * width / (right - left)],
            [0.0, height / (bottom - top), -top * height / (bottom - top)],
        ]
    )
    straight = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    ground = _framed(first, straight, to_frame, recipe.size)
    laid = _framed(second, np.array(recipe.warp).reshape(2, 3), to_frame, recipe.size)
    if recipe.negative:
        laid = np.where(laid >= 0, 255 - laid, laid)
    sizes = []
    tones = [_filled(ground), _filled(laid), _difference(ground, laid)]
    for file, values in zip(FILES, tones, strict=True):
        data = encode(Image.fromarray(values))
        sizes.append(written(os.path.join(out, file), file, (width, height), data))
    return {"sizes": sizes, "tiles": None}


def _framed(grey: Grey, warp: Any, to_frame: Any, size: Sequence[int]) -> Any:
    """The tones in the frame as float32, -1 where the picture has none."""
    pixels = grey.pixels
    whole = _after(to_frame, warp)
    scale = float(np.sqrt(abs(np.linalg.det(whole[:, :2])))) * grey.per_px
    if scale < 0.8:
        shrunk = (max(1, round(pixels.shape[1] * scale)), max(1, round(pixels.shape[0] * scale)))
        pixels = cv2.resize(pixels, shrunk, interpolation=cv2.INTER_AREA)
    step = np.array([grey.width_px / pixels.shape[1], grey.height_px / pixels.shape[0]])
    placed = np.column_stack([whole[:, :2] * step, whole[:, 2]])
    values = pixels.astype(np.float32)
    laid = cv2.warpAffine(values, placed, tuple(size), flags=cv2.INTER_LINEAR)
    there = cv2.warpAffine(np.ones_like(values), placed, tuple(size), flags=cv2.INTER_LINEAR)
    return np.where(there > 0.99, laid, -1.0)


def _after(after: Any, before: Any) -> Any:
    linear = after[:, :2] @ before[:, :2]
    return np.column_stack([linear, after[:, :2] @ before[:, 2] + after[:, 2]])


def _filled(values: Any) -> Any:
    return np.clip(np.where(values < 0, _OUTSIDE, values), 0, 255).astype(np.uint8)


def _difference(ground: Any, laid: Any) -> Any:
    """Dark where the two differ in more than tone, paper where they agree."""
    both = (ground >= 0) & (laid >= 0)
    there = cv2.erode(both.astype(np.uint8), np.ones((9, 9), np.uint8), borderValue=0) > 0
    first = detail(np.where(ground < 0, _OUTSIDE, ground).astype(np.float32))
    second = detail(np.where(laid < 0, _OUTSIDE, laid).astype(np.float32))
    if there.any():
        # Printed harder or softer is no difference: the second is brought to the first's contrast.
        second = second * float(first[there].std() / max(float(second[there].std()), 1e-3))
    apart = np.maximum(np.abs(first - second) - _CLEAR, 0.0)
    return np.where(there, np.clip(250 - 7 * apart, 0, 255), 250).astype(np.uint8)
