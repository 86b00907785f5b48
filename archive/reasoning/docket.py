"""What both questions of clearance look at besides a part, and the holds that both share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from archive.core.findings import Reason
from archive.core.verdicts import Graded, Standing
from archive.reasoning.ground import Ground
from archive.reasoning.independence import ancestry
from archive.reasoning.metal import assemblies
from archive.reasoning.states import MUST, fitted_in
from archive.records.decision import Decision
from archive.records.library import Library
from archive.records.part import Part

CLEARED, HOLD, NO_ORIGINAL, DONE = "cleared", "hold", "no original", "done"


@dataclass(frozen=True)
class Docket:
    """What clearance looks at besides the part: claims, decisions and questions by part.

    `astray` are the decisions and questions that can't be read where they say what they are about.
    `hosts` gives, for a new part that a treatment brings, the REFs of those treatments.
    """

    claims: Mapping[str, Graded]
    standings: Mapping[str, Standing]
    decisions_about: Mapping[str, tuple[str, ...]]
    questions_about: Mapping[str, tuple[str, ...]]
    astray: tuple[str, ...]
    hosts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def hosts_of(library: Library) -> dict[str, tuple[str, ...]]:
    """REF of each new part → the treatments of originals that it is brought by, by REF."""
    found: dict[str, list[str]] = {}
    for part in library.parts.values():
        for treatment in part.treatments:
            for new in treatment.adds:
                found.setdefault(new, []).append(f"{part.ref}#{treatment.id}")
    return {new: tuple(sorted(refs)) for new, refs in found.items()}


def configuration_holds(ground: Ground, part: Part) -> list[Reason]:
    """The part must have been on the aircraft in the target configuration (C6)."""
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


def unread_holds(
    ground: Ground, docket: Docket, part: Part, decisions: Sequence[str], more: Iterable[str] = ()
) -> list[Reason]:
    """What can't be read holds the work until it is mended (C9); `more` are further REFs."""
    named = [part.ref, *decisions, "aircraft/aircraft", "policy/policy"]
    for claim in part.claims:
        for item in claim.evidence:
            ref = item.photo or item.source or item.part or item.survey
            if ref:
                named += ancestry(ground.library, ref.partition("#")[0])
    named += more
    holds = [
        Reason("C9", f"Mend this first: in {_place(ref)} {ground.broken[ref].says}.", (ref,))
        for ref in dict.fromkeys(named)
        if ref in ground.broken
    ]
    holds += [
        Reason("C9", f"Mend this first: nobody can tell what {ref} is about.", (ref,))
        for ref in docket.astray
    ]
    return holds


def _place(ref: str) -> str:
    """Where a person finds a record: by its REF, or by the name of a file that is alone."""
    kind, _, id_ = ref.partition("/")
    return f"{id_}.yaml" if kind == id_ else ref


def unsigned(
    library: Library,
    decision: Decision,
    signed_by: Iterable[str],
    number: int,
    roles: Iterable[str],
) -> str:
    """Which signature a decision still wants, a sentence; "" where it wants none.

    It takes `number` people, and one of each of the `roles` as people.yaml has them.
    """
    people = {person.id: person for who in signed_by if (person := library.person(who))}
    if len(people) < number:
        return (
            f"Approval missing: “{decision.title}” bears {len(people)} of {number} signatures"
            " on today's evidence."
        )
    there = {(person.role or "").lower() for person in people.values()}
    missing = [role for role in roles if role not in there]
    if missing:
        return f"Approval missing: “{decision.title}” is not signed by the {missing[0]}."
    return ""


def question_holds(library: Library, questions: Sequence[str]) -> list[Reason]:
    """An open question about the part holds the work (C8)."""
    return [Reason("C8", f"An open question: {library.title(ref)}", (ref,)) for ref in questions]
