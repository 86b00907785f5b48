"""Folding, chains, marks and slips."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.search.words import chains, compact, distance, fold, mark_tokens, tokens


@pytest.mark.parametrize(
    ("written", "folded"),
    [
        ("Façade", "facade"),
        ("Øvre ÅSKE", "ovre aske"),
        ("Straße", "strasse"),
        ("ship’s", "ships"),
        ("7 ½ in", "7 1/2 in"),
        ("K–12—4", "k-12-4"),
        ("“spats”", '"spats"'),
        ("naïve", "naive"),
        ("𝐁old 🛩", " old  "),
        ("İstanbul ΣΑΣ", "istanbul σασ"),
    ],
)
def test_fold(written: str, folded: str) -> None:
    # NFKD makes mathematical letters plain; what stays beyond the basic plane is a blank.
    assert fold(written) == folded.replace(" old ", "bold ", 1)


@given(st.text())
def test_folding_twice_changes_nothing_that_is_searched(text: str) -> None:
    assert chains(fold(fold(text))) == chains(fold(text))


def test_tokens_keep_chains_findable_both_ways_and_skip_stop_words() -> None:
    assert list(tokens("The water-rudder of P-114")) == [
        ("water", 0),
        ("rudder", 1),
        ("waterrudder", 0),
        ("p", 2),
        ("114", 3),
        ("p114", 2),
    ]
    assert list(tokens("A-12 aft")) == [("12", 0), ("a12", 0), ("aft", 1)]
    assert list(tokens("of the and")) == []


@pytest.mark.parametrize("mark", ["P-114", "QK-41", "K.12/4", "B-47a", "0123"])
def test_a_mark_is_kept_whole_and_without_separators(mark: str) -> None:
    assert mark.lower() in mark_tokens([mark])
    assert compact(mark.lower()) in mark_tokens([mark])


def test_a_mark_of_several_words_is_found_by_each() -> None:
    assert mark_tokens(["Box 12/7"]) == ["box12/7", "box127", "box", "12/7", "127"]


@pytest.mark.parametrize(
    ("one", "other", "slips"),
    [
        ("rudder", "ruder", 1),
        ("rudder", "rudedr", 1),
        ("spar", "spar", 0),
        ("fitting", "fiting", 1),
        # The two below tell this distance from the unrestricted one and from Levenshtein's
        # (Boytsov, "Indexing methods for approximate dictionary searching", 2011; from memory).
        ("ca", "abc", 3),
        ("ab", "ba", 1),
    ],
)
def test_distance(one: str, other: str, slips: int) -> None:
    assert distance(one, other, 3) == slips


@given(st.text("abc", max_size=7), st.text("abc", max_size=7), st.integers(0, 4))
def test_distance_is_the_same_both_ways_and_stops_at_the_limit(a: str, b: str, limit: int) -> None:
    full = distance(a, b, 20)
    assert distance(b, a, 20) == full
    assert (full == 0) == (a == b)
    assert distance(a, b, limit) == min(full, limit + 1)
