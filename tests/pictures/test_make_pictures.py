"""Orders become sizes and tiles: clean, alike every time, made once."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import piexif
import pytest
from PIL import Image

from archive.core.atomic import CannotWrite
from archive.core.images import ImageFacts
from archive.imaging.catalogue import facts_of
from archive.pictures import make, store
from archive.pictures.make import make_pictures
from archive.pictures.orders import PictureOrder

TOKEN = b"ZZ-NOBODY-MAY-SEE-THIS"
MARKERS = {0xD8, 0xE0, 0xDB, 0xC0, 0xC4, 0xDA, 0xD9}  # SOI APP0 DQT SOF0 DHT SOS EOI


def noise(width: int, height: int, mode: str = "RGB") -> Image.Image:
    """A picture with structure at all scales, the same every time."""
    large = Image.radial_gradient("L").resize((width, height))
    fine = Image.linear_gradient("L").resize((37, 29)).resize((width, height), 0)
    return Image.merge("RGB", (large, fine, large.rotate(90).resize((width, height)))).convert(mode)


def order(path: Path, name: str, **more: object) -> PictureOrder:
    facts = facts_of([path])[path]
    assert isinstance(facts, ImageFacts)
    return PictureOrder(path, facts, name, **more)  # type: ignore[arg-type]


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "photo.jpg"
    noise(2600, 1700).save(path, quality=88)
    return path


def test_sizes_and_tiles_are_what_the_set_says(photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    sets, refusals = make_pictures([order(photo, "slipway-1932")], out, tmp_path / "cache")
    assert not refusals
    made = sets["slipway-1932"]
    assert [size.width_px for size in made.sizes] == [320, 960, 1920]
    assert set(made.files) == set(tree(out))
    for size in made.sizes:
        with Image.open(out / size.path) as picture:
            assert picture.size == (size.width_px, size.height_px)
            assert size.height_px == round(1700 * size.width_px / 2600)


def test_tiles_join_to_the_picture(photo: Path, tmp_path: Path) -> None:
    """Each level is the halving of the next, and a tile's edge is its neighbour's second row."""
    out = tmp_path / "out"
    pyramid = make_pictures([order(photo, "p")], out, tmp_path / "cache")[0]["p"].tiles
    assert pyramid
    widths = [(level.width_px, level.height_px) for level in pyramid.levels]
    assert widths == [(325, 213), (650, 425), (1300, 850), (2600, 1700)]
    with Image.open(photo) as opened:
        original = opened.convert("RGB")
    for number, level in enumerate(pyramid.levels):
        joined = Image.new("RGB", (level.width_px, level.height_px))
        for row in range(level.rows):
            for column in range(level.columns):
                left = column * 510 - (1 if column else 0)
                top = row * 510 - (1 if row else 0)
                with Image.open(out / pyramid.path(number, column, row)) as tile:
                    right = min(level.width_px, (column + 1) * 510 + 1)
                    bottom = min(level.height_px, (row + 1) * 510 + 1)
                    assert tile.size == (right - left, bottom - top)
                    joined.paste(tile, (left, top))
        expected = original.resize(joined.size, Image.Resampling.BOX)
        assert mean_difference(joined, expected) < 3


def mean_difference(one: Image.Image, other: Image.Image) -> float:
    pairs = zip(one.convert("L").tobytes(), other.convert("L").tobytes(), strict=True)
    return sum(abs(a - b) for a, b in pairs) / (one.width * one.height)


def test_small_tall_and_grey_pictures(tmp_path: Path) -> None:
    noise(200, 100, "L").save(tmp_path / "small.png")
    noise(40, 2000).save(tmp_path / "tall.png")
    noise(700, 300).save(tmp_path / "middle.webp")
    orders = [
        order(tmp_path / f, f.split(".")[0]) for f in ("small.png", "tall.png", "middle.webp")
    ]
    sets, refusals = make_pictures(orders, tmp_path / "out", tmp_path / "cache")
    assert not refusals
    sizes = {n: [(s.width_px, s.height_px) for s in made.sizes] for n, made in sets.items()}
    assert sizes["small"] == [(200, 100)]
    assert sizes["tall"] == [(19, 960), (40, 2000)]
    assert sizes["middle"] == [(320, 137), (700, 300)]
    with Image.open(tmp_path / "out" / sets["small"].sizes[0].path) as picture:
        assert picture.mode == "L"
    assert all(made.tiles is None for made in sets.values())


def test_reduced_pictures_look_like_the_original(photo: Path, tmp_path: Path) -> None:
    """Also when the JPEG is decoded at a fraction of its size."""
    out = tmp_path / "out"
    for name, tiles in (("a", True), ("b", False)):
        made = make_pictures([order(photo, name, tiles=tiles)], out, tmp_path / "cache")[0][name]
        with Image.open(photo) as opened:
            for size in made.sizes:
                expected = opened.resize((size.width_px, size.height_px), Image.Resampling.LANCZOS)
                with Image.open(out / size.path) as picture:
                    assert mean_difference(picture, expected) < 3


def loaded_with_secrets(path: Path, format: str) -> None:
    thumbnail = io.BytesIO()
    noise(64, 48).save(thumbnail, "JPEG", comment=TOKEN)
    exif = piexif.dump(
        {
            "0th": {270: TOKEN, 315: TOKEN, 305: TOKEN},
            "Exif": {37500: TOKEN, 37510: TOKEN, 42033: TOKEN},
            "GPS": {29: TOKEN},
            "1st": {},
            "thumbnail": thumbnail.getvalue(),
        }
    )
    picture = noise(2500, 300)
    more: dict[str, object] = {
        "exif": exif,
        "xmp": b"<x>" + TOKEN + b"</x>",
        "icc_profile": TOKEN * 9,
    }
    if format == "JPEG":
        more["comment"] = TOKEN
    if format == "TIFF":
        del more["xmp"], more["exif"]
        more["tiffinfo"] = {270: TOKEN.decode(), 700: TOKEN, 33723: TOKEN}
    picture.save(path, format, **more)
    with path.open("ab") as file:
        file.write(TOKEN)
    assert path.read_bytes().count(TOKEN) > 3


@pytest.mark.parametrize("format", ["JPEG", "PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("tiles", [True, False])
def test_nothing_but_pixels_comes_out(format: str, tiles: bool, tmp_path: Path) -> None:
    path = tmp_path / "secret.img"
    loaded_with_secrets(path, format)
    _, refusals = make_pictures(
        [order(path, "p", tiles=tiles, widths=(320, 2500))], tmp_path / "out", tmp_path / "cache"
    )
    assert not refusals
    for name, data in tree(tmp_path / "out").items():
        assert TOKEN not in data, name
        assert markers(data) <= MARKERS, name
        assert data.endswith(b"\xff\xd9")
        assert not any(piexif.load(data)[ifd] for ifd in ("0th", "Exif", "GPS", "Interop", "1st"))


def markers(data: bytes) -> set[int]:
    """The markers of a JPEG file, walked segment by segment (ITU-T T.81, annex B)."""
    found, at = {data[1]}, 2
    while data[at + 1] != 0xDA:
        found.add(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    at += 2
    while at < len(data) - 1:
        if data[at] == 0xFF and data[at + 1] not in (0, *range(0xD0, 0xD8)):
            found.add(data[at + 1])
        at += 1
    return found | {0xDA}


def test_a_credit_is_carried_by_the_sizes(photo: Path, tmp_path: Path) -> None:
    asked = order(photo, "p", metadata={"credit": "Hollin Water Museum, \u00e5"})
    made = make_pictures([asked], tmp_path / "out", tmp_path / "cache")[0]["p"]
    for size in made.sizes:
        with Image.open(tmp_path / "out" / size.path) as picture:
            assert "Hollin Water Museum, \u00e5" in str(picture.getxmp())
            assert markers((tmp_path / "out" / size.path).read_bytes()) == MARKERS | {0xE1}


def test_a_second_run_decodes_nothing(
    photo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = [order(photo, "p")]
    first = make_pictures(asked, tmp_path / "out1", tmp_path / "cache")
    monkeypatch.setattr(make, "ImageReaders", None)
    told: list[str] = []
    assert (
        make_pictures(asked, tmp_path / "out2", tmp_path / "cache", progress=told.append) == first
    )
    assert tree(tmp_path / "out1") == tree(tmp_path / "out2")
    assert make_pictures(asked, tmp_path / "out2", tmp_path / "cache") == first  # over itself
    assert told == []


@pytest.mark.parametrize("harm", ["missing", "longer", "altered", "table", "whole"])
def test_harm_to_the_cache_is_made_good(harm: str, photo: Path, tmp_path: Path) -> None:
    asked = [order(photo, "p")]
    cache = tmp_path / "cache"
    first = make_pictures(asked, tmp_path / "out1", cache)
    expected = tree(tmp_path / "out1")
    kept = store.folder_of(cache, asked[0].key())
    victim = kept / "tiles" / "1" / "0_0.jpg"
    if harm == "missing":
        victim.unlink()
    elif harm == "longer":
        with victim.open("ab") as file:
            file.write(b"x")
    elif harm == "altered":  # through the link in a built site, say
        with (tmp_path / "out1" / first[0]["p"].sizes[0].path).open("r+b") as file:
            file.seek(500)
            file.write(b"xxxx")
    elif harm == "table":
        (kept / "made.json").write_bytes((kept / "made.json").read_bytes().replace(b"320", b"321"))
    else:
        shutil.rmtree(cache)
    assert make_pictures(asked, tmp_path / "out2", cache) == first
    assert tree(tmp_path / "out2") == expected
    assert store.recall(cache, asked[0].key()) is not None
    assert not list(cache.glob("stage-*"))


def test_what_a_crash_left_is_cleared_away(photo: Path, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    for name in ("stage-old", "stage-new"):
        (cache / name / "x").mkdir(parents=True)
    os.utime(cache / "stage-old", (1e9, 1e9))
    make_pictures([order(photo, "p")], tmp_path / "out", cache)
    assert [path.name for path in cache.glob("stage-*")] == ["stage-new"]  # may be in use


def test_a_copy_where_the_disk_cannot_link(
    photo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_link(*_: object) -> None:
        raise OSError(1, "not permitted")

    asked = [order(photo, "p")]
    make_pictures(asked, tmp_path / "out1", tmp_path / "cache")
    monkeypatch.setattr(os, "link", no_link)
    make_pictures(asked, tmp_path / "out2", tmp_path / "cache")
    assert tree(tmp_path / "out1") == tree(tmp_path / "out2")


def test_bad_pictures_are_refused_and_the_rest_made(photo: Path, tmp_path: Path) -> None:
    cut = tmp_path / "cut.jpg"
    cut.write_bytes(photo.read_bytes()[: photo.stat().st_size // 2])
    changed = tmp_path / "changed.jpg"
    shutil.copy(photo, changed)
    gone = tmp_path / "gone.jpg"
    shutil.copy(photo, gone)
    asked = [order(cut, "cut"), order(changed, "changed"), order(gone, "gone"), order(photo, "p")]
    # `photo` has the bytes that `changed` and `gone` had: other recipes keep their keys apart.
    asked[1:3] = [replace(asked[1], widths=(400,)), replace(asked[2], widths=(500,))]
    noise(2600, 1700).transpose(Image.Transpose.ROTATE_180).save(changed, quality=88)
    gone.unlink()
    told: list[str] = []
    sets, refusals = make_pictures(asked, tmp_path / "o", tmp_path / "c", progress=told.append)
    assert [(refusal.name, refusal.why.code) for refusal in refusals] == [
        ("cut", "image-damaged"),
        ("changed", "image-changed"),
        ("gone", "image-missing"),
    ]
    assert list(sets) == ["p"] and set(tree(tmp_path / "o")) == set(sets["p"].files)
    assert sorted(told) == ["changed", "cut", "gone", "p"]


def test_originals_are_only_read(photo: Path, tmp_path: Path) -> None:
    before = (photo.read_bytes(), photo.stat().st_mtime_ns)
    make_pictures([order(photo, "p")], tmp_path / "out", tmp_path / "cache")
    assert (photo.read_bytes(), photo.stat().st_mtime_ns) == before


def test_names_tell_the_bytes_made_not_the_original(photo: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.jpg"
    again.write_bytes(photo.read_bytes() + b"a trailer that isn't pixels")
    one = make_pictures([order(photo, "p")], tmp_path / "out1", tmp_path / "c")[0]
    two = make_pictures([order(again, "p")], tmp_path / "out2", tmp_path / "c")[0]
    assert one == two
    noise(2600, 1700).transpose(Image.Transpose.ROTATE_180).save(again, quality=88)
    three = make_pictures([order(again, "p")], tmp_path / "out3", tmp_path / "c")[0]
    assert not set(three["p"].files) & set(one["p"].files)


SCRIPT = """
import sys
from pathlib import Path
from archive.imaging.catalogue import facts_of
from archive.pictures.make import make_pictures
from archive.pictures.orders import PictureOrder
folder, out, cache = map(Path, sys.argv[1:4])
workers = int(sys.argv[4])
paths = sorted(folder.iterdir(), reverse=workers == 1)
facts = facts_of(paths, workers=workers)
orders = [PictureOrder(p, facts[p], p.stem) for p in paths]
sets, refusals = make_pictures(orders, out, cache, workers)
print(sorted(sets.items()), refusals)
"""


def test_the_same_bytes_whatever_the_surroundings(tmp_path: Path) -> None:
    """Time zone, locale, hash seed, order, number of workers, folder, time of the file."""
    folder = tmp_path / "in"
    folder.mkdir()
    for number, mode in enumerate(["RGB", "L", "RGB"]):
        noise(2500 + number, 640, mode).save(folder / f"p{number}.jpg")
    results = []
    for number, more in enumerate(
        [
            {"TZ": "Asia/Kathmandu", "LC_ALL": "C", "PYTHONHASHSEED": "1"},
            {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "2"},
        ]
    ):
        os.utime(folder / "p1.jpg", (1e9 + number, 1e9 + number))
        cwd = tmp_path / f"run{number}"
        cwd.mkdir()
        root = str(Path(make.__file__).parents[2])
        told = subprocess.run(
            [sys.executable, "-c", SCRIPT, str(folder), "out", "cache", str(number + 1)],
            env=os.environ | more | {"PYTHONPATH": root},
            cwd=cwd,
            capture_output=True,
            text=True,
            check=True,
        )
        results.append((told.stdout, tree(cwd / "out")))
    assert results[0] == results[1]
    assert len(results[0][1]) > 12


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs a small disk")
def test_a_full_disk_stops_the_run_by_name(photo: Path, tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=100k", "none", str(small)]
    if subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("mounting isn't permitted here")
    try:
        with pytest.raises(CannotWrite, match="the disk is full") as told:
            make_pictures([order(photo, "p")], tmp_path / "out", small / "cache")
        assert told.value.path.is_relative_to(small)
        assert not list((small / "cache").glob("*"))
    finally:
        subprocess.run(["umount", str(small)], check=True)


def test_two_orders_of_one_name_are_a_mistake(photo: Path, tmp_path: Path) -> None:
    asked = order(photo, "p")
    with pytest.raises(ValueError):
        make_pictures([asked, asked], tmp_path / "out", tmp_path / "cache")
