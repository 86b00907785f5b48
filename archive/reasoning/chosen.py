"""Does the option chosen of a treatment fit what is to be done, and what becomes of the original?

An option is written in the team's own words. It fits an operation that it names; where it says
leave, keep or store, or names no more than tracing, it fits no operation but tracing that it
doesn't name; and what another option names, and it doesn't, was not chosen.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from archive.records.part import GENTLE, KEPT_OUT, TAKING, Part, Treatment

_NAMED = {
    "trace": r"\b(?:re)?trac(?:e|es|ed|ing)\b",
    "clean": r"\bclean",
    "consolidate": r"\bconsolidat",
    "straighten": r"\bstraighten",
    "drill": r"\bdrill",
    "trim": r"\btrim",
    "patch": r"\bpatch",
    "refit": r"\brefit",
}
"""How an option names each operation."""

_LEAVES = re.compile(r"\b(?:leave|left|keep|kept|store|nothing|untouched|as found)\b|^no$", re.I)


def unfitting(part: Part, treatment: Treatment) -> Iterator[str]:
    """Why the operations don't fit the choice, what it takes off, or the status; sentences."""
    operations = tuple(dict.fromkeys(treatment.operations))
    if treatment.choice and (beside := _not_chosen(treatment, operations)):
        yield (
            f"“{treatment.choice}” was chosen, and that is not to {_or(beside)}:"
            " let the option chosen say what is done, or take the operation out."
        )
    taking = tuple(one for one in operations if one in TAKING)
    if treatment.takes_nothing and taking:
        yield (
            f"It says that it takes nothing off, and to {_or(taking)} always takes material:"
            " say what, and where that is kept."
        )
    if treatment.reversible and taking:
        yield f"It says that it can be undone, and to {_or(taking)} can't be."
    rough = tuple(one for one in operations if one not in GENTLE)
    if part.status in KEPT_OUT and rough:
        status = (part.status or "").replace("-", " ")
        yield f"Its status is {status}: no treatment may {_or(rough)} it."


def _not_chosen(treatment: Treatment, operations: tuple[str, ...]) -> tuple[str, ...]:
    choice = treatment.choice or ""
    named = _names(choice)
    others = {op for one in treatment.options if one != choice for op in _names(one)}
    gentle = bool(_LEAVES.search(choice)) or named == {"trace"}
    return tuple(
        op for op in operations if op not in named and (op in others or (gentle and op != "trace"))
    )


def _names(option: str) -> set[str]:
    return {op for op, pattern in _NAMED.items() if re.search(pattern, option, re.I)}


def _or(words: tuple[str, ...]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last
