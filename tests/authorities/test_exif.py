"""Orientation against the table of Exif 2.3 (CIPA DC-008-2012, 4.6.4 A, tag 274 "Orientation").

The standard gives for each value the side of the seen picture at which the stored 0th row and the
stored 0th column lie. The stored pictures are made here from that table by counting rows and
columns alone; piexif, an independent library, writes the tag.
"""

from __future__ import annotations

import io
from pathlib import Path

import piexif
import pytest
from PIL import Image

from archive.core.images import ImageFacts
from archive.imaging.catalogue import facts_of
from archive.imaging.decode import ORIENTATION, decode, open_picture
from archive.imaging.limits import Limits
from archive.pictures.make import make_pictures
from archive.pictures.orders import PictureOrder

# value: (0th row, 0th column), as the standard words it ("visual top", "left-hand side", ...)
TABLE = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}
WIDTH, HEIGHT, BLOCK = 3, 2, 32
SEEN = [[10, 60, 110], [150, 200, 250]]  # greys of the blocks of the picture as it should be seen
FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")


def stored(value: int) -> Image.Image:
    """The picture as it is stored under `value`: each stored cell looked up by the table."""
    row_side, column_side = TABLE[value]
    turned = row_side in ("left", "right")
    rows, columns = (WIDTH, HEIGHT) if turned else (HEIGHT, WIDTH)

    def along(side: str, number: int) -> int:
        length = WIDTH if side in ("left", "right") else HEIGHT
        return number if side in ("top", "left") else length - 1 - number

    picture = Image.new("L", (columns, rows))
    for row in range(rows):
        for column in range(columns):
            first, second = along(row_side, row), along(column_side, column)
            x, y = (first, second) if turned else (second, first)
            picture.putpixel((column, row), SEEN[y][x])
    return picture.resize((columns * BLOCK, rows * BLOCK), Image.Resampling.NEAREST).convert("RGB")


def file_of(value: int, format: str) -> bytes:
    """The file of one of the eight pictures in one of the four formats."""
    buffer = io.BytesIO()
    exif = piexif.dump({"0th": {piexif.ImageIFD.Orientation: value}})
    picture = stored(value)
    if format == "TIFF":
        picture.save(buffer, "TIFF", tiffinfo={274: value})
    elif format == "PNG":
        picture.save(buffer, "PNG", exif=exif)
    else:
        picture.save(buffer, format, quality=95, lossless=True)
        marked = io.BytesIO()
        piexif.insert(exif, buffer.getvalue(), marked)
        buffer = marked
    return buffer.getvalue()


def blocks(picture: Image.Image) -> list[list[int]]:
    grey = picture.convert("L")
    size = grey.width // WIDTH
    return [
        [int(grey.getpixel((x * size + size // 2, y * size + size // 2))) for x in range(WIDTH)]  # type: ignore[arg-type]
        for y in range(HEIGHT)
    ]


def near(found: list[list[int]]) -> bool:
    return all(
        abs(a - b) <= 6
        for line, want in zip(found, SEEN, strict=True)
        for a, b in zip(line, want, strict=True)
    )


def test_the_tag_number_is_that_of_piexif() -> None:
    assert piexif.ImageIFD.Orientation == ORIENTATION


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("value", TABLE)
def test_pixels_stand_as_the_standard_says(value: int, format: str) -> None:
    data = file_of(value, format)
    opened = open_picture(io.BytesIO(data), len(data), Limits())
    assert (opened.orientation, opened.format) == (value, format)
    upright = decode(opened)
    assert upright.size == (WIDTH * BLOCK, HEIGHT * BLOCK)
    assert near(blocks(upright))


@pytest.mark.parametrize("value", TABLE)
def test_a_reduced_decode_stands_the_same(value: int) -> None:
    data = file_of(value, "JPEG")
    upright = decode(open_picture(io.BytesIO(data), len(data), Limits()), at_least=(24, 16))
    assert upright.size == (24, 16)
    assert near(blocks(upright))


def test_facts_and_made_pictures_stand_the_same(tmp_path: Path) -> None:
    paths = {}
    for value in TABLE:
        for format in FORMATS:
            path = tmp_path / f"p{value}-{format.lower()}"
            path.write_bytes(file_of(value, format))
            paths[path] = value
    facts = facts_of(paths)
    orders = []
    for path, value in paths.items():
        found = facts[path]
        assert isinstance(found, ImageFacts)
        assert (found.width_px, found.height_px, found.orientation) == (96, 64, value)
        orders.append(PictureOrder(path, found, path.name, widths=(48, 96)))
    sets, refusals = make_pictures(orders, tmp_path / "out", tmp_path / "cache")
    assert not refusals
    for made in sets.values():
        for size in made.sizes:
            with Image.open(tmp_path / "out" / size.path) as picture:
                assert picture.size == (size.width_px, size.height_px)
                assert near(blocks(picture))


@pytest.mark.parametrize("value", [0, 9, 65535])
def test_values_that_the_standard_reserves_turn_nothing(value: int) -> None:
    buffer = io.BytesIO()
    stored(1).save(buffer, "JPEG", exif=piexif.dump({"0th": {274: value}}))
    data = buffer.getvalue()
    assert open_picture(io.BytesIO(data), len(data), Limits()).orientation == 1


def test_an_orientation_in_the_xmp_alone_turns_nothing() -> None:
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/' tiff:Orientation=\"6\"></x:xmpmeta>"
    for format in FORMATS:
        buffer = io.BytesIO()
        more = {"tiffinfo": {700: xmp}} if format == "TIFF" else {"xmp": xmp}
        stored(1).save(buffer, format, quality=95, **more)
        data = buffer.getvalue()
        opened = open_picture(io.BytesIO(data), len(data), Limits())
        assert opened.orientation == 1
        assert near(blocks(decode(opened)))


def test_a_png_may_carry_its_exif_after_the_pixels() -> None:
    """PNG, third edition (W3C, 2025), 11.3.3.4: eXIf may stand anywhere but between the IDATs."""
    data = file_of(6, "PNG")
    start = data.index(b"eXIf") - 4
    length = int.from_bytes(data[start : start + 4], "big") + 12
    chunk, rest = data[start : start + length], data[:start] + data[start + length :]
    end = rest.index(b"IEND") - 4
    moved = rest[:end] + chunk + rest[end:]
    opened = open_picture(io.BytesIO(moved), len(moved), Limits())
    assert (opened.orientation, opened.width_px, opened.height_px) == (6, 96, 64)
    assert near(blocks(decode(opened)))
