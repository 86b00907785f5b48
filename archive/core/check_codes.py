"""The check code of a cutting card: eight letters that can be read out over the bench.

They are the first 40 bits of a SHA-256, in base 32 as Douglas Crockford describes it
(crockford.com/base32.html): no I, L, O or U; read O as 0, I and L as 1, small letters as large, and
pass over dashes. A card's code is held against the register, so that any letter misread and any
two that changed places are noticed; a number that is misread is noticed but once in 2^40 tries.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import dataclass

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's 32 symbols, in order of their values."""

LETTERS = 8

_RFC_4648 = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
_FROM_RFC = str.maketrans(_RFC_4648, ALPHABET)
_READ_AS = str.maketrans("OIL", "011")
_BLANK = re.compile(r"[\s\-‐-―.·/_]+")
_CANONICAL = json.JSONEncoder(sort_keys=True, ensure_ascii=True, separators=(",", ":"))


@dataclass(frozen=True, slots=True)
class Typed:
    """What somebody typed off a card, made plain.

    `digits` is number and issue run together without the noughts in front, for dashes get lost;
    `code` the eight letters. `number` and `issue` are "" where the dashes don't tell them.
    """

    digits: str
    code: str
    number: str = ""
    issue: str = ""


def check_code(value: object) -> str:
    """The code of any JSON value; keys sorted, numbers as written by repr.

    >>> len(check_code([1, "parts/nose-bowl"]))
    8
    """
    digest = hashlib.sha256(_CANONICAL.encode(value).encode()).digest()
    return base64.b32encode(digest[:5]).decode("ascii").translate(_FROM_RFC)


def as_printed(number: str, issue: int, code: str) -> str:
    """Number, issue and code as they stand on a card.

    >>> as_printed("0031", 2, "K7M4QX2H")
    '0031-2-K7M4QX2H'
    """
    return f"{number}-{issue}-{code}"


def read_typed(text: str) -> Typed | None:
    """A number, issue and code as somebody typed it; None where it can't be one.

    >>> read_typed(" 31 - 2 - k7m4qx2h ") == Typed("312", "K7M4QX2H", "31", "2")
    True
    >>> read_typed("oo312k7m4 qx2h").digits
    '312'
    >>> read_typed("0031-2-K7M4QXU2")  # no U in any code
    """
    pieces = [
        piece.upper().translate(_READ_AS) for piece in _BLANK.split(text.strip()) if piece.strip()
    ]
    whole = "".join(pieces)
    digits, code = whole[:-LETTERS], whole[-LETTERS:]
    if not digits.isascii() or not digits.isdigit() or len(digits) < 2:
        return None
    if any(letter not in ALPHABET for letter in code):
        return None
    apart = len(pieces) > 2 and "".join(pieces[2:]) == code
    number, issue = (pieces[0], pieces[1]) if apart else ("", "")
    return Typed(digits.lstrip("0"), code, number.lstrip("0"), issue.lstrip("0"))
