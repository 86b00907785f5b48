"""Who made what from what, in the terms of PROV: the one account that both its forms are made of.

After the W3C recommendations PROV-DM (2013) and PROV-O. Records are entities, people are agents,
and deciding is an activity. A judgement of this program (a grade, a size) is an attribute of what
it judges, never a relation: PROV tells where a thing came from, not whether it is right.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from archive.audience.view import View
from archive.records.library import Library


@dataclass(frozen=True, slots=True)
class Thing:
    """An entity, activity or agent: its REF, what it is, and plain facts of it."""

    ref: str
    what: str
    facts: dict[str, str | float | int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, order=True)
class Relation:
    """`subject` was `what` of `object`, in PROV's own word, such as `wasDerivedFrom`."""

    what: str
    subject: str
    object: str


@dataclass(frozen=True)
class Account:
    """What a view tells of where everything came from."""

    entities: tuple[Thing, ...]
    activities: tuple[Thing, ...]
    agents: tuple[Thing, ...]
    relations: tuple[Relation, ...]


def account(view: View) -> Account:
    """The account of a view. A relation to what the view doesn't hold is left out."""
    library = view.library
    entities = tuple(_entities(view))
    activities = tuple(
        Thing(f"{decision.ref}#_deciding", "Deciding", {"label": decision.question or ""})
        for decision in library.decisions.values()
    )
    agents = tuple(
        Thing(f"people/{person.id}", "Person", {"label": person.name or person.id})
        for person in library.people.values()
    )
    known = {thing.ref for thing in (*entities, *activities, *agents)}
    relations = sorted({r for r in _relations(library) if r.subject in known and r.object in known})
    return Account(entities, activities, agents, tuple(relations))


def _entities(view: View) -> Iterator[Thing]:
    library, found = view.library, view.findings
    for source in library.sources.values():
        yield Thing(source.ref, "Source", {"label": source.title or source.id})
    for photo in library.photos.values():
        facts: dict[str, str | float | int] = {"label": photo.title or photo.id}
        if photo.id in view.images:
            facts["sha256"] = view.images[photo.id].sha256
        yield Thing(photo.ref, "Photograph", facts)
    for part in library.parts.values():
        yield Thing(part.ref, "Part", {"label": part.title or part.id})
        for claim in part.claims:
            ref = f"{part.ref}#{claim.id}"
            facts = {"label": claim.says or claim.id, "aspect": claim.aspect or ""}
            graded = found.claims.get(ref)
            if graded:
                facts["grade"] = graded.grade
                if graded.held:
                    facts["value_mm"] = graded.held.value_mm
                    if graded.held.half95_mm is not None:
                        facts["half95_mm"] = graded.held.half95_mm
            yield Thing(ref, "Claim", facts)
    for measurement in library.measurements.values():
        facts = {"label": measurement.title or measurement.id}
        measured = found.measurements.get(measurement.ref)
        if measured and measured.value_mm is not None and measured.u_mm is not None:
            facts |= {"value_mm": measured.value_mm, "u_mm": measured.u_mm}
        yield Thing(measurement.ref, "Measurement", facts)
    for survey in library.surveys.values():
        yield Thing(survey.ref, "Survey", {"label": survey.title or survey.id})
    for decision in library.decisions.values():
        facts = {"label": decision.title or decision.id, "choice": decision.choice or ""}
        yield Thing(decision.ref, "Decision", facts)


def _relations(library: Library) -> Iterator[Relation]:
    def whole(ref: str) -> str:
        """Regions of photographs and points of surveys belong to their record."""
        kind = ref.partition("/")[0]
        return ref.partition("#")[0] if kind in ("photos", "surveys", "sources") else ref

    def derived(ref: str, *origins: str | None) -> Iterator[Relation]:
        for origin in origins:
            if origin:
                yield Relation("wasDerivedFrom", ref, whole(origin))

    for record in library.records:
        by = library.person(getattr(record, "by", None))
        if by:
            yield Relation("wasAttributedTo", record.ref, f"people/{by.id}")
    for source in library.sources.values():
        yield from derived(source.ref, *source.derived_from)
    for photo in library.photos.values():
        yield from derived(photo.ref, photo.source)
    for part, claim in library.claims():
        ref = f"{part.ref}#{claim.id}"
        for item in claim.evidence:
            if not item.against:
                yield from derived(
                    ref, item.photo, item.source, item.part, item.survey, item.measured
                )
    for measurement in library.measurements.values():
        known = [reference.known for reference in measurement.references]
        yield from derived(measurement.ref, *measurement.photos, *known, *measurement.points)
    for decision in library.decisions.values():
        deciding = f"{decision.ref}#_deciding"
        yield Relation("wasGeneratedBy", decision.ref, deciding)
        for used in dict.fromkeys(whole(ref) for ref in decision.leans_on):
            yield Relation("used", deciding, used)
        for approval in decision.approvals:
            by = library.person(approval.by)
            if by:
                yield Relation("wasAssociatedWith", deciding, f"people/{by.id}")
        for older in decision.supersedes:
            yield Relation("wasRevisionOf", decision.ref, older)
