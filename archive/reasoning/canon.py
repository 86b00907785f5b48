"""The short code of an evidence state: same evidence, same code; prose never matters."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence

from archive.core.check_codes import ALPHABET
from archive.core.rules import RULE_SET
from archive.core.verdicts import Held, ItemTaken
from archive.records.claim import Claim

_CANONICAL = json.JSONEncoder(sort_keys=True, ensure_ascii=True, separators=(",", ":"))


def code(value: object, length: int = 6) -> str:
    """A code of `length` letters for any JSON value; keys sorted, numbers as written by repr."""
    text = _CANONICAL.encode(value)
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    letters = []
    for _ in range(length):
        number, index = divmod(number, 32)
        letters.append(ALPHABET[index])
    return "".join(letters)


def state_code(
    ref: str,
    claim: Claim,
    grade: str,
    items: Iterable[ItemTaken],
    held: Held | None,
    policy: Sequence[object] = (),
) -> str:
    """The evidence state of one claim: what is asked of it, what each item lends and gives, which
    clashes of dates it hangs on, and the figure held. Figures count in millionths of a millimetre.
    `policy` is what the team's policy changed in it.
    """
    canonical = [
        [
            item.ref,
            item.group,
            item.cap,
            item.against,
            _micro(item.value_mm),
            _micro(item.half95_mm),
            item.disputed,
        ]
        for item in items
    ]
    asked = [claim.aspect, claim.configuration, _micro(claim.tolerance and claim.tolerance.mm)]
    if claim.made_to and claim.made_to.says:
        asked.append(_micro(claim.made_to.says.mm))
    figure = [_micro(held.value_mm), _micro(held.half95_mm), held.taken_from] if held else []
    return code([RULE_SET, ref, asked, grade, sorted(canonical, key=str), figure, *policy])


def _micro(value_mm: float | None) -> int | None:
    return None if value_mm is None else round(value_mm * 1e6)
