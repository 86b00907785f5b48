"""Packs on the disk: whole or not there, never over something else, and valid to other tools."""

from __future__ import annotations

import json
from pathlib import Path

import bagit
import pytest
from click.testing import CliRunner
from iiif_prezi3 import Collection, Manifest
from PIL import Image
from rocrate.rocrate import ROCrate

from archive.cli.main import main
from archive.core.atomic import CannotWrite
from archive.publish.handover import placed
from archive.publish.refusal import Refused

DEMO = Path(__file__).parents[2] / "content"
BASE = "https://museum.example/qk-41/"


@pytest.fixture
def run(monkeypatch, demo_cache):
    """`run(words…)` → (exit code, output)."""
    monkeypatch.setenv("WITNESSMARK_CACHE", str(demo_cache))

    def call(*words):
        result = CliRunner().invoke(main, ["export", *[str(word) for word in words]])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.output

    return call


def test_a_pack_that_fails_leaves_nothing(tmp_path):
    with pytest.raises(ZeroDivisionError), placed(tmp_path / "pack") as stage:
        (stage / "half").write_text("x")
        raise ZeroDivisionError
    with pytest.raises(CannotWrite), placed(tmp_path / "pack"):
        raise OSError(28, "No space left on device")
    assert list(tmp_path.iterdir()) == []


def test_no_file_of_a_pack_is_one_with_a_file_elsewhere(tmp_path):
    kept = tmp_path / "kept"
    kept.write_bytes(b"tones")
    with placed(tmp_path / "pack") as stage:
        (stage / "pictures").mkdir()
        (stage / "pictures" / "a.jpg").hardlink_to(kept)
    handed = tmp_path / "pack" / "pictures" / "a.jpg"
    handed.write_bytes(b"spoilt")
    assert kept.read_bytes() == b"tones"
    assert [path.name for path in handed.parent.iterdir()] == ["a.jpg"]


def test_what_is_there_is_not_written_over(tmp_path, run):
    (tmp_path / "taken").mkdir()
    with pytest.raises(Refused), placed(tmp_path / "taken"):
        pass
    (tmp_path / "file").write_text("mine")
    code, out = run("csl", DEMO, "--out", tmp_path / "file")
    assert code == 2 and "not written over" in out
    assert (tmp_path / "file").read_text() == "mine"


def test_the_bag_is_valid_and_holds_the_record_as_it_is(tmp_path, run):
    code, out = run("bag", DEMO, "--out", tmp_path / "bag", "--as-of", "2026-11-25")
    assert code == 0, out
    assert bagit.Bag(str(tmp_path / "bag")).is_valid()
    data = tmp_path / "bag" / "data"
    for path in sorted(p for p in DEMO.rglob("*") if p.is_file() and p.name[0] != "."):
        assert (data / "content" / path.relative_to(DEMO)).read_bytes() == path.read_bytes()
    assert (data / "site/index.html").is_file() and (data / "READ-ME-FIRST.txt").is_file()
    assert not list(data.rglob(".*"))
    crate = ROCrate(str(data))
    assert {"content/aircraft.yaml", "registers/claims.csv"} <= {
        entity.id for entity in crate.data_entities
    }


def test_the_photographs_are_a_service_that_viewers_can_read(tmp_path, run):
    """Manifests by iiif-prezi3's own models; tiles by the Image API's arithmetic (3.0, 5.3)."""
    small = tmp_path / "content"
    small.mkdir()
    for name in ("aircraft.yaml", "zones.yaml", "people.yaml"):
        (small / name).write_bytes((DEMO / name).read_bytes())
    (small / "photos").mkdir()
    for name in ("slipway-1932.md", "slipway-1932.jpg"):
        (small / "photos" / name).write_bytes((DEMO / "photos" / name).read_bytes())
    code, out = run("iiif", small, "--out", tmp_path / "iiif", "--base", BASE.rstrip("/"))
    assert code == 0, out
    folder = tmp_path / "iiif" / "slipway-1932"
    manifest = Manifest(**json.loads((folder / "manifest.json").read_text("utf-8")))
    assert manifest.items[0].width == 6000
    Collection(**json.loads((tmp_path / "iiif/collection.json").read_text("utf-8")))
    info = json.loads((folder / "info.json").read_text("utf-8"))
    assert info["id"] == f"{BASE}slipway-1932" and info["profile"] == "level0"
    width, height, side = info["width"], info["height"], info["tiles"][0]["width"]
    wanted = set()
    for factor in info["tiles"][0]["scaleFactors"]:
        for x in range(0, width, side * factor):
            for y in range(0, height, side * factor):
                w, h = min(side * factor, width - x), min(side * factor, height - y)
                pixels = -(-w // factor), -(-h // factor)
                name = f"{x},{y},{w},{h}/{pixels[0]},{pixels[1]}/0/default.jpg"
                wanted.add(name)
                with Image.open(folder / name) as tile:
                    assert tile.size == pixels
    for size in info["sizes"]:
        name = f"full/{size['width']},{size['height']}/0/default.jpg"
        wanted.add(name)
        with Image.open(folder / name) as whole:
            assert whole.size == (size["width"], size["height"])
    assert {p.relative_to(folder).as_posix() for p in folder.rglob("*.jpg")} == wanted


@pytest.mark.parametrize("base", [None, "museum", "file:///x/"])
def test_viewers_need_a_web_address(tmp_path, run, base):
    words = ["--base", base] if base else []
    code, out = run("iiif", DEMO, "--out", tmp_path / "iiif", *words)
    assert code == 2 and "https://" in out


@pytest.mark.parametrize("kind", ["csv", "xlsx", "csl", "bibtex", "ris", "jsonld", "prov"])
def test_every_other_form_is_written_and_is_the_same_again(tmp_path, run, kind):
    made = []
    for name in ("one", "two"):
        code, out = run(kind, DEMO, "--out", tmp_path / name)
        assert code == 0, out
        place = tmp_path / name
        files = sorted(place.iterdir()) if place.is_dir() else [place]
        made.append([(f.name if place.is_dir() else "", f.read_bytes()) for f in files])
    assert made[0] == made[1] and made[0]
