"""A run comes in whole or not at all, whatever stops it, and goes as far as it is untouched."""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

import pytest
from prints import saved

from archive.core.arrivals import AddedFile, Copy, NewNote, Run
from archive.core.atomic import CannotWrite
from archive.core.problems import Problem
from archive.read.added import next_name, read_run, run_names, text_of_run
from archive.write import adding, moves, taking_back
from archive.write.adding import add
from archive.write.taking_back import take_back
from archive.write.turn import my_turn

DAY = "2026-11-25"


@pytest.fixture
def folder(content):
    return content("")


@pytest.fixture
def copies(tmp_path):
    made = []
    for number in (1, 2):
        origin = saved(tmp_path / "in" / f"IMG_{number}.jpg", number)
        data = origin.read_bytes()
        os.utime(origin, ns=(10**18, 10**18))
        sum_ = hashlib.sha256(data).hexdigest()
        made.append(Copy(f"photos/p{number}.jpg", origin, sum_, len(data)))
    return made


NOTES = [
    NewNote("photos/p1.md", {"title": "One", "kind": "period", "source": "s"}),
    NewNote("photos/p2.md", {"title": "Two", "kind": "period"}),
    NewNote("sources/s.md", {"title": "S", "citation": {"type": "graphic"}}),
]
PATHS = {"photos/p1.jpg", "photos/p2.jpg", "photos/p1.md", "photos/p2.md", "sources/s.md"}


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_originals_come_in_byte_for_byte_and_are_registered(folder, copies):
    before = tree(folder)
    run = add(folder, copies, NOTES, DAY)
    after = tree(folder)
    assert set(after) - set(before) == {*PATHS, f"added/{DAY}-1.yaml"}
    for copy in copies:
        assert after[copy.path] == copy.origin.read_bytes()
        assert (folder / copy.path).stat().st_mtime_ns == 10**18
    assert run.name == f"{DAY}-1"
    assert read_run(folder, run.name) == run
    assert {one.path: one.origin for one in run.files}["photos/p1.jpg"] == "IMG_1.jpg"
    assert next_name(folder, DAY) == f"{DAY}-2"


def test_nothing_is_written_over(folder, copies):
    (folder / "photos").mkdir()
    (folder / "photos" / "p2.md").write_text("mine")
    before = tree(folder)
    with pytest.raises(CannotWrite, match=r"p2\.md is there already"):
        add(folder, copies, NOTES, DAY)
    assert tree(folder) == before


def test_an_original_that_changed_stops_the_run(folder, copies):
    before = tree(folder)
    copies[1].origin.write_bytes(b"another")
    with pytest.raises(CannotWrite, match="changed while it was being taken in"):
        add(folder, copies, NOTES, DAY)
    assert tree(folder) == before


def test_a_full_disk_is_told_before_anything_is_copied(folder, copies, monkeypatch):
    monkeypatch.setattr(shutil, "disk_usage", lambda place: shutil._ntuple_diskusage(10, 10, 0))
    before = tree(folder)
    with pytest.raises(CannotWrite, match=r"the disk is full; at least [\d,]+ bytes are needed"):
        add(folder, copies, NOTES, DAY)
    assert tree(folder) == before


class Stop(BaseException):
    """Stands for Ctrl-C, or for a disk that refuses, at one step."""


STEPS = [
    (adding, "_copy"), (adding, "write_file"), (adding, "sum_of"), (moves, "put"),
    (moves, "write_file"), (moves, "flush_folder"),
]  # fmt: skip


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step[1])
@pytest.mark.parametrize("at", range(5))
@pytest.mark.parametrize("error", [Stop(), OSError(28, "No space left on device")])
def test_stopped_at_any_step_nothing_is_half(folder, copies, monkeypatch, step, at, error):
    module, name = step
    real = getattr(module, name)
    calls = iter(range(100))

    def failing(*words, **more):
        if next(calls) == at:
            raise error
        return real(*words, **more)

    monkeypatch.setattr(module, name, failing)
    before = tree(folder)
    try:
        add(folder, copies, NOTES, DAY)
    except (Stop, CannotWrite, OSError):
        assert tree(folder) == before
    else:
        assert next(calls) <= at
        assert set(tree(folder)) - set(before) == {*PATHS, f"added/{DAY}-1.yaml"}


KILL = """
import os, sys
from pathlib import Path
from archive.core.arrivals import Copy, NewNote
from archive.write import {module}
real, left = {module}.{name}, [{at}]
def failing(*words, **more):
    if not left[0]:
        os._exit(9)
    left[0] -= 1
    return real(*words, **more)
{module}.{name} = failing
{body}
"""


