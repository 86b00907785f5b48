"""The grade of a claim: its evidence counted by independent witness, its rivals, and its rulings.

The rules are numbered in `core.rules`; every reason names the one that it follows.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from archive.core.dates import show_bounds
from archive.core.findings import Finding, Reason
from archive.core.verdicts import Graded, ItemTaken
from archive.reasoning.canon import state_code
from archive.reasoning.evidence import FIGURED, take
from archive.reasoning.figures import together
from archive.reasoning.ground import Ground
from archive.reasoning.held import agree, clash_of, figure_of, held_of
from archive.reasoning.independence import generation_rank, witness_key
from archive.reasoning.measurements import seen_on
from archive.reasoning.policy import Bearing, Pair, Weight, lend_less, stricter
from archive.reasoning.taking import (
    CONJECTURE,
    CORROBORATED,
    NONE,
    SAID,
    SEEN,
    Taking,
    Witness,
    rank,
)
from archive.records.claim import Claim, Ruling
from archive.records.library import Library
from archive.records.part import Part
from archive.records.practice import BOOK

WORDS_SUFFICE = frozenset({"material", "finish"})
"""Aspects for which two first-hand dated papers corroborate (G6)."""


def grade_claim(ground: Ground, part: Part, claim: Claim) -> Graded:
    """The grade of one claim by its own evidence and rulings; rivals are set beside it later."""
    pairs = [take(ground, part, claim, i) for i in range(len(claim.evidence))]
    return judge(ground, f"{part.ref}#{claim.id}", claim, pairs)


def judge(ground: Ground, ref: str, claim: Claim, pairs: Sequence[Pair]) -> Graded:
    """The grade of a claim whose items have been taken one by one; `ref` is the claim's own."""
    pairs = _two_for_colour(claim, pairs)
    book = _weighed(ground, ref, claim, pairs, BOOK.witnesses)
    ours, policy = book, Bearing()
    practice = ground.practice
    if practice.grades_otherwise:
        pairs, policy = lend_less(practice, pairs, bool(claim.graded))
        if policy.codes:
            ours = stricter(book, _weighed(ground, ref, claim, pairs, practice.witnesses))
    items = tuple(taken for taken, _ in pairs)
    state = state_code(ref, claim, ours.grade, items, ours.held, policy.codes)
    persons = practice.persons
    ruled, told = _ruled(ground, ours.grade, claim.graded, state, persons)
    return Graded(
        ref=ref,
        aspect=claim.aspect or "",
        grade=ruled,
        earned=ours.grade,
        not_settled=ours.not_settled,
        finding=Finding(ruled, (*ours.reasons, *told, *policy.reasons)),
        items=items,
        rivals=(),
        witnesses=ours.witnesses,
        state=state,
        held=ours.held,
        together=ours.together,
        by_book=_ruled(ground, book.grade, claim.graded, state, persons)[0] if policy.codes else "",
    )


def _weighed(ground: Ground, ref: str, claim: Claim, pairs: Sequence[Pair], enough: int) -> Weight:
    """What the items of a claim come to; `enough` independent witnesses corroborate it."""
    support = [pair for pair in pairs if not pair[0].against]
    witnesses = _witnesses(ground, claim, support)
    grade, reasons, carriers = _earned(ground, claim, witnesses, support, enough)
    joined = None
    if claim.aspect in FIGURED:
        joined = together(ground, ref, claim, grade, witnesses, support)
    clash = clash_of(ground, witnesses, grade, pairs, joined)
    against = [pair for pair in pairs if pair[0].against]
    conflict = _conflict(ground, claim, grade, against, reasons)
    disputed = dict.fromkeys(clash for _, taking in pairs for clash in taking.disputed)
    return Weight(
        grade=grade,
        reasons=(*reasons, *([clash] if clash else []), *disputed),
        not_settled=conflict or clash is not None or bool(disputed),
        witnesses=len({witness.key for witness in witnesses}),
        held=held_of(claim, carriers, pairs, joined),
        together=joined,
    )


