"""`add` as a newcomer meets it: a new folder, pictures in, a clean check, and all out again."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from prints import saved
from small_records import BASE, photo

from archive.cli.main import main


@pytest.fixture
def run(monkeypatch, tmp_path):
    """`run(words…)` → (exit code, standard output, standard error)."""
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    monkeypatch.chdir(tmp_path)

    def call(*words: object):
        result = CliRunner().invoke(main, [str(word) for word in words])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and ".taken-back" not in path.parts
    }


def test_a_newcomer_adds_checks_builds_and_takes_back(run, tmp_path):
    assert run("new", "ours")[0] == 0
    before = tree(Path("ours"))
    for number in range(3):
        saved(Path("box") / f"IMG_{number}.jpg", number)
    code, out, err = run("add", "box", "--in", "ours", "--as", "AH")
    assert (code, err) == (0, "")
    assert "box/IMG_0.jpg → photos/img-0, source img-0 (new)" in out
    code, out, _ = run("check", "ours")
    assert code == 0 and "0 advice" not in out
    assert "photos/img-0.md" in out and "advice[to-do-open]: To do: Still open: a title" in out
    code, out, err = run("build", "ours")
    assert (code, err) == (0, "")
    page = Path("build/crew/photos/img-0.html").read_text("utf-8")
    assert "Still open: a title of its own" in page and "file name: IMG_0.jpg" in page
    code, out, _ = run("add", "--undo", "--in", "ours")
    assert code == 0 and "9 files taken back, 0 left" in out
    assert tree(Path("ours")) == before


def test_a_dry_run_prints_exactly_what_is_written_and_writes_nothing(run, content):
    folder = content(BASE)
    before = tree(folder)
    saved(Path("slip.png"), 1)
    code, out, _ = run("add", "slip.png", "--in", folder, "--dry-run")
    assert code == 0 and tree(folder) == before
    plain = json.loads(run("add", "slip.png", "--in", folder, "--dry-run", "--json")[1])
    assert plain["run"] is None and tree(folder) == before
    done = json.loads(run("add", "slip.png", "--in", folder, "--json")[1])
    assert done["run"].endswith("-1")
    assert plain["added"] == done["added"]
    (one,) = done["added"]
    for path, text in one["writes"].items():
        if text is None:
            assert (folder / path).read_bytes() == Path("slip.png").read_bytes()
        else:
            assert (folder / path).read_bytes() == text.encode()
            for line in text.splitlines():
                assert f"    | {line}".rstrip() in out.splitlines()


def test_bad_files_are_told_and_the_good_come_in(run, content):
    folder = content(BASE + photo("slip"))
    held = saved(folder / "photos" / "slip.png", 5)
    Path("box").mkdir()
    Path("box/copy.png").write_bytes(held.read_bytes())
    Path("box/page.jpg").write_text("<html>404</html>")
    saved(Path("box/new.png"), 6)
    code, out, err = run("add", "box", "--in", folder)
    assert code == 1
    assert "box/copy.png: held already as photos/slip (the same file, byte for byte)." in out
    assert "1 picture added; 1 held already; 1 problem, left out." in out
    assert err.startswith("box/page.jpg: problem[image-not-a-picture]:")
    found = json.loads(run("add", "box", "--in", folder, "--json")[1])
    assert [one["same_as"] for one in found["held"]] == ["photos/slip", "photos/new"]
    assert [one["code"] for one in found["problems"]] == ["image-not-a-picture"]


def test_a_sheet_beside_its_pictures(run, content):
    folder = content(BASE)
    saved(Path("box/a.png"), 1)
    saved(Path("box/b.png"), 2)
    sheet = Path("box/captions.csv")
    sheet.write_text("file,titel\na.png,At the slip\n")
    before = tree(folder)
    code, _, err = run("add", "--sheet", sheet, "--in", folder)
    assert code == 1 and tree(folder) == before
    assert "box/captions.csv:1:2: problem[sheet-column]: “titel” is no column." in err
    assert "Perhaps title is meant." in err and "Nothing was added" in err
    sheet.write_text("file,title,date\na.png,At the slip,1932\nb.png,On the lake,1932-13\n")
    code, out, err = run("add", "--sheet", sheet, "--in", folder)
    assert code == 1 and "box/captions.csv:3:3: problem[date-impossible]" in err
    assert "a.png → photos/at-the-slip" in out and "on-the-lake" not in out
    sheet.write_text("file,title,date\na.png,At the slip,1932\nb.png,On the lake,1932-12\n")
    code, out, _ = run("add", "--sheet", sheet, "--in", folder)
    assert code == 0 and "b.png → photos/on-the-lake" in out and "held already" in out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "There is nothing to add."),
        (["a.png", "--undo"], "--undo takes a run back and adds nothing."),
        (["a.png", "--sheet", "no.csv"], "There is no sheet no.csv."),
        (["a.png", "--as", "XX"], "Nobody called XX"),
        (["a.png", "--source", "Box 3"], "“Box 3” can't be the id of a source."),
        (["a.png", "--source", "parts/x"], "can't be the id of a source."),
        (["a.png", "--kind", "painting"], "Invalid value for '--kind'"),
        (["--undo"], "No run is remembered here."),
        (["--undo", "2026-01-01-9"], "There is no run 2026-01-01-9."),
    ],
)
def test_wrong_use_ends_with_two_and_writes_nothing(run, content, words, says):
    folder = content(BASE)
    saved(Path("a.png"), 1)
    before = tree(folder)
    code, _, err = run("add", *words, "--in", folder)
    assert code == 2 and says in err
    assert tree(folder) == before


def test_no_content_and_a_full_disk_end_with_three(run, content, monkeypatch):
    saved(Path("a.png"), 1)
    assert run("add", "a.png")[0] == 3
    folder = content(BASE)
    before = tree(folder)

    def full(handle, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("archive.write.adding.write_bytes", full)
    code, _, err = run("add", "a.png", "--in", folder)
    assert code == 3 and "the disk is full; at least" in err and "bytes are free" in err
    assert tree(folder) == before


@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
def test_ctrl_c_in_the_middle_leaves_nothing(content, tmp_path):
    folder = content(BASE)
    for number in range(60):
        saved(tmp_path / "box" / f"{number}.png", number)
    before = tree(folder)
    env = os.environ | {"WITNESSMARK_CACHE": str(tmp_path / "cache")}
    words = [sys.executable, "-m", "archive", "add", "--no-compare"]
    words += [str(tmp_path / "box"), "--in", str(folder)]
    with subprocess.Popen(
        words, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as child:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline and child.poll() is None:
            if any(name.startswith(".adding-") for name in os.listdir(folder)):
                child.send_signal(signal.SIGINT)
                break
            time.sleep(0.001)
        _, err = child.communicate(timeout=60)
    assert child.returncode in (130, 0), err
    if child.returncode == 130:
        assert err == "Stopped; nothing was changed.\n"
        assert tree(folder) == before


def test_the_demo_tells_what_came_in_and_keeps_what_was_written_since(run, tmp_path):
    folder = tmp_path / "demo"
    shutil.copytree(Path(__file__).parents[2] / "content", folder)
    before = tree(folder)
    code, out, _ = run("add", "--undo", "--in", folder)
    assert code == 0
    assert "photos/beached-1932-late.md: left, it was edited since" in out
    assert "photos/beached-1932-late.jpg: left, as photos/beached-1932-late.md stays" in out
    assert "0 files taken back" not in out and "no files taken back, 3 left" in out
    assert tree(folder) == before
