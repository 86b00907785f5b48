"""All findings of a content folder, from its records alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from archive.core.verdicts import Findings, Graded
from archive.reasoning.circles import in_circles
from archive.reasoning.clearance import know_part
from archive.reasoning.decisions import SUPERSEDED, standings
from archive.reasoning.grades import grade_claim, set_beside
from archive.reasoning.independence import ancestry, group_of, witness_groups
from archive.reasoning.zones import know_zones
from archive.records.library import Library


def weigh(library: Library) -> Findings:
    """Everything that the reasoning concludes about a library."""
    groups = witness_groups(library)
    grouped = group_of(groups)
    circular = in_circles(library)
    claims: dict[str, Graded] = {}
    for part in library.parts.values():
        mine = {
            f"{part.ref}#{claim.id}": grade_claim(library, groups, grouped, part, claim, circular)
            for claim in part.claims
        }
        claims.update(mine)
        claims.update(set_beside(mine, part))
    standing = standings(library, claims)
    alive = {ref for ref, found in standing.items() if found.state != SUPERSEDED}
    decisions = _about(library, (d for d in library.decisions.values() if d.ref in alive))
    questions = _about(library, (q for q in library.questions.values() if q.settled is None))
    parts = {
        part.ref: know_part(library, claims, standing, decisions, questions, part)
        for part in library.parts.values()
    }
    return Findings(
        groups=groups,
        group_of=grouped,
        claims=claims,
        parts=parts,
        zones=know_zones(library, claims, parts),
        decisions=standing,
        leaning=_leaning(library, claims),
    )


def _about(library: Library, records: Iterable[object]) -> dict[str, tuple[str, ...]]:
    """REF of each part → the records about it, newest first."""
    found: dict[str, list[tuple[str, str]]] = {}
    for record in records:
        ref: str = getattr(record, "ref", "")
        about: tuple[str, ...] = getattr(record, "about", ())
        for target in {name.partition("#")[0] for name in about}:
            found.setdefault(target, []).append((str(getattr(record, "on", "") or ""), ref))
    return {
        target: tuple(ref for _, ref in sorted(names, key=lambda n: (n[0], n[1]), reverse=True))
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
