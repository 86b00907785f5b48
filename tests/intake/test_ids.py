"""Names for new records: fit for every disk, each once, and the same again for the same file."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from archive.intake.ids import LONGEST, propose_id
from archive.read.values import NAME
from archive.read.walk import RESERVED

words = st.lists(st.text(max_size=80), max_size=3)
ids = st.from_regex(r"[a-z0-9][a-z0-9-]{0,12}", fullmatch=True)


@given(words, st.sets(ids, max_size=5))
def test_a_proposed_id_is_a_name_that_any_disk_can_hold(words, taken):
    found = propose_id(words, taken, "picture-1a2b3c4d")
    assert NAME.match(found)
    assert len(found) <= LONGEST
    assert found not in taken
    assert found not in RESERVED
    assert found == found.casefold()
    assert found == propose_id(words, taken, "picture-1a2b3c4d")


@given(st.text(max_size=80), st.integers(2, 6))
def test_the_same_words_many_times_give_as_many_names(text, times):
    taken: set[str] = set()
    for _ in range(times):
        taken.add(propose_id([text], taken, "picture"))
    assert len(taken) == times


def test_names_that_windows_keeps_are_never_proposed():
    # learn.microsoft.com, "Naming Files, Paths, and Namespaces": CON, PRN, AUX, NUL, COM0-9, LPT0-9
    for word in ("CON", "prn", "Aux", "NUL", "COM1", "lpt9", "com0"):
        assert propose_id([word], (), "x") == f"{word.lower()}-1"


def test_words_of_another_script_give_way_to_the_file_name():
    assert propose_id(["На озере, 1932", "IMG 0231"], (), "x") == "img-0231"
    assert propose_id(["На озере", "漢字"], (), "picture-1a2b") == "picture-1a2b"
    assert propose_id(["Tür Ø2"], (), "x") == "tur-o2"


def test_a_long_name_keeps_its_length_when_counted():
    taken = {propose_id(["a" * 90], (), "x")}
    assert propose_id(["a" * 90], taken, "x") == "a" * 58 + "-2"
