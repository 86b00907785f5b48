"""Dates: bounds, qualifiers, open and unknown ends, plain English, and help with human forms."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.core.dates import Dating, parse_day, parse_edtf, show_bounds, show_dating
from archive.core.messages import MESSAGES
from archive.core.problems import Unreadable


@pytest.mark.parametrize(
    ("text", "flags"),
    [
        ("1931", set()),
        ("1931~", {"approximate"}),
        ("1931?", {"uncertain"}),
        ("1931%", {"approximate", "uncertain"}),
        ("1931-05?", {"uncertain"}),
        ("?1931-05", {"uncertain"}),
        ("1931~/1933?", {"approximate", "uncertain"}),
        ("[1929~,1931]", {"approximate"}),
        ("../1931", {"open_start"}),
        ("1931/..", {"open_end"}),
        ("/1931", {"unknown_start"}),
        ("1931/", {"unknown_end"}),
        ("[..1931]", {"open_start"}),
        ("{1931..}", {"open_end"}),
    ],
)
def test_what_is_said_beside_the_bounds(text: str, flags: set[str]) -> None:
    dating = parse_edtf(text)
    names = ("approximate", "uncertain", "open_start", "open_end", "unknown_start", "unknown_end")
    assert {name for name in names if getattr(dating, name)} == flags
    assert (dating.earliest is None) == (dating.open_start or dating.unknown_start)
    assert (dating.latest is None) == (dating.open_end or dating.unknown_end)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1931-05-12", "12 May 1931"),
        ("1931-05", "May 1931"),
        ("1931-05-XX", "May 1931"),
        ("1931", "1931"),
        ("1931-XX", "1931"),
        ("1931~", "about 1931"),
        ("1931?", "1931 (uncertain)"),
        ("1931-05%", "about May 1931 (uncertain)"),
        ("193X", "1930s"),
        ("19XX", "the years 1900 to 1999"),
        ("193X-06", "June in the 1930s"),
        ("156X-12-25", "25 December in the 1560s"),
        ("1931-1X", "between October and December 1931"),
        ("1931-21", "spring 1931"),
        ("1931-24", "winter 1931 (December 1930 to February 1932)"),
        ("1931-34", "second quarter of 1931"),
        ("1933-05/1933-08", "between May and August 1933"),
        ("1931-05-03/1931-05-14", "between 3 and 14 May 1931"),
        ("1931-05-03/1931-06-14", "between 3 May and 14 June 1931"),
        ("1931-05/1932-06-14", "between May 1931 and 14 June 1932"),
        ("1930/1933", "between 1930 and 1933"),
        ("1930~/1933", "between about 1930 and 1933"),
        ("../1931", "no later than 1931"),
        ("1931-05/..", "no earlier than May 1931"),
        ("/1931", "start unknown, until 1931"),
        ("1931/", "from 1931, end unknown"),
        ("[1929,1931,1933..1935]", "1929, 1931 or 1933 to 1935"),
        ("{1929,1931-12}", "1929 and December 1931"),
        ("[..1931-12-03]", "no later than 3 December 1931"),
        ("[1931-12..]", "no earlier than December 1931"),
        ("[1929,1930..]", "1929 or 1930 or later"),
        ("1931-05-12T10:20:30Z", "12 May 1931"),
    ],
)
def test_dates_in_plain_english(text: str, words: str) -> None:
    assert show_dating(parse_edtf(text)) == words


@pytest.mark.parametrize(
    ("earliest", "latest", "words"),
    [
        (date(1931, 5, 1), date(1931, 5, 31), "May 1931"),
        (date(1931, 1, 1), date(1931, 12, 31), "1931"),
        (date(1931, 5, 12), date(1931, 5, 12), "12 May 1931"),
        (date(1933, 5, 1), date(1933, 8, 31), "between May and August 1933"),
        (date(1930, 1, 1), date(1933, 12, 31), "between 1930 and 1933"),
        (date(1932, 6, 11), date(1933, 8, 31), "between 11 June 1932 and 31 August 1933"),
        (None, date(1933, 8, 31), "no later than 31 August 1933"),
        (date(1932, 6, 11), None, "no earlier than 11 June 1932"),
        (None, None, "undated"),
    ],
)
def test_bounds_in_plain_english(earliest: date | None, latest: date | None, words: str) -> None:
    assert show_bounds(earliest, latest) == words
    assert show_dating(Dating("", earliest, latest)) == words


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ("1929-02-29", "date-impossible", 0),
        ("1931-00", "date-impossible", 0),
        ("1931-05-32", "date-impossible", 0),
        ("156X-02-30", "date-impossible", 0),
        ("1931-21-03", "date-impossible", 0),
        ("1930/1931-13", "date-impossible", 5),
        ("[1929, 1931-13]", "date-impossible", 7),
        ("1930/1928", "date-inverted", 5),
        ("1931-05/1931-04", "date-inverted", 8),
        ("[1935..1931]", "date-inverted", 1),
        ("0000", "date-unreadable", 0),
        ("XXXX", "date-unreadable", 0),
        ("-1931", "date-unreadable", 0),
        ("1931-29", "date-unreadable", 0),
        (" 1931", "date-unreadable", 0),
        ("1931/1932/1933", "date-unreadable", 0),
        ("1931/May 1933", "date-unreadable", 5),
        ("../..", "date-unreadable", 0),
        ("[1931", "date-unreadable", 0),
        ("[]", "date-unreadable", 0),
        ("[1931,]", "date-unreadable", 6),
        ("[1929,..1931]", "date-unreadable", 6),
        ("1931-05-12T25:00:00Z", "date-unreadable", 0),
        ("１９３１", "date-unreadable", 0),
    ],
)
def test_what_is_refused_and_where(text: str, code: str, at: int) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_edtf(text)
    assert (refusal.value.code, refusal.value.at) == (code, at)
    assert code in MESSAGES
    assert refusal.value.hint


@pytest.mark.parametrize(
    ("human", "edtf"),
    [
        ("12 May 1931", "1931-05-12"),
        ("12th May, 1931", "1931-05-12"),
        ("12 Sept. 1931", "1931-09-12"),
        ("May 12, 1931", "1931-05-12"),
        ("May 1931", "1931-05"),
        ("c. 1931", "1931~"),
        ("ca. 1931?", "1931~"),
        ("about 1931", "1931~"),
        ("1931-5-2", "1931-05-02"),
        ("1931.05.12", "1931-05-12"),
        ("25/12/1931", "1931-12-25"),
        ("12.5.1931", "1931-05-12” or “1931-12-05"),
        ("05/12/1931", "1931-05-12” or “1931-12-05"),
        ("5/1931", "1931-05"),
        ("1931/32", "1931/1932"),
        ("1931-1933", "1931/1933"),
        ("1931–33", "1931/1933"),
        ("1930s", "193X"),
        ("the 1930s", "193X"),
        ("spring 1931", "1931-21"),
        ("Fall of 1931", "1931-23"),
        ("before 1931", "../1930"),
        ("after 1931", "1932/.."),
        ("until 1931-05", "../1931-05"),
        ("since 1931", "1931/.."),
    ],
)
def test_human_forms_are_told_what_to_write(human: str, edtf: str) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_edtf(human)
    assert f"Write “{edtf}”" in refusal.value.hint
    for suggestion in edtf.split("” or “"):
        assert parse_edtf(suggestion)


@pytest.mark.parametrize("text", ["", "n.d.", "undated", "?", "unknown"])
def test_what_is_not_known_is_left_out(text: str) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_edtf(text)
    assert "Leave the field out" in refusal.value.hint


def test_a_day_is_one_day() -> None:
    assert parse_day("1932-06-11") == date(1932, 6, 11)
    for text, code in [
        ("1932-06", "day-needed"),
        ("1932-06-11~", "day-needed"),
        ("1932-06-11/1932-06-11", "day-needed"),
        ("1932-06-31", "date-impossible"),
        ("11 June 1932", "date-unreadable"),
    ]:
        with pytest.raises(Unreadable) as refusal:
            parse_day(text)
        assert refusal.value.code == code


@given(st.dates(date(1, 1, 1), date(9999, 12, 31)))
def test_a_day_is_its_own_bounds(day: date) -> None:
    dating = parse_edtf(day.isoformat())
    assert dating.earliest == dating.latest == parse_day(day.isoformat()) == day


@given(st.dates(date(1000, 1, 1), date(9998, 12, 31)), st.sampled_from([1, 2, 3, 5, 6, 8, 9]))
def test_a_wider_date_holds_every_narrower_one(day: date, hidden: int) -> None:
    text = day.isoformat()
    masked = "".join("X" if place == hidden else mark for place, mark in enumerate(text))
    for wider in (text[:4], text[:7], text[:3] + "X", masked):
        dating = parse_edtf(wider)
        assert dating.earliest is not None
        assert dating.latest is not None
        assert dating.earliest <= day <= dating.latest


@given(st.dates(date(1900, 1, 1)), st.dates(date(1900, 1, 1)))
def test_an_interval_runs_forwards_or_is_refused(one: date, two: date) -> None:
    text = f"{one}/{two}"
    if one <= two:
        dating = parse_edtf(text)
        assert (dating.earliest, dating.latest) == (one, two)
    else:
        with pytest.raises(Unreadable) as refusal:
            parse_edtf(text)
        assert refusal.value.code == "date-inverted"


@given(st.integers(1800, 2100))
def test_seasons_leave_no_day_of_a_year_out(year: int) -> None:
    spans = [parse_edtf(f"{year}-{number}") for number in (21, 22, 23, 24)]
    for offset in range(0, 365, 7):
        day = date(year, 1, 1) + timedelta(days=offset)
        assert any(
            span.earliest and span.latest and span.earliest <= day <= span.latest for span in spans
        )


@given(st.text("019XTZ-/.,?~%[]{}: May", max_size=20))
def test_any_text_is_read_or_refused_with_a_word(text: str) -> None:
    try:
        dating = parse_edtf(text)
    except Unreadable as refusal:
        assert refusal.code in MESSAGES
        assert 0 <= refusal.at <= len(text)
    else:
        assert show_dating(dating)
        if dating.earliest and dating.latest:
            assert dating.earliest <= dating.latest
