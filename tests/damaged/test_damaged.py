"""Some sixty mistakes in one folder: each is found at its place; what is sound is still read."""

from __future__ import annotations

from pathlib import Path

from archive.core.messages import MESSAGES
from archive.read.load import load
from archive.records.checks import check

HERE = Path(__file__).parent


def test_every_mistake_is_told_at_its_place_and_nothing_else_is() -> None:
    loaded = load(HERE / "content")
    found = sorted([*loaded.problems, *check(loaded.library)])
    told = [f"{problem.where} {problem.code}" for problem in found]
    assert told == (HERE / "expected.txt").read_text("utf-8").splitlines()
    assert len({problem.code for problem in found}) >= 50


def test_every_problem_has_a_sentence_and_its_word_is_explained() -> None:
    loaded = load(HERE / "content")
    for problem in [*loaded.problems, *check(loaded.library)]:
        assert problem.code in MESSAGES
        assert problem.says.endswith("."), problem
        assert "\n" not in problem.says


def test_a_sound_record_is_read_as_it_was_written() -> None:
    part = load(HERE / "content").library.parts["sound"]
    assert (part.tag, part.number, part.shelf, part.summary) == ("0123", "1_000", "12:30", "NO")
    assert part.prose == "Nothing is wrong with this one.\n"


def test_records_with_mistakes_keep_all_else() -> None:
    library = load(HERE / "content").library
    rail = library.parts["chine-rail"]
    assert rail.title == "Chine rail"
    assert rail.side is None and "side" in rail.lost
    assert [claim.id for claim in rail.claims] == ["rivet-pitch", "rivet-pitch"]
    panel = library.parts["wing-panel"]
    assert [claim.id for claim in panel.claims] == ["span"] and panel.lost == ("claims",)
    assert set(library.parts) >= {"empty", "open", "prose-only", "latin"}
