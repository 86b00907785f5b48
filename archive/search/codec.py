"""Postings as short printable text: whole numbers in one character or two, steps not values."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

ALPHABET = "".join(chr(code) for code in range(35, 127) if chr(code) not in "\\`")
"""Ninety characters that need no escape in a quoted script string."""

_MANY = ALPHABET[89]

STEP = 56
"""Of steps from document to document, those below this take one character: few are small."""

PLACE = 82
"""Of places in a text, those below this take one character: most are small."""

SEPARATOR = "!"
"""Stands between the fields of an entry; not in the alphabet."""


def _starts(short: int) -> tuple[int, int, int, int, int]:
    """The first value of two, three, four and five characters, and the first that is too large."""
    three = short + (86 - short) * 90
    four = three + 90**2
    return short, three, four, four + 90**3, four + 90**3 + 90**4


def _write(value: int, short: int) -> str:
    two, three, four, five, end = _starts(short)
    if value < 0 or value >= end:
        raise ValueError(f"{value} is not between 0 and {end - 1}")
    if value < two:
        return ALPHABET[value]
    if value < three:
        lead, rest, digits = short + (value - two) // 90, (value - two) % 90, 1
    elif value < four:
        lead, rest, digits = 86, value - three, 2
    elif value < five:
        lead, rest, digits = 87, value - four, 3
    else:
        lead, rest, digits = 88, value - five, 4
    return ALPHABET[lead] + "".join(
        ALPHABET[rest // 90**power % 90] for power in reversed(range(digits))
    )


_COMMON = {
    short: [_write(value, short) for value in range(_starts(short)[2])] for short in (STEP, PLACE)
}


def number(value: int, short: int) -> str:
    """A whole number as text: below `short` one character, then two, at most five.

    `short` is `STEP` or `PLACE`. Raises ValueError below 0 and beyond some sixty million.
    """
    common = _COMMON[short]
    return common[value] if 0 <= value < len(common) else _write(value, short)


def numbers(values: Iterable[int], short: int) -> str:
    """Whole numbers one after the other."""
    return "".join(number(value, short) for value in values)


_VALUE = {letter: place for place, letter in enumerate(ALPHABET)}


def read_number(text: str, at: int, short: int) -> tuple[int, int]:
    """The number that starts at `at`, and where the next one starts."""
    lead = _VALUE[text[at]]
    if lead < short:
        return lead, at + 1
    if lead < 86:
        return short + (lead - short) * 90 + _VALUE[text[at + 1]], at + 2
    digits = lead - 84
    rest = 0
    for letter in text[at + 1 : at + 1 + digits]:
        rest = rest * 90 + _VALUE[letter]
    return _starts(short)[lead - 85] + rest, at + 1 + digits


def places(positions: Sequence[int]) -> str:
    """Where a word stands in one document: its place, or a sign, how many, and each step on."""
    if len(positions) == 1:
        return number(positions[0], PLACE)
    steps = [after - before for before, after in zip((0, *positions), positions, strict=False)]
    return _MANY + number(len(positions), PLACE) + numbers(steps, PLACE)


def _past_places(text: str, at: int) -> int:
    """Where the places that start at `at` end."""
    count = 1
    if text[at] == _MANY:
        count, at = read_number(text, at + 1, PLACE)
    for _ in range(count):
        _, at = read_number(text, at, PLACE)
    return at


def put_places(text: str, document: int, positions: Sequence[int]) -> str:
    """Postings with a document's places put in or changed; without any, the document goes.

    `text` tells for each document in order the step from the last, then its places. Only what is
    near the document is written anew.
    """
    at = before = step = end = 0
    while at < len(text):
        step, body = read_number(text, at, STEP)
        end = _past_places(text, body)
        if before + step >= document:
            break
        before, at = before + step, end
    rest = at
    following = before + step
    if at < len(text) and following == document:
        rest = end
        following += read_number(text, rest, STEP)[0] if rest < len(text) else 0
    own = number(document - before, STEP) + places(positions) if positions else ""
    if rest == len(text):
        return text[:at] + own
    body = read_number(text, rest, STEP)[1]
    return (
        text[:at]
        + own
        + number(following - (document if positions else before), STEP)
        + text[body:]
    )
