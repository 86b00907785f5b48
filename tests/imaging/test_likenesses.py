"""Copies are found however they were printed; the next frame and the sister are kept apart."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import plates
import pytest
from PIL import Image

from archive.core.likeness import ANOTHER, COPIES, OPEN
from archive.imaging.catalogue import facts_of
from archive.imaging.fitting import affine
from archive.imaging.likenesses import likenesses_among, related_to


def written(folder: Path, **pictures: np.ndarray) -> dict[str, Path]:
    folder.mkdir(exist_ok=True)
    paths = {}
    for name, tones in pictures.items():
        paths[name] = folder / f"{name}.png"
        Image.fromarray(tones).save(paths[name])
    return paths


def answers(paths: dict[str, Path], cache: Path | None = None) -> dict[frozenset[str], object]:
    """{name, name} → what was found; pairs without a connection are left out."""
    facts = facts_of(paths.values())
    name_of = {facts[path].sha256: name for name, path in paths.items()}
    compared = likenesses_among(facts, cache)
    assert compared.waiting == 0
    return {frozenset((name_of[one.one], name_of[one.other])): one for one in compared.likenesses}


@pytest.fixture(scope="module")
def roll(tmp_path_factory):
    """A plate, four prints of it, the next frame, one from the same stand, and another place."""
    plate = plates.negative(plates.scene(3), 1)
    paths = written(
        tmp_path_factory.mktemp("roll"),
        plate=plate,
        crop=plates.printed(plate, "crop 40 %", 5),
        mirror=plates.printed(plate, "mirror", 5),
        reverse=plates.printed(plate, "mirrored negative", 5),
        screen=plates.printed(plate, "halftone", 5),
        next=plates.negative(plates.scene(3, shift=(26, 4)), 2),
        sister=plates.negative(plates.scene(3, mark="RT-43"), 4),
        elsewhere=plates.negative(plates.scene(8), 3),
    )
    return paths, answers(paths)


def test_prints_of_one_plate_share_its_grain(roll):
    _, found = roll
    for name in ("crop", "mirror", "reverse"):
        one = found[frozenset(("plate", name))]
        assert one.answer == COPIES, (name, one)
        assert one.mirrored == (name in ("mirror", "reverse"))
        assert one.negative == (name == "reverse")


def test_a_screen_hides_the_grain_and_nothing_is_claimed(roll):
    _, found = roll
    assert found[frozenset(("plate", "screen"))].answer == OPEN


def test_small_copies_and_coarse_screens_are_compared_too(tmp_path):
    """Of 480 pixels: reduced to 192, and through a screen that leaves a hundred dots across."""
    plate = plates.negative(plates.scene(4, (480, 336)), 1)
    screened = plates.screened(plate, np.random.default_rng(3), 30)
    paths = written(tmp_path / "p", plate=plate, small=plates.sized(plate, 0.4), screen=screened)
    found = answers(paths)
    assert found[frozenset(("plate", "small"))].answer in (COPIES, OPEN)
    assert found[frozenset(("plate", "screen"))].answer == OPEN


def test_the_next_frame_is_another_negative(roll):
    _, found = roll
    one = found[frozenset(("plate", "next"))]
    assert one.answer == ANOTHER
    assert one.moved > 0.1 or one.keystone_px > 3


def test_a_sister_on_the_same_stand_is_never_joined_and_the_mark_is_shown(roll):
    _, found = roll
    one = found[frozenset(("plate", "sister"))]
    assert one.answer == OPEN
    difference = np.abs(plates.scene(3).astype(int) - plates.scene(3, mark="RT-43").astype(int))
    rows, columns = np.nonzero(difference > 40)
    middle = (float(columns.mean()), float(rows.mean()))
    assert any(
        patch.left < middle[0] < patch.right and patch.top < middle[1] < patch.bottom
        for patch in one.patches
    ), (middle, one.patches)


def test_another_place_is_not_related(roll):
    _, found = roll
    assert not any("elsewhere" in pair for pair in found)


def test_the_warp_lays_the_second_on_the_first(tmp_path):
    plate = plates.negative(plates.scene(5), 1)
    paths = written(tmp_path / "p", plate=plate, small=plates.sized(plate[100:700, 200:1000], 0.5))
    (one,) = answers(paths).values()
    a, _, c, _, e, f = one.warp
    facts = facts_of(paths.values())
    if facts[paths["small"]].sha256 == one.other:
        assert (a, e) == pytest.approx((2, 2), abs=0.01) and (c, f) == pytest.approx(
            (200, 100), abs=1.5
        )
    else:
        assert (a, e) == pytest.approx((0.5, 0.5), abs=0.01) and (c, f) == pytest.approx(
            (-100, -50), abs=1.0
        )


def test_one_scanners_own_pattern_joins_nothing(tmp_path):
    """Two frames at one place of a scanner with a pattern of 2.7 grey levels."""
    pattern = np.random.default_rng(9).normal(0, 2.7, (840, 1200))
    frames = {
        f"frame{n}": np.clip(plates.negative(plates.scene(6), n) + pattern, 0, 255).astype(np.uint8)
        for n in (1, 2)
    }
    (one,) = answers(written(tmp_path / "p", **frames)).values()
    assert one.answer == OPEN and one.same_place


def test_one_screen_joins_nothing(tmp_path):
    frames = {
        f"frame{n}": plates.screened(
            plates.negative(plates.scene(6), n), np.random.default_rng(1), 45
        )
        for n in (1, 2)
    }
    found = answers(written(tmp_path / "p", **frames))
    assert all(one.answer != COPIES for one in found.values())


def test_only_new_pictures_are_compared_and_the_answers_are_the_same(roll, tmp_path):
    paths, whole = roll
    cache = tmp_path / "cache"
    names = list(paths)
    answers({name: paths[name] for name in names[:3]}, cache)
    answers({name: paths[name] for name in names[2:6]}, cache)
    assert answers(paths, cache) == whole
    assert answers({name: paths[name] for name in names[:3]}, cache) == {
        pair: one for pair, one in whole.items() if pair <= set(names[:3])
    }


def test_a_few_at_a_time_and_the_rest_wait(roll, tmp_path):
    paths, whole = roll
    facts = facts_of(paths.values())
    waiting = [likenesses_among(facts, tmp_path, most=3).waiting for _ in range(4)]
    assert waiting == [5, 2, 0, 0]
    assert len(likenesses_among(facts, tmp_path).likenesses) == len(whole)


KILLED = """
import os, signal, sys
from pathlib import Path
from archive.imaging import likenesses
from archive.imaging.catalogue import facts_of