def _two_for_colour(claim: Claim, pairs: Sequence[Pair]) -> list[Pair]:
    """Tones that change places need two photographs, of two origins, to be seen at all (G14)."""
    turned = [i for i, item in enumerate(claim.evidence) if item.tone_reversal]
    origins = {pairs[i][0].group for i in turned if pairs[i][1].cap}
    if claim.aspect != "finish" or len(origins) > 1:
        return list(pairs)
    says = "Two tones change places between photographs: it takes two, of two origins, to see it."
    return [
        (replace(taken, cap=NONE, rule="G14", says=says), Taking(NONE, "G14", says))
        if taken.index in turned and taking.cap
        else (taken, taking)
        for taken, taking in pairs
    ]


def set_beside(graded: Mapping[str, Graded], part: Part) -> dict[str, Graded]:
    """The claims of one part with their rivals told: level rivals are not settled (G21)."""
    said = {f"{part.ref}#{claim.id}": claim.says or claim.id for claim in part.claims}
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
            # A policy that lowers one of two rivals does not settle between them.
            books = (theirs.by_book or theirs.grade, mine.by_book or mine.grade)
            level = rank(theirs.grade) == rank(mine.grade) or rank(books[0]) == rank(books[1])
            not_settled = not_settled or level
            same = rank(theirs.grade) == rank(mine.grade)
            word = "is on the same grade" if same else f"is {theirs.grade}"
            if level and not same:
                word += ", and on the same grade by the rule book"
            reasons.append(Reason("G21", f"The rival “{said[other]}” {word}.", (other,)))
        found[ref] = replace(
            mine,
            rivals=tuple(sorted(others)),
            not_settled=not_settled,
            finding=Finding(mine.grade, tuple(reasons)),
        )
    return found


