"""The grade of a claim: its evidence counted by independent witness, its rivals, and its rulings.

The rules are numbered in `core.rules`; every reason names the one that it follows.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from archive.core.dates import show_bounds
from archive.core.findings import Finding, Reason
from archive.core.verdicts import Graded, Held, ItemTaken, WitnessGroup
from archive.reasoning.canon import state_code
from archive.reasoning.evidence import (
    CONJECTURE,
    CORROBORATED,
    FIGURED,
    NONE,
    SAID,
    SEEN,
    Taking,
    rank,
    take,
)
from archive.reasoning.independence import generation_rank, witness_key
from archive.records.claim import Claim, Ruling
from archive.records.library import Library
from archive.records.part import Part

WORDS_SUFFICE = frozenset({"material", "finish"})
"""Aspects for which two first-hand dated papers corroborate (G6)."""


@dataclass(frozen=True, slots=True)
class Witness:
    """One independent witness among a claim's evidence: its best-generation item."""

    key: str
    taken: ItemTaken
    taking: Taking


def grade_claim(
    library: Library,
    groups: Mapping[str, WitnessGroup],
    group_of: Mapping[str, str],
    part: Part,
    claim: Claim,
    circular: frozenset[str] = frozenset(),
) -> Graded:
    """The grade of one claim by its own evidence and rulings; rivals are set beside it later.

    `circular` holds the REFs of claims that lean on each other in a circle (G18).
    """
    ref = f"{part.ref}#{claim.id}"
    pairs = [take(library, group_of, part, claim, i) for i in range(len(claim.evidence))]
    if ref in circular:
        pairs = [_uncircled(claim, circular, taken, taking) for taken, taking in pairs]
    support = [pair for pair in pairs if not pair[0].against]
    witnesses = _witnesses(library, groups, claim, support)
    grade, reasons = _earned(claim, witnesses, support)
    against = [(t, k) for t, k in pairs if t.against]
    conflict = _conflict(grade, against, reasons)
    items = tuple(taken for taken, _ in pairs)
    state = state_code(ref, claim.aspect or "", grade, items)
    ruled, ruling_reasons = _ruled(grade, claim.graded, state)
    held = _held(claim, witnesses)
    return Graded(
        ref=ref,
        aspect=claim.aspect or "",
        grade=ruled,
        earned=grade,
        not_settled=conflict,
        finding=Finding(ruled, tuple(reasons + ruling_reasons)),
        items=items,
        rivals=(),
        witnesses=len({witness.key for witness in witnesses if witness.taking.cap}),
        state=state,
        held=held,
        told=_told(claim),
    )


def set_beside(graded: Mapping[str, Graded], part: Part) -> dict[str, Graded]:
    """The claims of one part with their rivals told: level rivals are not settled (G21)."""
    rivals: dict[str, set[str]] = {}
    for claim in part.claims:
        if claim.rival_of:
            one, other = f"{part.ref}#{claim.id}", f"{part.ref}#{claim.rival_of}"
            if one in graded and other in graded and one != other:
                rivals.setdefault(one, set()).add(other)
                rivals.setdefault(other, set()).add(one)
    found: dict[str, Graded] = {}
    for ref, others in rivals.items():
        mine = graded[ref]
        reasons = list(mine.finding.reasons)
        not_settled = mine.not_settled
        for other in sorted(others):
            theirs = graded[other]
            step = rank(theirs.grade) - rank(mine.grade)
            word = "is on the same grade" if not step else f"is {theirs.grade}"
            if not step:
                not_settled = True
            reasons.append(Reason("G21", f"A rival claim {word}.", (other,)))
        found[ref] = replace(
            mine,
            rivals=tuple(sorted(others)),
            not_settled=not_settled,
            finding=Finding(mine.grade, tuple(reasons)),
        )
    return found


def agree(one: ItemTaken, other: ItemTaken) -> bool:
    """Do two figures agree: is their difference within their errors, taken together?

    Both half-widths hold 95 times in 100 and are taken as independent: they add in quadrature
    (JCGM 100:2008, 5.1.2). Items without a figure don't disagree.
    """
    if one.value_mm is None or other.value_mm is None:
        return True
    half = math.hypot(one.half95_mm or 0.0, other.half95_mm or 0.0)
    return abs(one.value_mm - other.value_mm) <= half


def _uncircled(
    claim: Claim, circular: frozenset[str], taken: ItemTaken, taking: Taking
) -> tuple[ItemTaken, Taking]:
    item = claim.evidence[taken.index]
    leans = {taken.ref, item.measured, *(trial.record for trial in item.agrees_with)}
    if not leans & circular:
        return taken, taking
    says = "It leans on a claim that leans on this one: a circle."
    return (
        replace(taken, cap=NONE, rule="G18", says=says),
        Taking(NONE, "G18", says),
    )


def _witnesses(
    library: Library,
    groups: Mapping[str, WitnessGroup],
    claim: Claim,
    support: Sequence[tuple[ItemTaken, Taking]],
) -> list[Witness]:
    """The independent witnesses: of each group's items the best generation, then the best read.

    The order is whole (down to the figure), so that the order of lines in a file changes nothing.
    """
    best: dict[str, tuple[tuple[float | bool | str, ...], Witness]] = {}
    for taken, taking in support:
        if not taking.cap:
            continue
        group = groups.get(taken.group)
        key = witness_key(group, claim.aspect or "") if group else taken.ref
        order = (
            generation_rank(library, taken.ref.partition("#")[0]) if group else 0,
            rank(taking.cap),
            not taking.firm,
            not taking.clear,
            math.inf if taken.half95_mm is None else taken.half95_mm,
            taken.ref,
            math.inf if taken.value_mm is None else taken.value_mm,
        )
        if key not in best or order < best[key][0]:
            best[key] = (order, Witness(key, taken, taking))
    return [witness for _, witness in best.values()]


