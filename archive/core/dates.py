"""Dates as they are known: EDTF text with its earliest and latest day, and in plain English.

What is read is the Extended Date/Time Format (Library of Congress, 2019; ISO 8601-2:2019) of
levels 0 and 1, and of level 2 the sets `[…]` and `{…}`, unspecified digits anywhere
(`156X-12-25`), quarters 33 to 36 and qualifiers on a part. Years are 0001 to 9999; a time of day
is read and let go.

Where the standard leaves a choice, this is the policy:

* Bounds are strict. `~`, `?` and `%` say how the date is known and widen nothing.
* An open end (`..`) says that there is no bound. An unknown end (nothing) says that there is one,
  which nobody knows. Neither gives a day; the two are kept apart.
* Seasons are of the northern hemisphere, by whole months: spring March to May, summer June to
  August, autumn September to November. People write the winter of 1931 for either of two, so it
  runs from 1 December 1930 to the last of February 1932.
* A set is bounded by its earliest and its latest member, whether one (`[…]`) or all (`{…}`) hold.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from archive.core.date_words import (
    LISTS,
    QUARTERS,
    SEASONS,
    between,
    day_words,
    human_hint,
    qualified,
)
from archive.core.problems import Unreadable

Day = date
"""A day; the stages that know no clock take it from here."""


@dataclass(frozen=True, slots=True)
class Dating:
    """A date as written (`text`, EDTF) and what follows from it.

    `earliest` and `latest` are days, or None where that end is open or unknown. `approximate` and
    `uncertain` are the qualifiers `~` and `?` (`%` is both) of any part. `words` is it in English.
    """

    text: str
    earliest: date | None
    latest: date | None
    approximate: bool = False
    uncertain: bool = False
    open_start: bool = False
    open_end: bool = False
    unknown_start: bool = False
    unknown_end: bool = False
    words: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class _Moment:
    """One date of an interval or set. `parts` are (year, month, day) as far as they are plain."""

    first: date
    last: date
    approximate: bool
    uncertain: bool
    words: str
    parts: tuple[int, ...] = ()

    @property
    def qualified_words(self) -> str:
        return qualified(self.words, self.approximate, self.uncertain)


# Seasons by hemisphere, thirds and halves of a year: level 2, and not read.
_OTHER_PARTS = (*range(25, 33), *range(37, 42))
_Q = r"[?~%]?"
_DATE = re.compile(
    rf"{_Q}([\dX]{{4}}){_Q}(?:-{_Q}([\dX]{{2}}){_Q}(?:-{_Q}([\dX]{{2}}){_Q})?)?", re.ASCII
)
_TIME = re.compile(
    r"(\d{4}-\d\d-\d\d)T([01]\d|2[0-3]):[0-5]\d:[0-5]\d(Z|[+-][01]\d(:[0-5]\d)?)?", re.ASCII
)
_DAY = re.compile(r"(\d{4})-(\d\d)-(\d\d)", re.ASCII)


@lru_cache(maxsize=4096)
def parse_edtf(text: str) -> Dating:
    """Read EDTF. Raises `Unreadable`: `date-unreadable`, `date-impossible` or `date-inverted`."""
    if text[:1] in ("[", "{"):
        return _set(text)
    if "/" in text and text.count("/") == 1:
        return _interval(text)
    moment = _moment(text, text, 0)
    return Dating(
        text,
        moment.first,
        moment.last,
        moment.approximate,
        moment.uncertain,
        words=moment.qualified_words,
    )


@lru_cache(maxsize=4096)
def parse_day(text: str) -> date:
    """Read a day written YYYY-MM-DD. Raises `Unreadable`: the codes of dates, or `day-needed`."""
    found = _DAY.fullmatch(text)
    if found:
        try:
            return date(int(found[1]), int(found[2]), int(found[3]))
        except ValueError:
            raise _impossible(text, text, 0) from None
    parse_edtf(text)
    raise Unreadable(
        "day-needed",
        f"“{text}” is a date, but not one single day.",
        "Write the day as YYYY-MM-DD, such as 1932-06-11.",
    )


def show_dating(dating: Dating) -> str:
    """The date in plain English: `12 May 1931`, `about 1931`, `between May and August 1933`."""
    return dating.words or show_bounds(dating.earliest, dating.latest)


def show_bounds(earliest: date | None, latest: date | None) -> str:
    """Two bounds in plain English, by whole years or months where they fit; None is no bound."""
    if earliest is None or latest is None:
        if earliest is not None:
            return f"no earlier than {day_words(earliest.year, earliest.month, earliest.day)}"
        if latest is not None:
            return f"no later than {day_words(latest.year, latest.month, latest.day)}"
        return "undated"
    start: tuple[int, ...] = (earliest.year, earliest.month, earliest.day)
    end: tuple[int, ...] = (latest.year, latest.month, latest.day)
    if earliest.day == 1 and latest == _last_of(latest.year, latest.month):
        start, end = start[:2], end[:2]
        if (earliest.month, latest.month) == (1, 12):
            start, end = start[:1], end[:1]
    return day_words(*start) if start == end else between(start, end)


def _last_of(year: int, month: int) -> date:
    """The last day of a month."""
    return date(year, month, calendar.monthrange(year, month)[1])


def _unreadable(part: str, text: str, at: int) -> Unreadable:
    """The refusal of what is no EDTF, with what to write instead where that can be told."""
    where = f"“{text}”" if part == text else f"“{part}” in “{text}”"
    return Unreadable(
        "date-unreadable", f"{where} is not a date in EDTF.", human_hint(text, part), at
    )


def _impossible(part: str, text: str, at: int) -> Unreadable:
    """The refusal of a date that no calendar holds."""
    where = f"“{text}”" if part == text else f"“{part}” in “{text}”"
    return Unreadable(
        "date-impossible",
        f"{where} is in no calendar.",
        "Check the month (01 to 12; seasons 21 to 24, quarters 33 to 36) and the day of the month.",
        at,
    )


def _inverted(text: str, at: int) -> Unreadable:
    """The refusal of an interval that ends before it starts."""
    return Unreadable(
        "date-inverted",
        f"“{text}” ends before it starts.",
        "Write the earlier date first: 1933-05/1933-08.",
        at,
    )


def _moment(part: str, text: str, at: int) -> _Moment:
    """One date of the text, which starts `at` in it."""
    if time := _TIME.fullmatch(part):
        part = time[1]
    found = _DATE.fullmatch(part)
    if found is None or found[1] == "XXXX" or found[1] == "0000":
        raise _unreadable(part, text, at)
    year, month, day = found[1], found[2], found[3]
    if month and month.isdigit() and int(month) > 12:
        first, last, words = _season(year, int(month), day, (part, text, at))
        parts: tuple[int, ...] = ()
    else:
        early = next(_days(year, month, day), None)
        late = next(_days(year, month, day, late=True), None)
        if early is None or late is None:
            raise _impossible(part, text, at)
        first, last = early, late
        known = [int(p) for p in (year, month, day) if p and p.isdigit()]
        plain = [p for p in (year, month, day) if p and p != "XX"]
        parts = tuple(known) if len(known) == len(plain) else ()
        words = day_words(*parts) if parts else _digits_words(year, month, day, first, last)
    return _Moment(
        first,
        last,
        approximate="~" in part or "%" in part,
        uncertain="?" in part or "%" in part,
        words=words,
        parts=parts,
    )


def _days(year: str, month: str, day: str, *, late: bool = False) -> Iterator[date]:
    """The days that fit the digits, the earliest first, or the latest first."""
    for y in _fitting(year, 1, 9999, late):
        for m in _fitting(month or "XX", 1, 12, late):
            for d in _fitting(day or "XX", 1, calendar.monthrange(y, m)[1], late):
                yield date(y, m, d)


def _fitting(digits: str, low: int, high: int, late: bool) -> Iterator[int]:
    """The numbers in low..high whose digits fit, where X is any digit."""
    if digits.isdigit():
        yield from (int(digits),) if low <= int(digits) <= high else ()
        return
    low = max(low, int(digits.replace("X", "0")))
    high = min(high, int(digits.replace("X", "9")))
    numbers = range(high, low - 1, -1) if late else range(low, high + 1)
    width = len(digits)
    for number in numbers:
        if all(a in ("X", b) for a, b in zip(digits, f"{number:0{width}}", strict=True)):
            yield number


def _digits_words(year: str, month: str, day: str, first: date, last: date) -> str:
    """English for a date with unspecified digits."""
    if year.isdigit() or year.count("X") > 2 or not year.endswith("X" * year.count("X")):
        return show_bounds(first, last)
    years = (
        year.replace("X", "0") + "s"
        if year.count("X") == 1
        else f"years {first.year} to {last.year}"
    )
    if not month or month == "XX":
        return years if year.count("X") == 1 else f"the {years}"
    if month.isdigit() and (not day or day == "XX" or day.isdigit()):
        named = day_words(first.year, *[int(p) for p in (month, day) if p and p != "XX"])
        return f"{named.rsplit(' ', 1)[0]} in the {years}"
    return show_bounds(first, last)


def _season(
    year: str, number: int, day: str | None, place: tuple[str, str, int]
) -> tuple[date, date, str]:
    """First day, last day and English of a season or quarter, by the policy above."""
    if number in _OTHER_PARTS:
        part, _, at = place
        raise Unreadable(
            "date-unreadable",
            f"“{part}” names a part of a year that is not read here.",
            f"Write its months as an interval: {year}-09/{year}-11.",
            at,
        )
    if day is not None or not year.isdigit() or number not in (*SEASONS, *QUARTERS):
        raise _impossible(*place)
    y = int(year)
    if number in QUARTERS:
        end = 3 * (number - 32)
        return date(y, end - 2, 1), _last_of(y, end), f"{QUARTERS[number]} of {y}"
    if number != 24:
        start = 3 * (number - 20)
        return date(y, start, 1), _last_of(y, start + 2), f"{SEASONS[number]} {y}"
    if not 1 < y < 9999:
        raise _impossible(*place)
    span = f"December {y - 1} to February {y + 1}"
    return date(y - 1, 12, 1), _last_of(y + 1, 2), f"{SEASONS[number]} {y} ({span})"


def _interval(text: str) -> Dating:
    """`start/end`, where either may be open (`..`) or unknown (nothing)."""
    left, right = text.split("/")
    a = None if left in ("", "..") else _moment(left, text, 0)
    b = None if right in ("", "..") else _moment(right, text, len(left) + 1)
    if a is None and b is None:
        raise Unreadable(
            "date-unreadable",
            f"“{text}” names no date.",
            "Leave the field out where none is known.",
        )
    if a and b and a.first > b.last:
        raise _inverted(text, len(left) + 1)
    if a and b:
        plain = (
            a.parts and b.parts and a.words == a.qualified_words and b.words == b.qualified_words
        )
        words = (
            between(a.parts, b.parts)
            if plain
            else f"between {a.qualified_words} and {b.qualified_words}"
        )
    elif a:
        start = a.qualified_words
        words = f"no earlier than {start}" if right else f"from {start}, end unknown"
    elif b:
        words = f"{'no later than' if left else 'start unknown, until'} {b.qualified_words}"
    ends = [moment for moment in (a, b) if moment]
    return Dating(
        text,
        a.first if a else None,
        b.last if b else None,
        approximate=any(moment.approximate for moment in ends),
        uncertain=any(moment.uncertain for moment in ends),
        open_start=left == "..",
        open_end=right == "..",
        unknown_start=left == "",
        unknown_end=right == "",
        words=words,
    )


def _set(text: str) -> Dating:
    """`[…]` (one of these) or `{…}` (all of these): dates, `a..b`, `..b` first and `a..` last."""
    closing = {"[": "]", "{": "}"}[text[0]]
    if not text.endswith(closing) or len(text) < 3:
        raise _unreadable(text, text, 0)
    members: list[_Moment] = []
    words: list[str] = []
    open_start = open_end = False
    at = 1
    pieces = text[1:-1].split(",")
    for index, piece in enumerate(pieces):
        bare = piece.strip()
        left, dots, right = bare.partition("..")
        start = at + piece.index(bare)
        ends = [
            _moment(side, text, start + offset)
            for side, offset in ((left, 0), (right, len(left) + 2))
            if side
        ]
        first_open, last_open = dots and not left, dots and not right
        if not ends or (first_open and index) or (last_open and index < len(pieces) - 1):
            raise _unreadable(bare, text, start)
        if ends[0].first > ends[-1].last:
            raise _inverted(text, start)
        open_start, open_end = open_start or bool(first_open), open_end or bool(last_open)
        members += ends
        told = " to ".join(end.qualified_words for end in ends)
        words.append(
            f"{told} or earlier" if first_open else f"{told} or later" if last_open else told
        )
        at += len(piece) + 1
    if len(pieces) == 1 and open_start:
        told = f"no later than {members[0].qualified_words}"
    elif len(pieces) == 1 and open_end:
        told = f"no earlier than {members[0].qualified_words}"
    else:
        told = LISTS[text[0]](words)
    return Dating(
        text,
        None if open_start else min(member.first for member in members),
        None if open_end else max(member.last for member in members),
        approximate=any(member.approximate for member in members),
        uncertain=any(member.uncertain for member in members),
        open_start=open_start,
        open_end=open_end,
        words=told,
    )