def _witnesses(ground: Ground, claim: Claim, support: Sequence[Pair]) -> list[Witness]:
    """The independent witnesses: of each group's items the best generation, then the best read.

    The order is whole (down to the figure), so that the order of lines in a file changes nothing.
    """
    best: dict[str, tuple[tuple[float | bool | str, ...], Witness]] = {}
    for taken, taking in support:
        if not taking.cap:
            continue
        group = ground.groups.get(taken.group)
        key = witness_key(group, claim.aspect or "") if group else _piece(claim, taken)
        order = (
            generation_rank(ground.library, taken.ref.partition("#")[0]) if group else 0,
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


def _piece(claim: Claim, taken: ItemTaken) -> str:
    """The piece of metal that an item is: of a row, the member that was measured."""
    member = claim.evidence[taken.index].member
    return f"{taken.ref} {member}" if member else taken.ref


def _earned(
    ground: Ground,
    claim: Claim,
    witnesses: Sequence[Witness],
    support: Sequence[Pair],
    enough: int,
) -> tuple[str, list[Reason], list[Witness]]:
    """The grade of the evidence alone, why (what carries it first), and the witnesses that do."""
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
        return CONJECTURE, [Reason("G23", "Nothing in the record speaks for it."), *reasons], []
    grade = min((witness.taking.cap for witness in witnesses), key=rank)
    below = rank(grade) > rank(CORROBORATED)
    pair = _corroborating(ground, claim, witnesses, enough) if below else None
    if pair:
        return CORROBORATED, [_agreement(ground.library, claim, *pair), *reasons], list(pair)
    return grade, reasons, [w for w in witnesses if w.taking.cap == grade]


def _same_witness(witness: Witness, taken: ItemTaken) -> bool:
    return witness.taken.group == taken.group or witness.key.startswith("sitting:")


def _corroborating(
    ground: Ground, claim: Claim, witnesses: Sequence[Witness], enough: int
) -> tuple[Witness, Witness] | None:
    """The tightest two witnesses that corroborate (G5, G6), or None.

    Where more than two are asked for (`enough`), each of the others agrees with both.
    """
    firm = [w for w in witnesses if w.taking.cap == SEEN and w.taking.firm and _tells(claim, w)]
    firm.sort(key=lambda w: (w.taken.half95_mm or 0.0, w.taken.ref, w.taken.value_mm or 0.0))
    for i, other in enumerate(firm):
        for one in firm[:i]:
            images = one.taking.image or other.taking.image
            words = claim.aspect in WORDS_SUFFICE and not images
            clear = one.taking.clear or other.taking.clear
            sound = words or (images and clear)
            if not sound or not _two(ground, one, other):
                continue
            beside = (w for w in firm if w is not one and w is not other)
            if enough <= 2 or enough - 2 <= sum(
                _two(ground, one, w) and _two(ground, other, w) for w in beside
            ):
                return one, other
    return None


def _two(ground: Ground, one: Witness, other: Witness) -> bool:
    """Do two witnesses agree, and are they two?"""
    alike = agree(one.taken, other.taken, ground.measured)
    return alike and not _one_picture(ground, one, other)


def _one_picture(ground: Ground, one: Witness, other: Witness) -> bool:
    """Were both figures taken off one photograph, or off prints of one negative (M10)?"""
    seen = []
    for witness in (one, other):
        found = ground.measured.get(witness.taken.measured)
        if found is None:
            return False
        seen.append({ground.group_of.get(photo, photo) for photo in seen_on(found)})
    return bool(seen[0] & seen[1])


def _tells(claim: Claim, witness: Witness) -> bool:
    """Is a figure tight enough to tell? An error wider than the tolerance agrees with anything."""
    half = witness.taken.half95_mm
    if claim.aspect not in FIGURED or half is None or claim.tolerance is None:
        return True
    return half <= float(claim.tolerance.mm)


def _agreement(library: Library, claim: Claim, one: Witness, other: Witness) -> Reason:
    images = one.taking.image or other.taking.image
    says = "Two independent witnesses agree"
    if claim.aspect in FIGURED and one.taken.value_mm is not None:
        figures = " and ".join(figure_of(library, w.taken) for w in (one, other))
        says += f" within their errors: {figures}"
    return Reason("G5" if images else "G6", f"{says}.", (one.taken.ref, other.taken.ref))


def _conflict(
    ground: Ground, claim: Claim, grade: str, against: Sequence[Pair], reasons: list[Reason]
) -> bool:
    """Whether evidence against the claim leaves it open (G21); tells each item either way.

    The other side is counted as this one is: by independent witness, and two that agree
    corroborate.
    """
    witnesses = _witnesses(ground, claim, against)
    strength = min((w.taking.cap for w in witnesses), key=rank, default=NONE)
    pair = _corroborating(ground, claim, witnesses, BOOK.witnesses)
    if rank(strength) > rank(CORROBORATED) and pair:
        strength = CORROBORATED
    strong = bool(strength) and rank(strength) <= rank(grade)
    for taken, taking in against:
        if not taking.cap:
            says = f"Put against it, but no evidence: {taking.says}"
            reasons.append(Reason(taking.rule, says, (taken.ref,)))
            continue
        word = "and as strong" if strong else "but weaker"
        reasons.append(Reason("G21", f"Against it, {word}: {taking.says}", (taken.ref,)))
    return strong


def _ruled(
    ground: Ground, earned: str, rulings: Sequence[Ruling], state: str, persons: int
) -> tuple[str, list[Reason]]:
    """The grade once persons have spoken (G22), and what is told of each ruling."""
    reasons: list[Reason] = []
    valid: list[tuple[str, str]] = []
    for ruling in rulings:
        person = ground.library.person(ruling.by)
        if ruling.grade is None:
            continue
        day = show_bounds(ruling.on, ruling.on)
        name = f"{ruling.by} ruled “{ruling.grade}” on {day}: {ruling.because}"
        why = ""
        if ruling.at_state != state:
            why = "no evidence state is named"
            if ruling.at_state:
                why = "the evidence has moved since"
        elif person is None or ruling.lost:
            why = "nobody of that name is known"
        elif ground.as_of is not None and ruling.on is not None and ruling.on > ground.as_of:
            reasons.append(Reason("G22", f"{name} It doesn't count yet: that day is to come."))
            continue
        if why:
            reasons.append(Reason("G22", f"{name} It has lapsed: {why} (now {state})."))
            continue
        assert person is not None
        valid.append((person.id, ruling.grade))
        reasons.append(Reason("G22", name))
    if not valid:
        return earned, reasons
    grade = max((grade for _, grade in valid), key=rank)
    raised = rank(grade) < rank(earned) and rank(grade) <= rank(SEEN)
    if raised and len({person for person, _ in valid}) < persons:
        grade = earned if rank(earned) <= rank(SEEN) else SAID
        who = "Nobody alone lifts"
        if persons != BOOK.persons:
            who = f"It takes {persons} people to lift"
        says = f"{who} a claim to seen or better: it stays {grade}."
        reasons.append(Reason("G22", says))
    if len({grade for _, grade in valid}) > 1:
        reasons.append(Reason("G22", f"Two readings: the lower holds, {grade}."))
    return grade, reasons
