"""Lays a plane of a picture out at true scale; runs in the child only."""

from __future__ import annotations

import io
import os
from typing import Any

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from archive.imaging.decode import decode, open_picture
from archive.imaging.derive import encode, written
from archive.imaging.facts import plain_file, sha256_of
from archive.imaging.limits import Limits
from archive.imaging.recipes import Made, RectifiedRecipe
from archive.imaging.refusals import refused

FILES = ("view.png", "view.jpg")
PAPER = 255
"""The grey of what isn't shown: beyond the known points and their margin, and off the picture."""
FINEST = 4
"""Where the picture is finer than the view, so many of its pixels each way are averaged at most."""
STRIP_PART, LEAST_STRIP_PX, LEAST_LETTER_PX = 40, 24, 8
"""The strip with the scale bar is this part of the view's width high, and no lower than so many
pixels; its letters are no smaller than these."""
BAND_PX = 1_000_000
"""Pixels that are looked up at a time, so that their places need little memory."""


def rectify(path: str, recipe: RectifiedRecipe, out: str, limits: Limits) -> Made:
    """Writes the view as PNG, with its pixels a metre in it, and as a smaller JPEG for a page.

    Raises `Refused` for the picture's faults, and OSError where `out` can't be written.
    """
    cv2.setNumThreads(1)
    with plain_file(path) as file:
        if sha256_of(file) != recipe.sha256:
            raise refused("image-changed", "The picture is no longer the one that was read.")
        opened = open_picture(file, os.fstat(file.fileno()).st_size, limits)
        full = (opened.width_px, opened.height_px)
        image = decode(opened)
        del opened
    if image.size != full:
        raise refused("image-damaged", "The picture's data doesn't fill the size in its header.")
    box = _needed(recipe, full)
    # Nothing but the part that is looked up is kept, and only it must fit the library's bounds.
    tones = np.asarray(image.crop(box)) if box else np.full((1, 1), PAPER, np.uint8)
    del image
    view = Image.fromarray(laid_out(tones, recipe, full, box[:2] if box else (0, 0)))
    sizes = []
    if recipe.whole:
        png = io.BytesIO()
        per_inch = recipe.px_per_m * 0.0254
        view_with_bar(view, recipe).save(png, "PNG", dpi=(per_inch, per_inch), compress_level=6)
        place = os.path.join(out, FILES[0])
        tall = (view.width, view.height + _strip(recipe))
        sizes.append(written(place, FILES[0], tall, png.getvalue()))
    width = min(recipe.width_px, view.width)
    height = max(1, round(view.height * width / view.width))
    small = view if width == view.width else view.resize((width, height), Image.Resampling.LANCZOS)
    small.info = {}
    sizes.append(written(os.path.join(out, FILES[1]), FILES[1], small.size, encode(small)))
    return {"sizes": sizes, "tiles": None}


