"""What can be asked of one picture, and what came of it: plain values that pass the pipe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict

Point = tuple[float, float]

QUALITY = 82
TILE_SIZE = 510  # with one pixel of overlap on each side: 512
TILE_OVERLAP = 1
TALLEST = 3  # a size is at most so many times as high as its width says


@dataclass(frozen=True, slots=True)
class Recipe:
    """What to make of one picture: `widths` in pixels, a tile pyramid or none, regions to cover
    (upright pixels of the file), an XMP packet and an Exif segment (hex) to embed in the sizes, ""
    for none. Tiles are `tile_px` wide and high, with `overlap_px` of their neighbours on every
    inner side."""

    sha256: str
    widths: tuple[int, ...]
    tiles: bool
    flat: tuple[tuple[Point, ...], ...]
    xmp: str
    tile_px: int = TILE_SIZE
    overlap_px: int = TILE_OVERLAP
    exif: str = ""


@dataclass(frozen=True, slots=True)
class OverlayRecipe:
    """How to bring two pictures to one frame: their checksums, the `warp` (a, b, c, d, e, f) that
    takes pixels of the second to pixels of the first, whether the second's tones are reversed, the
    `box` of the frame in pixels of the first (left, top, right, bottom), and its `size`."""

    sums: tuple[str, str]
    warp: tuple[float, ...]
    negative: bool
    box: tuple[float, float, float, float]
    size: tuple[int, int]


@dataclass(frozen=True, slots=True)
class RectifiedRecipe:
    """How to lay a plane of a picture out at true scale: the picture's checksum, the view's `size`
    in pixels and how many of them make a metre, the homography `h` (nine numbers) from millimetres
    of the view to pixels before the lens, the `lens` (middle across and down, focal length, k1)
    that bends them, whether pixels are counted from the right, and the convex outline `within` that
    is shown with a `margin` around it (mm of the view). `width_px` is that of the smaller copy;
    without `whole` only that is made. The whole view gets a scale bar of `bar_mm` and the words of
    `note` below it; 0 for none."""

    sha256: str
    size: tuple[int, int]
    px_per_m: int
    h: tuple[float, ...]
    lens: tuple[float, float, float, float]
    mirrored: bool
    within: tuple[Point, ...]
    margin: float
    width_px: int
    whole: bool = True
    bar_mm: float = 0.0
    note: str = ""


class MadeSize(TypedDict):
    """One reduced picture: its file in the output folder, its pixels, the start of its SHA-256."""

    file: str
    width: int
    height: int
    key: str


class MadeTiles(TypedDict):
    """The pyramid in the output folder's `tiles/LEVEL/COL_ROW.jpg`: `[width, height, columns,
    rows]` of each level from the smallest, and the start of the SHA-256 of all the tiles."""

    levels: list[list[int]]
    key: str


class Made(TypedDict):
    """What `derive` made."""

    sizes: list[MadeSize]
    tiles: MadeTiles | None
