"""System codes and zones against the published tables that they come from."""

from __future__ import annotations

import pytest

from archive.core.systems import DETAILS, HEADINGS, major_zone, system_name

# FAA, Joint Aircraft System/Component Code Table, 27 October 2008 (read in a public CSV of it).
PUBLISHED = {
    "18": "HELICOPTER VIBRATION",
    "32": "LANDING GEAR",
    "53": "FUSELAGE",
    "55": "STABILIZERS",
    "57": "WINGS",
    "67": "ROTORS FLIGHT CONTROL",
    "85": "RECIPROCATING ENGINE",
    "2710": "AILERON CONTROL SYSTEM",
    "2810": "FUEL STORAGE",
    "3246": "WHEEL/SKI/FLOAT",
    "3270": "AUXILIARY GEAR (TAIL SKID)",
    "5313": "FUSELAGE MAIN, LONGERON/STRINGER",
    "5343": "LANDING GEAR ATTACH FITTINGS",
    "5412": "NACELLE/PYLON, BULKHEAD/FIREWALL",
    "5711": "WING SPAR",
    "5712": "WING, RIB/BULKHEAD",
    "5751": "AILERONS",
    "7112": "ENGINE AIR BAFFLE SECTION",
    "7120": "ENGINE MOUNT SECTION",
    "7810": "ENGINE COLLECTOR/TAILPIPE/NOZZLE",
}


def words(name: str) -> set[str]:
    """The words of a name that carry meaning, in small letters."""
    marks = str.maketrans("/,()", "    ")
    return set(name.lower().translate(marks).split()) - {"and", "or", "system", "section"}


@pytest.mark.parametrize("code", sorted(PUBLISHED))
def test_names_say_what_the_published_table_says(code: str) -> None:
    ours = system_name(code)
    assert ours is not None
    assert words(PUBLISHED[code]) <= words(ours)


def test_all_headings_and_a_subset_of_the_codes() -> None:
    """The table has 51 two-digit headings and 547 four-digit codes; we keep a stated subset."""
    assert len(HEADINGS) == 51
    assert 0 < len(DETAILS) < 547
    assert not [code for code in DETAILS if code.endswith("97")], "97 is wiring"


def test_headings_are_those_of_the_table() -> None:
    runs = ((11, 12), (14, 14), (18, 18), (21, 38), (45, 45), (49, 49), (51, 57), (61, 65))
    numbers = {
        n for first, last in (*runs, (67, 67), (71, 83), (85, 85)) for n in range(first, last + 1)
    }
    assert {int(code) for code in HEADINGS} == numbers


# ATA-100 major zones, as two trade pages quote them.
@pytest.mark.parametrize(
    ("number", "word"),
    [
        (110, "lower"),
        (210, "upper"),
        (330, "empennage"),
        (410, "powerplant"),
        (520, "left wing"),
        (620, "right wing"),
        (710, "landing gear"),
        (810, "doors"),
        (900, "reserved"),
    ],
)
def test_major_zones(number: int, word: str) -> None:
    assert word in major_zone(number).lower()
