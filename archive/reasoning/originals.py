"""May an original be touched: as found, a treatment, two signatures, every hazard answered.

The rules are numbered in `core.rules` (C6 to C12). Whatever can't be read, or isn't said, holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from archive.core.dates import show_bounds
from archive.core.findings import Finding, Reason
from archive.reasoning.chosen import unfitting
from archive.reasoning.decisions import REOPENED
from archive.reasoning.docket import (
    CLEARED,
    DONE,
    HOLD,
    NO_ORIGINAL,
    Docket,
    configuration_holds,
    question_holds,
    unread_holds,
    unsigned,
)
from archive.reasoning.ground import Ground
from archive.reasoning.policy import told
from archive.records.decision import Approval, Decision
from archive.records.library import Library
from archive.records.part import LICENSED, Answer, Done, Part, Treatment
from archive.records.person import Person
from archive.records.policy import needs_letter
from archive.records.practice import BOOK

REFITTING = ("refit", "refit-repaired")
FOREIGN = {"not-ours": "It is not ours", "quarantine": "It is in quarantine"}


def survives(part: Part) -> bool:
    """Is there original material of this part that could be touched?"""
    if part.origin == "ours":
        return False
    return part.survives in ("whole", "fragment") or any(m.survives for m in part.members)


def know_treatments(ground: Ground, docket: Docket, part: Part) -> dict[str, Finding]:
    """REF of each treatment of a part → whether its original may be touched by it."""
    if not part.treatments or not survives(part):
        return {}
    common = _part_holds(ground, docket, part)
    found = {}
    for treatment in part.treatments:
        ref = f"{part.ref}#{treatment.id}"
        if done := _done(ground, treatment):
            found[ref] = Finding(DONE, (_carried_out(part, treatment, done),))
            continue
        holds = [*common, *_treatment_holds(ground, docket, part, treatment)]
        policy = told(ground.practice, ("C10", "C11"))
        if holds:
            found[ref] = Finding(HOLD, (*holds, *policy))
        else:
            found[ref] = _cleared(ground, docket, part, treatment, policy)
    return found


def touching(ground: Ground, docket: Docket, part: Part, treatments: dict[str, Finding]) -> Finding:
    """The step of touching an original: cleared where every treatment that is meant is."""
    if not survives(part):
        says = "Nothing of it survives: there is no original to touch."
        return Finding(NO_ORIGINAL, (Reason("C7", says, (part.ref,)),))
    meant = {ref: treatments[ref] for ref in meant_by(part, treatments)}
    if len(meant) == 1:
        return next(iter(meant.values()))
    done = [found for found in treatments.values() if found.verdict == DONE]
    if not meant and done:
        return Finding(DONE, tuple(reason for found in done for reason in found.reasons))
    common = _part_holds(ground, docket, part)
    if not meant:
        says = (
            "No treatment names what is to be done."
            if part.treatments
            else "No treatment is recorded: options, choice, what it takes off."
        )
        hazards = _hazard_holds(ground, part, ())
        return Finding(HOLD, (*common, Reason("C10", says, (part.ref,)), *hazards))
    held = {ref: found for ref, found in meant.items() if found.verdict == HOLD}
    told = [
        Reason(reason.rule, f"{ref.partition('#')[2]}: {reason.says}", reason.rests_on)
        for ref, found in (held or meant).items()
        for reason in found.reasons
        if reason not in common
    ]
    return Finding(HOLD if held else CLEARED, (*common, *told))


def meant_by(part: Part, treatments: Mapping[str, Finding]) -> tuple[str, ...]:
    """The treatments of a part that are still to do something, by REF; one may be chosen to do
    nothing. `treatments` are the findings of each, by REF.
    """
    every = {f"{part.ref}#{one.id}": one for one in part.treatments}
    return tuple(
        ref for ref, found in treatments.items() if every[ref].operations and found.verdict != DONE
    )


def treats_only(part: Part, decision: Decision) -> bool:
    """Is a decision about nothing of this part but treatments of its original?"""
    refs = {f"{part.ref}#{one.id}" for one in part.treatments}
    about = [name for name in decision.about if name.partition("#")[0] == part.ref]
    return bool(about) and refs.issuperset(about) and part.zone not in decision.about


def _done(ground: Ground, treatment: Treatment) -> Done | None:
    """That a treatment was carried out; None where it wasn't by the day that is asked about."""
    done = treatment.done
    if done is None or done.on is None or ground.as_of is None:
        return done
    return None if done.on > ground.as_of else done


def _carried_out(part: Part, treatment: Treatment, done: Done) -> Reason:
    day = show_bounds(done.on, done.on) if done.on else "no day that is known"
    says = (
        f"{treatment.id} was carried out, {day}, by {done.by or 'nobody that is known'};"
        " further work needs a treatment of its own."
    )
    return Reason("C10", says, (f"{part.ref}#{treatment.id}",))


