"""What stays public of the verdicts: the grade, the value with its error, the days, one sentence.

No argument is carried over, only what was concluded: a sentence of the reasoning may name what is
withheld, and a count of witnesses would number it. What the public reads in their place is made
anew from the evidence that may be shown.
"""

from __future__ import annotations

from collections.abc import Iterable

from archive.audience.trimmed import May
from archive.core.findings import Finding, Reason
from archive.core.verdicts import (
    Dated,
    Findings,
    Graded,
    Held,
    ItemTaken,
    PartKnown,
    Spell,
    Standing,
    WitnessGroup,
    ZoneKnown,
)
from archive.records.library import Library

WITHHELD_EVIDENCE = "It also rests on evidence that may not be shown here."
"""All that the public is told of what is withheld."""


def public_findings(findings: Findings, shown: Library, may: May) -> Findings:
    """The findings about what is in `shown`, the public's library."""
    groups = dict(_groups(findings, may))
    claims = {
        ref: graded_for_all(findings, graded, may)
        for ref, graded in findings.claims.items()
        if shown.get(ref) is not None
    }
    leaning: dict[str, list[str]] = {}
    for ref, graded in claims.items():
        for item in graded.items:
            leaning.setdefault(item.ref.partition("#")[0], []).append(ref)
    return Findings(
        groups=groups,
        group_of={member: group.id for group in groups.values() for member in group.members},
        claims=claims,
        parts={ref: _part(part, claims, may) for ref, part in findings.parts.items() if may(ref)},
        zones={number: _zone(zone, may) for number, zone in findings.zones.items()},
        decisions={ref: _standing(one, may) for ref, one in findings.decisions.items() if may(ref)},
        measurements={},
        leaning={ref: tuple(dict.fromkeys(found)) for ref, found in sorted(leaning.items())},
        dates={ref: _dated(one, may) for ref, one in findings.dates.items() if may(ref)},
        spells={
            ref: Spell(ref, _dated(spell.begins, may), _dated(spell.ends, may))
            for ref, spell in findings.spells.items()
        },
        clashes=(),
    )


def leans_on_withheld(findings: Findings, graded: Graded, may: May) -> bool:
    """Whether anything that counts for or against a claim may not be shown."""
    counted = [item for item in graded.items if item.cap or item.against]
    refs = [item.ref for item in counted]
    held = graded.held
    if held is not None and held.taken_from:
        refs.append(held.taken_from)
    measured = [item.measured for item in counted] + [held.measured if held else ""]
    for name in filter(None, measured):
        found = findings.measurements.get(name)
        refs += found.finding.rests_on if found else ()
    return not all(may(ref) for ref in refs if ref.partition("/")[0] != "measurements")


def graded_for_all(findings: Findings, graded: Graded, may: May) -> Graded:
    """A claim's grade and size with the evidence that may be shown, numbered anew."""
    leans = leans_on_withheld(findings, graded, may)
    shown = [item for item in graded.items if may(item.ref)]
    held = graded.held
    return Graded(
        ref=graded.ref,
        aspect=graded.aspect,
        grade=graded.grade,
        earned=graded.grade,
        not_settled=graded.not_settled,
        finding=Finding(graded.grade, _sentence(leans)),
        items=tuple(_item(item, place) for place, item in enumerate(shown)),
        rivals=tuple(filter(may, graded.rivals)),
        witnesses=0,
        state="",
        held=Held(held.value_mm, held.half95_mm, "", "") if held else None,
    )


def _item(item: ItemTaken, place: int) -> ItemTaken:
    return ItemTaken(place, item.ref, "", item.cap, "", "", item.against)


def _sentence(leans: bool) -> tuple[Reason, ...]:
    return (Reason("", WITHHELD_EVIDENCE),) if leans else ()


def _groups(findings: Findings, may: May) -> Iterable[tuple[str, WitnessGroup]]:
    """Groups of two or more items that may be shown; what they have in common isn't told."""
    for group in findings.groups.values():
        members = tuple(filter(may, group.members))
        if len(members) > 1:
            first = members[0]
            yield first, WitnessGroup(first, members, (first,), first, "", Finding("one witness"))


def _part(part: PartKnown, claims: dict[str, Graded], may: May) -> PartKnown:
    return PartKnown(
        part.ref,
        part.lead if part.lead in claims else "",
        part.size if part.size in claims else "",
        {},
        tuple(filter(may, part.decisions)),
    )


def _zone(zone: ZoneKnown, may: May) -> ZoneKnown:
    parts = tuple(filter(may, zone.parts))
    return ZoneKnown(zone.zone, zone.grade, parts, 0, 0, Finding(zone.finding.verdict))


def _standing(standing: Standing, may: May) -> Standing:
    later = standing.superseded_by
    return Standing(
        standing.ref,
        standing.state,
        later if later and may(later) else "",
        "",
        Finding(standing.finding.verdict),
    )


def _dated(dated: Dated, may: May) -> Dated:
    def bound(finding: Finding, day: object) -> Finding:
        return Finding(str(day or ""), _sentence(not all(map(may, finding.rests_on))))

    return Dated(
        dated.ref,
        dated.earliest,
        dated.latest,
        bound(dated.earliest_finding, dated.earliest),
        bound(dated.latest_finding, dated.latest),
        {state: Finding(found.verdict) for state, found in dated.states.items()},
    )
