"""What a part's evidence clears: look only, a mock-up, trial stock, a cut for display.

The rules are numbered in `core.rules` (C1 to C15). It asks about new stock; touching an original is
asked apart, in `originals`. It inspects and releases nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from archive.core.findings import Finding, Reason
from archive.core.rounding import show_mm
from archive.core.verdicts import STEPS, Graded, PartKnown, Standing
from archive.reasoning.decisions import REOPENED, STANDS
from archive.reasoning.docket import (
    CLEARED,
    DONE,
    HOLD,
    Docket,
    configuration_holds,
    question_holds,
    unread_holds,
    unsigned,
)
from archive.reasoning.ground import Ground
from archive.reasoning.originals import know_treatments, survives, touching, treats_only
from archive.reasoning.policy import told
from archive.reasoning.taking import CORROBORATED, rank
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import KEPT_OUT, Part
from archive.records.practice import Practice

NEEDED = ("existence", "shape", "size", "material")
BUILDING = ("build", "build-provisionally", "store-and-copy")


def know_part(ground: Ground, docket: Docket, part: Part) -> PartKnown:
    """What a part's page answers first, and the finding for each step."""
    library, rules = ground.library, ground.practice
    graded = in_force(library, part, docket.claims)
    decisions = docket.decisions_about.get(part.ref, ())
    unread = unread_holds(ground, docket, part, decisions)
    treatments = know_treatments(ground, docket, part)
    original = touching(ground, docket, part, treatments)
    steps = {
        "look": Finding(CLEARED, (Reason("C1", "Anyone may look."),)),
        "mock-up": Finding(CLEARED, (Reason("C1", "A mock-up in card is open at any grade."),)),
        "trial": _verdict(
            unread + _grade_holds(part, graded, NEEDED, rules.trial, "C2"),
            graded,
            policy=told(rules, ("C2",)),
        ),
        "cut": _verdict(
            unread
            + configuration_holds(ground, part)
            + _grade_holds(part, graded, (*NEEDED, *rules.also), rules.cut, "C3")
            + _disputed_holds(graded)
            + _presence_holds(part, graded)
            + _size_holds(library, part, graded, rules.share)
            + _member_holds(part, graded)
            + _decision_holds(library, part, graded, docket.standings, decisions, rules)
            + _mark_holds(library, part, graded, docket.standings, decisions, rules)
            + _metal_holds(ground, docket, part, original)
            + question_holds(library, docket.questions_about.get(part.ref, ())),
            graded,
            _building(library, part, graded, docket.standings, decisions),
            told(rules, ("C2", "C3", "C4", "C5", "C14")),
        ),
        "original": original,
    }
    assert tuple(steps) == STEPS
    sizes = [g for g in graded if g.aspect == "size"]
    size = min(sizes, key=lambda g: (g.held is None, _place(part, g)), default=None)
    lead = size or next(iter(graded), None)
    return PartKnown(
        ref=part.ref,
        lead=lead.ref if lead else "",
        size=size.ref if size else "",
        steps=steps,
        decisions=decisions,
        treatments=treatments,
    )


def in_force(library: Library, part: Part, claims: Mapping[str, Graded]) -> list[Graded]:
    """The claims of a part that hold for the target configuration, without beaten rivals."""
    target = library.aircraft.target if library.aircraft else None
    mine = {
        f"{part.ref}#{claim.id}": claims[f"{part.ref}#{claim.id}"]
        for claim in part.claims
        if claim.configuration in (None, target) and f"{part.ref}#{claim.id}" in claims
    }
    return [
        graded
        for graded in mine.values()
        if not any(ref in mine and _beats(mine[ref], graded) for ref in graded.rivals)
    ]


def _beats(one: Graded, other: Graded) -> bool:
    """Is one claim better than its rival, as the team grades and by the rule book?"""
    books = rank(one.by_book or one.grade), rank(other.by_book or other.grade)
    return rank(one.grade) < rank(other.grade) and books[0] < books[1]


def _verdict(
    holds: Sequence[Reason],
    graded: Sequence[Graded],
    building: Sequence[Reason] = (),
    policy: Sequence[Reason] = (),
) -> Finding:
    """Held with its reasons, or cleared with what it rests on; `policy` is what it changed."""
    if holds:
        return Finding(HOLD, (*holds, *policy))
    rests = [Reason("C2", f"The {g.aspect} is {g.grade}.", (g.ref,)) for g in graded]
    rests += building
    rests += policy
    rests.append(Reason("C1", "For static display only: never approved data for flight."))
    return Finding(CLEARED, tuple(rests))


def _place(part: Part, graded: Graded) -> int:
    return next(i for i, c in enumerate(part.claims) if f"{part.ref}#{c.id}" == graded.ref)


