"""How well each zone is known: the grade that half of its claims reach or pass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from archive.core.findings import Finding, Reason
from archive.core.verdicts import Graded, PartKnown, ZoneKnown
from archive.reasoning.clearance import in_force
from archive.reasoning.docket import HOLD
from archive.reasoning.taking import rank
from archive.records.library import Library
from archive.records.part import Part


def know_zones(
    library: Library, claims: Mapping[str, Graded], parts: Mapping[str, PartKnown]
) -> dict[str, ZoneKnown]:
    """Every declared zone with its grade, its parts, and how many of them are held from cutting."""
    of_zone: dict[str, list[Part]] = {number: [] for number in library.zones}
    for part in library.parts.values():
        number = part.zone.partition("/")[2] if part.zone else ""
        if number in of_zone:
            of_zone[number].append(part)
    return {
        number: _know(library, claims, parts, number, members)
        for number, members in of_zone.items()
    }


def _know(
    library: Library,
    claims: Mapping[str, Graded],
    parts: Mapping[str, PartKnown],
    number: str,
    members: Sequence[Part],
) -> ZoneKnown:
    grades = sorted(
        (graded.grade for part in members for graded in in_force(library, part, claims)), key=rank
    )
    grade = grades[(len(grades) - 1) // 2] if grades else ""
    reach = sum(1 for g in grades if rank(g) <= rank(grade)) if grade else 0
    says = (
        f"{reach} of {len(grades)} claims are {grade} or better."
        if grade
        else "Nothing is claimed of this zone yet."
    )
    return ZoneKnown(
        zone=number,
        grade=grade,
        parts=tuple(part.ref for part in members),
        claims=len(grades),
        held=sum(1 for part in members if parts[part.ref].steps["cut"].verdict == HOLD),
        finding=Finding(grade or "no claims", (Reason("Z1", says, (f"zones/{number}",)),)),
    )
