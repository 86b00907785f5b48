"""What is covered is gone: at every size and tile, whatever lay beneath."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from archive.imaging.derive import derive
from archive.imaging.limits import Limits
from archive.imaging.recipes import Made, Point, Recipe
from archive.imaging.regions import FLAT, MARGIN_PX, fill_flat

SQUARE = ((400.0, 300.0), (700.0, 300.0), (700.0, 500.0), (400.0, 500.0))


def scene(beneath: str) -> bytes:
    """A JPEG of 1400 x 1000 with a face or a lorry, so to speak, under `SQUARE`."""
    picture = Image.merge("RGB", [Image.linear_gradient("L").resize((1400, 1000))] * 3)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((400, 300, 700, 500), fill=beneath)
    draw.line((400, 300, 700, 500), fill="white", width=9)
    if beneath == "red":
        draw.ellipse((450, 320, 650, 480), fill="black")
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=88)
    return buffer.getvalue()


def made_of(
    data: bytes, folder: Path, flat: tuple[tuple[Point, ...], ...], tiles: bool = True
) -> tuple[Made, Path]:
    folder.mkdir()
    source = folder / "source.jpg"
    source.write_bytes(data)
    recipe = Recipe(hashlib.sha256(data).hexdigest(), (320, 640), tiles, flat, "")
    out = folder / "out"
    out.mkdir()
    return derive(str(source), recipe, str(out), Limits()), out


@pytest.mark.parametrize("tiles", [True, False])
def test_what_lies_beneath_changes_no_byte(tiles: bool, tmp_path: Path) -> None:
    red, red_out = made_of(scene("red"), tmp_path / "red", (SQUARE,), tiles)
    blue, blue_out = made_of(scene("blue"), tmp_path / "blue", (SQUARE,), tiles)
    assert red == blue
    files = sorted(path.relative_to(red_out) for path in red_out.rglob("*.jpg"))
    assert len(files) == (11 if tiles else 2)
    for file in files:
        assert (red_out / file).read_bytes() == (blue_out / file).read_bytes()


def test_without_a_cover_it_shows(tmp_path: Path) -> None:
    """The control of the test above."""
    red, _ = made_of(scene("red"), tmp_path / "red", ())
    blue, _ = made_of(scene("blue"), tmp_path / "blue", ())
    assert red != blue


def test_the_cover_is_one_tone_at_every_size(tmp_path: Path) -> None:
    """Within the block of 16 pixels in which a JPEG lets the cover's own edge ring."""
    made, out = made_of(scene("red"), tmp_path / "red", (SQUARE,))
    for size in made["sizes"]:
        scale = size["width"] / 1400
        left, top, right, bottom = (round(v * scale) for v in (400, 300, 700, 500))
        with Image.open(out / size["file"]) as picture:
            inside = picture.crop((left + 16, top + 16, right - 16, bottom - 16))
            for low, high in inside.getextrema():  # type: ignore[misc]
                assert FLAT - 2 <= low <= high <= FLAT + 2


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-60, 260).map(float), st.integers(-60, 260).map(float)),
        min_size=1,
        max_size=6,
    )
)
def test_every_point_of_the_outline_is_covered_with_its_margin(outline: list[Point]) -> None:
    picture = Image.new("L", (200, 200), 0)
    fill_flat(picture, [outline])
    near = MARGIN_PX - 2
    for x, y in outline:
        for at in ((x, y), (x + near, y), (x - near, y), (x, y + near), (x, y - near)):
            if 0 <= at[0] < 200 and 0 <= at[1] < 200:
                assert picture.getpixel((int(at[0]), int(at[1]))) == FLAT


def test_an_outline_that_crosses_itself_leaves_no_hole() -> None:
    star = [(200.0, 20.0), (300.0, 340.0), (30.0, 140.0), (370.0, 140.0), (100.0, 340.0)]
    picture = Image.new("L", (400, 400), 0)
    fill_flat(picture, [star])
    assert picture.getpixel((200, 200)) == FLAT  # the star's heart, which even-odd filling spares


def test_a_bay_stays_open() -> None:
    """An outline that doesn't cross itself covers no more than its margin beyond itself."""
    bracket = [
        (20.0, 20.0),
        (380.0, 20.0),
        (380.0, 60.0),
        (60.0, 60.0),
        (60.0, 380.0),
        (20.0, 380.0),
    ]
    picture = Image.new("L", (400, 400), 0)
    fill_flat(picture, [bracket])
    assert picture.getpixel((250, 250)) == 0


@pytest.mark.parametrize("mode", ["L", "RGB"])
def test_grey_and_colour(mode: str) -> None:
    picture = Image.new(mode, (100, 100))
    fill_flat(picture, [[(50.0, 50.0)]])
    assert picture.convert("L").getpixel((50, 50)) == FLAT
