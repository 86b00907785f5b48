"""Two lists of sums compared: each mishap is told as the one thing that happened."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.core.fixity import DAMAGE, Listed, Seen, compare

A, B, C = "a" * 64, "b" * 64, "c" * 64
LISTED = {"one": Listed(A, 10), "two": Listed(B, 20)}


def told(found, listed=LISTED, removed=frozenset()):
    return [(line.path, line.what, line.other) for line in compare(listed, found, removed)]


@pytest.mark.parametrize(
    ("one", "what"),
    [
        (Seen(C, 10, C), "altered"),
        (Seen(C, 9, C), "cut-short"),
        (Seen(C, 11, C), "grown"),
        (Seen(C, 0, C), "emptied"),
        (Seen(C, 11, C, later=True), "edited"),
        (Seen(C, 10, A), "reads-differently"),
        (Seen(unreadable="permission denied"), "unreadable"),
    ],
)
def test_one_file_that_does_not_fit(one, what):
    assert told({"one": one, "two": Seen(B, 20)}) == [("one", what, "")]


def test_a_file_of_another_time_with_its_own_bytes_is_no_alarm():
    assert told({"one": Seen(A, 10, later=True), "two": Seen(B, 20)}) == []


def test_two_that_changed_places_are_swapped():
    found = {"one": Seen(B, 20, B), "two": Seen(A, 10, A)}
    assert told(found) == [("one", "swapped", "two"), ("two", "swapped", "one")]


@pytest.mark.parametrize("name", ["ONE", "elsewhere/one", "three"])
def test_a_file_that_lies_elsewhere_is_renamed_not_lost(name):
    assert told({name: Seen(A, 10), "two": Seen(B, 20)}) == [("one", "renamed", name)]


def test_the_likeliest_of_two_new_names_is_told():
    found = {"x/other": Seen(A, 10), "ONE": Seen(A, 10), "two": Seen(B, 20)}
    assert told(found) == [("one", "renamed", "ONE"), ("x/other", "not-listed", "")]


def test_an_accent_written_in_two_pieces_is_a_rename():
    whole, pieces = "photos/bl\u00e5.jpg", "photos/bla\u030a.jpg"
    found = {pieces: Seen(A, 10)}
    assert told(found, {whole: Listed(A, 10)}) == [(whole, "renamed", pieces)]


def test_what_was_taken_out_on_purpose_is_not_missing():
    assert told({"two": Seen(B, 20)}, removed=frozenset({"one"})) == []
    assert told({"two": Seen(B, 20)}) == [("one", "missing", "")]


names = st.text("abcAB/", min_size=1, max_size=4)
sums = st.sampled_from([A, B, C])
files = st.dictionaries(names, sums, max_size=6)


@given(files, files)
def test_every_path_that_differs_is_named_and_no_other(before, after):
    listed = {path: Listed(s, 5) for path, s in before.items()}
    damage = compare(listed, {path: Seen(s, 5, s) for path, s in after.items()})
    named = {line.path for line in damage} | {line.other for line in damage} - {""}
    differ = {p for p in before.keys() | after.keys() if before.get(p) != after.get(p)}
    assert named == differ
    assert all(line.what in DAMAGE for line in damage)
