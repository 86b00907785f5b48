"""What the team's policy changes in a grade: it may lower it or unsettle it, never the other way.

A claim is weighed by the rule book and by the policy, and the stricter of the two holds. So a rule
that is made stricter can't clear more by a back door, such as a rival that falls behind.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from archive.core.dates import show_bounds
from archive.core.estimated import Together
from archive.core.findings import Reason
from archive.core.verdicts import Held, ItemTaken
from archive.reasoning.taking import CONJECTURE, NONE, Taking, lower, rank
from archive.records.policy import Override
from archive.records.practice import BOOK, Practice

Pair = tuple[ItemTaken, Taking]


@dataclass(frozen=True, slots=True)
class Weight:
    """What the items of a claim come to, before any ruling."""

    grade: str
    reasons: tuple[Reason, ...]
    not_settled: bool
    witnesses: int
    held: Held | None
    together: Together | None


@dataclass(frozen=True, slots=True)
class Bearing:
    """What of a policy bears on a claim: who said it and why, and its code for the state."""

    reasons: tuple[Reason, ...] = ()
    codes: tuple[object, ...] = ()


def lend_less(practice: Practice, pairs: Sequence[Pair], ruled: bool) -> tuple[list[Pair], Bearing]:
    """The items of a claim as the policy lets them lend, and what of it bears on the claim.

    Items against the claim keep all that they lend. `ruled` is whether anybody ruled on the grade.
    """
    lent = [_lent(practice, taken, taking) for taken, taking in pairs]
    met = {
        taking.rule
        for (taken, taking), after in zip(pairs, lent, strict=True)
        if after[0].cap != taken.cap
    }
    codes: list[object] = [[rule, practice.lends[rule]] for rule in sorted(met)]
    if practice.witnesses != BOOK.witnesses and len(pairs) > 1:
        met.add("G5")
        codes.append(["G5", practice.witnesses])
    if practice.persons != BOOK.persons and ruled:
        met.add("G22")
        codes.append(["G22", practice.persons])
    return lent, Bearing(told(practice, sorted(met)), tuple(codes))


def _lent(practice: Practice, taken: ItemTaken, taking: Taking) -> Pair:
    most = practice.lends.get(taking.rule)
    if most is None or taken.against or not taken.cap or rank(taken.cap) >= rank(most):
        return taken, taking
    cap = NONE if most == CONJECTURE else lower(taken.cap, most)
    says = f"{taken.says} Our policy lets it lend {most} at most."
    if not cap:
        says = f"{taken.says} Our policy takes it for no evidence."
    clear = taking.clear and bool(cap)
    return replace(taken, cap=cap, says=says), replace(taking, cap=cap, says=says, clear=clear)


def stricter(book: Weight, ours: Weight) -> Weight:
    """The lower grade, the wider error; settled only where both have it settled."""
    grade = lower(book.grade, ours.grade)
    held, together = ours.held, ours.together
    if ours.held and book.held and _half(book.held) > _half(ours.held):
        held, together = book.held, book.together
    return replace(
        ours,
        grade=grade,
        not_settled=book.not_settled or ours.not_settled,
        held=held,
        together=together,
    )


def _half(held: Held) -> float:
    return math.inf if held.half95_mm is None else held.half95_mm


def told(practice: Practice, rules: Iterable[str]) -> tuple[Reason, ...]:
    """What the policy says of these rules, who said so, when and why: one reason an override."""
    return tuple(
        Reason(rule, sentence(override), aside=True)
        for rule in rules
        for override in practice.applied.get(rule, ())
    )


def sentence(override: Override) -> str:
    """An override as pages tell it."""
    says = (override.says or "").rstrip(".")
    because = (override.because or "").rstrip(".")
    day = show_bounds(override.on, override.on)
    return f"Our policy on {override.rule}: {says}. Because: {because} ({override.by}, {day})."
