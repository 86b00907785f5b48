"""What anybody may see: listed fields of what may go on the web on a day, and nothing beside.

Grades are those of the whole record; they don't change with the reader. What is withheld leaves no
page, name, number or order; a verdict that leans on it keeps its grade, its value and its days, and
says one fixed sentence.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from archive.audience.crew import is_sealed
from archive.audience.public_findings import WITHHELD_EVIDENCE, public_findings
from archive.audience.repeated import repeated
from archive.audience.trimmed import May, trimmed
from archive.audience.view import PictureTerms, View
from archive.core.findings import Finding
from archive.core.images import ImageFacts
from archive.core.originality import Originality
from archive.core.permissions import Permission, Rights
from archive.core.problems import Problem
from archive.core.verdicts import Findings, Graded
from archive.reasoning.rights import permission
from archive.records.citation import render as cited
from archive.records.claim import Claim
from archive.records.decision import Decision
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import Photo
from archive.records.question import Question
from archive.records.source import Rights as Terms
from archive.records.source import Source
from archive.records.spec import Record, fields_of

USE = "web"
"""The use that a public site is: it is seen everywhere, and made again and again."""


def public_view(
    library: Library,
    findings: Findings,
    images: Mapping[str, ImageFacts],
    as_of: date,
    originality: Mapping[str, Originality] = MappingProxyType({}),
) -> View:
    """The public's view on a day. `images` are the facts of all pictures, by photograph id."""
    allowed = permitted(library, images, as_of)
    hidden = withheld(library, allowed)

    def may(ref: str) -> bool:
        kind, _, id_ = ref.partition("#")[0].partition("/")
        if kind == "people":
            person = library.person(id_)
            return person is not None and person.publish is True
        return f"{kind}/{id_}" not in hidden and library.get(ref) is not None

    shown = _library(library, findings, allowed, may)
    return View(
        "public",
        as_of,
        shown,
        public_findings(findings, shown, may),
        (),
        {id_: facts for id_, facts in images.items() if id_ in shown.photos},
        rights={ref: Rights(ref, (_bare(found),)) for ref, found in allowed.items() if may(ref)},
        terms={
            photo.id: _terms(library.photos[photo.id], shown, allowed[photo.ref])
            for photo in shown.photos.values()
        },
        originality={
            ref: dataclasses.replace(one, finding=Finding(one.finding.verdict))
            for ref, one in originality.items()
            if may(ref)
        },
    )


def public_problems(library: Library, view: View, problems: Iterable[Problem]) -> list[Problem]:
    """What a public site is refused for: rights that contradict themselves, words of withheld
    records in what the public reads, labels that go beyond their grade.

    `problems` are all those of the content, `view` is the public's.
    """
    public = {record.ref for record in view.library.records}
    paths = {
        path
        for record in library.records
        if record.ref in public
        for path in (record.path, *(one.path for one in record.translations.values()))
    }
    found = [
        problem
        for problem in problems
        if problem.code == "rights-contradict"
        or (problem.code == "label-overclaims" and problem.where.path in paths)
    ]
    return sorted({*found, *repeated(library, view.library)})


def permitted(
    library: Library, images: Mapping[str, ImageFacts], as_of: date
) -> dict[str, Permission]:
    """REF → the permission of each source and photograph that may go on the web.

    A picture file that is withheld under one name is withheld under every other. A picture with a
    place to be covered must be allowed to be altered.
    """
    every = [*library.sources.values(), *library.photos.values()]
    answers = {item.ref: permission(library, item.ref, USE, as_of) for item in every}
    for photo in library.photos.values():
        covered = any(region.withheld is not False for region in _marked(photo))
        if covered and not answers[photo.ref].overprint:
            del answers[photo.ref]
    allowed = {ref: found for ref, found in answers.items() if found.permitted}
    barred = {facts.sha256 for id_, facts in images.items() if f"photos/{id_}" not in allowed}
    return {
        ref: found
        for ref, found in allowed.items()
        if not (ref.startswith("photos/") and _sum(images, ref) in barred)
    }


def withheld(library: Library, allowed: Mapping[str, Permission]) -> frozenset[str]:
    """REFs of the whole records that the public gets nothing of."""
    hidden = {
        record.ref
        for record in library.records
        if is_sealed(record)
        or _unclear(record)
        or (record.kind in ("sources", "photos") and record.ref not in allowed)
        or record.kind == "measurements"
    }
    # A question that names what is withheld tells of it in its own words; so does its answer.
    hidden |= {
        question.ref
        for question in library.questions.values()
        if any(_outside(ref, hidden) for ref in _asked_of(question))
    }
    return frozenset(hidden)


