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
    """One reduced picture: its path from the site's root, and its pixels."""

    path: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class Overlay:
    """Two related pictures in one frame: the first's part, the second laid on it, and what differs.

    All three are of one size. `box` is the frame in upright pixels of the first picture: left, top,
    right, bottom.
    """

    first: PictureSize
    second: PictureSize
    difference: PictureSize
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class RectifiedPicture:
    """A plane laid out at true scale: the whole view to take away, which holds its pixels a metre,
    and a smaller copy for a page."""

    whole: PictureSize
    small: PictureSize


@dataclass(frozen=True, slots=True)
class TileLevel:
    """One halving of the picture: its pixels, and its tiles across and down."""

    width_px: int
    height_px: int
    columns: int
    rows: int


@dataclass(frozen=True, slots=True)
class Tiles:
    """A picture cut into tiles for zooming.

    `folder` is from the site's root; level 0 fits one tile and the last is the whole picture; each
    tile has `overlap_px` of its neighbours on every inner side.
    """

    folder: str
    width_px: int
    height_px: int
    levels: tuple[TileLevel, ...]
    tile_px: int
    overlap_px: int

    def path(self, level: int, column: int, row: int) -> str:
        """The tile's path from the site's root."""
        return f"{self.folder}/{level}/{column}_{row}.jpg"


@dataclass(frozen=True, slots=True)
class PictureSet:
    """All that a site holds of one picture; `sizes` run from the smallest, at least one.

    `width_px` and `height_px` are the original's, upright.
    """

    name: str
    width_px: int
    height_px: int
    sizes: tuple[PictureSize, ...]
    tiles: Tiles | None

    @property
    def files(self) -> tuple[str, ...]:
        """The path of every file of the set, from the site's root."""
        found = [size.path for size in self.sizes]
        if self.tiles:
            found += [
                self.tiles.path(number, column, row)
                for number, level in enumerate(self.tiles.levels)
                for row in range(level.rows)
                for column in range(level.columns)
            ]
        return tuple(found)
