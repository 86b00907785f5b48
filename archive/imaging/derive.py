"""Reduces one picture to its sizes and tiles, decoding it once; runs in the child only."""

from __future__ import annotations

import errno
import hashlib
import io
import os
from collections.abc import Sequence

from PIL import Image, ImageFile

from archive.imaging.decode import decode, open_picture
from archive.imaging.facts import plain_file, sha256_of
from archive.imaging.limits import Limits
from archive.imaging.recipes import (
    QUALITY,
    TALLEST,
    TILE_SIZE,
    Made,
    MadeSize,
    MadeTiles,
    Recipe,
)
from archive.imaging.refusals import refused
from archive.imaging.regions import fill_flat


def derive(path: str, recipe: Recipe, out: str, limits: Limits) -> Made:
    """Writes the recipe's files into the folder `out`.

    Raises `Refused` for the picture's faults (a picture whose bytes aren't the recipe's is
    `image-changed`), and `OSError` where `out` can't be written.
    """
    with plain_file(path) as file:
        if sha256_of(file) != recipe.sha256:
            raise refused("image-changed", "The picture is no longer the one that was read.")
        opened = open_picture(file, os.fstat(file.fileno()).st_size, limits)
        full = (opened.width_px, opened.height_px)
        targets = sizes_of(full, recipe.widths)
        # Covered regions must be filled before anything is scaled, and so before a reduced decode.
        whole = recipe.tiles or bool(recipe.flat)
        image = decode(opened, None if whole else targets[0])
        del opened  # a turned picture is held once, not twice
    if whole and image.size != full:
        raise refused("image-damaged", "The picture's data doesn't fill the size in its header.")
    if recipe.flat:
        fill_flat(image, recipe.flat)
    made_tiles = None
    levels = [image]
    if recipe.tiles:
        levels = pyramid(image, recipe.tile_px)
        made_tiles = _write_tiles(levels, out, recipe.tile_px, recipe.overlap_px)
    return {"sizes": _write_sizes(levels, targets, recipe, out), "tiles": made_tiles}


def sizes_of(full: tuple[int, int], widths: Sequence[int]) -> list[tuple[int, int]]:
    """The sizes to make, largest first: the picture's shape within each width, never enlarged."""
    width, height = full
    found = set()
    for wanted in widths:
        scale = min(1.0, wanted / width, TALLEST * wanted / height)
        found.add((max(1, round(width * scale)), max(1, round(height * scale))))
    return sorted(found, reverse=True)


def pyramid(image: Image.Image, tile_px: int = TILE_SIZE) -> list[Image.Image]:
    """`image` and its halvings (rounded up), down to the first that is a single tile."""
    levels = [image]
    while max(levels[-1].size) > tile_px:
        levels.append(levels[-1].reduce(2))
    return levels


def _write_sizes(
    levels: list[Image.Image], targets: list[tuple[int, int]], recipe: Recipe, out: str
) -> list[MadeSize]:
    """Each size from the smallest picture at hand that is still half as large again."""
    at_hand = list(levels)
    made: list[MadeSize] = []
    for size in targets:
        roomy = [image for image in at_hand if image.width >= 1.5 * size[0]]
        source = min(roomy or levels[:1], key=lambda image: image.width)
        if source.size != size:
            # Whole factors by averaging, the rest by cubic interpolation: two thirds of the time
            # of a Lanczos filter, and within 2 grey levels of it on average in grainy pictures.
            source = source.resize(size, Image.Resampling.BICUBIC, reducing_gap=1.0)
            at_hand.append(source)
        data = encode(source, recipe.xmp, bytes.fromhex(recipe.exif))
        file = f"{size[0]}.jpg"
        made.append(written(os.path.join(out, file), file, size, data))
    return made[::-1]


def _write_tiles(levels: list[Image.Image], out: str, tile_px: int, overlap_px: int) -> MadeTiles:
    digest = hashlib.sha256()
    table = []
    for number, image in enumerate(reversed(levels)):
        folder = os.path.join(out, "tiles", str(number))
        os.makedirs(folder, exist_ok=True)
        width, height = image.size
        columns, rows = -(-width // tile_px), -(-height // tile_px)
        table.append([width, height, columns, rows])
        for row in range(rows):
            for column in range(columns):
                box = (
                    max(0, column * tile_px - overlap_px),
                    max(0, row * tile_px - overlap_px),
                    min(width, (column + 1) * tile_px + overlap_px),
                    min(height, (row + 1) * tile_px + overlap_px),
                )
                data = encode(image.crop(box))
                digest.update(data)
                _write(os.path.join(folder, f"{column}_{row}.jpg"), data)
    return {"levels": table, "key": digest.hexdigest()[:10]}


def encode(image: Image.Image, xmp: str = "", exif: bytes = b"") -> bytes:
    """`image` as JPEG bytes: the pixels, the XMP and Exif given, and nothing else."""
    assert not image.info  # Pillow would carry a comment over
    if isinstance(image, ImageFile.ImageFile):  # straight from its file: leave that behind
        image = image.copy()
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=QUALITY, xmp=xmp.encode(), exif=exif)
    return buffer.getvalue()


def written(path: str, file: str, size: tuple[int, int], data: bytes) -> MadeSize:
    """Writes the encoded picture `data` of `size` to `path`, and tells of it as `file`."""
    _write(path, data)
    key = hashlib.sha256(data).hexdigest()[:10]
    return {"file": file, "width": size[0], "height": size[1], "key": key}


def _write(path: str, data: bytes) -> None:
    with open(path, "wb", buffering=0) as file:
        if file.write(data) != len(data):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), path)
