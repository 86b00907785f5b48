"""The starter folder: in order as it stands, complete, and never written over anything."""

from __future__ import annotations

import hashlib
import struct
from pathlib import Path

import pytest

from archive.core.atomic import CannotWrite
from archive.core.images import ImageFacts
from archive.read.load import load
from archive.records.checks import check, check_pictures
from archive.records.schema import KINDS
from archive.write.starter import new_folder


def test_it_checks_clean_without_even_advice(tmp_path: Path) -> None:
    new_folder(tmp_path / "mine")
    loaded = load(tmp_path / "mine")
    assert loaded.problems == ()
    assert check(loaded.library) == []


def test_its_picture_is_the_one_that_was_drawn_on(tmp_path: Path) -> None:
    new_folder(tmp_path)
    loaded = load(tmp_path)
    data = loaded.pictures["field-day"].read_bytes()
    at = data.index(b"\xff\xc0")  # the frame header of a baseline JPEG (ITU-T T.81, B.2.2)
    height, width = struct.unpack(">HH", data[at + 5 : at + 9])
    facts = ImageFacts(hashlib.sha256(data).hexdigest(), "JPEG", "L", width, height, 1, len(data))
    assert check_pictures(loaded.library, {"field-day": facts}) == []


def test_it_shows_every_kind_but_surveys_and_cards_and_is_commented(tmp_path: Path) -> None:
    written = new_folder(tmp_path)
    loaded = load(tmp_path)
    shown = {kind for kind in KINDS if loaded.library.of_kind(kind)}
    assert shown == set(KINDS) - {"surveys", "cards"}
    assert (tmp_path / "aircraft.yaml").read_text("utf-8").count("\n#") >= 4
    assert written[-1] == tmp_path / "aircraft.yaml"


def test_the_measurement_agrees_with_what_it_is_named_as(tmp_path: Path) -> None:
    """150 px beside a strut of 116 px that is 580 mm long: 750 mm, by the rule of three."""
    new_folder(tmp_path)
    picks = {p.point: p.at for p in load(tmp_path).library.measurements["fairing-length"].picks}
    long = picks["fairing-tail"][0] - picks["fairing-nose"][0]
    strut = picks["strut-foot"][1] - picks["strut-top"][1]
    assert 580 * long / strut == pytest.approx(750)


@pytest.mark.parametrize("there", ["a file", "a hidden file", "a link", "full"])
def test_nothing_is_written_over(tmp_path: Path, there: str) -> None:
    folder = tmp_path / "mine"
    if there == "a file":
        folder.write_text("mine")
    elif there == "a link":
        (tmp_path / "elsewhere").mkdir()
        folder.symlink_to("elsewhere")
    else:
        folder.mkdir()
        (folder / (".keep" if there == "a hidden file" else "aircraft.yaml")).write_text("mine")
    before = sorted((str(p), p.is_file() and p.read_bytes()) for p in tmp_path.rglob("*"))
    with pytest.raises(CannotWrite) as refused:
        new_folder(folder)
    assert str(refused.value).endswith(".")
    assert sorted((str(p), p.is_file() and p.read_bytes()) for p in tmp_path.rglob("*")) == before


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    assert new_folder(tmp_path)
    with pytest.raises(CannotWrite):
        new_folder(tmp_path)
