"""A folder that this program did not make is never replaced: not one file in or near it changes."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from archive.publish.manifest import MANIFEST
from archive.publish.refusal import Refused
from archive.publish.stage import Stage
from tests.benchmarks.kill_points import tree_hash


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project folder with content, a home folder and an earlier site, the home being declared."""
    (tmp_path / "project" / "content" / "parts").mkdir(parents=True)
    (tmp_path / "project" / "content" / "aircraft.yaml").write_text("mark: QK-41\n")
    (tmp_path / "home" / "papers").mkdir(parents=True)
    (tmp_path / "home" / "papers" / "letter.txt").write_text("Dear Hanne")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path / "home" / "papers")
    make(tmp_path / "project" / "build" / "crew", tmp_path)
    return tmp_path


def make(out: Path, place: Path) -> None:
    with Stage(out, place / "project" / "content") as stage:
        stage.write("index.html", b"old")
        stage.write("parts/axle.html", b"old axle")
        stage.finish()


def link(place: Path) -> Path:
    (place / "link").symlink_to(place / "project" / "build" / "crew")
    return place / "link"


def one_foreign_file(place: Path) -> Path:
    (place / "project" / "build" / "crew" / "parts" / "notes.txt").write_text("mine")
    return place / "project" / "build" / "crew"


def link_among_pages(place: Path) -> Path:
    page = place / "project" / "build" / "crew" / "parts" / "axle.html"
    page.unlink()
    page.symlink_to(place / "home" / "papers" / "letter.txt")
    return place / "project" / "build" / "crew"


def odd_list(place: Path) -> Path:
    (place / "project" / "build" / "crew" / MANIFEST).write_text('{"format": 1')
    return place / "project" / "build" / "crew"


def newer_list(place: Path) -> Path:
    path = place / "project" / "build" / "crew" / MANIFEST
    path.write_text(json.dumps(json.loads(path.read_text()) | {"format": 2}))
    return place / "project" / "build" / "crew"


def only_somebodys_list(place: Path) -> Path:
    (place / "other").mkdir()
    (place / "other" / MANIFEST).write_text("{}")
    return place / "other"


def stage_taken(place: Path) -> Path:
    (place / "project" / "build" / ".crew.stage").mkdir()
    (place / "project" / "build" / ".crew.stage" / "mine.txt").write_text("mine")
    return place / "project" / "build" / "crew"


def a_file(place: Path) -> Path:
    (place / "a-file").write_text("x")
    return place / "a-file"


CASES: dict[str, tuple[Callable[[Path], Path], str]] = {
    "content": (lambda p: p / "project" / "content", "it is the content folder"),
    "its parent": (lambda p: p / "project", "the content folder lies in it"),
    "in content": (lambda p: p / "project/content/site", "inside the content folder"),
    "content by a detour": (lambda p: p / "project/build/../content/x", "inside the content"),
    "home": (lambda p: p / "home", "home folder"),
    "around home": (lambda p: p, "lies in it|home folder"),
    "the disk": (lambda p: Path(p.anchor), "whole disk|mounted"),
    "cwd": (lambda p: p / "home" / "papers", "working in"),
    "cwd as a dot": (lambda p: Path("."), "working in"),
    "link": (link, "it is a link"),
    "mount point": (lambda p: Path("/proc"), "mounted"),
    "not ours": (lambda p: p / "project" / "content" / ".." / ".." / "foreign", "no site.json"),
    "one foreign file": (one_foreign_file, r"no build put there, parts/notes\.txt"),
    "link among pages": (link_among_pages, r"no build put there, parts/axle\.html"),
    "odd list": (odd_list, "damaged or of another format"),
    "newer list": (newer_list, "damaged or of another format"),
    "somebody's list": (only_somebodys_list, "damaged or of another format"),
    "stage taken": (stage_taken, "in the way"),
    "a file": (a_file, "it is a file"),
    "below a file": (lambda p: a_file(p) / "site", "is a file"),
}


@pytest.mark.parametrize("case", CASES)
def test_refused_with_nothing_changed(place: Path, case: str) -> None:
    (place / "foreign").mkdir()
    (place / "foreign" / "thesis.txt").write_text("the only copy")
    arrange, sentence = CASES[case]
    out = arrange(place)
    before = tree_hash(place)
    with pytest.raises(Refused, match=sentence) as caught, Stage(out, place / "project/content"):
        pytest.fail("it was let in")
    assert caught.value.code in ("output-not-ours", "stage-not-ours")
    assert caught.value.hint
    assert tree_hash(place) == before


def test_a_new_an_empty_and_an_earlier_folder_are_fine(place: Path) -> None:
    make(place / "new" / "deep" / "site", place)
    (place / "empty").mkdir()
    make(place / "empty", place)
    make(place / "project" / "build" / "crew", place)
    sums = {tree_hash(place / path) for path in ("new/deep/site", "empty", "project/build/crew")}
    assert len(sums) == 1


def test_what_a_file_browser_leaves_is_no_obstacle(place: Path) -> None:
    (place / "project" / "build" / "crew" / ".DS_Store").write_bytes(b"\0")
    make(place / "project" / "build" / "crew", place)
    assert not (place / "project" / "build" / "crew" / ".DS_Store").exists()


def test_a_file_put_there_during_the_build_stops_the_switch(place: Path) -> None:
    out = place / "project" / "build" / "crew"
    with (
        pytest.raises(Refused, match="during the build"),
        Stage(out, place / "project/content") as s,
    ):
        s.write("index.html", b"new")
        (out / "notes.txt").write_text("mine")
        s.finish()
    assert (out / "notes.txt").read_text() == "mine"
    assert (out / "index.html").read_bytes() == b"old"


@pytest.fixture
def mounted(tmp_path: Path) -> Iterator[Path]:
    if os.name == "nt" or os.geteuid() != 0:
        pytest.skip("only root can mount")
    folder = tmp_path / "mounted"
    folder.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", folder], check=True)
    yield folder
    subprocess.run(["umount", folder], check=True)


@pytest.mark.full
def test_a_real_mount_point_is_refused(place: Path, mounted: Path) -> None:
    with (
        pytest.raises(Refused, match="a disk is mounted there"),
        Stage(mounted, place / "project" / "content"),
    ):
        pytest.fail("it was let in")
    make(mounted / "site", place)
