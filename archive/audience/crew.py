"""What the crew may see: everything but sealed records, which leave no trace in its pages."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Any, TypeVar

from archive.audience.cards import card_without, cards_of
from archive.audience.estimates import (
    KEPT,
    estimated_without,
    held_without,
    together_without,
)
from archive.audience.foreseen import foreseen_without
from archive.audience.trimmed import unlinked
from archive.audience.view import View
from archive.core.findings import Finding, Reason
from archive.core.foresight import NOTHING, Foreseen
from archive.core.images import ImageFacts
from archive.core.permissions import Rights
from archive.core.problems import Problem
from archive.core.rectified import Rectified
from archive.core.verdicts import (
    Clash,
    Dated,
    Findings,
    Graded,
    ItemTaken,
    Measured,
    Spell,
    WitnessGroup,
)
from archive.reasoning.rights import rights_of
from archive.records.claim import Evidence
from archive.records.library import Library
from archive.records.spec import Node, Record, fields_of

AnyNode = TypeVar("AnyNode", bound=Node)


def crew_view(
    library: Library,
    findings: Findings,
    problems: tuple[Problem, ...],
    images: Mapping[str, ImageFacts],
    as_of: date,
    foreseen: Foreseen = NOTHING,
    rectified: Mapping[str, Rectified] = MappingProxyType({}),
) -> View:
    """The crew's view on a day. Grades are those of the whole record: they don't change with the
    reader; only the reasons that rest on a sealed record say no more than that.
    """
    sealed = frozenset(record.ref for record in library.records if is_sealed(record))
    sealed |= cards_of(library, sealed)
    rights = rights_of(library, as_of)
    if sealed:
        paths = {record.path for record in library.records if record.ref in sealed}
        library = _library_without(library, sealed)
        findings = _findings_without(findings, sealed)
        problems = tuple(problem for problem in problems if problem.where.path not in paths)
        images = {id_: facts for id_, facts in images.items() if f"photos/{id_}" not in sealed}
        foreseen = foreseen_without(foreseen, sealed)
        rectified = {
            ref: plane
            for ref, plane in rectified.items()
            if not any(_names(name, sealed) for name in (ref, *plane.rests_on))
            and findings.measurements[ref].errors  # else it leans on what is sealed farther off
        }
        rights = {ref: _rights_without(r, sealed) for ref, r in rights.items() if ref not in sealed}
    return View(
        "crew",
        as_of,
        library,
        findings,
        problems,
        images,
        foreseen,
        rights,
        rectified=rectified,
    )


def is_sealed(record: Record) -> bool:
    """Is the record kept from all but the record's own keepers?"""
    return getattr(record, "sealed", None) is True


def without(node: AnyNode, sealed: frozenset[str]) -> AnyNode:
    """A record or group with every reference to a sealed record left out, and what it quotes."""
    changes: dict[str, Any] = {}
    if isinstance(node, Evidence) and any(
        _names(ref, sealed) for ref in (node.photo, node.source, node.part, node.survey) if ref
    ):
        changes |= {"quote": None, "note": None}
    if isinstance(node, Record):
        changes["prose"] = unlinked(node.prose, lambda ref: not _names(ref, sealed))
        changes["translations"] = {
            language: dataclasses.replace(
                one, prose=unlinked(one.prose, lambda ref: not _names(ref, sealed))
            )
            for language, one in node.translations.items()
        }
    for name, spec in fields_of(type(node)).items():
        value = getattr(node, name)
        if not value:
            continue
        if spec.type == "ref":
            if spec.many:
                changes[name] = tuple(ref for ref in value if not _names(ref, sealed))
            elif _names(value, sealed):
                changes[name] = None
        elif spec.type == "node":
            if spec.many:
                changes[name] = tuple(without(inner, sealed) for inner in value)
            else:
                changes[name] = without(value, sealed)
    return dataclasses.replace(node, **changes) if changes else node


def _names(ref: str, sealed: frozenset[str]) -> bool:
    return ref.partition("#")[0] in sealed


def _library_without(library: Library, sealed: frozenset[str]) -> Library:
    changes: dict[str, Any] = {}
    for field in dataclasses.fields(library):
        value = getattr(library, field.name)
        if isinstance(value, Record):
            changes[field.name] = without(value, sealed)
        elif isinstance(value, Mapping):
            changes[field.name] = {
                id_: without(record, sealed)
                for id_, record in value.items()
                if record.ref not in sealed
            }
    return dataclasses.replace(library, **changes)