def _grade_holds(
    part: Part, graded: Sequence[Graded], needed: Sequence[str], floor: str, rule: str
) -> list[Reason]:
    if not graded:
        return [Reason(rule, "Nothing is claimed of this part yet.", (part.ref,))]
    holds = []
    for aspect in dict.fromkeys(needed):
        of_aspect = [g for g in graded if g.aspect == aspect]
        if not of_aspect:
            holds.append(Reason(rule, f"Nothing is claimed of its {aspect}.", (part.ref,)))
        for g in of_aspect:
            if rank(g.grade) > rank(floor):
                says = f"The {aspect} is {g.grade}; this step asks for {floor} or better."
                holds.append(Reason(rule, says, (g.ref,)))
            if g.not_settled and rule == "C3":
                holds.append(Reason(rule, f"The {aspect} is not settled.", (g.ref, *g.rivals)))
    return holds


def _size_holds(
    library: Library, part: Part, graded: Sequence[Graded], share: float
) -> list[Reason]:
    """The error of each size takes no more than its share of the tolerance (C4)."""
    holds = []
    claims: dict[str, Claim] = {f"{part.ref}#{c.id}": c for c in part.claims}
    for g in graded:
        if g.aspect != "size":
            continue
        needed = claims[g.ref].tolerance
        if g.held is None or g.held.half95_mm is None:
            holds.append(Reason("C4", "The size has no figure with an error.", (g.ref,)))
        elif needed is None:
            holds.append(Reason("C4", "Nobody has said what tolerance the job needs.", (g.ref,)))
        elif g.held.half95_mm > needed.mm * share:
            units = (library.aircraft.units if library.aircraft else None) or "mm"
            held = show_mm(g.held.value_mm, g.held.half95_mm, units)
            says = f"The size is too loose: held to {held}, and the job needs ± {needed.text}"
            says += "." if share == 1 else f", of which our policy leaves it {share:.0%}."
            holds.append(Reason("C4", says, (g.ref, g.held.taken_from)))
    return holds


def _disputed_holds(graded: Sequence[Graded]) -> list[Reason]:
    """A clash of dates beneath a claim holds the cut until somebody mends it (C15)."""
    hanging: dict[Reason, list[Graded]] = {}
    for g in graded:
        for reason in g.finding.reasons:
            if reason.rule == "T11":
                hanging.setdefault(reason, []).append(g)
    holds = []
    for reason, those in hanging.items():
        aspects = ", ".join(dict.fromkeys(g.aspect for g in those))
        says = f"A photograph that it hangs on ({aspects}) has its day in dispute. {reason.says}"
        says += " Mend one of them, then sign again."
        holds.append(Reason("C15", says, (*(g.ref for g in those), *reason.rests_on)))
    return holds


def _presence_holds(part: Part, graded: Sequence[Graded]) -> list[Reason]:
    """A claim that the thing was not there asks for no metal (C3)."""
    evidence = {f"{part.ref}#{c.id}": c.evidence for c in part.claims}
    return [
        Reason("C3", "The evidence says that the thing was not there.", (g.ref,))
        for g in graded
        if g.aspect == "existence"
        and any(
            (item.cap or g.by_book) and not item.against and evidence[g.ref][item.index].absent
            for item in g.items
        )
    ]


def _member_holds(part: Part, graded: Sequence[Graded]) -> list[Reason]:
    """A claim for some members of a row clears no others (C3)."""
    missing = {member.tag for member in part.members if member.survives is not True}
    claims = {f"{part.ref}#{c.id}": c for c in part.claims}
    holds = []
    for aspect in NEEDED:
        of_aspect = [claims[g.ref] for g in graded if g.aspect == aspect]
        covered: set[str | None] = set()
        for claim in of_aspect:
            covered |= set(claim.applies_to) if claim.applies_to else missing
        left = sorted(tag or "" for tag in missing - covered)
        if of_aspect and left:
            says = f"The {aspect} is claimed of some members only, not of {', '.join(left[:6])}"
            says += " and others." if len(left) > 6 else "."
            refs = tuple(g.ref for g in graded if g.aspect == aspect)
            holds.append(Reason("C3", says, refs))
    return holds