def _cleared(
    ground: Ground, docket: Docket, part: Part, treatment: Treatment, policy: Iterable[Reason]
) -> Finding:
    ref = f"{part.ref}#{treatment.id}"
    work = ", ".join(treatment.operations)
    takes = "It takes nothing off."
    if treatment.removes:
        takes = f"It takes off: {treatment.removes.what}. Kept at {treatment.removes.kept_at}."
    undone = "It can be undone." if treatment.reversible else "It can't be undone."
    photos = part.as_found.photos if part.as_found else ()
    signed = tuple(decision.ref for decision in _naming(ground.library, docket, part, ref))
    reasons = [
        Reason("C7", "It was recorded as found.", photos),
        Reason("C10", f"Cleared for this alone: {work}. {takes} {undone}", (ref,)),
        Reason("C11", "The owner and another person signed it on the evidence of today.", signed),
    ]
    reasons += [
        Reason("C12", f"Against {_words(answer.hazard)}: {answer.says}.", (part.ref,))
        for answer in treatment.hazards
    ]
    reasons += policy
    reasons.append(Reason("C1", "For static display only: never approved data for flight."))
    return Finding(CLEARED, tuple(reasons))


def _part_holds(ground: Ground, docket: Docket, part: Part) -> list[Reason]:
    """What holds all work on an original, whatever the treatment."""
    decisions = docket.decisions_about.get(part.ref, ())
    found = part.as_found
    more = [ref.partition("#")[0] for ref in (found.photos if found else ())]
    holds = unread_holds(ground, docket, part, decisions, (*more, "people/people"))
    if part.status in FOREIGN:
        holds.append(Reason("C13", f"{FOREIGN[part.status]}: leave it alone.", (part.ref,)))
    holds += _as_found_holds(ground, part)
    if not part.hazards:
        says = "Nobody has said whether it holds a hazard; where none was found, say so."
        holds.append(Reason("C12", says, (part.ref,)))
    elif "none-found" in part.hazards and len(part.hazards) > 1:
        says = "It is flagged with a hazard and with none found: say which."
        holds.append(Reason("C12", says, (part.ref,)))
    return holds + question_holds(ground.library, docket.questions_about.get(part.ref, ()))


def _as_found_holds(ground: Ground, part: Part) -> list[Reason]:
    found = part.as_found
    if found is None:
        return [
            Reason("C7", "As-found record missing: record it before you touch it.", (part.ref,))
        ]
    holds = []
    if ground.library.person(found.by) is None or found.on is None:
        holds.append("Nobody that is known, or no day, stands under its as-found record.")
    if not (found.condition or "").strip():
        holds.append("Its as-found record says nothing of its condition.")
    pictures = [ref.partition("#")[0] for ref in found.photos]
    taken = [ground.library.photos.get(ref.partition("/")[2]) for ref in pictures]
    if not any(photo is not None and photo.shows_what == "as-found" for photo in taken):
        holds.append("There is no photograph of it as found.")
    elif all(ref in ground.unfit for ref in pictures):
        holds.append("No photograph of it as found can be looked at.")
    return [Reason("C7", says, (part.ref,)) for says in holds]


def _treatment_holds(
    ground: Ground, docket: Docket, part: Part, treatment: Treatment
) -> Iterator[Reason]:
    ref = f"{part.ref}#{treatment.id}"
    for says in (*_gaps(treatment, ground.practice.options), *unfitting(part, treatment)):
        yield Reason("C10", says, (ref,))
    others = {one.id: one for one in part.treatments}
    for name in treatment.after:
        if name not in others or _done(ground, others[name]) is None:
            says = f"It builds on {name}, which isn't carried out yet."
            yield Reason("C10", says, (ref, f"{part.ref}#{name}") if name in others else (ref,))
    if "refit" in treatment.operations:
        yield from configuration_holds(ground, part)
    if part.loan is not None and part.loan.may_copy is not True and "trace" in treatment.operations:
        yield Reason("C11", "It is lent, and nobody says that it may be copied.", (ref,))
    yield from _hazard_holds(ground, part, treatment.hazards)
    yield from _signature_holds(ground, docket, part, treatment)


def _gaps(treatment: Treatment, fewest: int) -> Iterator[str]:
    if not treatment.operations:
        yield "It names no operation: nothing is to be done by it."
    if len(set(treatment.options)) < fewest:
        yield f"Fewer than {'two' if fewest == BOOK.options else fewest} options were weighed."
    if treatment.choice is None:
        yield "No option is chosen."
    elif treatment.choice not in treatment.options:
        yield f"“{treatment.choice}” is none of the options weighed."
    if treatment.removes is not None and treatment.takes_nothing:
        yield "It takes something off, and it takes nothing off: say which."
    elif treatment.removes is None and not treatment.takes_nothing:
        yield "Nobody says what it takes off; where nothing, say so."
    elif treatment.removes and not (treatment.removes.kept_at or "").strip():
        yield "Nobody says where what it takes off is kept."
    if treatment.reversible is None:
        yield "Nobody says whether it can be undone."
    if treatment.proposed is None:
        yield "Nobody stands under it as the one who proposed it."


