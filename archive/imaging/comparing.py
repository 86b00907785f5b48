"""The answer about two pictures that may be related: runs in the child only.

Only shared grain proves one negative. Only a thing that is seen elsewhere, or a view that turned,
proves two: what is merely missing may be a scratch, a screen or a retoucher's work.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import cv2
import numpy as np

from archive.core.likeness import ANOTHER, COPIES, NONE, OPEN
from archive.imaging.grain import Shared, shared_grain
from archive.imaging.laying import BLOCK, SOFT, STRIDE, Laid, lay
from archive.imaging.limits import Limits
from archive.imaging.raster import Grey, grey_of

_LEAST_BLOCKS = 12
_MOST_PATCHES = 12
_PLAIN = 5.0  # grey levels of detail
_HALF_THERE = 0.3
_MOSTLY = 0.4
_SOME_MOVED = 8  # blocks
_STAYED = 0.02
_UNDER_A_SCREEN = 0.42
ONE_SCAN = 0.9
"""Grain as like as this at one place of two scans is one scan saved twice."""


def compare(
    path: str,
    limits: Limits,
    sums: Sequence[str],
    other: str,
    areas: tuple[Any, Any],
    warp: Any,
    negative: bool,
) -> dict[str, Any]:
    """The answer about the files at `path` and `other`, with figures, as plain values.

    `warp` takes pixels of the second to pixels of the first. Raises `Refused`.
    """
    first, second = grey_of(path, sums[0], limits), grey_of(other, sums[1], limits)
    return judged(first, second, _arrays(areas), np.array(warp), negative)


def judged(
    first: Grey, second: Grey, areas: tuple[Any, Any], warp: Any, negative: bool
) -> dict[str, Any]:
    """The same about tones that are at hand; `areas` and `warp` are arrays."""
    laid = lay(first, second, warp, areas, negative)
    if laid is None:
        return {"answer": NONE}
    under = None
    if _may_be_screened(laid):
        under = lay(first, second, warp, areas, negative, SOFT)
    screened = under is not None and float(under.agree.mean()) >= _UNDER_A_SCREEN
    if under is not None and screened:
        laid = under
    if int(laid.agree.sum()) < _LEAST_BLOCKS:
        return {"answer": NONE}
    keystone, rms = _keystone(laid)
    grain = shared_grain(first, second, laid.warp, areas, negative)
    agreeing, moved = float(laid.agree.mean()), float(laid.moved.mean())
    answer = OPEN if screened else _answer(laid, agreeing, moved, keystone, rms, grain)
    return {
        "answer": answer,
        "warp": [float(number) for number in laid.warp.reshape(6)],
        "agreeing": agreeing,
        "moved": moved,
        "grain": grain.rho,
        "grain_z": grain.z,
        "grain_places": grain.places,
        "keystone_px": keystone,
        "same_place": grain.same_place,
        "patches": _patches(laid) if answer != NONE else [],
    }


def _arrays(areas: tuple[Any, Any]) -> tuple[Any, Any]:
    return np.array(areas[0], float), np.array(areas[1], float)


def _answer(
    laid: Laid, agreeing: float, moved: float, keystone: float, rms: float, grain: Shared
) -> str:
    if not _one_scene(laid, agreeing, moved):
        return NONE
    proof = grain.rho >= 0.06 and (
        (grain.z >= 8 and grain.places >= 6) or (grain.z >= 4 and grain.places >= 20)
    )
    if grain.same_place and grain.rho < ONE_SCAN:
        proof = False
    if proof and agreeing >= 0.45 and moved < 0.10:
        return COPIES
    if keystone >= 6 or (keystone >= 3 and moved >= 0.08):
        return ANOTHER
    # Some blocks of a retoucher's edges and of scratches are always found elsewhere by chance.
    enough = moved >= 0.08 or (moved >= 0.04 and (keystone >= 3 or rms >= 0.75))
    if enough and int(laid.moved.sum()) >= _SOME_MOVED and _coherent(laid):
        return ANOTHER
    return OPEN if agreeing >= _MOSTLY else NONE


def _may_be_screened(laid: Laid) -> bool:
    """Whether little agrees and next to nothing moved: the dots of a screen may hide the rest."""
    return float(laid.agree.mean()) < _MOSTLY and float(laid.moved.mean()) < _STAYED


def _one_scene(laid: Laid, agreeing: float, moved: float) -> bool:
    """Whether enough of the overlap is there at all: two aircraft of one type agree in spots."""
    return agreeing + moved >= _HALF_THERE


def _coherent(laid: Laid) -> bool:
    """Whether at least half of what moved moved like a neighbour: things move, noise jumps."""
    places, off = laid.places[laid.moved], laid.off[laid.moved]
    if len(places) < 2:
        return False
    apart = np.abs(places[:, None] - places[None]).max(2)
    apart_by = np.hypot(*np.moveaxis(off[:, None] - off[None], 2, 0))
    alike = apart_by < np.maximum(1.5, 0.35 * np.hypot(*off.T))[:, None]
    beside = (apart > 0) & (apart <= STRIDE * 1.5)
    return float((beside & alike).any(1).mean()) >= 0.5


def _keystone(laid: Laid) -> tuple[float, float]:
    """How far the best flat view leaves the best straight one over the blocks, and how well blocks
    fit; in pixels of the comparison."""
    sure = (laid.best > 0.7) & (np.hypot(*laid.off.T) < 8)
    places, off = laid.places[sure], laid.off[sure]
    if len(places) < _LEAST_BLOCKS:
        return 0.0, 0.0
    rms = float(np.sqrt(np.median((off**2).sum(1)) / 0.693))
    target = places + off
    keep = np.ones(len(places), bool)
    for _ in range(3):
        view, _ = cv2.findHomography(places[keep], target[keep], 0)
        if view is None:
            return 0.0, rms
        left = np.hypot(*(_seen(view, places) - target).T)
        keep = left <= max(1.0, 2.5 * float(np.median(left[keep])))
        if keep.sum() < _LEAST_BLOCKS:
            return 0.0, rms
    corners = np.array(
        [
            [x, y]
            for x in (places[:, 0].min(), places[:, 0].max())
            for y in (places[:, 1].min(), places[:, 1].max())
        ]
    )
    straight, _, _, _ = np.linalg.lstsq(
        np.column_stack([places[keep], np.ones(int(keep.sum()))]), target[keep], rcond=None
    )
    flat = np.column_stack([corners, np.ones(4)]) @ straight
    return float(np.hypot(*(_seen(view, corners) - flat).T).max()), rms


def _seen(view: Any, points: Any) -> Any:
    wide = np.column_stack([points, np.ones(len(points))]) @ view.T
    return wide[:, :2] / wide[:, 2:]


def _patches(laid: Laid) -> list[Mapping[str, float]]:
    """Boxes around neighbouring blocks that don't agree, in pixels of the first file: first where
    most differs, by size and strength. What is faint is no more than grain."""
    differ = ~laid.agree & (laid.contrast >= _PLAIN)
    columns = np.round((laid.places[:, 0] - laid.places[:, 0].min()) / STRIDE).astype(int)
    rows = np.round((laid.places[:, 1] - laid.places[:, 1].min()) / STRIDE).astype(int)
    sheet = np.zeros((rows.max() + 1, columns.max() + 1), np.uint8)
    sheet[rows[differ], columns[differ]] = 1
    count, labels = cv2.connectedComponents(sheet, connectivity=8)
    half = BLOCK / 2
    found = []
    for label in range(1, count):
        mine = differ & (labels[rows, columns] == label)
        places = laid.places[mine]
        there = laid.moved[mine]
        far = float(np.median(np.hypot(*laid.off[mine][there].T))) if there.mean() >= 0.5 else 0.0
        low, high = places.min(0) - half, places.max(0) + half
        box = [float(number) * laid.per_px for number in (*low, *high, far)]
        unlike = float(((1 - laid.best[mine]) * laid.contrast[mine]).sum())
        found.append((unlike, box))
    found.sort(key=lambda item: (-item[0], item[1]))
    names = ("left", "top", "right", "bottom", "moved_px")
    return [dict(zip(names, box, strict=True)) for _, box in found[:_MOST_PATCHES]]
