"""Related pictures are looked up by short codes, alike in every way round, whichever is asked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import plates
import pytest
from PIL import Image

from archive.imaging import shelf
from archive.imaging.catalogue import facts_of
from archive.imaging.codes import codes_of, in_way
from archive.imaging.fitting import ORDERS, WAYS, Sight
from archive.imaging.likenesses import likenesses_among
from archive.imaging.mount import picture_area
from archive.imaging.pack import Pack
from archive.imaging.raster import Grey
from archive.imaging.shelf import Shelf
from archive.imaging.sight import points_of


def sight(tones: np.ndarray) -> Sight:
    grey = Grey(np.ascontiguousarray(tones), tones.shape[1], tones.shape[0])
    points, marks = points_of(grey)
    return Sight(grey.width_px, grey.height_px, np.array(picture_area(grey)), points, marks)


@pytest.fixture(scope="module")
def held() -> dict[str, Sight]:
    return {f"scene {n}": sight(plates.negative(plates.scene(n), n)) for n in range(20, 26)}


@pytest.mark.parametrize("way", range(4))
def test_turning_over_and_reversing_only_flips_bits(held, way):
    one = held["scene 20"]
    plain = codes_of(one)
    other = codes_of(replace(one, marks=np.ascontiguousarray(one.marks[:, ORDERS[WAYS[way]]])))
    assert (in_way(plain.words, way) == other.words).mean() > 0.999
    assert (in_way(in_way(plain.words, way), way) == plain.words).all()


def test_prints_are_found_and_both_sides_count_the_same_votes(held):
    prints = {
        name: codes_of(sight(plates.printed(plates.negative(plates.scene(20), 20), name, 3)))
        for name in ("crop 40 %", "mirrored negative", "worn print")
    }
    whole = Shelf()
    for name, one in held.items():
        whole.add(name, codes_of(one))
    for codes in prints.values():
        found = whole.like(codes)
        assert found[0].name == "scene 20" and found[0].weight > 2 * shelf.ENOUGH
        assert [maybe.weight for maybe in found] == sorted((m.weight for m in found), reverse=True)
        back = Shelf()
        back.add("print", codes)
        for maybe in found:
            assert back.like(codes_of(held[maybe.name])) == (replace(maybe, name="print"),)


def test_the_way_round_is_found_with_the_picture(held):
    codes = codes_of(
        sight(plates.printed(plates.negative(plates.scene(20), 20), "mirrored negative", 3))
    )
    whole = Shelf()
    for name, one in held.items():
        whole.add(name, codes_of(one))
    assert (True, True) in whole.like(codes)[0].ways


def test_shared_words_at_other_places_are_no_likeness(held):
    """The same points, strewn over the picture anew: all words are shared, and none lies right."""
    one = held["scene 20"]
    strewn = one.points.copy()
    strewn[:, :2] = np.random.default_rng(1).permutation(strewn[:, :2])
    whole = Shelf()
    whole.add("itself", codes_of(one))
    whole.add("strewn", codes_of(replace(one, points=strewn)))
    found = {maybe.name: maybe.weight for maybe in whole.like(codes_of(one))}
    assert found["itself"] > 5 * found.get("strewn", 0)


def test_of_very_many_the_likeliest_are_taken(held):
    whole = Shelf()
    codes = codes_of(held["scene 20"])
    for number in range(shelf.MOST + 5):
        whole.add(f"other {number:02}", codes_of(held["scene 21"]))
        whole.add(f"same {number:02}", codes)
    found = whole.like(codes)
    assert [maybe.name for maybe in found] == [f"same {n:02}" for n in range(shelf.MOST)]


def test_what_is_kept_is_read_again_up_to_the_damage(held, tmp_path):
    pack, names = Pack(tmp_path), [f"{n:064x}" for n in range(3)]
    for name, one in zip(names, held.values(), strict=False):
        pack.append(name, codes_of(one))
    kept = list(pack.read())
    assert [name for name, _ in kept] == names
    first = codes_of(held["scene 20"])
    for column in ("words", "signs", "turns", "scales", "places"):
        assert (getattr(kept[0][1], column) == getattr(first, column)).all()
    (file,) = tmp_path.rglob("codes.bin")
    file.write_bytes(file.read_bytes()[:-5])
    assert [name for name, _ in pack.read()] == names[:2]
    pack.append(names[2], first)
    assert [name for name, _ in pack.read()] == names
    data = bytearray(file.read_bytes())
    data[50] ^= 1
    file.write_bytes(data)
    assert list(pack.read()) == []


def test_pictures_that_lie_together_are_compared_whatever_their_codes_say(
    tmp_path: Path, monkeypatch
):
    plate = plates.negative(plates.scene(4), 1)
    paths = [tmp_path / "plate.png", tmp_path / "small.png"]
    Image.fromarray(plate).save(paths[0])
    Image.fromarray(plates.printed(plate, "small", 2)).save(paths[1])
    facts = facts_of(paths)
    monkeypatch.setattr(shelf, "ENOUGH", 10**6)
    cache = tmp_path / "cache"
    assert likenesses_among(facts, cache).likenesses == ()
    assert len(likenesses_among(facts, cache, together=[paths]).likenesses) == 1
    assert len(likenesses_among(facts, cache).likenesses) == 1
