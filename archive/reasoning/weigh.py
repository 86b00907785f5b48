"""All findings of a content folder, from its records alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from graphlib import TopologicalSorter
from types import MappingProxyType

from archive.core.dates import Day
from archive.core.likeness import Likeness
from archive.core.verdicts import Findings, Graded, Measured, PartKnown, Standing
from archive.reasoning.alike import related
from archive.reasoning.cards import card_standings
from archive.reasoning.chronology import chronology
from archive.reasoning.circles import in_circles
from archive.reasoning.clearance import know_part
from archive.reasoning.decisions import SUPERSEDED, standings
from archive.reasoning.docket import Docket, hosts_of
from archive.reasoning.estimates import estimates
from archive.reasoning.grades import grade_claim, set_beside
from archive.reasoning.ground import Given, Ground, Size, broken_records
from archive.reasoning.independence import ancestry, group_of, witness_groups
from archive.reasoning.measurements import DRAWS, measure
from archive.reasoning.memo import Anew
from archive.reasoning.picked import Asked
from archive.reasoning.repeats import repeats
from archive.reasoning.times import Times
from archive.reasoning.zones import know_zones
from archive.records.decision import Decision
from archive.records.library import Library
from archive.records.practice import practice
from archive.records.question import Question
from archive.records.support import leanings

NOTHING: Mapping[str, str] = MappingProxyType({})
NO_SIZES: Mapping[str, Size] = MappingProxyType({})


def weigh(
    library: Library,
    as_of: Day | None = None,
    sums: Mapping[str, str] = NOTHING,
    unfit: Mapping[str, str] = NOTHING,
    sizes: Mapping[str, Size] = NO_SIZES,
    simulate: frozenset[str] = frozenset(),
    times: Times | None = None,
    alike: tuple[Likeness, ...] = (),
    memo: Anew | None = None,
) -> Findings:
    """Everything that the reasoning concludes about a library.

    `as_of` is the day asked about (None: no day is still to come); `sums` the checksum of each
    photograph's file, by photograph id; `unfit` says of photographs, by REF, why their picture
    can't be relied on; `sizes` is width and height in pixels of those that are there. The
    measurements in `simulate`, by REF, are drawn anew many times as well. `times` is the
    chronology, where that has been worked out already; `alike` the answers about pictures that are
    related; `memo` what was found before.
    """
    memo = memo or Anew(library)
    times = times or chronology(library, sums, alike, memo)
    grades = memo.growing("grades", (f"{part.ref}#{claim.id}" for part, claim in library.claims()))
    measured = memo.growing("measured", (m.ref for m in library.measurements.values()))
    given = Given(as_of, sums, unfit, sizes, alike)
    ground = ground_of(library, given, grades, measured, times, memo)
    watched = memo.watch("ground", ground)
    claims = _graded(memo, ground, watched, given, grades, measured, simulate)
    standing = standings(library, claims, as_of)
    looked_at = memo.watch("docket", docket_of(ground, claims, standing))
    parts = _known(memo, library, watched, looked_at)
    return Findings(
        groups=ground.groups,
        group_of=ground.group_of,
        claims=claims,
        parts=parts,
        zones=know_zones(library, claims, parts),
        decisions=standing,
        measurements={m.ref: measured[m.ref] for m in library.measurements.values()},
        leaning=_leaning(library, claims),
        dates=times.dates,
        spells=times.spells,
        clashes=times.clashes,
        estimates=estimates(library, watched, looked_at.claims, memo),
        related=ground.related,
        cards=card_standings(library, claims, standing, parts),
    )


def ground_of(
    library: Library,
    given: Given,
    grades: Mapping[str, str],
    measured: Mapping[str, Measured],
    times: Times | None = None,
    memo: Anew | None = None,
) -> Ground:
    """The ground that a library is weighed on; `grades`, `measured` and `times` are those found
    already, `memo` what was found before.
    """
    memo = memo or Anew(library)
    pairs = related(library, given.sums, given.alike)
    sums = memo.watch("sums", given.sums)
    work = partial(witness_groups, memo.library, sums, pairs)
    groups = memo.made("groups", "", work, pairs)
    return Ground(
        library=library,
        times=times or chronology(library, given.sums, given.alike),
        groups=groups,
        group_of=group_of(groups),
        broken=broken_records(library, memo),
        unfit=given.unfit,
        circular=in_circles(library),
        grades=grades,
        measured=measured,
        repeats=repeats(library),
        practice=practice(library.policy),
        related=pairs,
        as_of=given.as_of,
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
        hosts=hosts_of(library),
    )


def _graded(
    memo: Anew,
    ground: Ground,
    watched: Ground,
    given: Given,
    grades: dict[str, str],
    measured: dict[str, Measured],
    simulate: frozenset[str],
) -> dict[str, Graded]:
    """Every claim graded and every measurement worked out, those that others lean on first; then
    rivals are set side by side. Fills `grades` and `measured`.
    """
    found: dict[str, Graded] = {}
    every = {
        f"{p.ref}#{c.id}": (p.id, n)
        for p in ground.library.parts.values()
        for n, c in enumerate(p.claims)
    }
    held = memo.growing("held", every)
    sizes = memo.watch("sizes", given.sizes)

    def grade(id_: str, place: int) -> Graded:
        part = watched.library.parts[id_]
        return grade_claim(watched, part, part.claims[place])

    def gauge(id_: str, draws: int) -> Measured:
        record = watched.library.measurements[id_]
        return measure(Asked(watched, record, held, sizes), draws)

    for ref in in_order(ground):
        if ref in every:
            found[ref] = memo.made("grade", ref, partial(grade, *every[ref]), every[ref])
            grades[ref], held[ref] = found[ref].grade, found[ref].held
        else:
            draws = DRAWS if ref in simulate else 0
            work = partial(gauge, ref.partition("/")[2], draws)
            measured[ref] = memo.made("measure", ref, work, draws)
    claims: dict[str, Graded] = {}
    for part in ground.library.parts.values():
        mine = {f"{part.ref}#{c.id}": found[f"{part.ref}#{c.id}"] for c in part.claims}
        claims.update(mine)
        claims.update(set_beside(mine, part))
    return claims


def _known(memo: Anew, library: Library, ground: Ground, docket: Docket) -> dict[str, PartKnown]:
    """What is known of every part, by REF; the memo watches `ground` and `docket`."""

    def know(id_: str) -> PartKnown:
        return know_part(ground, docket, ground.library.parts[id_])

    return {
        part.ref: memo.made("part", part.ref, partial(know, id_))
        for id_, part in library.parts.items()
    }


def in_order(ground: Ground) -> list[str]:
    """REFs of claims and measurements, each after those that it leans on."""
    every = dict.fromkeys(f"{part.ref}#{claim.id}" for part, claim in ground.library.claims())
    every |= dict.fromkeys(record.ref for record in ground.library.measurements.values())
    before: dict[str, set[str]] = {}
    for source, target, *_ in leanings(ground.library):
        if source in every and target in every and source not in ground.circular:
            before.setdefault(source, set()).add(target)
    first = [ref for ref in TopologicalSorter(before).static_order() if ref in every]
    return list(dict.fromkeys([*first, *every]))


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
    """REF of each item of evidence, and of all it was made from → the claims that lean on it.

    A size that is measured leans on every photograph that it was measured on.
    """
    found: dict[str, dict[str, None]] = {}
    behind: dict[str, tuple[str, ...]] = {}
    photos = {record.ref: record.photos for record in library.measurements.values()}
    written = {f"{part.ref}#{claim.id}": claim.evidence for part, claim in library.claims()}
    for ref, graded in claims.items():
        measured = [n for item in written[ref] for n in photos.get(item.measured or "", ())]
        for named in (*(item.ref for item in graded.items), *measured):
            if named not in behind:
                behind[named] = (named, *ancestry(library, named.partition("#")[0]))
            for name in behind[named]:
                if name:
                    found.setdefault(name, {})[ref] = None
    return {name: tuple(refs) for name, refs in sorted(found.items())}
