"""System codes and zones: what is known, and what a number suggests."""

from __future__ import annotations

import pytest

from archive.core.problems import Unreadable
from archive.core.systems import DETAILS, HEADINGS, is_known, major_zone, side_hint, system_name


def test_codes_are_known_with_and_without_the_dash() -> None:
    assert system_name("3246") == system_name("32-46") == "Wheel, ski, float"
    assert system_name("32") == "Landing gear"


@pytest.mark.parametrize("code", ["", "3", "324", "3299", "99", "3-246", "aileron"])
def test_other_codes_are_unknown(code: str) -> None:
    assert system_name(code) is None
    assert not is_known(code)


def test_every_detail_has_its_heading() -> None:
    assert {code[:2] for code in DETAILS} <= set(HEADINGS)


@pytest.mark.parametrize(
    ("number", "side"),
    [
        *((500, "port"), (522, "port"), (600, "starboard"), (611, "starboard")),
        *((711, "port"), (712, "starboard"), (700, None), (210, None), (101, "port")),
    ],
)
def test_a_zone_number_hints_at_its_side(number: int, side: str | None) -> None:
    assert side_hint(number) == side


@pytest.mark.parametrize("number", [99, 1000, -100, 0])
def test_zones_have_three_digits(number: int) -> None:
    with pytest.raises(Unreadable) as refusal:
        major_zone(number)
    assert refusal.value.code == "zone-impossible"