def _strip(recipe: RectifiedRecipe) -> int:
    """How high the strip below the view is, in pixels."""
    return max(LEAST_STRIP_PX, recipe.size[0] // STRIP_PART) if recipe.bar_mm else 0


def view_with_bar(view: Image.Image, recipe: RectifiedRecipe) -> Image.Image:
    """The view with a scale bar in five parts and its words below, so that it never goes without.

    Nothing of the view is covered or moved.
    """
    strip = _strip(recipe)
    if not strip:
        return view
    whole = Image.new(view.mode, (view.width, view.height + strip), "white")
    whole.paste(view)
    pen = ImageDraw.Draw(whole)
    top, length = view.height + strip // 3, recipe.bar_mm * recipe.px_per_m / 1000
    ends = [round(length * part / 5) for part in range(6)]
    for part in range(5):
        box = (ends[part], top, ends[part + 1] - 1, top + strip // 3)
        pen.rectangle(box, fill="black" if part % 2 == 0 else "white", outline="black")
    left, size = ends[-1] + strip // 3, strip // 2
    while size > LEAST_LETTER_PX and pen.textlength(recipe.note, _face(size)) > view.width - left:
        size -= 1
    pen.text((left, top + strip // 6), recipe.note, "black", _face(size), anchor="lm")
    return whole


def _face(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def laid_out(
    tones: Any, recipe: RectifiedRecipe, full: tuple[int, int], corner: tuple[int, int]
) -> Any:
    """The view's bytes (rows, columns[, 3]) from `tones`, the part of the picture at `corner`.

    Each pixel is looked up at its middle, between the four pixels around that place; where the
    picture is finer than the view, several are looked up and averaged, so that nothing flickers.
    """
    width, height = recipe.size
    times = _times(recipe)
    view = np.full((height, width, *tones.shape[2:]), PAPER, np.uint8)
    rows = max(1, BAND_PX // (width * times * times))
    for top in range(0, height, rows):
        deep = min(rows, height - top)
        px, py, ahead = places(recipe, full[0], top, deep, times)
        found = cv2.remap(
            tones,
            (px - corner[0] - 0.5).astype(np.float32),
            (py - corner[1] - 0.5).astype(np.float32),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        if times > 1:
            found = cv2.resize(found, (width, deep), interpolation=cv2.INTER_AREA)
        on = ahead & (px >= 0) & (px <= full[0]) & (py >= 0) & (py <= full[1])
        on = on.reshape(deep, times, width, times).all((1, 3)) & _shown(recipe, top, deep)
        view[top : top + deep][on] = found[on]
    return view


def places(
    recipe: RectifiedRecipe, wide: int, top: int, deep: int, times: int
) -> tuple[Any, Any, Any]:
    """Where in the picture (px across and down) `deep` rows of the view from `top` on are, looked
    up `times` times each way, and which of them lie before the camera."""
    h = np.array(recipe.h).reshape(3, 3)
    step = 1000 / recipe.px_per_m
    x = ((np.arange(recipe.size[0] * times) + 0.5) / times * step)[None, :]
    y = ((np.arange(deep * times) + 0.5) / times * step + top * step)[:, None]
    w = h[2, 0] * x + h[2, 1] * y + h[2, 2]
    middle = np.array(recipe.within).mean(0)
    ahead = w * np.sign(h[2, :2] @ middle + h[2, 2]) > 1e-9
    w = np.where(ahead, w, 1.0)
    cx, cy, focal, bend = recipe.lens
    u = ((h[0, 0] * x + h[0, 1] * y + h[0, 2]) / w - cx) / focal
    v = ((h[1, 0] * x + h[1, 1] * y + h[1, 2]) / w - cy) / focal
    far = u * u + v * v
    ahead &= 1 + 3 * bend * far > 0  # farther out the bend, as found, would fold the picture back
    bent = focal * (1 + bend * far)
    across, down = cx + bent * u, cy + bent * v
    return (wide - across if recipe.mirrored else across), down, ahead


def _shown(recipe: RectifiedRecipe, top: int, deep: int) -> Any:
    """Which pixels of `deep` rows from `top` on lie within the outline or its margin."""
    step = 1000 / recipe.px_per_m
    x = ((np.arange(recipe.size[0]) + 0.5) * step)[None, :]
    y = ((np.arange(deep) + top + 0.5) * step)[:, None]
    ring = np.array(recipe.within)
    within = np.ones((deep, recipe.size[0]), bool)
    near = np.zeros_like(within)
    ways = np.roll(ring, -1, axis=0) - ring
    turns = np.sign(np.cross(np.append(ways[0], 0), np.append(ways[1], 0))[2])
    for (px, py), (dx, dy) in zip(ring, ways, strict=True):
        within &= ((y - py) * dx - (x - px) * dy) * turns >= 0
        along = np.clip(((x - px) * dx + (y - py) * dy) / (dx * dx + dy * dy), 0, 1)
        near |= (x - px - along * dx) ** 2 + (y - py - along * dy) ** 2 <= recipe.margin**2
    return within | near


def _times(recipe: RectifiedRecipe) -> int:
    """How many times each way a pixel of the view is looked up: as much finer as the picture is."""
    step = 1000 / recipe.px_per_m
    h = np.array(recipe.h).reshape(3, 3)
    finest = 0.0
    for x, y in (*recipe.within, tuple(np.array(recipe.within).mean(0))):
        w = h[2, 0] * x + h[2, 1] * y + h[2, 2]
        at = (h[:2] @ [x, y, 1.0]) / w
        slope = (h[:2, :2] - np.outer(at, h[2, :2])) / w
        finest = max(finest, float(np.linalg.svd(slope, compute_uv=False)[0]) * step)
    return int(min(FINEST, max(1, round(finest))))


def _needed(recipe: RectifiedRecipe, full: tuple[int, int]) -> tuple[int, int, int, int] | None:
    """The box of the picture that the shown places lie in, with a little around it."""
    low, high = np.array(full, float), np.zeros(2)
    for top in range(0, recipe.size[1], 64):
        deep = min(64, recipe.size[1] - top)
        px, py, ahead = places(recipe, full[0], top, deep, 1)
        shown = ahead & _shown(recipe, top, deep)
        if shown.any():
            at = np.stack([px[shown], py[shown]])
            low, high = np.minimum(low, at.min(1)), np.maximum(high, at.max(1))
    left, upper = (max(0, int(np.floor(value)) - 3) for value in low)
    right, lower = (
        min(most, int(np.ceil(value)) + 3) for value, most in zip(high, full, strict=True)
    )
    return (left, upper, right, lower) if right > left and lower > upper else None
