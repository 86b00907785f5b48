"""What one item of evidence can lend by itself: a cap, the rule, a sentence."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.findings import Reason
from archive.core.verdicts import GRADES, ItemTaken

ON, MATCHED, CORROBORATED, SEEN, SAID, CONJECTURE = GRADES
NONE = ""
_RANK = {**{grade: index for index, grade in enumerate(GRADES)}, NONE: len(GRADES)}


@dataclass(frozen=True, slots=True)
class Taking:
    """What the rules make of an item before copies are counted.

    `cap` is the best grade that it can lend alone, NONE where it is no evidence. `firm` is false
    where it only may belong to the claim's state; `image` and `clear` are what corroboration asks.
    `disputed` are the clashes of dates that it hangs on.
    """

    cap: str
    rule: str
    says: str
    firm: bool = True
    image: bool = False
    clear: bool = False
    disputed: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Witness:
    """One independent witness among a claim's evidence: its best-generation item."""

    key: str
    taken: ItemTaken
    taking: Taking


def rank(grade: str) -> int:
    """0 for the best grade; what is no evidence comes after conjecture."""
    return _RANK[grade]


def lower(one: str, other: str) -> str:
    """The lower of two grades."""
    return max(one, other, key=rank)
