"""Treatments that were carried out: in an order that can be, and signed for beforehand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from archive.core.problems import Problem
from archive.records.check_names import at, nearest
from archive.records.decision import Decision
from archive.records.library import Library
from archive.records.part import Done, Part, Treatment
from archive.records.practice import practice


def built_on(library: Library) -> Iterator[Problem]:
    """A treatment builds on others of its part, and none on itself by a way round."""
    for part in library.parts.values():
        every = {one.id: one for one in part.treatments}
        for treatment in part.treatments:
            for other in treatment.after:
                where = at(part, treatment, "after")
                if other not in every and "treatments" not in part.lost:
                    says = f"There is no treatment {other} of this part."
                    yield Problem(where, "treatment-after", says, nearest(other, every))
            if treatment.id in _beneath(every, treatment):
                says = f"{treatment.id} is to come after itself."
                hint = "Take one of the names after which it comes out."
                yield Problem(at(part, treatment, "after"), "treatment-after", says, hint)


def _beneath(every: dict[str, Treatment], treatment: Treatment) -> set[str]:
    """The names of all that a treatment builds on, however far down."""
    found: set[str] = set()
    todo = list(treatment.after)
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            todo += every[name].after if name in every else ()
    return found


def days(library: Library) -> Iterator[Problem]:
    """A treatment is carried out after the original was recorded, after it was proposed and begun,
    and after those that it builds on.
    """
    for part, treatment, done in _carried_out(library):
        begun = _begun(done)
        before: list[tuple[date | None, str]] = [
            (part.as_found.on if part.as_found else None, "the part was recorded as found"),
            (treatment.proposed.on if treatment.proposed else None, "it was proposed"),
        ]
        for one in part.treatments:
            if one.id in treatment.after:
                where = at(part, done, "on")
                if one.done is None:
                    says = f"{treatment.id} is said to be carried out, and it builds on {one.id},"
                    says += " which isn't."
                    hint = f"Record that {one.id} was carried out, or take it out of after."
                    yield Problem(where, "treatment-days", says, hint)
                else:
                    before.append((one.done.on, f"{one.id} was carried out"))
        for day, what in before:
            if day is not None and begun is not None and begun < day:
                says = f"{treatment.id} was begun on {begun}, before {what} on {day}."
                hint = "Correct one of the days."
                yield Problem(at(part, done, "began"), "treatment-days", says, hint)
        if done.began is not None and done.on is not None and done.on < done.began:
            says = f"{treatment.id} was done on {done.on}, and begun on {done.began}."
            yield Problem(at(part, done, "on"), "treatment-days", says, "Correct one of the days.")


def signed_for(library: Library) -> Iterator[Problem]:
    """What was done to an original bore the signatures that it asks for before it was begun."""
    rules = practice(library.policy)
    naming: dict[str, list[Decision]] = {}
    for decision in library.decisions.values():
        for ref in {*decision.about, *decision.leans_on}:
            naming.setdefault(ref, []).append(decision)
    for part, treatment, done in _carried_out(library):
        begun = _begun(done)
        if begun is None:
            continue
        most = max(
            (_signed(library, one, begun) for one in naming.get(f"{part.ref}#{treatment.id}", ())),
            key=lambda who: (len(who), "owner" in who.values()),
            default={},
        )
        outside = "lender" if part.loan is not None else "owner"
        if len(most) < rules.touching:
            says = f"{treatment.id} was carried out on {len(most)} of {rules.touching} signatures."
        elif part.loan is None and "owner" not in most.values():
            says = f"{treatment.id} was carried out, and the {outside} had not signed for it."
        else:
            continue
        hint = (
            "Name the decision that allowed it, with the letter; where there was none, that is"
            " what the record must go on saying."
        )
        yield Problem(at(part, done), "treatment-unsigned", says, hint)


def _signed(library: Library, decision: Decision, by: date) -> dict[str, str]:
    """Who had signed a decision by that day → their role in people.yaml."""
    found = {}
    for approval in decision.approvals:
        person = library.person(approval.by)
        if person is not None and approval.on is not None and approval.on <= by:
            found[person.id] = (person.role or "").lower()
    return found


def _begun(done: Done) -> date | None:
    found: date | None = done.began or done.on
    return found


def _carried_out(library: Library) -> Iterator[tuple[Part, Treatment, Done]]:
    for part in library.parts.values():
        for treatment in part.treatments:
            if treatment.done is not None:
                yield part, treatment, treatment.done
