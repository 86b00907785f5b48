"""What a part's evidence clears: look only, a mock-up, trial stock, a cut for display.

The rules are numbered in `core.rules` (C1 to C8). It asks about new stock; touching an
original is asked apart, and this version clears none of it. It inspects and releases nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from archive.core.findings import Finding, Reason
from archive.core.rounding import show_mm
from archive.core.verdicts import STEPS, Graded, PartKnown, Standing
from archive.reasoning.decisions import REOPENED, STANDS
from archive.reasoning.ground import Ground
from archive.reasoning.independence import ancestry
from archive.reasoning.metal import assemblies
from archive.reasoning.states import MUST, fitted_in
from archive.reasoning.taking import CORROBORATED, SAID, SEEN, rank
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import Part

CLEARED, HOLD, APART = "cleared", "hold", "asked apart"
NEEDED = ("existence", "shape", "size", "material")
BUILDING = ("build", "build-provisionally")


@dataclass(frozen=True)
class Docket:
    """What clearance looks at besides the part: claims, decisions and questions by part.

    `astray` are the decisions and questions that can't be read where they say what they are about.
    """

    claims: Mapping[str, Graded]
    standings: Mapping[str, Standing]
    decisions_about: Mapping[str, tuple[str, ...]]
    questions_about: Mapping[str, tuple[str, ...]]
    astray: tuple[str, ...]


def know_part(ground: Ground, docket: Docket, part: Part) -> PartKnown:
    """What a part's page answers first, and the finding for each step."""
    library = ground.library
    graded = in_force(library, part, docket.claims)
    decisions = docket.decisions_about.get(part.ref, ())
    unread = _unread_holds(ground, docket, part, decisions)
    steps = {
        "look": Finding(CLEARED, (Reason("C1", "Anyone may look."),)),
        "mock-up": Finding(CLEARED, (Reason("C1", "A mock-up in card is open at any grade."),)),
        "trial": _verdict(unread + _grade_holds(part, graded, SAID, "C2"), graded),
        "cut": _verdict(
            unread
            + _configuration_hold(ground, part)
            + _grade_holds(part, graded, SEEN, "C3")
            + _presence_holds(part, graded)
            + _size_holds(library, part, graded)
            + _member_holds(part, graded)
            + _decision_holds(library, part, graded, docket.standings, decisions)
            + _question_holds(library, docket.questions_about.get(part.ref, ())),
            graded,
            decisions,
        ),
        "original": Finding(APART, tuple(_original(part))),
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
        if not any(
            ref in mine and rank(mine[ref].grade) < rank(graded.grade) for ref in graded.rivals
        )
    ]


def _verdict(
    holds: Sequence[Reason], graded: Sequence[Graded], decisions: Sequence[str] = ()
) -> Finding:
    """Held with its reasons, or cleared with what it rests on."""
    if holds:
        return Finding(HOLD, tuple(holds))
    rests = [Reason("C2", f"The {g.aspect} is {g.grade}.", (g.ref,)) for g in graded]
    if decisions:
        rests.append(Reason("C5", "Signed decisions say build.", tuple(decisions)))
    rests.append(Reason("C1", "For static display only: never approved data for flight."))
    return Finding(CLEARED, tuple(rests))


def _place(part: Part, graded: Graded) -> int:
    return next(i for i, c in enumerate(part.claims) if f"{part.ref}#{c.id}" == graded.ref)


def _grade_holds(part: Part, graded: Sequence[Graded], floor: str, rule: str) -> list[Reason]:
    if not graded:
        return [Reason(rule, "Nothing is claimed of this part yet.", (part.ref,))]
    holds = []
    for aspect in NEEDED:
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


def _size_holds(library: Library, part: Part, graded: Sequence[Graded]) -> list[Reason]:
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
        elif g.held.half95_mm > needed.mm:
            units = (library.aircraft.units if library.aircraft else None) or "mm"
            held = show_mm(g.held.value_mm, g.held.half95_mm, units)
            says = f"The size is too loose: held to {held}, and the job needs ± {needed.text}."
            holds.append(Reason("C4", says, (g.ref, g.held.taken_from)))
    return holds


