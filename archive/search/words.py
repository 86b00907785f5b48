"""How writing becomes words: case, accents and dashes folded, marks such as "K.12/4" kept whole."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator

LETTERS = {
    "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "ł": "l", "ı": "i",
    "ħ": "h", "ŧ": "t", "ŋ": "n", "ς": "σ",
    "‐": "-", "‑": "-", "‒": "-", "–": "-", "—": "-", "―": "-", "−": "-", "⁄": "/",
    "'": "", "’": "", "‘": "", "ʼ": "", "\u00ad": "", "\u200b": "", "\u200c": "", "\u200d": "",
    "\ufeff": "", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
}  # fmt: skip
"""What a single character becomes, after lower case and the loss of accents."""

STOP = frozenset(
    [
        "a",
        "an",
        "and",
        "are",
        "as",
        "at",
        "be",
        "by",
        "for",
        "from",
        "have",
        "if",
        "in",
        "is",
        "it",
        "of",
        "on",
        "or",
        "that",
        "the",
        "this",
        "to",
        "we",
        "with",
        "yet",
        "you",
        "your",
    ]
)
"""Words too common to look for. "may" stays (a month), so do "not" and "us"."""

_FOLDED = str.maketrans(LETTERS)
_ACCENTS = re.compile("[\u0300-\u036f]")
_ASTRAL = re.compile("[\U00010000-\U0010ffff]")
_CHAIN = re.compile(r"[^\W_]+(?:[-./_][^\W_]+)*")
_SEPARATORS = re.compile(r"[-./_]")
_BLANKS = re.compile(r"[ \t\n\r\f\v]+")


def fold(text: str) -> str:
    """`text` in lower case, without accents, with one kind of dash and of double quote.

    Letters that have no accent to lose are spelt out ("ø" as "o", "æ" as "ae"). Characters beyond
    the basic plane become blanks, so that Python and a browser sort words alike.
    """
    text = text.lower()
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text).lower()
        text = _ASTRAL.sub(" ", _ACCENTS.sub("", text))
    return text.translate(_FOLDED)


def chains(folded: str) -> list[str]:
    """The words of a folded text, those joined by - . / _ still joined ("water-rudder")."""
    return _CHAIN.findall(folded)


def pieces(chain: str) -> list[str]:
    """The words that a chain joins."""
    return _SEPARATORS.split(chain)


def compact(folded: str) -> str:
    """The letters and digits alone: "k.12/4" as "k124"."""
    return "".join(piece for chain in chains(folded) for piece in pieces(chain))


def tokens(text: str) -> Iterator[tuple[str, int]]:
    """The words of running text with their places, stop words neither told nor counted.

    A chain gives its pieces in turn and, at the place of the first, the whole run together:
    "P-114" gives p 0, 114 1, p114 0.
    """
    place = 0
    for chain in _CHAIN.findall(fold(text)):
        if chain.isalnum():
            if chain not in STOP:
                yield chain, place
                place += 1
            continue
        first = place
        parts = _SEPARATORS.split(chain)
        for part in parts:
            if part not in STOP:
                yield part, place
                place += 1
        yield "".join(parts), first
        place = max(place, first + 1)


def mark_tokens(marks: Iterable[str]) -> list[str]:
    """What each mark is found by: as it stands, without blanks, and its letters and digits alone.

    A mark of several words is found by each of them too. Order kept, nothing twice.
    """
    found: dict[str, None] = {}
    for mark in marks:
        folded = fold(mark)
        for part in dict.fromkeys(["".join(_BLANKS.split(folded)), *_BLANKS.split(folded)]):
            if _CHAIN.fullmatch(part):
                found[part] = None
            if bare := compact(part):
                found[bare] = None
    return list(found)


def distance(one: str, other: str, limit: int) -> int:
    """Slips between two words, counted up to `limit` + 1.

    A slip is a letter left out, put in, or changed, or two neighbours swapped (the restricted
    Damerau distance, also called optimal string alignment).
    """
    if abs(len(one) - len(other)) > limit:
        return limit + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        oldest, before, row = before, row, [i]
        for j, against in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != against))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == against:
                cost = min(cost, oldest[j - 2] + 1)
            row.append(cost)
        if min(row) > limit:
            return limit + 1
    return min(row[-1], limit + 1)