@pytest.mark.parametrize(
    ("module", "name", "at"),
    [("adding", "_copy", 1), ("moves", "put", 0), ("moves", "put", 3), ("adding", "write_file", 3)],
)
def test_a_killed_run_is_put_right_by_the_next(folder, copies, module, name, at, tmp_path):
    import subprocess
    import sys

    before = tree(folder)
    body = f"""
from pathlib import PosixPath
from archive.write.adding import add
copies = {copies!r}
notes = {NOTES!r}
add(Path({str(folder)!r}), copies, notes, {DAY!r})
"""
    text = KILL.format(module=module, name=name, at=at, body=body)
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True)
    assert done.returncode == 9, done.stderr
    assert tree(folder) != before  # something was left by the killed run
    with my_turn(folder):
        assert moves.tidy(folder) == [f"{DAY}-1"]
    assert tree(folder) == before
    assert add(folder, copies, NOTES, DAY).name == f"{DAY}-1"


def test_two_runs_at_once(folder, copies):
    with my_turn(folder), pytest.raises(CannotWrite, match="Another run"):
        add(folder, copies, NOTES, DAY)
    add(folder, copies, NOTES, DAY)


def test_a_run_is_taken_back_whole(folder, copies):
    before = tree(folder)
    run = add(folder, copies, NOTES, DAY)
    done = take_back(folder, run, {"sources/s": ("photos/p1",)})
    assert set(done.files) == PATHS and done.left == ()
    kept = {path: data for path, data in tree(folder).items() if not path.startswith(".taken-back")}
    assert kept == before
    assert done.aside == folder / ".taken-back" / run.name
    assert (done.aside / "photos" / "p1.jpg").read_bytes() == copies[0].origin.read_bytes()
    assert run_names(folder) == []


def test_what_was_edited_or_is_named_stays_and_says_why(folder, copies):
    run = add(folder, copies, NOTES, DAY)
    with (folder / "photos" / "p1.md").open("a") as note:
        note.write("Seen by HB.\n")
    done = take_back(folder, run, {"sources/s": ("photos/p1",), "photos/p2": ("parts/chine",)})
    assert done.files == ()
    assert dict(done.left) == {
        "photos/p1.md": "it was edited since",
        "photos/p1.jpg": "as photos/p1.md stays",
        "photos/p2.jpg": "parts/chine names it",
        "photos/p2.md": "parts/chine names it",
        "sources/s.md": "photos/p1 names it",
    }
    done = take_back(folder, run, {"sources/s": ("photos/p1",)})
    assert set(done.files) == {"photos/p2.jpg", "photos/p2.md"}
    left = read_run(folder, run.name)
    assert {one.path for one in left.files} == {"photos/p1.jpg", "photos/p1.md", "sources/s.md"}


@pytest.mark.parametrize("at", range(5))
def test_taking_back_that_fails_leaves_all_as_it_was(folder, copies, monkeypatch, at):
    run = add(folder, copies, NOTES, DAY)
    before = tree(folder)
    real, calls = moves.put, iter(range(100))

    def failing(*words):
        if next(calls) == at:
            raise OSError(5, "Input/output error")
        return real(*words)

    monkeypatch.setattr(moves, "put", failing)
    with pytest.raises(CannotWrite):
        take_back(folder, run, {})
    assert tree(folder) == before


def test_taking_back_whose_register_cannot_go_leaves_all_as_it_was(folder, copies, monkeypatch):
    run = add(folder, copies, NOTES, DAY)
    before = tree(folder)

    def refused(path, **more):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(taking_back.Path, "unlink", refused)
    with pytest.raises(CannotWrite, match="no permission"):
        take_back(folder, run, {})
    monkeypatch.undo()
    assert tree(folder) == before


def test_a_register_is_read_back_the_same_or_not_at_all(folder):
    run = Run(f"{DAY}-1", DAY, (AddedFile("photos/p.jpg", "ab" * 32, 'IMG "1" é: #.jpg'),))
    (folder / "added").mkdir()
    place = folder / "added" / f"{run.name}.yaml"
    place.write_text(text_of_run(run), "utf-8")
    assert read_run(folder, run.name) == run
    for path in ("../x.md", "parts/p.md", "photos/a/../../x.md", "photos/p.exe", "/etc/x.md"):
        place.write_text(text_of_run(run).replace("photos/p.jpg", path), "utf-8")
        assert isinstance(read_run(folder, run.name), Problem), path
    for text in ("", "files: [", "on: 2026\nfiles: {photos/p.md: x}", "\0"):
        place.write_text(text)
        assert isinstance(read_run(folder, run.name), Problem), text


@pytest.mark.parametrize("name", ["photos", "sources", "added"])
def test_nothing_is_moved_through_a_link(folder, copies, tmp_path, name):
    outside = tmp_path / "outside"
    outside.mkdir()
    run = add(folder, copies, NOTES, DAY) if name != "added" else Run(f"{DAY}-1", DAY, ())
    if name != "added":
        shutil.rmtree(folder / name)
    (folder / name).symlink_to(outside, target_is_directory=True)
    with pytest.raises(CannotWrite, match="is a link"):
        add(folder, copies, NOTES, DAY)
    with pytest.raises(CannotWrite, match="is a link"):
        take_back(folder, run, {})
    assert list(outside.iterdir()) == []
