"""All findings of a content folder, from its records alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import TopologicalSorter
from types import MappingProxyType

from archive.core.dates import Day
from archive.core.verdicts import Findings, Graded, Standing
from archive.reasoning.circles import in_circles
from archive.reasoning.clearance import Docket, know_part
from archive.reasoning.decisions import SUPERSEDED, standings
from archive.reasoning.grades import grade_claim, set_beside
from archive.reasoning.ground import Given, Ground, broken_records
from archive.reasoning.independence import ancestry, group_of, witness_groups
from archive.reasoning.zones import know_zones
from archive.records.claim import Claim
from archive.records.decision import Decision
from archive.records.library import Library
from archive.records.part import Part
from archive.records.question import Question
from archive.records.support import leanings

NOTHING: Mapping[str, str] = MappingProxyType({})


def weigh(
    library: Library,
    as_of: Day | None = None,
    sums: Mapping[str, str] = NOTHING,
    unfit: Mapping[str, str] = NOTHING,
) -> Findings:
    """Everything that the reasoning concludes about a library.

    `as_of` is the day asked about (None: no day is still to come); `sums` the checksum of each
    photograph's file, by photograph id; `unfit` says of photographs, by REF, why their picture
    can't be relied on.
    """
    grades: dict[str, str] = {}
    ground = ground_of(library, Given(as_of, sums, unfit), grades)
    claims = _graded(ground, grades)
    standing = standings(library, claims, as_of)
    docket = docket_of(ground, claims, standing)
    parts = {part.ref: know_part(ground, docket, part) for part in library.parts.values()}
    return Findings(
        groups=ground.groups,
        group_of=ground.group_of,
        claims=claims,
        parts=parts,
        zones=know_zones(library, claims, parts),
        decisions=standing,
        leaning=_leaning(library, claims),
    )


def ground_of(library: Library, given: Given, grades: Mapping[str, str]) -> Ground:
    """The ground that a library's claims are weighed on; `grades` are those found already."""
    groups = witness_groups(library, given.sums)
    return Ground(
        library=library,
        groups=groups,
        group_of=group_of(groups),
        broken=broken_records(library),
        unfit=given.unfit,
        circular=in_circles(library),
        grades=grades,
    )


def docket_of(
    ground: Ground, claims: Mapping[str, Graded], standing: Mapping[str, Standing]
) -> Docket:
    """What clearance looks at besides a part itself."""
    library = ground.library
    alive = [d for d in library.decisions.values() if standing[d.ref].state != SUPERSEDED]
    open_questions = [q for q in library.questions.values() if q.settled is None]
    return Docket(
        claims=claims,
        standings=standing,
        decisions_about=_about(library, alive),
        questions_about=_about(library, open_questions),
        astray=tuple(
            record.ref
            for record in (*alive, *open_questions)
            if record.ref in ground.broken and "about" in ground.broken[record.ref].fields
        ),
    )


def _graded(ground: Ground, grades: dict[str, str]) -> dict[str, Graded]:
    """Every claim graded, those that others lean on first; then rivals are set side by side."""
    found: dict[str, Graded] = {}
    for ref, part, claim in in_order(ground):
        found[ref] = grade_claim(ground, part, claim)
        grades[ref] = found[ref].grade
    claims: dict[str, Graded] = {}
    for part in ground.library.parts.values():
        mine = {f"{part.ref}#{c.id}": found[f"{part.ref}#{c.id}"] for c in part.claims}
        claims.update(mine)
        claims.update(set_beside(mine, part))
    return claims


def in_order(ground: Ground) -> list[tuple[str, Part, Claim]]:
    """Every claim with its part, those that others lean on before these."""
    every = {f"{p.ref}#{c.id}": (f"{p.ref}#{c.id}", p, c) for p, c in ground.library.claims()}
    before: dict[str, set[str]] = {}
    for source, target, *_ in leanings(ground.library):
        if source in every and target in every and source not in ground.circular:
            before.setdefault(source, set()).add(target)
    first = [ref for ref in TopologicalSorter(before).static_order() if ref in every]
    return [every[ref] for ref in dict.fromkeys([*first, *every])]


def _about(library: Library, records: Iterable[Decision | Question]) -> dict[str, tuple[str, ...]]:
    """REF of each part → the records about it, newest first.

    What is about a zone is about its parts.
    """
    of_zone: dict[str, list[str]] = {}
    for part in library.parts.values():
        of_zone.setdefault(part.zone or "", []).append(part.ref)
    found: dict[str, set[tuple[str, str]]] = {}
    for record in records:
        for name in record.about:
            whole = name.partition("#")[0]
            if name.startswith("zones/"):
                parts = of_zone.get(name, [])
            elif name.startswith("parts/"):
                parts = [whole]
            else:
                parts = []
            for part_ref in parts:
                found.setdefault(part_ref, set()).add((str(record.on or ""), record.ref))
    return {
        target: tuple(ref for _, ref in sorted(names, reverse=True))
        for target, names in found.items()
    }


def _leaning(library: Library, claims: Mapping[str, Graded]) -> dict[str, tuple[str, ...]]:
    """REF of each item of evidence, and of all it was made from → the claims that lean on it."""
    found: dict[str, dict[str, None]] = {}
    for ref, graded in claims.items():
        for item in graded.items:
            whole = item.ref.partition("#")[0]
            for name in (item.ref, *ancestry(library, whole)):
                if name:
                    found.setdefault(name, {})[ref] = None
    return {name: tuple(refs) for name, refs in sorted(found.items())}
