"""What a part's evidence clears: look only, a mock-up, trial stock, a cut for display.

The rules are numbered in `core.rules` (C1 to C8). It asks about new stock; touching an
original is asked apart, and this version clears none of it. It inspects and releases nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from archive.core.findings import Finding, Reason
from archive.core.verdicts import STEPS, Graded, PartKnown, Standing
from archive.reasoning.decisions import REOPENED, STANDS
from archive.reasoning.evidence import CORROBORATED, SAID, SEEN, rank
from archive.reasoning.states import CANNOT, fitted_in
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import Part

CLEARED, HOLD, APART = "cleared", "hold", "asked apart"
NEEDED = ("existence", "shape", "size", "material")
BUILDING = ("build", "build-provisionally")


def know_part(
    library: Library,
    claims: Mapping[str, Graded],
    standings: Mapping[str, Standing],
    decisions_about: Mapping[str, tuple[str, ...]],
    questions_about: Mapping[str, tuple[str, ...]],
    part: Part,
) -> PartKnown:
    """What a part's page answers first, and the finding for each step."""
    graded = in_force(library, part, claims)
    decisions = decisions_about.get(part.ref, ())
    steps = {
        "look": Finding(CLEARED, (Reason("C1", "Anyone may look."),)),
        "mock-up": Finding(CLEARED, (Reason("C1", "A mock-up in card is open at any grade."),)),
        "trial": _verdict(_grade_holds(part, graded, SAID, "C2")),
        "cut": _verdict(
            _unread_holds(library, part, decisions)
            + _configuration_hold(library, part)
            + _grade_holds(part, graded, SEEN, "C3")
            + _size_holds(library, part, graded)
            + _decision_holds(library, graded, standings, decisions)
            + _question_holds(library, questions_about.get(part.ref, ()))
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
    found = []
    for claim in part.claims:
        if claim.configuration not in (None, target):
            continue
        graded = claims.get(f"{part.ref}#{claim.id}")
        if graded is None:
            continue
        beaten = any(
            ref in claims and rank(claims[ref].grade) < rank(graded.grade) for ref in graded.rivals
        )
        if not beaten:
            found.append(graded)
    return found


def _verdict(holds: Sequence[Reason]) -> Finding:
    return Finding(HOLD if holds else CLEARED, tuple(holds))


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
            says = (
                f"The size is too loose: held to ± {g.held.half95_mm:.3g} mm, and the job needs "
                f"± {needed.mm:.3g} mm."
            )
            holds.append(Reason("C4", says, (g.ref, g.held.taken_from)))
    return holds


def _decision_holds(
    library: Library,
    graded: Sequence[Graded],
    standings: Mapping[str, Standing],
    decisions: Sequence[str],
) -> list[Reason]:
    signed = []
    for ref in decisions:
        decision = library.decisions[ref.partition("/")[2]]
        state = standings[ref].state
        if state == REOPENED:
            says = f"Its evidence has moved since “{decision.title}” was signed."
            return [Reason("C5", says, (ref,))]
        if state != STANDS:
            continue
        if decision.choice not in BUILDING:
            words = (decision.choice or "").replace("-", " ")
            return [Reason("C5", f"“{decision.title}” says: {words}.", (ref,))]
        signed.append((ref, decision))
    if not signed:
        return [Reason("C5", "No signed decision says build.", tuple(decisions))]
    loose = [g.ref for g in graded if g.aspect in NEEDED and rank(g.grade) > rank(CORROBORATED)]
    if loose and not any(d.choice == "build-provisionally" for _, d in signed):
        says = "It rests on one witness in part: the decision must say build provisionally."
        return [Reason("C5", says, (*loose, signed[0][0]))]
    return []


def _configuration_hold(library: Library, part: Part) -> list[Reason]:
    target = library.aircraft.target if library.aircraft else None
    if target and fitted_in(library, part, target) == CANNOT:
        says = f"It was not on the aircraft in “{library.title(target)}”."
        return [Reason("C6", says, (part.ref,))]
    return []


def _unread_holds(library: Library, part: Part, decisions: Sequence[str]) -> list[Reason]:
    holds = []
    if part.lost or any(claim.lost for claim in part.claims):
        holds.append(Reason("C9", "Lines of this part's own file can't be read.", (part.ref,)))
    for ref in decisions:
        decision = library.decisions[ref.partition("/")[2]]
        if decision.lost or any(approval.lost for approval in decision.approvals):
            says = f"Lines of “{decision.title}” can't be read."
            holds.append(Reason("C9", says, (ref,)))
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
