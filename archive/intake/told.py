"""What a picture file says of itself, sorted by whom it is about: the scan, or the photograph.

A date in the file is the day on which the file was made. It becomes the scan's date and never the
photograph's: what looks like the photograph's own is left as a question to a person.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date

from archive.core.arrivals import Carried

SCANNERS_SINCE = date(1985, 1, 1)
"""No picture file is older: a day before this is no scan's (common practice, no source)."""

TITLE_MOST = 120

_TITLES = (
    ("XMP", "dc:title"), ("IPTC", "Object Name"), ("XMP", "photoshop:Headline"),
    ("IPTC", "Headline"), ("Exif", "XPTitle"), ("PNG", "Title"),
)  # fmt: skip
_SCANNED = (
    ("Exif", "DateTimeDigitized"), ("Exif", "DateTimeOriginal"), ("XMP", "xmp:CreateDate"),
    ("Exif", "DateTime"), ("PNG", "Creation Time"),
)  # fmt: skip
_MADE = (
    ("IPTC", "Date Created"), ("XMP", "photoshop:DateCreated"), ("Exif", "DateTimeOriginal"),
)  # fmt: skip
_CREDITS = (("XMP", "photoshop:Credit"), ("IPTC", "Credit"))

_DAY = re.compile(r"\s*(\d{4})[:\-./]?(\d{2})[:\-./]?(\d{2})(?!\d)")


def title_of(carried: Iterable[Carried]) -> str | None:
    """The title that the file gives itself, if it is short enough for one."""
    texts = (text for text, _ in _values(carried, _TITLES))
    return next((text for text in texts if len(text) <= TITLE_MOST), None)


def credit_of(carried: Iterable[Carried]) -> str | None:
    """The credit line that the supplier asks for (IPTC Photo Metadata Standard, Credit Line)."""
    return next((text for text, _ in _values(carried, _CREDITS)), None)


def scanned_on(carried: Iterable[Carried], today: date) -> date | None:
    """The day on which the file was made, where it says one that can be."""
    days = (day_in(text) for text, _ in _values(carried, _SCANNED))
    return next((day for day in days if day and SCANNERS_SINCE <= day <= today), None)


def taken_perhaps(carried: Iterable[Carried]) -> tuple[str, Carried] | None:
    """A day (ISO) that the file gives for the picture itself, older than any scan, and where."""
    for text, one in _values(carried, _MADE):
        day = day_in(text)
        if day and day < SCANNERS_SINCE:
            return day.isoformat(), one
    return None


def day_in(text: str) -> date | None:
    """The day that a text begins with, as Exif (1932:07:19), IPTC (19320719) or ISO 8601 write it.

    >>> day_in("2026:06:21 10:00:00"), day_in("19320719"), day_in("0000:00:00")
    (datetime.date(2026, 6, 21), datetime.date(1932, 7, 19), None)
    """
    found = _DAY.match(text)
    try:
        return date(*map(int, found.groups())) if found else None
    except ValueError:
        return None


def _values(
    carried: Iterable[Carried], wanted: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, Carried]]:
    known: dict[tuple[str, str], Carried] = {}
    for one in carried:
        known.setdefault((one.standard, one.name), one)
    for key in wanted:
        if key in known:
            yield known[key].text, known[key]
