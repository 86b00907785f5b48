"""Facts are remembered while a file stays as it is, and never longer."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest
from PIL import Image

from archive.core.images import ImageFacts
from archive.imaging import catalogue
from archive.imaging.catalogue import facts_of
from archive.imaging.refusals import ImageRefused
from archive.imaging.remembered import recall
from archive.imaging.worker import ImageReaders


@pytest.fixture(autouse=True)
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(catalogue, "SETTLED_S", -1.0)


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "a photo \u00e9.tif"
    Image.new("L", (30, 20), 9).save(path)
    return path


def no_children(monkeypatch: pytest.MonkeyPatch) -> None:
    def answers(self: ImageReaders, jobs: list[object]) -> list[object]:
        assert not jobs, "a file was opened again"
        return []

    monkeypatch.setattr(ImageReaders, "answers", answers)


def test_the_facts_are_those_of_the_bytes(photo: Path) -> None:
    data = photo.read_bytes()
    sha256 = hashlib.sha256(data).hexdigest()
    assert facts_of([photo]) == {
        photo: ImageFacts(sha256, "TIFF", "L", 30, 20, 1, len(data)),
    }


def test_a_second_reading_opens_nothing(
    photo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = facts_of([photo], tmp_path / "new" / "facts")
    no_children(monkeypatch)
    assert facts_of([photo], tmp_path / "new" / "facts") == first


def test_a_changed_file_is_read_again(photo: Path, tmp_path: Path) -> None:
    first = facts_of([photo], tmp_path / "facts")
    status = photo.stat()
    data = bytearray(photo.read_bytes())
    data[-1] ^= 1
    photo.write_bytes(data)
    os.utime(photo, ns=(status.st_atime_ns, status.st_mtime_ns))  # only the change time tells
    second = facts_of([photo], tmp_path / "facts")
    assert second != first
    assert second == facts_of([photo])


def test_a_file_written_just_now_is_not_remembered(
    photo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(catalogue, "SETTLED_S", 60.0)
    facts_of([photo], tmp_path / "facts")
    assert not (tmp_path / "facts").exists()


def test_any_damage_to_the_cache_forgets_it(photo: Path, tmp_path: Path) -> None:
    cache = tmp_path / "facts"
    first = facts_of([photo], cache)
    whole = cache.read_bytes()
    damaged = [b"", b"\n", b"{}", whole[:-3], b"\0" * 50, whole + b" "]
    for at in range(0, len(whole), 7):
        damaged.append(whole[:at] + bytes([whole[at] ^ 4]) + whole[at + 1 :])
    for data in damaged:
        assert recall(_written(cache, data), catalogue.VERSION) == {}
    cache.write_bytes(damaged[10])
    assert facts_of([photo], cache) == first
    assert cache.read_bytes() == whole


def _written(path: Path, data: bytes) -> Path:
    path.write_bytes(data)
    return path


def test_a_cache_that_cannot_be_written_is_no_trouble(photo: Path, tmp_path: Path) -> None:
    (tmp_path / "facts").mkdir()
    assert isinstance(facts_of([photo], tmp_path / "facts")[photo], ImageFacts)
    assert isinstance(facts_of([photo], photo / "facts")[photo], ImageFacts)


def test_refusals_are_not_remembered(tmp_path: Path) -> None:
    path = tmp_path / "late.png"
    assert isinstance(facts_of([path], tmp_path / "facts")[path], ImageRefused)
    Image.new("L", (5, 5)).save(path)
    assert isinstance(facts_of([path], tmp_path / "facts")[path], ImageFacts)


def test_names_that_are_not_text_and_repeats(tmp_path: Path) -> None:
    odd = Path(os.fsdecode(os.fsencode(tmp_path) + b"/odd-\xff\n.png"))
    try:
        Image.new("L", (5, 5)).save(odd, "PNG")
    except OSError:
        pytest.skip("this file system takes no such name")
    found = facts_of([odd, odd])
    assert isinstance(found[odd], ImageFacts) and len(found) == 1
