"""Postings survive being written and read, in characters that need no escape."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.search.codec import (
    ALPHABET,
    PLACE,
    STEP,
    number,
    put_places,
    read_number,
)
from archive.search.codec import places as encoded_places

EDGES = [0, 55, 81, 441, 2_755, 8_541, 10_855, 737_541, 739_855, 66_000_000]
EDGES = sorted({*EDGES, *(edge + 1 for edge in EDGES[1:-1])})


@given(st.one_of(st.sampled_from(EDGES), st.integers(0, EDGES[-1])), st.sampled_from([STEP, PLACE]))
def test_numbers_come_back(value: int, short: int) -> None:
    text = number(value, short)
    assert read_number(text + "#", 0, short) == (value, len(text))
    assert json.dumps(text) == f'"{text}"'


@pytest.mark.parametrize("value", [-1, 10**9])
def test_numbers_out_of_range_are_refused(value: int) -> None:
    with pytest.raises(ValueError, match="not between"):
        number(value, STEP)


places = st.lists(st.integers(0, 3000), min_size=1, max_size=6).map(sorted)


Read = Callable[[str], dict[int, list[int]]]


def written(postings: dict[int, list[int]]) -> str:
    """All of them, one document after the other."""
    text, last = "", 0
    for document in sorted(postings):
        text += number(document - last, STEP) + encoded_places(postings[document])
        last = document
    return text


@given(st.dictionaries(st.integers(0, 100_000), places, max_size=8))
def test_postings_come_back(read_postings: Read, postings: dict[int, list[int]]) -> None:
    assert read_postings(written(postings)) == postings


@given(
    st.dictionaries(st.integers(0, 200), places, max_size=8),
    st.integers(0, 200),
    places | st.just([]),
)
def test_putting_one_document_is_writing_all_again(
    postings: dict[int, list[int]], document: int, positions: list[int]
) -> None:
    wanted = {**postings, document: positions}
    if not positions:
        del wanted[document]
    assert put_places(written(postings), document, positions) == written(wanted)


def test_small_numbers_take_one_character_and_the_alphabet_ninety() -> None:
    assert len(set(ALPHABET)) == 90
    assert len(written({3: [17]})) == 2
