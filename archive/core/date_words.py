"""How dates are said in English, and what to write in EDTF for a date said in English."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date

SEASONS = {21: "spring", 22: "summer", 23: "autumn", 24: "winter"}
QUARTERS = {33: "first quarter", 34: "second quarter", 35: "third quarter", 36: "fourth quarter"}
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


def day_words(year: int, month: int | None = None, day: int | None = None) -> str:
    """`12 May 1931`, `May 1931` or `1931`."""
    if month is None:
        return str(year)
    named = f"{MONTHS[month - 1]} {year}"
    return named if day is None else f"{day} {named}"


def qualified(words: str, approximate: bool, uncertain: bool) -> str:
    """The words of a date with its qualifiers: `about 1931`, `1931 (uncertain)`."""
    return f"{'about ' if approximate else ''}{words}{' (uncertain)' if uncertain else ''}"


def between(start: Sequence[int], end: Sequence[int]) -> str:
    """`between May and August 1933`, of two (year, month, day) as far as known; nothing twice."""
    first = day_words(*start)
    if start[0] == end[0] and len(start) == len(end) > 1:
        same_month = len(start) == 3 and start[1] == end[1]
        first = str(start[2]) if same_month else first.rsplit(" ", 1)[0]
    return f"between {first} and {day_words(*end)}"


def listed(last: str) -> Callable[[Sequence[str]], str]:
    """How a list is said, with `last` ("and", "or") before its last member."""

    def say(words: Sequence[str]) -> str:
        return f" {last} ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)

    return say


LISTS = {"[": listed("or"), "{": listed("and")}

_MONTH = "|".join(name[:3] for name in MONTHS)
_NAMED_DAY = re.compile(rf"(\d\d?)(?:st|nd|rd|th)?[ .-]+({_MONTH})[a-z]*[ .,-]+(\d{{4}})", re.I)
_AMERICAN_DAY = re.compile(rf"({_MONTH})[a-z]*\.? (\d\d?)(?:st|nd|rd|th)?,? (\d{{4}})", re.I)
_NAMED_MONTH = re.compile(rf"({_MONTH})[a-z]*[ .,-]+(\d{{4}})", re.I)
_CIRCA = re.compile(r"(?:c|ca|circa|about|around|approx)\b[. ]*(\d{4}(?:-\d\d){0,2})\??", re.I)
_SHORT = re.compile(r"(\d{4})[-/.](\d\d?)[-/.](\d\d?)")
_SHORT_MONTH = re.compile(r"(\d{4})[-/.](\d)|(\d\d?)[-/.](\d{4})")
_NUMBERS = re.compile(r"(\d\d?)[-/. ]+(\d\d?)[-/. ]+(\d{4})")
_DECADE = re.compile(r"(?:the )?(\d{3})0'?s", re.I)
_SEASON = re.compile(r"(spring|summer|autumn|fall|winter)(?: of)? (\d{4})", re.I)
_RANGE = re.compile(r"(\d{4})\s*(?:-|–|to|and|or)\s*(\d{4})", re.I)
_SHORT_RANGE = re.compile(r"(\d\d)(\d\d)\s*[–/]\s*(\d\d)")
_BOUND = re.compile(r"(by|until|since|from) (\d{4}(?:-\d\d){0,2})", re.I)
_BEYOND = re.compile(r"(before|after) (\d{4})", re.I)
_NONE = re.compile(r"|n\.? ?d\.?|undated|unknown|none|\?+|-+", re.I)

_USUAL = (
    "Write 1931-05-12, 1931-05, 1931, 1931~ (about), 193X (a decade), 1931-21 (spring), "
    "1933-05/1933-08 (between) or ../1931 (no later than)."
)


def human_hint(text: str, part: str) -> str:
    """What to write in EDTF for a date as people say it; never a guess between two.

    `text` is all that was written and `part` the piece of it that couldn't be read.
    """
    if _NONE.fullmatch(text.strip()):
        return "Leave the field out where no date is known."
    for said in (text.strip().strip("[]()"), part.strip()):
        if numbers := _NUMBERS.fullmatch(said):
            return _numbers_hint(numbers[1], numbers[2], numbers[3])
        if edtf := _as_edtf(said):
            return f"Write “{edtf}”."
    return _USUAL


def _month_number(name: str) -> int:
    """The number of the month whose name starts with these three letters."""
    return _MONTH.lower().split("|").index(name[:3].lower()) + 1


def _numbers_hint(one: str, two: str, year: str) -> str:
    """For 05/12/1931, which is the 5th of December to some and the 12th of May to others."""
    readings = []
    for day, month in ((one, two), (two, one)):
        try:
            readings.append(date(int(year), int(month), int(day)).isoformat())
        except ValueError:
            continue
    readings = sorted(set(readings))
    if not readings:
        return _USUAL
    if len(readings) == 1:
        return f"Write “{readings[0]}”."
    return f"Write “{'” or “'.join(readings)}”, whichever is meant: the order can't be told here."


def _as_edtf(said: str) -> str | None:
    """EDTF for what is said, where that can be told."""
    if found := _NAMED_DAY.fullmatch(said):
        return f"{found[3]}-{_month_number(found[2]):02}-{int(found[1]):02}"
    if found := _AMERICAN_DAY.fullmatch(said):
        return f"{found[3]}-{_month_number(found[1]):02}-{int(found[2]):02}"
    if found := _NAMED_MONTH.fullmatch(said):
        return f"{found[2]}-{_month_number(found[1]):02}"
    if found := _CIRCA.fullmatch(said):
        return f"{found[1]}~"
    if found := _SHORT.fullmatch(said):
        return f"{found[1]}-{int(found[2]):02}-{int(found[3]):02}"
    if found := _SHORT_MONTH.fullmatch(said):
        return f"{found[1] or found[4]}-{int(found[2] or found[3]):02}"
    if found := _DECADE.fullmatch(said):
        return f"{found[1]}X"
    if found := _SEASON.fullmatch(said):
        season = {"fall": "autumn"}.get(found[1].lower(), found[1].lower())
        return f"{found[2]}-{next(key for key, name in SEASONS.items() if name == season)}"
    if found := _RANGE.fullmatch(said):
        return f"{found[1]}/{found[2]}"
    if found := _SHORT_RANGE.fullmatch(said):
        return f"{found[1]}{found[2]}/{found[1]}{found[3]}"
    if found := _BOUND.fullmatch(said):
        return f"../{found[2]}" if found[1].lower() in ("by", "until") else f"{found[2]}/.."
    if found := _BEYOND.fullmatch(said):
        year = int(found[2])
        return f"../{year - 1}" if found[1].lower() == "before" else f"{year + 1}/.."
    return None