def _presence_holds(part: Part, graded: Sequence[Graded]) -> list[Reason]:
    """A claim that the thing was not there asks for no metal (C3)."""
    claims = {f"{part.ref}#{c.id}": c for c in part.claims}
    return [
        Reason("C3", "The evidence says that the thing was not there.", (g.ref,))
        for g in graded
        if g.aspect == "existence"
        and any(
            item.cap and not item.against and claims[g.ref].evidence[item.index].absent
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
) -> list[Reason]:
    target = library.aircraft.target if library.aircraft else None
    signed = []
    for ref in decisions:
        decision = library.decisions[ref.partition("/")[2]]
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
            signed.append((ref, decision))
    if not signed:
        says = "No signed decision says build for the whole part in the target state."
        return [Reason("C5", says, tuple(decisions))]
    loose = [g for g in graded if g.aspect in NEEDED and rank(g.grade) > rank(CORROBORATED)]
    if loose and not any(d.choice == "build-provisionally" for _, d in signed):
        aspects = ", ".join(dict.fromkeys(g.aspect for g in loose))
        says = f"One witness only for its {aspects}: the decision must say build provisionally."
        return [Reason("C5", says, (*(g.ref for g in loose), signed[0][0]))]
    return []


def _configuration_hold(ground: Ground, part: Part) -> list[Reason]:
    library = ground.library
    target = library.aircraft.target if library.aircraft else None
    if target is None:
        return [Reason("C6", "No target configuration is declared.")]
    answers = {
        fitted_in(library, ground.times.tightened, one, target) for one in assemblies(library, part)
    }
    if answers == {MUST}:
        return []
    word = "was not" if "cannot" in answers else "may not have been"
    says = f"It {word} on the aircraft in “{library.title(target)}”."
    return [Reason("C6", says, (part.ref,))]


def _unread_holds(
    ground: Ground, docket: Docket, part: Part, decisions: Sequence[str]
) -> list[Reason]:
    """What can't be read holds the work until it is mended (C9)."""
    named = [part.ref, *decisions, "aircraft/aircraft"]
    for claim in part.claims:
        for item in claim.evidence:
            ref = item.photo or item.source or item.part or item.survey
            if ref:
                named += ancestry(ground.library, ref.partition("#")[0])
    holds = [
        Reason("C9", f"Mend this first: in {ref} {ground.broken[ref].says}.", (ref,))
        for ref in dict.fromkeys(named)
        if ref in ground.broken
    ]
    holds += [
        Reason("C9", f"Mend this first: nobody can tell what {ref} is about.", (ref,))
        for ref in docket.astray
    ]
    return holds


def _question_holds(library: Library, questions: Sequence[str]) -> list[Reason]:
    return [Reason("C8", f"An open question: {library.title(ref)}", (ref,)) for ref in questions]


def _original(part: Part) -> list[Reason]:
    if part.survives in (None, "no"):
        return [Reason("C7", "Nothing of it survives: there is no original to touch.", (part.ref,))]
    says = "This version does not clear work on an original; what the record has and lacks:"
    reasons = [Reason("C7", says, (part.ref,))]
    if part.as_found is None:
        reasons.append(Reason("C7", "No as-found record. Record it before you touch it."))
    if not part.treatments:
        reasons.append(Reason("C7", "No treatment with its options is recorded."))
    for treatment in part.treatments:
        if treatment.removes and treatment.removes.what:
            says = f"{treatment.choice or treatment.id}: takes off {treatment.removes.what}"
            reasons.append(Reason("C7", f"{says}, kept at {treatment.removes.kept_at}."))
    for hazard in part.hazards:
        reasons.append(Reason("C7", f"Hazard: {hazard.replace('-', ' ')}."))
    return reasons
