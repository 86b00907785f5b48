"""A date in a file is the scan's; what looks like the photograph's is a question to a person."""

from __future__ import annotations

from datetime import date

import pytest

from archive.core.arrivals import Carried
from archive.intake.told import day_in, scanned_on, taken_perhaps, title_of

TODAY = date(2026, 11, 25)


def exif(name: str, text: str) -> Carried:
    return Carried("Exif", name, text)


def test_the_day_of_digitising_comes_before_all_others():
    carried = [
        exif("DateTime", "2026:06:30 09:00:00"),
        exif("DateTimeOriginal", "1932:07:19 12:00:00"),
        exif("DateTimeDigitized", "2026:06:21 10:00:00"),
    ]
    assert scanned_on(carried, TODAY) == date(2026, 6, 21)
    day, where = taken_perhaps(carried)
    assert (day, where.name) == ("1932-07-19", "DateTimeOriginal")


def test_a_camera_day_is_never_a_question():
    assert taken_perhaps([exif("DateTimeOriginal", "2026:06:21 10:00:00")]) is None


@pytest.mark.parametrize("text", ["0000:00:00 00:00:00", "    :  :  ", "2026:02:30", "yesterday"])
def test_what_is_no_day_is_none(text):
    assert day_in(text) is None
    assert scanned_on([exif("DateTime", text)], TODAY) is None


def test_a_scan_is_neither_older_than_scanners_nor_still_to_come():
    assert scanned_on([exif("DateTime", "1932:07:19 00:00:00")], TODAY) is None
    assert scanned_on([exif("DateTime", "2027:01:01 00:00:00")], TODAY) is None


def test_a_title_too_long_for_one_is_passed_over():
    carried = [Carried("XMP", "dc:title", "x" * 500), Carried("IPTC", "Headline", "At the slip")]
    assert title_of(carried) == "At the slip"
    assert title_of([]) is None
