"""Gauge numbers: how they are written, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.core.gauges import SYSTEMS, gauge_number, shown_number, system_named, thickness_in
from archive.core.problems import Unreadable


@pytest.mark.parametrize(
    ("written", "system"),
    [
        ("B&S", "B&S"),
        ("b & s", "B&S"),
        ("A.W.G.", "B&S"),
        ("Brown & Sharpe", "B&S"),
        ("Stubs iron", "BWG"),
        ("U.S. Standard", "USS"),
        ("swg", "SWG"),
        ("Paris", None),
    ],
)
def test_systems_are_known_by_the_names_people_write(written: str, system: str | None) -> None:
    assert system_named(written) == system


@pytest.mark.parametrize(
    ("written", "number"),
    [("18", 18), ("0", 0), ("00", -1), ("0000", -3), ("4/0", -3), ("8/0", None), ("1/8", None)],
)
def test_numbers_with_noughts(written: str, number: int | None) -> None:
    assert gauge_number(written) == number


@given(st.integers(-6, 40))
def test_a_number_reads_back_as_it_is_shown(number: int) -> None:
    assert gauge_number(shown_number(number)) == number


@given(st.sampled_from(sorted(SYSTEMS)), st.integers(-3, 35))
def test_a_higher_number_is_thinner(system: str, number: int) -> None:
    assert thickness_in(system, number + 1) < thickness_in(system, number)


@pytest.mark.parametrize(
    ("system", "number"), [("B&S", 41), ("B&S", -4), ("BWG", 37), ("USS", 39), ("Paris", 18)]
)
def test_what_no_table_holds_is_refused(system: str, number: int) -> None:
    with pytest.raises(Unreadable) as refusal:
        thickness_in(system, number)
    assert refusal.value.code == "gauge-unknown"
