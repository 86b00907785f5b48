"""The switch is one step where the system has it, and is healed where it takes two."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from archive.publish import switch
from archive.publish.refusal import Refused
from archive.publish.stage import Stage
from tests.benchmarks.kill_points import tree_hash


def build(out: Path, content: Path, text: str) -> None:
    with Stage(out, content) as stage:
        stage.write("index.html", text.encode())
        stage.finish()


@pytest.fixture
def content(tmp_path: Path) -> Path:
    (tmp_path / "content").mkdir()
    return tmp_path / "content"


@pytest.fixture
def out(tmp_path: Path, content: Path) -> Path:
    build(tmp_path / "build" / "crew", content, "old")
    return tmp_path / "build" / "crew"


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has the exchange")
def test_linux_exchanges_two_folders(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()
    if not switch.exchange(tmp_path / "one", tmp_path / "other"):
        pytest.skip("this file system has no exchange")
    assert (tmp_path / "one" / "other").exists() and (tmp_path / "other" / "one").exists()
    with pytest.raises(FileNotFoundError):
        switch.exchange(tmp_path / "one", tmp_path / "nowhere")


def test_without_the_exchange_two_renames_do(
    out: Path, content: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(switch, "exchange", lambda *_: False)
    build(out, content, "new")
    assert (out / "index.html").read_text() == "new"
    assert [path.name for path in out.parent.iterdir()] == ["crew"]


def test_a_refused_second_rename_is_undone(
    out: Path, content: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(switch, "exchange", lambda *_: False)
    before, rename = tree_hash(out), os.rename

    def interrupt(one: Path, other: Path) -> None:
        if one.name == "site":
            raise KeyboardInterrupt
        rename(one, other)

    monkeypatch.setattr(os, "rename", interrupt)
    with pytest.raises(KeyboardInterrupt):
        build(out, content, "new")
    assert tree_hash(out) == before


def test_a_kill_between_two_renames_is_healed_by_the_next_build(out: Path, content: Path) -> None:
    """What the disk holds then: no site, the old one aside, the new one staged."""
    before = tree_hash(out)
    (switch.open_stage(out) / "index.html").write_text("half")
    os.rename(out, switch.stage_path(out) / "old")
    with Stage(out, content) as stage:
        assert tree_hash(out) == before
        assert set(stage.previous.files) == {"index.html"}
    assert tree_hash(out) == before
    build(out, content, "new")
    assert (out / "index.html").read_text() == "new"
    assert [path.name for path in out.parent.iterdir()] == ["crew"]


@pytest.mark.parametrize(
    "left",
    [
        [],
        ["stage.json"],
        ["stage.json", "old/a", "site/b", "site-pictures/c", "d"],
        [".stage.json.0123.part"],
    ],
)
def test_every_leftover_is_cleared(out: Path, left: list[str]) -> None:
    stage = switch.stage_path(out)
    stage.mkdir()
    for path in left:
        (stage / path).parent.mkdir(exist_ok=True)
        (stage / path).touch()
    switch.clear(out)
    assert not stage.exists() and (out / "index.html").exists()


def test_somebodys_own_folder_of_that_name_is_left(out: Path) -> None:
    stage = switch.stage_path(out)
    (stage / "site").mkdir(parents=True)
    (stage / "site" / "thesis.txt").touch()
    with pytest.raises(Refused, match="in the way"):
        switch.clear(out)
    assert (stage / "site" / "thesis.txt").exists()


@pytest.mark.parametrize("count", [1, 200])
def test_all_is_flushed_before_the_switch_and_the_switch_before_the_removal(
    out: Path, content: Path, monkeypatch: pytest.MonkeyPatch, count: int
) -> None:
    steps: list[str] = []
    for name in ("flush_site", "exchange", "flush_folder", "clear"):
        real = getattr(switch, name)

        def note(*words: object, name: str = name, real: object = real) -> object:
            steps.append(name)
            return real(*words)  # type: ignore[operator]

        monkeypatch.setattr(switch, name, note)
    with Stage(out, content) as stage:
        for n in range(count):
            stage.write(f"parts/{n}.html", b"x")
        steps.clear()
        stage.finish()
    wanted = [step for step in steps if step != "flush_folder" or steps.index(step)]
    order = [wanted.index(name) for name in ("flush_site", "exchange", "clear")]
    assert order == sorted(order)
    assert "flush_folder" in steps[steps.index("exchange") : steps.index("clear")]
