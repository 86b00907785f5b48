"""What holds a part from being cut, in words short enough to filter lists by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from archive.core.verdicts import PartKnown

HOLDS: Mapping[str, str] = MappingProxyType(
    {
        "C3": "evidence too weak, or not settled",
        "C4": "size too loose, or no tolerance",
        "C5": "decision or signature",
        "C6": "another state of the aircraft",
        "C8": "open question",
        "C9": "record to mend",
        "C13": "an original",
        "C14": "mark not planned",
        "C15": "dates clash",
    }
)
"""Number of each rule that can hold a cut → what holds, in the words of a list."""
SEPARATOR = "|"
"""Between the values of one row that a filter may ask for; themes/…/filters.js splits by it."""


def holds_of(known: PartKnown | None, claim: str = "") -> tuple[str, ...]:
    """The rules that hold a part from being cut, or those of them that rest on one claim."""
    step = known.steps.get("cut") if known else None
    if step is None or step.verdict != "hold":
        return ()
    return tuple(
        sorted(
            {
                reason.rule
                for reason in step.reasons
                if reason.rule in HOLDS
                and not reason.aside
                and (not claim or claim in reason.rests_on)
            },
            key=list(HOLDS).index,
        )
    )


def choices(rows: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """(value, words) of what holds any of the rows, each row's values joined as `joined` does."""
    there = {rule for row in rows for rule in row.split(SEPARATOR)}
    return tuple((rule, says) for rule, says in HOLDS.items() if rule in there)


def joined(rules: Iterable[str]) -> str:
    """The values of one row."""
    return SEPARATOR.join(rules)