def _decision_holds(
    library: Library,
    part: Part,
    graded: Sequence[Graded],
    standings: Mapping[str, Standing],
    decisions: Sequence[str],
    rules: Practice,
) -> list[Reason]:
    target = library.aircraft.target if library.aircraft else None
    signed = []
    for ref in decisions:
        decision = library.decisions[ref.partition("/")[2]]
        if treats_only(part, decision):
            continue
        state = standings[ref].state
        words = (decision.choice or "").replace("-", " ")
        if state == REOPENED:
            says = f"Its evidence has moved since “{decision.title}” was signed."
            return [Reason("C5", says, (ref,))]
        if decision.choice not in BUILDING:
            return [Reason("C5", f"“{decision.title}” says: {words}.", (ref,))]
        whole = part.ref in decision.about or part.zone in decision.about
        named = set(decision.about) >= {g.ref for g in graded if g.aspect in NEEDED}
        if state == STANDS and decision.configuration in (None, target) and (whole or named):
            wanting = unsigned(
                library, decision, standings[ref].signed_by, rules.signatures, rules.roles
            )
            if wanting:
                return [Reason("C5", wanting, (ref,))]
            signed.append((ref, decision))
    if not signed:
        says = "No signed decision says build for the whole part in the target state."
        return [Reason("C5", says, tuple(decisions))]
    loose = [g for g in graded if g.aspect in NEEDED and rank(g.grade) > rank(CORROBORATED)]
    if loose and not any(d.choice == "build-provisionally" for _, d in signed):
        return list(_wanting(loose, signed[0][0], rules))
    return []


def _wanting(loose: Sequence[Graded], signed: str, rules: Practice) -> Iterator[Reason]:
    """What a decision to build wants for claims that are less than corroborated (C5).

    To build provisionally helps only those that reach the floor for a cut; the others want
    evidence first.
    """
    seen = [g for g in loose if rank(g.grade) <= rank(rules.cut)]
    if seen:
        says = f"Too few witnesses for its {_aspects(seen)}: the decision must say build"
        says += " provisionally."
        yield Reason("C5", says, (*(g.ref for g in seen), signed))
    low = [g for g in loose if g not in seen]
    if low:
        says = f"No decision helps while its {_aspects(low)} is below {rules.cut}: find evidence"
        says += " first, or a ruling with its reason."
        yield Reason("C5", says, (*(g.ref for g in low), signed))


def _aspects(graded: Sequence[Graded]) -> str:
    return ", ".join(dict.fromkeys(g.aspect for g in graded))


def _mark_holds(
    library: Library,
    part: Part,
    graded: Sequence[Graded],
    standings: Mapping[str, Standing],
    decisions: Sequence[str],
    rules: Practice,
) -> list[Reason]:
    """What is built provisionally, on one witness, has its mark planned (C14)."""
    conjectural = is_conjectural(library, graded, standings, decisions)
    if part.mark is not None or not (conjectural or rules.marked_always):
        return []
    why = "It is built provisionally" if conjectural else "New stock"
    says = f"{why}: plan the mark that will tell it from old work, and where."
    return [Reason("C14", says, (part.ref,))]


def _building(
    library: Library,
    part: Part,
    graded: Sequence[Graded],
    standings: Mapping[str, Standing],
    decisions: Sequence[str],
) -> list[Reason]:
    """What a cleared cut rests on besides its claims: what was decided, and the mark."""
    choices: dict[str, list[str]] = {}
    for ref in decisions:
        decision = library.decisions[ref.partition("/")[2]]
        if not treats_only(part, decision):
            choices.setdefault(decision.choice or "", []).append(ref)
    found = [
        Reason("C5", f"A signed decision says {choice.replace('-', ' ')}.", tuple(refs))
        for choice, refs in choices.items()
    ]
    if part.mark is not None:
        conjectural = is_conjectural(library, graded, standings, decisions)
        word = "Conjectural: mark" if conjectural else "Mark"
        says = f"{word} it “{part.mark.what}”, {part.mark.place}."
        found.append(Reason("C14", says, (part.ref,)))
    return found


def is_conjectural(
    library: Library,
    graded: Sequence[Graded],
    standings: Mapping[str, Standing],
    decisions: Sequence[str],
) -> bool:
    """Will what is built rest on one witness, by a decision to build provisionally?"""
    loose = any(g.aspect in NEEDED and rank(g.grade) > rank(CORROBORATED) for g in graded)
    return loose and any(
        library.decisions[ref.partition("/")[2]].choice == "build-provisionally"
        and standings[ref].state == STANDS
        for ref in decisions
    )


def _metal_holds(ground: Ground, docket: Docket, part: Part, original: Finding) -> list[Reason]:
    """New stock is not cut at the cost of an original (C13)."""
    holds = []
    kept_out = part.status in KEPT_OUT and part.shelf
    if (
        survives(part)
        and not part.members
        and not kept_out
        and original.verdict not in (CLEARED, DONE)
    ):
        says = (
            "Original material touched: it survives, and nobody says that it is kept out of the"
            " job. Give it a status and a shelf, or clear its treatment first."
        )
        holds.append(Reason("C13", says, (part.ref,)))
    for ref in docket.hosts.get(part.ref, ()):
        host = ground.library.parts[ref.partition("#")[0].partition("/")[2]]
        found = know_treatments(ground, docket, host).get(ref)
        if found is None or found.verdict not in (CLEARED, DONE):
            says = (
                f"Original material touched: it is let into “{host.title}”, and that treatment is"
                " not cleared."
            )
            holds.append(Reason("C13", says, (ref,)))
    return holds
