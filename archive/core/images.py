"""What is known of an image file once it has been opened: plain facts, no pixels."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ImageFacts:
    """Facts of one image file.

    `sha256` is of the file's bytes, in lower-case hex. `width_px` and `height_px` are after the
    Exif orientation is applied, never mirrored by choice. `format` is by content: JPEG, PNG,
    TIFF or WEBP. `mode` is Pillow's name for the pixel layout ("L", "RGB", "I;16").
    `orientation` is the Exif value 1 to 8 (1 where none is given). `bytes` is the file's size.
    """

    sha256: str
    format: str
    mode: str
    width_px: int
    height_px: int
    orientation: int
    bytes: int


@dataclass(frozen=True, slots=True)
class PictureSize:
    """One smaller copy of a picture: its path from the site's root, and its size."""

    path: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class Tiles:
    """The deep-zoom tiles of a picture: `folder/LEVEL/COLUMN_ROW.jpg` from the site's root."""

    folder: str
    width_px: int
    height_px: int
    tile_px: int
    overlap_px: int
    min_level: int
    max_level: int


@dataclass(frozen=True, slots=True)
class PictureSet:
    """Everything the site holds of one picture: its sizes, smallest first, and tiles if it is big."""

    name: str
    sizes: tuple[PictureSize, ...]
    tiles: Tiles | None
    width_px: int
    height_px: int