def progress(done, of):
    print(done, of, flush=True)
    if done >= 2:
        os.kill(os.getpid(), signal.SIGKILL)

likenesses.AT_ONCE = 2
folder, cache = map(Path, sys.argv[1:])
likenesses.likenesses_among(facts_of(sorted(folder.iterdir())), cache, progress=progress)
"""


def test_a_run_that_was_killed_goes_on_where_it_was(tmp_path):
    size = (480, 336)
    made = {}
    for n in range(2):
        plate = plates.negative(plates.scene(n, size), n)
        made[f"plate{n}"], made[f"print{n}"] = plate, plates.printed(plate, "mirror", n)
    paths = written(tmp_path / "p", **made)
    cache = tmp_path / "cache"
    command = [sys.executable, "-c", KILLED, str(tmp_path / "p"), str(cache)]
    killed = subprocess.run(command, capture_output=True, text=True, check=False)
    assert killed.returncode == -signal.SIGKILL and killed.stdout.split() == ["2", "4"]
    left = []
    facts = facts_of(paths.values())
    again = likenesses_among(facts, cache, progress=lambda done, of: left.append((done, of)))
    assert left == [(2, 2)]
    assert again == likenesses_among(facts)
    assert len(again.likenesses) >= 2


def test_a_damaged_cache_counts_as_none(roll, tmp_path):
    paths, _ = roll
    some = {name: paths[name] for name in list(paths)[:3]}
    first = answers(some, tmp_path)
    for file in tmp_path.rglob("*"):
        if file.is_file():
            data = bytearray(file.read_bytes())
            data[len(data) // 2] ^= 0x55
            file.write_bytes(data)
    assert answers(some, tmp_path) == first


def test_new_pictures_are_told_what_they_are_related_to(roll, tmp_path):
    paths, _ = roll
    again = tmp_path / "again.png"
    again.write_bytes(paths["plate"].read_bytes())
    held = facts_of([paths[name] for name in ("plate", "next", "elsewhere")])
    new = facts_of([again, paths["crop"]])
    found = related_to(new, held, tmp_path / "cache")
    same, crop, *others = found[again]
    assert same.same_file and same.path == paths["plate"]
    assert crop.path == paths["crop"] and crop.likeness.answer == COPIES
    assert [one.path for one in others] == [paths["next"]]
    assert {one.path for one in found[paths["crop"]][:2]} == {again, paths["plate"]}


def test_points_on_one_spot_are_no_map():
    """Found on photographs of stars: all that matched lay on one spot."""
    spot = np.full((5, 2), 7.0)
    assert affine(spot, spot) is None
    assert affine(np.array([[0.0, 0], [1, 1], [2, 2], [3, 3]]), np.zeros((4, 2))) is None
