"""What is remembered saves work and never changes a byte; any doubt means that a page is made."""

from __future__ import annotations

import json
import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from archive.publish.inputs import Fingerprint, fingerprint, program_hash
from archive.publish.manifest import MANIFEST
from archive.publish.memory import PageMemory
from archive.publish.stage import Stage
from tests.benchmarks.kill_points import tree_hash

PAGES = {f"parts/p{n}.html": f"part {n}" for n in range(6)}


class Builder:
    """A builder that keeps what is fresh, as the real one does, and counts what it made."""

    def __init__(self, folder: Path) -> None:
        self.content, self.out, self.cache = folder / "content", folder / "crew", folder / "cache"
        self.content.mkdir()
        self.cache.mkdir()
        (self.content / "a.md").write_text("a")

    def inputs(self, *words: str) -> Fingerprint:
        return fingerprint(self.content, *words)

    def memory(self) -> PageMemory:
        return PageMemory(self.cache, self.out)

    def build(self, pages: dict[str, str] | None = None) -> int:
        pages = PAGES if pages is None else pages
        inputs, memory, made = self.inputs(), self.memory(), 0
        with Stage(self.out, self.content) as stage:
            for path, text in pages.items():
                if memory.fresh(path, text):
                    stage.keep(path)
                else:
                    stage.write(path, text.encode())
                    made += 1
            memory.save(stage.finish(), pages, inputs)
        return made


@pytest.fixture
def builder(tmp_path: Path) -> Builder:
    return Builder(tmp_path)


def test_only_what_changed_is_made(builder: Builder) -> None:
    assert builder.build() == 6
    assert builder.build() == 0
    assert builder.build(PAGES | {"parts/p3.html": "part 3, longer"}) == 1
    assert builder.build() == 1


TROUBLES: dict[str, Callable[[Builder], object]] = {
    "memory gone": lambda b: next(b.cache.iterdir()).unlink(),
    "memory odd": lambda b: [path.write_text('{"format": 1}') for path in b.cache.iterdir()],
    "memory torn": lambda b: [path.write_text('{"form') for path in b.cache.iterdir()],
    "memory a list": lambda b: [path.write_text("[" * 99_999) for path in b.cache.iterdir()],
    "memory newer": lambda b: [
        path.write_text(path.read_text().replace('"format": 1', '"format": 2'))
        for path in b.cache.iterdir()
    ],
    "pages odd": lambda b: [
        path.write_text(json.dumps({"format": 1, "inputs": "", "pages": {"parts/p1.html": 7}}))
        for path in b.cache.iterdir()
    ],
    "page edited": lambda b: (b.out / "parts/p1.html").write_text("part X"),
    "page gone": lambda b: (b.out / "parts/p1.html").unlink(),
    "page emptied": lambda b: (b.out / "parts/p1.html").write_text(""),
    "list edited": lambda b: (b.out / MANIFEST).write_text(
        (b.out / MANIFEST).read_text().replace("  ", " ")
    ),
    "site gone": lambda b: shutil.rmtree(b.out),
}


@pytest.mark.parametrize("trouble", TROUBLES)
def test_any_doubt_costs_time_and_no_byte(builder: Builder, trouble: str) -> None:
    builder.build()
    expected = tree_hash(builder.out)
    time.sleep(0.02)  # past a tick of the disk's clock: an edit within one is beyond any stamp
    TROUBLES[trouble](builder)
    assert not builder.memory().nothing_changed(builder.inputs())
    assert builder.build() >= 1
    assert tree_hash(builder.out) == expected
    assert builder.memory().nothing_changed(builder.inputs())


def test_without_a_cache_every_page_is_made(builder: Builder) -> None:
    builder.build()
    memory = PageMemory(None, builder.out)
    assert not memory.fresh("parts/p1.html", "part 1")
    with Stage(builder.out, builder.content) as stage:
        stage.write("index.html", b"x")
        memory.save(stage.finish(), {}, builder.inputs())
    assert len(list(builder.cache.iterdir())) == 1


def test_a_kill_between_switch_and_memory_keeps_nothing_stale(builder: Builder) -> None:
    builder.build()
    with Stage(builder.out, builder.content) as stage:
        for path in PAGES:
            stage.write(path, b"other!")  # of the same size as what the memory knows
        stage.finish()
    assert builder.build() == 6
    assert (builder.out / "parts/p1.html").read_text() == "part 1"


