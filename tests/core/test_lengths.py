"""Lengths: what is read, what is refused and why, and that printing is honest and reads back."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from archive.core.lengths import Length, parse_length, show_length, show_mm
from archive.core.messages import MESSAGES
from archive.core.problems import Unreadable


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("7 1/4 in", 184.15),
        ("7-1/4 in", 184.15),
        ("7¼ in", 184.15),
        ("7.25 in", 184.15),
        ('7.25"', 184.15),
        ("7/8 in", 22.225),
        ("⅞ inch", 22.225),
        (".0403 in", 1.02362),
        ("184 mm", 184.0),
        ("184mm", 184.0),
        ("184\u202fmm", 184.0),
        ("18.4 cm", 184.0),
        ("2.5 m", 2500.0),
        ("2 ft 3 5/8 in", 701.675),
        ("3' 4 1/2\"", 1028.7),
        ("3′ 4½″", 1028.7),
        ("6 ft", 1828.8),
        ("2.5 ft", 762.0),
        ("-4010 mm", -4010.0),
        ("−4010 mm", -4010.0),
        ("- 1 ft 2 in", -355.6),
        ("0 mm", 0.0),
        ("18 ga USS", 1.27),
        ("18 gauge US Standard", 1.27),
        ("18 BWG", 1.2446),
        ("2/0 ga Stubs", 9.652),
        ("18 swg", 1.2192),
    ],
)
def test_lengths_as_people_write_them(text: str, mm: float) -> None:
    length = parse_length(text)
    assert length.mm == pytest.approx(mm, abs=1e-9)
    assert (length.half_mm, length.limit, length.u_mm, length.half95_mm) == (
        None,
        False,
        None,
        None,
    )
    assert length.text == text


@pytest.mark.parametrize(
    ("text", "half_mm", "limit"),
    [
        ("7 1/4 in +/- 1/8 in", 3.175, False),
        ("7 1/4 in ± ⅛ in", 3.175, False),
        ("22.3 mm ± 0.2 mm limit", 0.2, True),
        ("7/8 in +/- 1/16 in Limit", 1.5875, True),
        ("18 ga B&S +/- .002 in", 0.0508, False),
        ("-4010 mm +/- 1 cm", 10.0, False),
    ],
)
def test_errors_with_their_kind(text: str, half_mm: float, limit: bool) -> None:
    length = parse_length(text)
    assert length.half_mm == pytest.approx(half_mm)
    assert length.limit is limit


def test_a_half_width_gives_u_by_its_kind() -> None:
    assert parse_length("10 mm +/- 1.96 mm").u_mm == pytest.approx(1.0)
    bound = parse_length("10 mm +/- 3 mm limit")
    assert bound.u_mm == pytest.approx(math.sqrt(3))
    assert bound.half95_mm == pytest.approx(1.96 * math.sqrt(3))


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ("7 1/4", "unit-missing", 0),
        ("184", "unit-missing", 0),
        ("7 in ± 1/8", "unit-missing", 7),
        ("22.3 ± 0.2 mm", "unit-missing", 0),
        ("7 furlongs", "unit-unknown", 2),
        ("1e3 mm", "unit-unknown", 1),
        ("18 ga", "gauge-system-missing", 0),
        ("18 ga Paris", "gauge-system-missing", 0),
        ("99 ga B&S", "gauge-unknown", 0),
        ("1.5 ga B&S", "gauge-unknown", 0),
        ("22,3 mm", "length-unreadable", 2),
        ("nan mm", "length-unreadable", 0),
        ("inf in", "length-unreadable", 0),
        ("", "length-unreadable", 0),
        ("in", "length-unreadable", 0),
        ("about 7 in", "length-unreadable", 0),
        ("１８ mm", "length-unreadable", 0),
        ("1/0 in", "length-unreadable", 0),
        ("1/2/3 in", "length-unreadable", 3),
        ("2 ft 14 in", "length-unreadable", 5),
        ("2.5 ft 1 in", "length-unreadable", 0),
        ("1 in 2 ft", "length-unreadable", 5),
        ("7 in ± ", "length-unreadable", 5),
        ("7 in ± 1 mm ± 2 mm", "length-unreadable", 12),
        ("4010 m", "length-absurd", 0),
        ("1 mm ± 999 m", "length-absurd", 0),
        ("9" * 90 + " mm", "length-absurd", 0),
        ("9" * 5000 + " mm", "length-unreadable", 100),
        ("9" * 5000 + "/7 mm", "length-unreadable", 100),
        ("1/16 in limit", "length-unreadable", 8),
        ("7 in ± -1/8 in", "error-not-positive", 7),
        ("7 in ± 0 in", "error-not-positive", 5),
    ],
)
def test_what_is_refused_and_where(text: str, code: str, at: int) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_length(text)
    assert (refusal.value.code, refusal.value.at) == (code, at)
    assert code in MESSAGES
    assert refusal.value.says.endswith(".")
    assert refusal.value.hint.endswith(".")


def test_a_gauge_without_its_system_shows_what_it_could_be() -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_length("18 ga")
    for reading in (".0403 in (B&S)", ".049 in (BWG)", ".050 in (USS)", ".048 in (SWG)"):
        assert reading in refusal.value.says
    assert "18 ga B&S" in refusal.value.hint


@given(st.text("0123456789./ -+±limtncfga'\"&BSé½", max_size=24))
def test_any_text_is_read_or_refused_with_a_word(text: str) -> None:
    try:
        length = parse_length(text)
    except Unreadable as refusal:
        assert refusal.code in MESSAGES
        assert 0 <= refusal.at <= len(text)
    else:
        assert math.isfinite(length.mm)
        assert length.half_mm is None or length.half_mm > 0


@pytest.mark.parametrize(
    ("text", "inches", "mm"),
    [
        ("7 1/4 in +/- 1/8 in", "7 1/4 in ± 1/8 in", "184.2 mm ± 3.2 mm"),
        ("184.2 mm +/- 0.5 mm", "7.252 in ± 0.020 in", "184.2 mm ± 0.5 mm"),
        ("184.25 mm +/- 0.5 mm", "7.254 in ± 0.020 in", "184.25 mm ± 0.50 mm"),
        ("184 mm", "7.244 in", "184 mm"),
        ("7/8 in +/- 1/64 in", "7/8 in ± 1/64 in", "22.23 mm ± 0.40 mm"),
        ("-4010 mm +/- 130 mm", "−13 ft 2 in ± 5 1/2 in", "−4010 mm ± 130 mm"),
        ("71 63/64 in", "71 63/64 in", "1828.4 mm"),
        ("72 in", "6 ft", "1828.8 mm"),
        ("11 ft 3 1/2 in +/- 1/2 in", "11 ft 3 1/2 in ± 1/2 in", "3442 mm ± 13 mm"),
        ("0 mm +/- 2 mm", "0 in ± 3/32 in", "0 mm ± 2 mm"),
        ("18 ga B&S", "0.0403 in", "1.024 mm"),
        ("18 ga USS", "0.050 in", "1.27 mm"),
    ],
)
def test_lengths_as_they_are_printed(text: str, inches: str, mm: str) -> None:
    assert show_length(parse_length(text), "in") == inches
    assert show_length(parse_length(text), "mm") == mm


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("7 5/4 in", "Write 8 1/4 in."),
        ("4/4 in", "Write 1 in."),
        ("11/4 in", "Write 2 3/4 in, or 1 1/4 in if a blank was lost."),
        ("71/4 in", "Write 17 3/4 in, or 7 1/4 in if a blank was lost."),
        ("10 mm +/- 5/4 in", "Write 1 1/4 in."),
    ],
)
def test_a_fraction_of_one_or_more_is_a_slip(text: str, hint: str) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_length(text)
    assert (refusal.value.code, refusal.value.hint) == ("fraction-improper", hint)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("184-186 mm", "Write 185 mm +/- 1 mm limit."),
        ("184–186 mm", "Write 185 mm +/- 1 mm limit."),
        ("184 mm to 186 mm", "Write 185 mm +/- 1 mm limit."),
        ("7 1/4 - 7 3/8 in", "Write 7.3125 in +/- 0.0625 in limit."),
    ],
)
def test_a_range_is_told_how_to_be_written(text: str, hint: str) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_length(text)
    assert (refusal.value.code, refusal.value.hint) == ("length-range", hint)
    written = parse_length(hint.removeprefix("Write ").removesuffix("."))
    assert written.limit and written.half_mm


@pytest.mark.parametrize("text", ["186-184 mm", "1-2-3 mm", "184-", "184-186 mm +/- 2 mm"])
def test_what_only_looks_like_a_range_is_not_called_one(text: str) -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_length(text)
    assert refusal.value.code != "length-range"


def test_words_after_a_length_are_told_where_to_go() -> None:
    with pytest.raises(Unreadable) as refusal:
        parse_length("184 mm, clear")
    assert refusal.value.hint.startswith("Write 184 mm alone, and “clear” in a field of its own")


VALUES = st.floats(-50_000, 50_000, allow_subnormal=False)
HALVES = st.floats(0.002, 3000, allow_subnormal=False)
UNITS = st.sampled_from(["in", "mm"])


@given(VALUES, HALVES, UNITS)
@example(0.0, 0.0999, "mm")
@example(100.0, 0.99 * 25.4 / 8, "in")
def test_print_is_honest(value: float, half: float, units: str) -> None:
    """The printed error covers the given one and is little wider; the value moves by less."""
    shown = parse_length(show_mm(value, half, units))
    assert shown.half_mm is not None
    finest = 0.001 if units == "mm" else 0.0001 * 25.4
    assert shown.half_mm >= half * (1 - 1e-6)
    assert shown.half_mm <= 1.4 * half + finest
    assert abs(shown.mm - value) <= half / 3 + finest


@given(VALUES, HALVES, UNITS)
@example(0.0, 0.0999, "mm")
@example(100.0, 0.99 * 25.4 / 8, "in")
def test_printing_what_was_printed_changes_nothing(value: float, half: float, units: str) -> None:
    once = show_mm(value, half, units)
    assert show_length(parse_length(once), units) == once


@given(VALUES, UNITS)
def test_without_an_error_it_reads_back_within_its_last_place(value: float, units: str) -> None:
    once = show_mm(value, None, units)
    assert abs(parse_length(once).mm - value) <= (0.005001 if units == "mm" else 0.013)
    assert show_length(parse_length(once), units) == once


@given(st.integers(0, 64 * 71), st.integers(1, 63))
def test_the_same_length_in_fractions_and_in_millimetres(number: int, half: int) -> None:
    length = parse_length(f"{number // 64} {number % 64}/64 in +/- {half}/64 in")
    same = parse_length(f"{number * 25.4 / 64:.9f} mm +/- {half * 25.4 / 64:.9f} mm")
    assert same.mm == pytest.approx(length.mm, abs=1e-8)
    for units in ("in", "mm"):
        assert show_length(same, units) == show_length(length, units)


def test_only_inches_and_millimetres_and_finite_numbers_are_printed() -> None:
    with pytest.raises(ValueError, match="units"):
        show_length(Length(1.0, None, False, "1 mm"), "cm")
    with pytest.raises(ValueError, match="finite"):
        show_mm(math.nan, None, "mm")
    with pytest.raises(ValueError, match="finite"):
        show_mm(1.0, -0.1, "mm")
