"""A page's name works on every disk that a site may be copied to, or is refused by name.

Checked against Microsoft, "Naming Files, Paths, and Namespaces" (learn.microsoft.com, file
system documentation): the reserved names and characters, quoted here from memory.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.publish.names import Names, check
from archive.publish.refusal import Refused

WORKS = ["index.html", "parts/axle.html", "a b.html", "Ærø.html", "con-rod.html", "a" * 180, "-x"]
FAILS = [
    "",
    "/etc/passwd",
    "../up.html",
    "a/../b",
    "a//b",
    "a/./b",
    "a/",
    "con",
    "CON.html",
    "parts/Nul.tar.gz",
    "lpt9.txt",
    "COM¹",
    "aux .html",
    "ends.",
    "ends ",
    "folder./x",
    "a\\b",
    "C:x",
    'a"b',
    "what?",
    "a|b",
    "a<b",
    "line\nfeed",
    "nul\0byte",
    "right\u202eleft",
    "zero\u200bwidth",
    "e\u0301.html",
    "bad\udcff.html",
    "b" * 201,
    "ø" * 150,
]


@pytest.mark.parametrize("path", WORKS)
def test_works(path: str) -> None:
    check(path)


@pytest.mark.parametrize("path", FAILS)
def test_refused(path: str) -> None:
    with pytest.raises(Refused) as caught:
        check(path)
    assert caught.value.code == "name-not-portable" and caught.value.hint


@pytest.mark.parametrize(
    ("first", "second", "code"),
    [
        ("wing.html", "Wing.html", "name-collides"),
        ("Parts/a", "parts/b", "name-collides"),
        ("straße", "STRASSE", "name-collides"),
        ("a", "a", "name-taken"),
        ("a", "a/b", "name-taken"),
        ("a/b", "a", "name-taken"),
    ],
)
def test_two_names_that_can_not_lie_side_by_side(first: str, second: str, code: str) -> None:
    names = Names()
    names.claim(first)
    with pytest.raises(Refused) as caught:
        names.claim(second)
    assert caught.value.code == code


def test_neighbours_are_no_collision() -> None:
    names = Names()
    for path in ("a/b", "a/c", "a/d/e", "a/d/f", "ab"):
        names.claim(path)


@given(st.text(max_size=40))
def test_any_text_is_taken_or_refused(path: str) -> None:
    try:
        check(path)
    except Refused as refusal:
        assert refusal.says.endswith(".")
    else:
        assert not path.startswith("/") and ".." not in path.split("/") and "\\" not in path