def _asked_of(question: Question) -> tuple[str, ...]:
    settled = question.settled
    return (*question.about, *(settled.evidence if settled else ()))


def _unclear(record: Record) -> bool:
    """Whether a word that couldn't be read may have been meant to seal the record."""
    known = fields_of(type(record))
    return any(name == "sealed" or name not in known for name in record.lost)


def _outside(ref: str, hidden: set[str]) -> bool:
    whole = ref.partition("#")[0]
    return whole in hidden and not whole.startswith("measurements/")


def _marked(photo: Photo) -> list[Any]:
    return [region for region in photo.regions if region.withheld is not None]


def _sum(images: Mapping[str, ImageFacts], ref: str) -> str:
    facts = images.get(ref.partition("/")[2])
    return facts.sha256 if facts else ""


def _library(
    library: Library, findings: Findings, allowed: Mapping[str, Permission], may: May
) -> Library:
    changes: dict[str, Any] = {"policy": None, "measurements": {}, "cards": {}}
    for field in dataclasses.fields(library):
        value = getattr(library, field.name)
        if field.name in changes:
            continue
        if isinstance(value, Record):
            changes[field.name] = trimmed(_ready(value, findings, allowed, may), may)
        elif isinstance(value, Mapping):
            changes[field.name] = {
                id_: trimmed(_ready(record, findings, allowed, may), may)
                for id_, record in value.items()
                if may(record.ref)
            }
    people = library.people_file
    if people is not None:
        named = tuple(one for one in people.people if one.publish is True)
        changes["people_file"] = trimmed(dataclasses.replace(people, people=named), may)
    return dataclasses.replace(library, **changes)


def _ready(
    record: Record, findings: Findings, allowed: Mapping[str, Permission], may: May
) -> Record:
    """A record before it is trimmed: without the items, regions and reasons that may not go."""
    if isinstance(record, Part):
        claims = tuple(
            _claim(claim, findings.claims.get(f"{record.ref}#{claim.id}"), may)
            for claim in record.claims
        )
        return dataclasses.replace(record, claims=claims)
    if isinstance(record, Source):
        found = allowed[record.ref]
        told = Terms(credit=found.credit or None, statement=found.statement or None)
        return dataclasses.replace(record, rights=told)
    if isinstance(record, Photo):
        drawn = allowed[record.ref].overprint
        regions = tuple(one for one in record.regions if drawn and one.withheld is None)
        ruled = tuple(
            dataclasses.replace(one, part=one.ruled.part if one.ruled else one.part)
            for one in regions
        )
        return dataclasses.replace(record, regions=ruled)
    if isinstance(record, Decision):
        return _decision(record, may)
    return record


def _decision(decision: Decision, may: May) -> Decision:
    """A decision with the reason that the public is told: what was written for it, else the reason
    itself, else one sentence; in the other languages as well."""
    kept = any(_against(decision, may))
    said = "told" if decision.told else "" if kept else "because"
    return dataclasses.replace(
        decision,
        because=getattr(decision, said) if said else WITHHELD_EVIDENCE,
        translations={
            language: dataclasses.replace(
                one,
                texts={
                    **{name: text for name, text in one.texts.items() if name != "because"},
                    **({"because": one.texts[said]} if said in one.texts else {}),
                },
            )
            for language, one in decision.translations.items()
        },
    )


def _claim(claim: Claim, graded: Graded | None, may: May) -> Claim:
    """A claim with the items of evidence that may be shown, in the order of the findings."""
    items = graded.items if graded else ()
    shown = [claim.evidence[i.index] for i in items if may(i.ref) and i.index < len(claim.evidence)]
    return dataclasses.replace(claim, evidence=tuple(shown))


def _against(decision: Decision, may: May) -> Iterator[str]:
    """What a decision leans on that may not be shown."""
    refs = [*decision.leans_on]
    for option in decision.options:
        refs += [*option.evidence, *option.against]
    for ref in refs:
        if not ref.startswith("measurements/") and not may(ref):
            yield ref


def _bare(found: Permission) -> Permission:
    """What the public is told of a permission: the credit, the statement, what it may not alter."""
    return Permission(
        found.ref,
        found.use,
        dataclasses.replace(found.finding, reasons=()),
        found.credit,
        found.crop,
        found.overprint,
        statement=found.statement,
    )


def _terms(photo: Photo, shown: Library, found: Permission) -> PictureTerms:
    source = shown.sources.get((photo.source or "").partition("/")[2])
    citation = source.citation if source else None
    return PictureTerms(
        flat=tuple(
            tuple((float(x), float(y)) for x, y in region.outline)
            for region in _marked(photo)
            if region.withheld is True and region.outline
        ),
        credit=found.credit,
        statement=found.statement,
        source=cited(citation) if citation else "",
    )
