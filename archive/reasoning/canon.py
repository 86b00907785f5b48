"""The short code of an evidence state: same evidence, same code; prose never matters."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

from archive.core.rules import RULE_SET
from archive.core.verdicts import ItemTaken

_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's base 32: no I, L, O or U, so that a code can be read out over the bench."""


def code(value: object, length: int = 6) -> str:
    """A code of `length` letters for any JSON value; keys sorted, numbers as written by repr."""
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    letters = []
    for _ in range(length):
        number, index = divmod(number, 32)
        letters.append(_ALPHABET[index])
    return "".join(letters)


def state_code(ref: str, aspect: str, grade: str, items: Iterable[ItemTaken]) -> str:
    """The evidence state of one claim: what each item lends and gives, in millionths of a mm."""
    canonical = [
        [
            item.ref,
            item.group,
            item.cap,
            item.against,
            None if item.value_mm is None else round(item.value_mm * 1e6),
            None if item.half95_mm is None else round(item.half95_mm * 1e6),
        ]
        for item in items
    ]
    return code([RULE_SET, ref, aspect, grade, sorted(canonical, key=str)])
