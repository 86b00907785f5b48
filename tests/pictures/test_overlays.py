"""Two related pictures are brought to one frame, and the difference shows where they differ."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import plates
from PIL import Image

from archive.imaging.catalogue import facts_of
from archive.imaging.likenesses import likenesses_among
from archive.pictures.overlays import OverlayOrder, make_overlays


def order(folder: Path, **pictures: np.ndarray) -> OverlayOrder:
    paths = []
    for name, tones in pictures.items():
        paths.append(folder / f"{name}.png")
        Image.fromarray(tones).save(paths[-1])
    facts = facts_of(paths)
    (found,) = likenesses_among(facts).likenesses
    first, second = sorted(paths, key=lambda path: facts[path].sha256 != found.one)
    return OverlayOrder("pair", first, second, (facts[first], facts[second]), found)


def tones(path: Path) -> np.ndarray:
    return np.asarray(Image.open(path).convert("L")).astype(float)


def test_a_mirrored_crop_lies_on_its_plate_and_nothing_differs(tmp_path: Path) -> None:
    plate = plates.negative(plates.scene(3), 1)
    crop = np.ascontiguousarray(plate[120:720, 200:1000][:, ::-1])
    asked = order(tmp_path, plate=plate, crop=crop)
    made = make_overlays([asked], tmp_path / "out", tmp_path / "cache")["pair"]
    first, second, difference = (
        tones(tmp_path / "out" / one.path) for one in (made.first, made.second, made.difference)
    )
    assert first.shape == second.shape == difference.shape
    inner = (slice(60, -60), slice(60, -60))
    assert np.corrcoef(first[inner].ravel(), second[inner].ravel())[0, 1] > 0.97
    assert (difference[inner] < 150).mean() < 0.01
    again = make_overlays([asked], tmp_path / "more", tmp_path / "cache")["pair"]
    assert again == made
    assert (tmp_path / "more" / made.first.path).read_bytes() == (
        tmp_path / "out" / made.first.path
    ).read_bytes()


def test_a_sisters_mark_is_what_differs(tmp_path: Path) -> None:
    asked = order(
        tmp_path,
        ours=plates.negative(plates.scene(3), 1),
        hers=plates.negative(plates.scene(3, mark="RT-43"), 2),
    )
    made = make_overlays([asked], tmp_path / "out", tmp_path / "cache")["pair"]
    drawn = np.abs(plates.scene(3).astype(int) - plates.scene(3, mark="RT-43").astype(int)) > 60
    scale = made.difference.width_px / (made.box[2] - made.box[0])
    rows, columns = (np.nonzero(drawn)[axis] * scale for axis in (0, 1))
    difference = tones(tmp_path / "out" / made.difference.path)
    there = difference[rows.astype(int), columns.astype(int)]
    assert there.mean() < 170
    assert np.median(difference) > 235


def test_a_picture_that_is_gone_is_left_out(tmp_path: Path) -> None:
    plate = plates.negative(plates.scene(3), 1)
    asked = order(tmp_path, plate=plate, small=plates.sized(plate, 0.5))
    asked.second.unlink()
    assert make_overlays([asked], tmp_path / "out", tmp_path / "cache") == {}
