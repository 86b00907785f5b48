"""Fields and prose apart, with the lines of the file."""

from __future__ import annotations

import time

import pytest

from archive.core.problems import Problem
from archive.read.front import Front, guard_prose, split, text_of


def parts(data: bytes) -> tuple[Front, list[Problem]]:
    problems: list[Problem] = []
    return split("a.md", text_of("a.md", data, problems), problems), problems


def test_fields_and_prose_keep_their_lines() -> None:
    front, problems = parts(b"---\ntitle: A\nzone: 510\n---\n\nProse.\n")
    assert front == Front("title: A\nzone: 510", 2, "\nProse.\n", 5)
    assert problems == []


@pytest.mark.parametrize(
    "data",
    [
        b"---\r\ntitle: A\r\n---\r\nProse.\r\n",
        b"\xef\xbb\xbf---\ntitle: A\n---\nProse.\n",
        b"---  \rtitle: A\r---\rProse.\r",
    ],
    ids=["CRLF", "byte-order mark", "CR"],
)
def test_line_ends_and_the_mark_of_other_systems_are_taken(data: bytes) -> None:
    front, problems = parts(data)
    assert (front.fields, front.prose, front.prose_line) == ("title: A", "Prose.\n", 4)
    assert problems == []


def test_a_line_of_dashes_in_the_prose_is_prose() -> None:
    front, _ = parts(b"---\ntitle: A\n---\nOne\n---\nTwo\n")
    assert front.prose == "One\n---\nTwo\n"


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "a.md file-empty"),
        (b" \n", "a.md file-empty"),
        (b"Prose\n", "a.md:1:1 fields-missing"),
        (b"---\ntitle: A\n", "a.md:1:1 fields-open"),
        (b"---\ntitle: A\nby: \xe6\n---\n", "a.md:3:5 not-utf-8"),
        (b"---\ntitle: \x07\n---\n", "a.md:2:8 control-character"),
        ("---\ntitle: A\n---\n".encode("utf-16"), "a.md not-utf-8"),
    ],
)
def test_what_is_no_note_is_told_at_its_place(data: bytes, told: str) -> None:
    _, problems = parts(data)
    assert [f"{p.where} {p.code}" for p in problems] == [told]


@pytest.mark.parametrize(
    "prose",
    ["[" * 8000, "![" * 4000, ">" * 5000, " " * 4000 + "a", "- " * 3000 + "a", "[a\n" * 500],
    ids=["brackets", "pictures", "quotes", "blanks", "dashes", "brackets on lines"],
)
def test_prose_nested_without_end_is_refused_at_once(prose: str) -> None:
    start = time.perf_counter()
    problems: list[Problem] = []
    front = Front("", 2, "Before.\n" + prose, 4)
    assert guard_prose("a.md", front, problems) == ""
    assert [(p.code, p.where.line) for p in problems] == [("prose-nested", 5)]
    assert time.perf_counter() - start < 5


def test_prose_with_many_links_is_kept() -> None:
    prose = "See [one](a.html), [two][2] and a task list:\n\n- [ ] a\n" * 200
    problems: list[Problem] = []
    assert guard_prose("a.md", Front("", 2, prose, 4), problems) == prose
    assert problems == []
