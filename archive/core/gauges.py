"""Sheet, tube and wire by gauge number: the four systems of the period, each table or rule.

A gauge number alone says nothing: No. 18 is .0403 in Brown & Sharpe, .049 in Birmingham, .050 in
US Standard and .048 in the British standard gauge. So every thickness here is asked for with its
system, and nothing in this program guesses one.
"""

from __future__ import annotations

import re
from functools import lru_cache

from archive.core.problems import Unreadable

SYSTEMS = {
    "B&S": "Brown & Sharpe, the American wire gauge (aluminium sheet, wire)",
    "BWG": "Birmingham, also called Stubs iron (tube walls)",
    "USS": "US Standard of 1893 (steel sheet)",
    "SWG": "the British imperial standard wire gauge",
}

# The names that people write, in capitals, without spaces and full stops.
_NAMES = {
    "B&S": "B&S",
    "BANDS": "B&S",
    "BROWN&SHARPE": "B&S",
    "BROWNANDSHARPE": "B&S",
    "AWG": "B&S",
    "BWG": "BWG",
    "BIRMINGHAM": "BWG",
    "STUBS": "BWG",
    "STUBSIRON": "BWG",
    "USS": "USS",
    "USSTANDARD": "USS",
    "USSG": "USS",
    "SWG": "SWG",
    "ISWG": "SWG",
}

# Thousandths of an inch. Index 0 is the number given first; each next number follows.
_BWG_FIRST = -4
_BWG = (
    *(500, 454, 425, 380, 340, 300, 284, 259, 238, 220, 203, 180, 165, 148, 134),
    *(120, 109, 95, 83, 72, 65, 58, 49, 42, 35, 32, 28, 25, 22, 20, 18, 16, 14, 13, 12),
    *(10, 9, 8, 7, 5, 4),
)
_SWG_FIRST = -6
_SWG = (
    *(500, 464, 432, 400, 372, 348, 324, 300, 276, 252, 232, 212, 192, 176, 160, 144),
    *(128, 116, 104, 92, 80, 72, 64, 56, 48, 40, 36, 32, 28, 24, 22, 20, 18),
    *(16.4, 14.8, 13.6, 12.4, 11.6, 10.8, 10.0, 9.2, 8.4, 7.6, 6.8, 6.0, 5.2, 4.8),
)
# US Standard: up to and including which number the weight falls by how many ounces a square foot.
_USS_STEPS = (
    *((1, 20.0), (14, 10.0), (16, 5.0), (20, 4.0)),
    *((26, 2.0), (31, 1.0), (36, 0.5), (38, 0.25)),
)


def system_named(text: str) -> str | None:
    """The key of SYSTEMS for a name as people write it (`B & S`, `A.W.G.`, `US Standard`)."""
    return _NAMES.get(re.sub(r"[\s.]", "", text).upper())


def gauge_number(text: str) -> int | None:
    """The number in a gauge: `18`; `0`, `000` and `3/0` as 0, -2 and -2; None where it is none."""
    compact = re.sub(r"\s", "", text)
    if re.fullmatch(r"0{1,7}", compact):
        return 1 - len(compact)
    if found := re.fullmatch(r"([1-7])/0", compact):
        return 1 - int(found[1])
    return int(compact) if re.fullmatch(r"[1-9][0-9]?", compact) else None


@lru_cache(maxsize=512)
def thickness_in(system: str, number: int) -> float:
    """The thickness in inches of a gauge number in one of SYSTEMS; 0, 00, 000 are 0, -1, -2.

    B&S: d(n) = 0.005 in x 92^((36 - n)/39), for 0000 to 40 (ASTM B258; the formula from memory,
    checked against printed tables). BWG: the table of Birmingham or Stubs iron wire, 00000 to 36
    (as printed in Holtzapffel and in present handbooks). USS: 15 U.S.C. 206, Act of 3 March 1893:
    thickness = ounces a square foot / 640, for 0000000 to 38; the later "manufacturers' standard"
    for steel differs. SWG: the imperial standard wire gauge, 0000000 to 40 (BS 3737:1964, as
    printed in handbooks). Raises `Unreadable` (`gauge-unknown`) outside a table.
    """
    mils = _mils(system, number)
    if mils is None:
        known = system in SYSTEMS
        raise Unreadable(
            "gauge-unknown",
            f"There is no gauge number {shown_number(number)} in the {system} system."
            if known
            else f"“{system}” is none of the gauge systems kept here.",
            f"The systems are {', '.join(SYSTEMS)}; else give the thickness in inches or mm.",
        )
    return mils / 1000


def shown_number(number: int) -> str:
    """A gauge number as printed in tables: 18, 0, 2/0."""
    return str(number) if number >= 0 else f"{1 - number}/0"


def _mils(system: str, number: int) -> float | None:
    """Thousandths of an inch, or None outside the table."""
    if system == "B&S" and -3 <= number <= 40:
        return float(5 * 92 ** ((36 - number) / 39))
    if system == "BWG" and 0 <= number - _BWG_FIRST < len(_BWG):
        return float(_BWG[number - _BWG_FIRST])
    if system == "SWG" and 0 <= number - _SWG_FIRST < len(_SWG):
        return float(_SWG[number - _SWG_FIRST])
    if system == "USS" and -6 <= number <= 38:
        return _uss_ounces(number) / 0.64
    return None


def _uss_ounces(number: int) -> float:
    """Ounces a square foot of iron sheet by US Standard number, from 320 at 0000000 downwards."""
    ounces, at = 320.0, -6
    for last, step in _USS_STEPS:
        steps = min(number, last) - at
        if steps <= 0:
            break
        ounces, at = ounces - steps * step, min(number, last)
    return ounces
