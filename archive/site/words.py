"""Values of records as words: days, dates, judgements, choices, counts, and a text's beginning."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from archive.core.date_words import day_words
from archive.core.dates import Dating, show_dating
from archive.records.spec import Judged

_SENTENCE = re.compile(r"(?<=[.!?])\s")

CHOICES = {
    "build": "build",
    "build-provisionally": "build provisionally",
    "leave-off": "left off",
    "keep-as-found": "keep as found",
    "refit": "refit",
    "refit-repaired": "refit, repaired",
    "store-and-copy": "store the original, fit a copy",
    "defer": "put off",
}
"""What was chosen, as the shop says it."""

AIRFRAMES = {
    "this": "this airframe",
    "sister": "a sister",
    "type": "the type",
    "donor": "a donor",
    "unknown": "not known",
}
"""Whose aircraft a record tells of."""

FRAMES = {"whole": "whole negative", "cropped": "cropped"}
LENSES = {"bends": "bends straight edges"}
"""What a photograph's note says of its frame and of its lens, where that tells something."""

STEPS = {
    "look": "Look only",
    "mock-up": "Mock-up, in card",
    "trial": "Trial stock",
    "cut": "Cut for display",
    "original": "Touch an original",
}
"""What clearance is asked for."""


def day(value: Any) -> str:
    """`28 May 2027`; "" for none."""
    return day_words(value.year, value.month, value.day) if isinstance(value, date) else ""


def dated(value: Any) -> str:
    """A date of a record in plain English, "" for none."""
    return show_dating(value) if isinstance(value, Dating) else day(value)


def bare(value: Any) -> Any:
    """What a judgement says, or the bare value where it was written bare."""
    return value.says if isinstance(value, Judged) else value


def plain(word: str | None) -> str:
    """A word of the records as pages print it: `copy-print` is `copy print`."""
    return (word or "").replace("-", " ")


def choice(word: str | None) -> str:
    """A decision's choice in words."""
    return CHOICES.get(word or "", plain(word))


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def count(number: int, one: str, many: str = "") -> str:
    """`1 part`, `3 parts`, `no parts`."""
    many = many or f"{one}s"
    return f"{number or 'no'} {one if number == 1 else many}"


def beginning(text: str, limit: int) -> str:
    """The text's first sentences within `limit` characters, else its first words and `…`."""
    text = " ".join(text.split())
    if len(text) <= limit:
        return text
    whole = ""
    for sentence in _SENTENCE.split(text):
        longer = f"{whole} {sentence}".strip()
        if len(longer) > limit:
            break
        whole = longer
    return whole or text[: limit - 1].rsplit(" ", 1)[0].rstrip(",;:–") + "…"
