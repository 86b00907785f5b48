"""EDTF dates against the specification, two libraries run for the purpose, and stated policy.

The format: Library of Congress, Extended Date/Time Format, 4 February 2019; ISO 8601-2:2019,
Annex A (neither read in the original: the strings and rules are as the libraries have them).
"""

from __future__ import annotations

from datetime import date

import pytest

from archive.core.dates import parse_edtf
from archive.core.problems import Unreadable

# Bounds on which edtf.js 4.11.1 and python-edtf 5.0.2 agreed, both run on these very strings.
AGREED = [
    ("1931-05-12", "1931-05-12", "1931-05-12"),
    ("1931-05", "1931-05-01", "1931-05-31"),
    ("1931", "1931-01-01", "1931-12-31"),
    ("2004-02", "2004-02-01", "2004-02-29"),
    ("1900-02", "1900-02-01", "1900-02-28"),
    ("1930/1933", "1930-01-01", "1933-12-31"),
    ("1931-02-01/1932", "1931-02-01", "1932-12-31"),
    ("1931?", "1931-01-01", "1931-12-31"),
    ("1931~", "1931-01-01", "1931-12-31"),
    ("1931%", "1931-01-01", "1931-12-31"),
    ("193X", "1930-01-01", "1939-12-31"),
    ("19XX", "1900-01-01", "1999-12-31"),
    ("1931-XX", "1931-01-01", "1931-12-31"),
    ("1931-XX-XX", "1931-01-01", "1931-12-31"),
    ("1931-05-XX", "1931-05-01", "1931-05-31"),
    ("../1931", None, "1931-12-31"),
    ("1931/..", "1931-01-01", None),
    ("156X-12-25", "1560-12-25", "1569-12-25"),
    ("{1929,1931-12}", "1929-01-01", "1931-12-31"),
    ("[..1931-12-03]", None, "1931-12-03"),
    ("[1931-12..]", "1931-12-01", None),
    ("1931-34", "1931-04-01", "1931-06-30"),
    ("2003-06-XX/2004-07-03", "2003-06-01", "2004-07-03"),
    ("1931?-06-11", "1931-06-11", "1931-06-11"),
    ("1931-06-~11", "1931-06-11", "1931-06-11"),
]

# Where libraries disagree, what we hold to and why.
POLICY = [
    # python-edtf 5.0.2 and the tests of a Go and a PHP library: March to May; edtf.js: quarters.
    ("1931-21", "1931-03-01", "1931-05-31"),
    ("1931-22", "1931-06-01", "1931-08-31"),
    ("1931-23", "1931-09-01", "1931-11-30"),
    # December alone, October to December, or December to February: we take both winters.
    ("1931-24", "1930-12-01", "1932-02-29"),
    ("2010-24", "2009-12-01", "2011-02-28"),
    # Unknown start: python-edtf invents ten years, edtf.js gives none; nor do we.
    ("/1931", None, "1931-12-31"),
    ("1931/", "1931-01-01", None),
    # edtf.js ends this set in 1933.
    ("[1929,1931,1933..1935]", "1929-01-01", "1935-12-31"),
    # python-edtf can't read this one; edtf.js gives these bounds.
    ("1931-X1-03", "1931-01-03", "1931-11-03"),
]

# 13th month, impossible days: both libraries refuse. The rest are among the bad examples that
# python-edtf keeps; the last is of the 2012 draft. What follows was let through by python-edtf.
BAD = [
    *("1931-13", "1931-02-30", "1931-06-31", "Y17E7-12-26", "-0000-01-01", "2004-(06)?-11"),
    *("1929-02-29", "1930/1928"),
]


def day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


@pytest.mark.parametrize(("text", "earliest", "latest"), AGREED)
def test_bounds_on_which_libraries_agree(
    text: str, earliest: str | None, latest: str | None
) -> None:
    dating = parse_edtf(text)
    assert (dating.earliest, dating.latest) == (day(earliest), day(latest))


@pytest.mark.parametrize(("text", "earliest", "latest"), POLICY)
def test_bounds_by_stated_policy(text: str, earliest: str | None, latest: str | None) -> None:
    dating = parse_edtf(text)
    assert (dating.earliest, dating.latest) == (day(earliest), day(latest))


@pytest.mark.parametrize("text", BAD)
def test_what_is_no_date_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        parse_edtf(text)


def test_qualifiers_widen_nothing_and_are_kept() -> None:
    """python-edtf pads ~ ? % by a year or two; the format, from memory, gives no width."""
    plain = parse_edtf("1931-06")
    for mark, approximate, uncertain in (("~", True, False), ("?", False, True), ("%", True, True)):
        dating = parse_edtf(f"1931-06{mark}")
        assert (dating.earliest, dating.latest) == (plain.earliest, plain.latest)
        assert (dating.approximate, dating.uncertain) == (approximate, uncertain)


def test_open_and_unknown_ends_differ() -> None:
    """Level 1 of the format: `..` is an open end, nothing is an unknown one."""
    open_end, unknown_end = parse_edtf("1931/.."), parse_edtf("1931/")
    assert (open_end.open_end, open_end.unknown_end) == (True, False)
    assert (unknown_end.open_end, unknown_end.unknown_end) == (False, True)