def test_no_key_is_never_fresh(builder: Builder) -> None:
    builder.build({"a.html": ""})
    assert not builder.memory().fresh("a.html", "")


@settings(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.dictionaries(st.sampled_from([*PAGES]), st.text(max_size=3)), max_size=4))
def test_full_and_incremental_builds_are_equal(
    tmp_path_factory: pytest.TempPathFactory, rounds: list[dict[str, str]]
) -> None:
    one = Builder(tmp_path_factory.mktemp("incremental"))
    last = rounds[-1] if rounds else {}
    for pages in [*rounds, last]:
        one.build(pages)
    full = Builder(tmp_path_factory.mktemp("full"))
    full.build(last)
    assert tree_hash(one.out) == tree_hash(full.out)


def set_back(path: Path) -> None:
    path.write_text("b")
    os.utime(path, ns=(1, 1))


def replace_keeping_times(path: Path) -> None:
    """The size and the time of the old file, on another one put in its place."""
    other = path.with_name("other")
    other.write_text("b")
    os.utime(other, ns=(path.stat().st_mtime_ns,) * 2)
    other.rename(path)


CHANGES: dict[str, Callable[[Path], object]] = {
    "written": lambda c: (c / "a.md").write_text("b"),
    "grown": lambda c: (c / "a.md").write_text("aa"),
    "added": lambda c: (c / "b.md").touch(),
    "renamed": lambda c: (c / "a.md").rename(c / "c.md"),
    "removed": lambda c: (c / "a.md").unlink(),
    "empty folder": lambda c: (c / "parts").mkdir(),
    "times set back": lambda c: set_back(c / "a.md"),
    "replaced, times kept": lambda c: replace_keeping_times(c / "a.md"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_every_change_of_the_content_is_seen(builder: Builder, change: str) -> None:
    builder.build()
    assert builder.memory().nothing_changed(builder.inputs())
    CHANGES[change](builder.content)
    assert not builder.memory().nothing_changed(builder.inputs())


def test_words_count_and_git_does_not(builder: Builder) -> None:
    first = builder.inputs("2027-05-28", "crew")
    (builder.content / ".git").mkdir()
    (builder.content / ".git" / "index").write_text("x")
    assert builder.inputs("2027-05-28", "crew").digest == first.digest
    assert builder.inputs("2027-05-29", "crew").digest != first.digest
    assert builder.inputs("2027-05-28crew").digest != first.digest


def test_two_writes_within_one_tick_are_not_mistaken(builder: Builder) -> None:
    """The second write may bear the first one's time: what is read after the fingerprint has it."""
    for n in range(20):
        (builder.content / "a.md").write_text(f"{n:03}")
        first = builder.inputs()
        seen = (builder.content / "a.md").read_text()
        (builder.content / "a.md").write_text(f"{n:03}"[::-1] + "")
        second = builder.inputs()
        if (builder.content / "a.md").read_text() != seen:
            assert not first.settled or first.digest != second.digest


def test_a_clock_that_runs_ahead_is_not_trusted(
    builder: Builder, monkeypatch: pytest.MonkeyPatch
) -> None:
    builder.build()
    now = time.time_ns()
    monkeypatch.setattr(time, "time_ns", lambda: now - 3_600_000_000_000)
    assert not builder.inputs().settled
    assert not builder.memory().nothing_changed(builder.inputs())


def test_the_program_counts_by_its_bytes(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name / "__pycache__").mkdir(parents=True)
        (tmp_path / name / "page.html").write_text("x")
        (tmp_path / name / "__pycache__" / "a.pyc").write_text(name)
    assert program_hash(tmp_path / "one") == program_hash(tmp_path / "other")
    (tmp_path / "one" / "page.html").write_text("y")
    assert program_hash(tmp_path / "one") != program_hash(tmp_path / "other")


@pytest.mark.full
def test_ten_thousand_records_unchanged_are_told_in_a_moment(builder: Builder) -> None:
    """Under 0.3 s of the processor, the interpreter running; a budget of ours, no source."""
    (builder.content / "parts").mkdir()
    for n in range(10_000):
        (builder.content / "parts" / f"p{n}.md").write_text("x")
    builder.build({f"parts/p{n}.html": str(n) for n in range(10_000)})
    taken = []
    for _ in range(3):
        started = time.process_time()
        assert builder.memory().nothing_changed(builder.inputs())
        taken.append(time.process_time() - started)
    assert min(taken) < 0.3