def _hazard_holds(ground: Ground, part: Part, said: Iterable[Answer]) -> Iterator[Reason]:
    answers = {answer.hazard: answer for answer in said}
    for hazard in dict.fromkeys(part.hazards):
        if hazard == "none-found":
            continue
        answer = answers.get(hazard)
        if answer is None or ground.library.person(answer.by) is None or answer.on is None:
            says = f"Hazard flagged: {_words(hazard)}. Nobody has answered for it."
            yield Reason("C12", says, (part.ref,))
        elif hazard in LICENSED and not (answer.licensed or "").strip():
            says = f"Hazard flagged: {_words(hazard)}. Licensed people must deal with it: say who."
            yield Reason("C12", says, (part.ref,))


def _signature_holds(
    ground: Ground, docket: Docket, part: Part, treatment: Treatment
) -> Iterator[Reason]:
    """Why no decision about this treatment counts; nothing where one does."""
    library, ref = ground.library, f"{part.ref}#{treatment.id}"
    mine = _naming(library, docket, part, ref)
    if not mine:
        yield Reason("C11", "Decision missing: none that stands names this treatment.", (ref,))
    for decision in mine:
        yield from _decision_holds(ground, docket, part, treatment, decision)
    stale = (n for n in docket.decisions_about.get(part.ref, ()) if _stale(docket, n))
    for name in stale:
        title = library.decisions[name.partition("/")[2]].title
        says = f"Decision stale: its evidence has moved since “{title}” was signed."
        yield Reason("C11", says, (name,))


def _stale(docket: Docket, decision: str) -> bool:
    return docket.standings[decision].state == REOPENED


def _naming(library: Library, docket: Docket, part: Part, ref: str) -> list[Decision]:
    """The decisions that stand and name a treatment, newest first."""
    about = docket.decisions_about.get(part.ref, ())
    decisions = [library.decisions[name.partition("/")[2]] for name in about]
    return [one for one in decisions if ref in (*one.about, *one.leans_on)]


def _decision_holds(
    ground: Ground, docket: Docket, part: Part, treatment: Treatment, decision: Decision
) -> Iterator[Reason]:
    library, standing = ground.library, docket.standings[decision.ref]
    target = library.aircraft.target if library.aircraft else None
    if standing.state == REOPENED:
        return
    if decision.configuration not in (None, target):
        yield Reason("C11", f"“{decision.title}” is for another state.", (decision.ref,))
    if decision.choice not in REFITTING and set(treatment.operations) - {"trace"}:
        words = (decision.choice or "").replace("-", " ")
        says = f"“{decision.title}” says: {words}. That allows no more than tracing."
        yield Reason("C11", says, (decision.ref,))
    counted = [one for one in decision.approvals if one.by in standing.signed_by]
    if not any(_is_owners(ground, part, one) for one in counted):
        whose = "lender" if part.loan is not None else "owner"
        says = (
            f"Approval missing: the {whose} has not signed “{decision.title}” on today's evidence"
        )
        yield Reason("C11", f"{says}, by letter.", (decision.ref,))
    for reason in standing.finding.reasons:
        if reason.rule == "D4" and reason.rests_on:
            yield Reason("C11", f"A signature doesn't count. {reason.says}", reason.rests_on)
    rules = ground.practice
    wanting = unsigned(library, decision, standing.signed_by, rules.touching, rules.touching_roles)
    if wanting:
        yield Reason("C11", wanting, (decision.ref,))
    found = part.as_found
    if found is not None and found.on is not None:
        early = [one for one in counted if one.on is not None and one.on < found.on]
        if early:
            says = "It was agreed to before it was recorded as found."
            yield Reason("C7", says, (decision.ref, part.ref))


def _is_owners(ground: Ground, part: Part, approval: Approval) -> bool:
    """Is this the signature of the owner (of a loan, the lender), with its letter where needed?"""
    person: Person | None = ground.library.person(approval.by)
    if person is None:
        return False
    if part.loan is not None:
        lender = ground.library.person(part.loan.lender)
        if lender is None or lender.id != person.id:
            return False
    elif (person.role or "").lower() != "owner":
        return False
    wanted = needs_letter(ground.library.policy, approval.role) or needs_letter(
        ground.library.policy, person.role
    )
    there = approval.letter is not None and ground.library.get(approval.letter) is not None
    return there or not wanted


def _words(hazard: str | None) -> str:
    return (hazard or "").replace("-", " ")