def _findings_without(findings: Findings, sealed: frozenset[str]) -> Findings:
    def shown(ref: str) -> bool:
        return not _names(ref, sealed)

    groups = {
        group.id: group
        for found in findings.groups.values()
        if (group := _group_without(found, sealed)) is not None
    }
    return Findings(
        groups=groups,
        group_of={member: group.id for group in groups.values() for member in group.members},
        claims={r: _graded_without(g, sealed) for r, g in findings.claims.items() if shown(r)},
        parts={
            ref: dataclasses.replace(
                part,
                steps={s: _finding_without(f, sealed) for s, f in part.steps.items()},
                decisions=tuple(filter(shown, part.decisions)),
                treatments={r: _finding_without(f, sealed) for r, f in part.treatments.items()},
            )
            for ref, part in findings.parts.items()
            if shown(ref)
        },
        zones={
            number: dataclasses.replace(zone, parts=tuple(filter(shown, zone.parts)))
            for number, zone in findings.zones.items()
        },
        decisions={
            ref: dataclasses.replace(
                standing,
                superseded_by=standing.superseded_by if shown(standing.superseded_by) else "",
                finding=_finding_without(standing.finding, sealed),
            )
            for ref, standing in findings.decisions.items()
            if shown(ref)
        },
        measurements={
            ref: _measured_without(measured, sealed)
            for ref, measured in findings.measurements.items()
            if shown(ref)
        },
        leaning={
            ref: tuple(filter(shown, claims))
            for ref, claims in findings.leaning.items()
            if shown(ref)
        },
        dates={ref: _dated_without(d, sealed) for ref, d in findings.dates.items() if shown(ref)},
        spells={
            ref: Spell(
                ref, _dated_without(spell.begins, sealed), _dated_without(spell.ends, sealed)
            )
            for ref, spell in findings.spells.items()
        },
        clashes=tuple(_clash_without(clash, sealed) for clash in findings.clashes),
        estimates={
            ref: estimated_without(found, findings.claims[ref], sealed)
            for ref, found in findings.estimates.items()
            if shown(ref)
        },
        related=tuple(
            dataclasses.replace(
                pair,
                finding=_finding_without(pair.finding, sealed),
                best=pair.best if shown(pair.best) else "",
            )
            for pair in findings.related
            if shown(pair.one) and shown(pair.other)
        ),
        cards={r: card_without(c, sealed) for r, c in findings.cards.items() if shown(r)},
    )


def _rights_without(rights: Rights, sealed: frozenset[str]) -> Rights:
    uses = tuple(
        dataclasses.replace(use, finding=_finding_without(use.finding, sealed))
        for use in rights.uses
    )
    return dataclasses.replace(rights, uses=uses)


def _group_without(group: WitnessGroup, sealed: frozenset[str]) -> WitnessGroup | None:
    members = tuple(m for m in group.members if m not in sealed)
    if not members:
        return None
    roots = tuple(r for r in group.roots if r not in sealed) or members[:1]
    return dataclasses.replace(
        group,
        id=group.id if group.id not in sealed else roots[0],
        members=members,
        roots=roots,
        best=group.best if group.best not in sealed else members[0],
        finding=_finding_without(group.finding, sealed),
        once=group.once if group.once not in sealed else "",
        beside=tuple(
            reason
            for reason in group.beside
            if not any(_names(ref, sealed) for ref in reason.rests_on)
        ),
    )


def _finding_without(finding: Finding, sealed: frozenset[str]) -> Finding:
    return Finding(finding.verdict, tuple(_reason_without(r, sealed) for r in finding.reasons))


def _reason_without(reason: Reason, sealed: frozenset[str]) -> Reason:
    if not any(_names(ref, sealed) for ref in reason.rests_on):
        return reason
    return Reason(reason.rule, KEPT, tuple(r for r in reason.rests_on if not _names(r, sealed)))


def _measured_without(measured: Measured, sealed: frozenset[str]) -> Measured:
    """A measurement that leans on a sealed record keeps its figure, but no term's name."""
    named = {ref for label, _ in measured.errors for ref in label.split("|")}
    if not any(_names(ref, sealed) for ref in (*named, *measured.finding.rests_on)):
        return measured
    return dataclasses.replace(
        measured,
        budget=(),
        dominates="",
        would_halve="",
        refused=KEPT if measured.refused else None,
        way_out="",
        finding=Finding(measured.finding.verdict, (Reason("M5", KEPT),)),
        errors=(),
        laid_over=(),
        fitted=(),
        structure=(),
        agreements=(),
    )


def _dated_without(dated: Dated, sealed: frozenset[str]) -> Dated:
    return dataclasses.replace(
        dated,
        earliest_finding=_finding_without(dated.earliest_finding, sealed),
        latest_finding=_finding_without(dated.latest_finding, sealed),
        states={state: _finding_without(found, sealed) for state, found in dated.states.items()},
        told=tuple(_reason_without(reason, sealed) for reason in dated.told),
    )


def _clash_without(clash: Clash, sealed: frozenset[str]) -> Clash:
    if not any(_names(ref, sealed) for ref in clash.refs):
        return clash
    return dataclasses.replace(
        clash,
        finding=_finding_without(clash.finding, sealed),
        check="the records that are kept from this site",
        refs=tuple(ref for ref in clash.refs if not _names(ref, sealed)),
    )


def _graded_without(graded: Graded, sealed: frozenset[str]) -> Graded:
    return dataclasses.replace(
        graded,
        finding=_finding_without(graded.finding, sealed),
        items=tuple(_item_without(item, sealed) for item in graded.items),
        rivals=tuple(ref for ref in graded.rivals if not _names(ref, sealed)),
        held=held_without(graded.held, sealed) if graded.held else None,
        together=together_without(graded.together, graded, sealed),
    )


def _item_without(item: ItemTaken, sealed: frozenset[str]) -> ItemTaken:
    if not _names(item.ref, sealed) and not _names(item.group, sealed):
        return item
    if not _names(item.ref, sealed):
        return dataclasses.replace(item, group="")
    return dataclasses.replace(
        item, ref="", group="", says=KEPT, value_mm=None, half95_mm=None, measured=""
    )
