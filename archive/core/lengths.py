"""Lengths as people write them, with their error: `7 1/4 in +/- 1/8 in`, `184 mm`, `18 ga B&S`."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from archive.core.gauges import SYSTEMS, gauge_number, system_named, thickness_in
from archive.core.problems import Unreadable
from archive.core.rounding import MM_PER_IN
from archive.core.rounding import show_mm as show_mm

COVER = 1.96
"""Half-width of a 95 % interval in standard uncertainties, for a normal distribution."""

LARGEST_MM = 200_000.0
LONGEST_TEXT = 100


_UNITS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres"), ("mm", 1.0)),
    **dict.fromkeys(("cm", "centimetre", "centimetres"), ("cm", 10.0)),
    **dict.fromkeys(("m", "metre", "metres"), ("m", 1000.0)),
    **dict.fromkeys(("in", "inch", "inches", '"', "''"), ("in", MM_PER_IN)),
    **dict.fromkeys(("ft", "foot", "feet", "'"), ("ft", 12 * MM_PER_IN)),
}
_GAUGE_WORDS = {"ga", "gauge", "gage"}
# One character for one, so that an offset into the plain text is an offset into what was written.
_PLAIN = str.maketrans(
    {**dict.fromkeys("−–‐‑", "-"), "⁄": "/", **dict.fromkeys("’′", "'"), **dict.fromkeys("”″", '"')}
)
_TOKEN = re.compile(
    r"""(?P<space>[\s\u00a0\u2007\u2009\u202f]+)
      | (?P<pm>±|\+\s?/\s?-|\+-)
      | (?P<fraction>\d+\s*/\s*\d+|[¼-¾⅐-⅞])
      | (?P<number>\d+(?:\.\d+)?|\.\d+)
      | (?P<word>[A-Za-z][A-Za-z&.]*|&|''|["'])
      | (?P<sign>[+-])""",
    re.VERBOSE | re.ASCII,
)
_Token = tuple[str, str, int]
_HINT = "Write a length as 7 1/4 in, 2 ft 3 5/8 in, 184 mm, or with its error: 184 mm +/- 0.5 mm."


@dataclass(frozen=True, slots=True)
class Length:
    """A length in millimetres (negative for a position before the datum), as somebody gave it.

    `half_mm` is the half-width that was written after `+/-`, or None: a 95 % half-width, or, with
    `limit`, a hard bound. `text` is what was written.
    """

    mm: float
    half_mm: float | None
    limit: bool
    text: str

    @property
    def u_mm(self) -> float | None:
        """Standard uncertainty in mm: half / 1.96, or half / √3 for a hard bound; None if unknown.

        The second is that of a rectangular distribution (JCGM 100:2008, 4.3.7).
        """
        if self.half_mm is None:
            return None
        return self.half_mm / (math.sqrt(3) if self.limit else COVER)

    @property
    def half95_mm(self) -> float | None:
        """95 % half-width in mm, 1.96 u, for a hard bound too; None where no error was given."""
        return None if self.u_mm is None else COVER * self.u_mm


@lru_cache(maxsize=4096)
def parse_length(text: str) -> Length:
    """Read a length with its unit and, after `+/-` or `±`, its error with its unit.

    Inches and feet take fractions or decimals; mm, cm and m take decimals with a point; sheet
    thickness takes a gauge number with its system. `limit` after the error makes it a hard bound.
    A sign is read, for positions; whoever needs a size refuses what isn't positive. Raises
    `Unreadable` with the offset of the trouble.
    """
    if len(text) > LONGEST_TEXT:
        raise Unreadable(
            "length-unreadable",
            f"{len(text)} characters are more than a length takes.",
            _HINT,
            LONGEST_TEXT,
        )
    try:
        return _length(text)
    except Unreadable as error:
        meant = _range(text)
        if meant is None:
            raise
        says = f"“{text}” is a range; a length is one value with its error."
        raise Unreadable("length-range", says, meant, error.at) from error


def _length(text: str) -> Length:
    tokens = _tokens(text)
    split = next((i for i, token in enumerate(tokens) if token[0] == "pm"), len(tokens))
    mm = _quantity(tokens[:split], text, signed=True)
    half: float | None = None
    limit = False
    if split < len(tokens):
        error = tokens[split + 1 :]
        limit = bool(error) and error[-1][1].lower() == "limit"
        half = _error(error[:-1] if limit else error, text, tokens[split][2])
    if abs(mm) > LARGEST_MM or (half or 0.0) > LARGEST_MM:
        raise Unreadable(
            "length-absurd",
            f"“{text}” is longer than {LARGEST_MM / 1000:.0f} m.",
            "Check the number and its unit.",
        )
    return Length(mm, half, limit, text)


def _tokens(text: str) -> list[_Token]:
    """(kind, text, offset) of each piece; raises at the first character that belongs to none."""
    plain = text.translate(_PLAIN)
    tokens: list[_Token] = []
    at = 0
    while at < len(plain):
        found = _TOKEN.match(plain, at)
        if found is None:
            raise Unreadable(
                "length-unreadable",
                f"“{plain[at]}” has no place in a length.",
                _comma_hint(plain, at) if plain[at] == "," else _HINT,
                at,
            )
        kind = found.lastgroup or ""
        if kind != "space":
            tokens.append((kind, found[0], at))
        at = found.end()
    return tokens


_RANGE = re.compile(
    r"\s*(?P<from>[\d.]+(?:\s+\d+/\d+)?)\s*(?P<unit>[A-Za-z\"']*)\s*(?:-|\bto\b)\s*(?P<to>\d.*)\Z"
)


def _range(text: str) -> str | None:
    """How to write `184-186 mm` or `7 1/4 to 7 3/8 in`; None where the text is no range."""
    found = _RANGE.match(text.translate(_PLAIN))
    if found is None:
        return None
    try:
        last = _tokens(found["to"])[-1][1]
        high = _length(found["to"])
        low = _length(f"{found['from']} {found['unit'] or last}")
    except Unreadable:
        return None
    unit = _UNITS.get(last.rstrip(".").lower())
    if unit is None or high.half_mm is not None or high.mm <= low.mm:
        return None
    name, factor = unit
    middle, half = (low.mm + high.mm) / 2 / factor, (high.mm - low.mm) / 2 / factor
    return f"Write {middle:.6g} {name} +/- {half:.6g} {name} limit."


def _comma_hint(text: str, at: int) -> str:
    """A comma is a decimal point, a mark for thousands, or the beginning of something else."""
    after = text[at + 1 :].strip()
    if after[:1].isdigit():
        return "Write decimals with a point and thousands without a mark: 22.3 mm, 4010 mm."
    return (
        f"Write {text[:at].strip()} alone, and “{after}” in a field of its own, such as reading: "
        "or note:."
    )


def _error(tokens: list[_Token], text: str, at: int) -> float:
    """The half-width in mm of the tokens after `+/-`, which must be above nothing."""
    half = _quantity(tokens, text, signed=False, at=at)
    if half <= 0:
        raise Unreadable(
            "error-not-positive",
            f"The error in “{text}” is nothing; no measure is without error.",
            "Give the 95 % half-width, however small, or leave +/- out where it isn't known.",
            at,
        )
    return half


def _quantity(tokens: list[_Token], text: str, *, signed: bool, at: int = 0) -> float:
    """Millimetres of `[sign] amount unit [amount unit]`, or of `number ga SYSTEM`."""
    rest = list(tokens)
    sign = 1.0
    if rest and rest[0][0] == "sign":
        _, mark, at = rest.pop(0)
        if not signed:
            raise Unreadable(
                "error-not-positive",
                f"The error in “{text}” carries a sign.",
                "Write the half-width alone: 184 mm +/- 0.5 mm.",
                at,
            )
        sign = -1.0 if mark == "-" else 1.0
    if not rest or not any(kind in ("number", "fraction") for kind, _, _ in rest):
        raise Unreadable("length-unreadable", f"“{text}” holds no length.", _HINT, at)
    gauge = _gauge(rest)
    if gauge is not None:
        return sign * gauge
    total, last = 0.0, ""
    while rest:
        before, start = list(rest), rest[0][2]
        amount, whole = _amount(rest, text)
        written = " ".join(token[1] for token in before[: len(before) - len(rest)])
        name, factor = _unit(rest, text, written, start)
        if last and not (last == "ft" and name == "in" and amount < 12):
            raise Unreadable(
                "length-unreadable",
                "Only feet and less than 12 inches go together in one length.",
                _HINT,
                start,
            )
        if rest and name == "ft" and not whole:
            raise Unreadable(
                "length-unreadable", "Inches follow a whole number of feet.", _HINT, start
            )
        total, last = total + amount * factor, name
    return sign * total


def _amount(rest: list[_Token], text: str) -> tuple[float, bool]:
    """Takes `7`, `7.25`, `1/4`, `7 1/4` or `7-1/4` off the front; says whether it is whole."""
    kind, piece, at = rest.pop(0)
    if kind == "fraction":
        return _proper(piece, at, 0, rest), False
    if kind != "number":
        raise Unreadable("length-unreadable", f"“{text}” lacks a number here.", _HINT, at)
    if "." in piece:
        return float(piece), False
    hyphened = len(rest) > 1 and rest[0][1] == "-" and rest[1][0] == "fraction"
    if hyphened:
        rest.pop(0)
    if rest and rest[0][0] == "fraction":
        _, part, at = rest.pop(0)
        return int(piece) + _proper(part, at, int(piece), rest), False
    return float(piece), True


def _proper(piece: str, at: int, whole: int, rest: list[_Token]) -> float:
    """The value of a fraction, which must be below one: `7 5/4` and `11/4` are slips of the pen."""
    value = _fraction(piece, at)
    if value < 1:
        return value
    over, under = (int(number) for number in piece.split("/"))
    unit = f" {rest[0][1]}" if rest and rest[0][0] == "word" else ""
    more, left = divmod(over, under)
    meant = [f"{whole + more} {left}/{under}" if left else str(whole + more)]
    digits = str(over)
    if not whole:  # `11/4` may be `1 1/4` with its blank lost
        for cut in range(1, len(digits)):
            if digits[cut] != "0" and int(digits[cut:]) < under:
                meant.append(f"{digits[:cut]} {digits[cut:]}/{under}")
    hint = f"Write {meant[0]}{unit}"
    for other in meant[1:]:
        hint += f", or {other}{unit} if a blank was lost"
    says = f"The fraction {over}/{under} is not below one."
    raise Unreadable("fraction-improper", says, f"{hint}.", at)


def _fraction(piece: str, at: int) -> float:
    """The value of `5/8` or `⅝`."""
    if "/" not in piece:
        return unicodedata.numeric(piece)
    over, under = (int(number) for number in piece.split("/"))
    if under == 0:
        raise Unreadable("length-unreadable", f"“{piece}” divides by nothing.", _HINT, at)
    return over / under


def _unit(rest: list[_Token], text: str, written: str, at: int) -> tuple[str, float]:
    """Takes a unit off the front, for the amount `written`: its name and its length in mm."""
    if not rest or rest[0][0] != "word":
        raise Unreadable(
            "unit-missing",
            f"“{text}” gives {written} without a unit.",
            f"Write {written} in or {written} mm, whichever is meant, and a unit after +/- too.",
            at,
        )
    _, word, at = rest.pop(0)
    unit = _UNITS.get(word.rstrip(".").lower())
    if unit is None:
        raise Unreadable(
            "unit-unknown",
            f"“{word}” is no unit of length known here.",
            "Write in, ft, mm, cm or m; for sheet, ga with its system, as in 18 ga B&S.",
            at,
        )
    return unit


def _gauge(rest: list[_Token]) -> float | None:
    """Thickness in mm where `rest` is `18 ga B&S`, `18 SWG` or `2/0 BWG`; None if it isn't."""
    (kind, piece, at), words = rest[0], [token[1] for token in rest[1:]]
    if kind not in ("number", "fraction") or not words:
        return None
    said = words[0].rstrip(".").lower() in _GAUGE_WORDS
    system = system_named("".join(words[1:] if said else words))
    if not said and system is None:
        return None
    number = gauge_number(piece)
    if number is None:
        raise Unreadable(
            "gauge-unknown", f"“{piece}” is no gauge number.", "Write it as 18, 0 or 2/0.", at
        )
    if system is None:
        raise Unreadable("gauge-system-missing", *_ambiguity(number, " ".join(words[1:])), at)
    return thickness_in(system, number) * MM_PER_IN


def _ambiguity(number: int, named: str) -> tuple[str, str]:
    """What a gauge number alone could mean, and what to write."""
    readings = []
    for system in SYSTEMS:
        try:
            inches = f"{thickness_in(system, number):.4f}".rstrip("0").lstrip("0")
        except Unreadable:
            continue
        readings.append(f"{inches if len(inches) > 3 else inches + '0'} in ({system})")
    lead = f"“{named}” is no gauge system known here" if named else "The gauge system is missing"
    if not readings:
        return f"{lead}.", f"Name the system: {', '.join(SYSTEMS)}."
    return (
        f"{lead}: {number} ga is {', '.join(readings[:-1])} or {readings[-1]}.",
        f"Write {number} ga B&S, BWG, USS or SWG; if it isn't known which, give the thickness.",
    )


def show_length(length: Length, units: str) -> str:
    """The length in `in` or `mm`, with its 95 % half-width: `7 1/4 in ± 1/8 in`, `184 mm ± 2 mm`.

    A hard bound is shown by its 95 % half-width too, as everywhere on the pages.
    """
    return show_mm(length.mm, length.half95_mm, units)
