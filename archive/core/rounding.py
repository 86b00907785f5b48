"""How a value and its error are printed: in the aircraft's units, no finer than known."""

from __future__ import annotations

import math

MM_PER_IN = 25.4
"""Exact since 1959 (the international inch); older inches differ by 2 parts in a million."""

# Decimals are printed to a micrometre, or to a ten-thousandth of an inch, and no finer.
_FINEST = {"mm": 3, "in": 4}


def show_mm(value_mm: float, half95_mm: float | None, units: str) -> str:
    """A value and its 95 % half-width, both in mm, as text in `in` or `mm`, rounded honestly.

    The error is rounded up, never down, to two significant figures or to a fraction of an inch;
    the value is rounded to the same place, or to a quarter of the error at the coarsest. Inches
    are fractions, to 1/64 at the finest, unless a fraction would move the value by more than a
    quarter of its error or swell the error by more than a quarter: then they are decimals. Without
    an error, inches are a fraction only where the value stands on one. From 72 in, feet and
    inches. No error is printed below 0.001 mm or 0.0001 in. Raises ValueError for other units and
    for what is not a finite number.
    """
    if units not in _FINEST:
        raise ValueError(f"units are in or mm, not {units!r}")
    if not math.isfinite(value_mm) or not (half95_mm is None or 0 <= half95_mm < math.inf):
        raise ValueError(f"no finite length with its error: {value_mm!r}, {half95_mm!r}")
    inch = units == "in"
    scale = MM_PER_IN if inch else 1.0
    value = value_mm / scale
    if half95_mm is None:
        number, places = _bare(value, units)
        told = _whole_fraction(value, number / 10**places) if inch else None
        return told or _decimal(number, places, units)
    half = half95_mm / scale
    number, error, places = _rounded(value, half, _FINEST[units])
    told = _fractions(value, half, number / 10**places, error / 10**places) if inch else None
    return told or f"{_decimal(number, places, units)} ± {_point(error, places)} {units}"


def _bare(value: float, units: str) -> tuple[int, int]:
    """A value without an error in decimals, (number, places): number / 10^places."""
    if units == "mm":
        places, least = (3, 0) if abs(value) < 10 else (2, 0)
    else:
        places, least = (4, 3) if abs(value) < 1 else (3, 0)
    number = _nearest(value * 10**places)
    return _trimmed(number, places, least if number else 0)


def _rounded(value: float, half: float, finest: int) -> tuple[int, int, int]:
    """(number, error, places) of the value and its error, to `finest` places at most.

    Two significant figures of the error, rounded up; noughts at the end of both are dropped.
    """
    places = finest
    if half > 0:
        places = min(finest, 1 - math.floor(math.log10(half)))
    error = max(1, math.ceil(half * 10.0**places - 1e-6))
    if error >= 100:
        places, error = places - 1, 10
    number = _nearest(value * 10.0**places)
    while places > 0 and number % 10 == 0 and error % 10 == 0:
        places, number, error = places - 1, number // 10, error // 10
    if places < 0:
        number, error, places = number * 10**-places, error * 10**-places, 0
    return number, error, places


def _nearest(value: float) -> int:
    """The nearest whole number; halves away from nought, also where conversion left them short."""
    return int(math.copysign(math.floor(abs(value) + 0.5 + 1e-7), value))


def _trimmed(number: int, places: int, least: int = 0) -> tuple[int, int]:
    """The same decimal number without noughts at its end, with `least` places or more."""
    while places > least and number % 10 == 0:
        number, places = number // 10, places - 1
    return number, places


def _point(number: int, places: int) -> str:
    """`number` / 10^`places` with a true minus: (-40105, 1) is −4010.5."""
    sign, digits = "−" if number < 0 else "", str(abs(number)).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else sign + digits


def _decimal(number: int, places: int, units: str) -> str:
    """`number` / 10^`places` with its unit; inches as feet and inches from 72 in."""
    foot = 12 * 10**places
    if units == "mm" or abs(number) < 6 * foot:
        return f"{_point(number, places)} {units}"
    feet, over = divmod(abs(number), foot)
    inches = f" {_point(*_trimmed(over, places))} in" if over else ""
    return f"{'−' if number < 0 else ''}{feet} ft{inches}"


def _whole_fraction(value: float, decimal: float) -> str | None:
    """The inches as a fraction, where they or their decimals stand on a 64th; else None."""
    for inches in (value, decimal):
        parts = round(inches * 64)
        if abs(inches * 64 - parts) < 1e-4:
            return _mixed(parts, 64)
    return None


def _fractions(value: float, half: float, decimal: float, decimal_half: float) -> str | None:
    """Inches and their error as fractions; None where the decimals tell it more honestly.

    The choice hangs on the decimals alone, so that what was printed prints the same again.
    """
    if half <= 0:
        return None
    fine = _parts(half / 8)
    error = math.ceil(half * fine - 1e-6)
    coarse = _parts(error / fine / 4)
    number = _nearest(value * coarse)
    swells = error / fine > 1.25 * decimal_half
    moves = abs(number / coarse - decimal) > decimal_half / 4
    if swells or moves:
        return None
    return f"{_mixed(number, coarse)} ± {_mixed(error, fine, feet=False)}"


def _parts(step: float) -> int:
    """Into how many parts an inch is cut so that one part is `step` or less: 1, 2, 4, … 64."""
    return 64 if step <= 1 / 64 else 1 << max(0, math.ceil(-math.log2(step) - 1e-9))


def _mixed(number: int, parts: int, *, feet: bool = True) -> str:
    """`number` / `parts` of an inch as `7 1/4 in`, and as `6 ft 3 1/4 in` from 72 in."""
    sign, number = "−" if number < 0 else "", abs(number)
    words = []
    if feet and number >= 72 * parts:
        words.append(f"{number // (12 * parts)} ft")
        number %= 12 * parts
    whole, over = divmod(number, parts)
    amount = [str(whole)] if whole else []
    if over:
        shared = math.gcd(over, parts)
        amount.append(f"{over // shared}/{parts // shared}")
    if amount or not words:
        words.append(" ".join(amount or ["0"]) + " in")
    return sign + " ".join(words)


def times_in_100(chance: float) -> str:
    """A chance in words, never rounded to none or to all.

    >>> times_in_100(0.9993), times_in_100(0.951), times_in_100(0.0)
    ('more than 99 times in 100', '95 times in 100', 'less than 1 time in 100')
    """
    if chance > 0.99:
        return "more than 99 times in 100"
    return "less than 1 time in 100" if chance < 0.01 else f"{100 * chance:.0f} times in 100"
