"""Names for new records: readable, each once, the same for the same file, fit for any disk."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from archive.read.values import NAME, plain_name
from archive.read.walk import RESERVED

LONGEST = 60


def propose_id(words: Iterable[str], taken: Collection[str], otherwise: str) -> str:
    """An id made of the first of `words` that has letters or digits to make one of.

    `taken` are the ids that are gone; where the name is among them, `-2`, `-3` … is put after it.
    `otherwise` (an id) is what is left where none of the words will do. The result is of a-z, 0-9
    and `-`, begins with a letter or digit, and is no name that Windows keeps.

    >>> propose_id(["Slipway, June '32"], {"slipway-june-32"}, "picture")
    'slipway-june-32-2'
    >>> propose_id(["漢字", "CON"], (), "picture")
    'con-1'
    """
    stem = next((name for name in map(_named, words) if name), otherwise)
    if stem in RESERVED:
        stem = f"{stem}-1"
    found, number = stem, 1
    while found in taken:
        number += 1
        tail = f"-{number}"
        found = stem[: LONGEST - len(tail)].rstrip("-") + tail
    return found


def _named(text: str) -> str:
    """The text as a name, or nothing where it has too little to make one of."""
    name = plain_name(text[:400])
    letters = sum(c.isalnum() for c in text)
    kept = sum(c.isalnum() for c in name)
    # Where most letters are of another script, what is left ("-2") names nothing.
    return name if NAME.match(name) and name != plain_name("") and 2 * kept >= letters else ""