def _earned(
    claim: Claim, witnesses: Sequence[Witness], support: Sequence[tuple[ItemTaken, Taking]]
) -> tuple[str, list[Reason]]:
    """The grade of the evidence alone, and why: what carries the grade is told first."""
    reasons = [
        Reason(taking.rule, taking.says, (taken.ref,) if taken.ref else ())
        for taken, taking in sorted(support, key=lambda pair: rank(pair[1].cap))
    ]
    chosen = {witness.taken.index for witness in witnesses}
    for taken, taking in support:
        if taking.cap and taken.index not in chosen:
            other = next(w for w in witnesses if _same_witness(w, taken))
            says = "It is no second witness: a better or equal copy of the same origin counts."
            if other.key.startswith("sitting:"):
                says = f"It is of one sitting with another item: one witness for {claim.aspect}."
            reasons.append(Reason("G19", says, (taken.ref, other.taken.ref)))
    if not witnesses:
        return CONJECTURE, [Reason("G23", "Nothing in the record speaks for it."), *reasons]
    grade = min((witness.taking.cap for witness in witnesses), key=rank)
    pair = _corroborating(claim, witnesses) if rank(grade) > rank(CORROBORATED) else None
    return (CORROBORATED, [pair, *reasons]) if pair else (grade, reasons)


def _same_witness(witness: Witness, taken: ItemTaken) -> bool:
    return witness.taken.group == taken.group or witness.key.startswith("sitting:")


def _corroborating(claim: Claim, witnesses: Sequence[Witness]) -> Reason | None:
    """The reason that two witnesses corroborate (G5, G6), or None."""
    firm = [w for w in witnesses if w.taking.cap == SEEN and w.taking.firm]
    for i, one in enumerate(firm):
        for other in firm[i + 1 :]:
            if not agree(one.taken, other.taken):
                continue
            images = one.taking.image or other.taking.image
            words = claim.aspect in WORDS_SUFFICE and not images
            clear = one.taking.clear or other.taking.clear
            if words or (images and clear):
                rule = "G6" if words else "G5"
                says = "Two independent witnesses agree"
                if claim.aspect in FIGURED and one.taken.value_mm is not None:
                    says += " within their errors"
                return Reason(rule, f"{says}.", (one.taken.ref, other.taken.ref))
    return None


def _conflict(
    grade: str, against: Sequence[tuple[ItemTaken, Taking]], reasons: list[Reason]
) -> bool:
    """Whether evidence against the claim leaves it open (G21); tells each item either way."""
    conflict = False
    for taken, taking in against:
        if not taking.cap:
            says = f"Put against it, but no evidence: {taking.says}"
            reasons.append(Reason(taking.rule, says, (taken.ref,)))
            continue
        strong = rank(taking.cap) <= rank(grade)
        says = (
            f"Against it, and as strong: {taking.says}"
            if strong
            else f"Against it, but weaker: {taking.says}"
        )
        reasons.append(Reason("G21", says, (taken.ref,)))
        conflict = conflict or strong
    return conflict


def _ruled(earned: str, rulings: Sequence[Ruling], state: str) -> tuple[str, list[Reason]]:
    """The grade once persons have spoken (G22), and what is told of each ruling."""
    reasons: list[Reason] = []
    valid: list[Ruling] = []
    for ruling in rulings:
        if ruling.grade is None:
            continue
        day = show_bounds(ruling.on, ruling.on)
        name = f"{ruling.by} ruled “{ruling.grade}” on {day}: {ruling.because}"
        if ruling.at_state != state:
            why = (
                "the evidence has moved since" if ruling.at_state else "no evidence state is named"
            )
            reasons.append(Reason("G22", f"{name} It has lapsed: {why} (now {state})."))
            continue
        valid.append(ruling)
        reasons.append(Reason("G22", name))
    if not valid:
        return earned, reasons
    grade = max((ruling.grade or CONJECTURE for ruling in valid), key=rank)
    people = {ruling.by for ruling in valid}
    if rank(grade) <= rank(SEEN) < rank(earned) and len(people) < 2:
        reasons.append(Reason("G22", "Nobody alone lifts a claim to seen or better: said."))
        grade = SAID
    if len({ruling.grade for ruling in valid}) > 1:
        reasons.append(Reason("G22", f"Two readings: the lower holds, {grade}."))
    return grade, reasons


def _held(claim: Claim, witnesses: Sequence[Witness]) -> Held | None:
    """The figure that a claim is held to: of the best-graded witnesses the tightest."""
    with_value = [w for w in witnesses if w.taken.value_mm is not None]
    if not with_value:
        return None
    best = min(
        with_value,
        key=lambda w: (
            rank(w.taking.cap),
            w.taken.half95_mm if w.taken.half95_mm is not None else math.inf,
            w.taken.ref,
            w.taken.value_mm,
        ),
    )
    value = best.taken.value_mm
    assert value is not None
    others = len(with_value) - 1
    says = "The only figure." if not others else f"The tightest of {others + 1}; not combined yet."
    return Held(value, best.taken.half95_mm, best.taken.ref, says)


def _told(claim: Claim) -> tuple[str, ...]:
    told = []
    if any(item.measured for item in claim.evidence):
        told.append("It names a measurement; this version of the program can't work it out yet.")
    return tuple(told)
