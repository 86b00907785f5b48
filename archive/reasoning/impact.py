"""If a record falls: what moves, what matters of it, what still stands, and along which parts.

There is no second set of rules here: the same reasoning is run on changed records, and the two
sets of findings are compared line by line.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from archive.core.findings import Reason
from archive.core.foresight import Beside, Impact, Moved
from archive.core.kept import Kept
from archive.core.verdicts import Findings, Graded, Held, ItemTaken, PartKnown, Standing
from archive.reasoning.clearance import know_part
from archive.reasoning.decisions import claims_behind, claims_of_parts, standings
from archive.reasoning.differences import between, keep, kept_claim
from archive.reasoning.evidence import Taking, take
from archive.reasoning.grades import grade_claim, judge, set_beside
from archive.reasoning.independence import ancestry
from archive.reasoning.supposing import Supposed, default_for, suppose
from archive.reasoning.weigh import about_parts, grade_part, ground_of, weigh
from archive.records.library import Library

TELLING = ("stories", "questions", "decisions")
"""Kinds of record whose words may need changing when what they tell of moves."""

MOST_TRIED = 6_000
"""How many claims are graded anew, at most, to find what each record carries: about a second."""


def impact(library: Library, before: Findings, ref: str, what: str = "", other: str = "") -> Impact:
    """What moves if `what` (one of SUPPOSITIONS) is supposed of the record `ref`.

    `before` are the findings of the library as it is. Left out, `what` is the default for the
    record; `other` is what it is `same-as`. Raises `supposing.CannotSuppose`.
    """
    ref = ref.partition("#")[0]
    what = what or default_for(library, ref)
    supposed = suppose(library, ref, what, other)
    if what == "rights-revoked":
        return _use_alone(library, ref, supposed.says)
    after = weigh(supposed.library)
    lines = between(
        library,
        keep(library, before.claims, before.decisions, before.parts),
        keep(library, after.claims, after.decisions, after.parts),
    )
    grouped = _groups(before, after, supposed.changed)
    leaning = {claim for name in (ref, *supposed.changed) for claim in before.leaning.get(name, ())}
    return _told(library, ref, supposed.says, (*grouped, *lines), leaning)


def _groups(before: Findings, after: Findings, changed: Iterable[str]) -> list[Moved]:
    """Witness groups of the changed records that have other members now."""
    lines = []
    for ref in changed:
        old, new = (found.group_of.get(ref, "") for found in (before, after))
        was = before.groups[old].members if old else ()
        now = after.groups[new].members if new else ()
        if was != now:
            lines.append(Moved(ref, "group", _members(was), _members(now)))
    return lines


def _members(members: tuple[str, ...]) -> str:
    if not members:
        return ""
    return "one witness by itself" if len(members) == 1 else f"one witness in {len(members)} items"


def _use_alone(library: Library, ref: str, says: str) -> Impact:
    """What permission was there to use a record for, and who shows it: no grade moves (I8)."""
    kind, _, id_ = ref.partition("/")
    photo = library.photos.get(id_) if kind == "photos" else None
    source_ref = (photo.source if photo else ref) or ""
    source = library.sources.get(source_ref.partition("/")[2])
    rights = source.rights if source else None
    reason = Reason("I8", "Use only: no grade changes.", (ref,))
    lines = [
        Moved(ref, "use", f"granted for {grant.use}", "not granted", reason)
        for grant in (rights.grants if rights else ())
    ] or [Moved(ref, "use", "nothing granted on record", "not granted", reason)]
    told = _telling(library, (ref, source_ref))
    return Impact(ref, says, tuple(lines), (), (), told)


def _told(
    library: Library, ref: str, says: str, lines: tuple[Moved, ...], leaning: Iterable[str]
) -> Impact:
    touched = {line.ref for line in lines if line.what in ("grade", "size")}
    parts = sorted({name.partition("#")[0] for name in touched})
    return Impact(
        ref=ref,
        supposed=says,
        moved=lines,
        stands=tuple(sorted(set(leaning) - touched)),
        beside=tuple(_beside(library, parts)),
        told_in=_telling(library, (ref, *parts)) if lines else (),
    )


def _telling(library: Library, refs: Iterable[str]) -> tuple[str, ...]:
    found = {
        name
        for ref in refs
        for name in library.named_by.get(ref, ())
        if name.partition("/")[0] in TELLING
    }
    return tuple(sorted(found))


def _beside(library: Library, parts: Iterable[str]) -> list[Beside]:
    """The parts that meet, carry or move with parts whose claims move."""
    found: dict[tuple[str, str], Beside] = {}
    moved = list(parts)
    for ref in moved:
        part = library.parts.get(ref.partition("/")[2])
        if part is None:
            continue
        for how, others in (
            ("mates with", part.mates),
            ("carries", part.attaches),
            ("moves with", part.moves_with),
            ("is the opposite hand of", (part.opposite,) if part.opposite else ()),
        ):
            for other in others:
                whole = other.partition("#")[0]
                if whole not in moved:
                    found.setdefault((ref, whole), Beside(ref, how, whole))
    return list(found.values())


class Falls:
    """The impact of one record's fall at a time, by grading anew only what leans on it.

    It gives just what `impact` gives, for photographs and sources and their default supposition.
    Whatever two falls have in common (a print and its negative take out the same items) is worked
    out once.
    """

    def __init__(self, library: Library, before: Findings) -> None:
        """`before` are the findings of `library`."""
        # Plain dictionaries are copied far quicker, and there is a copy for each record supposed.
        self._library = replace(library, sources=dict(library.sources), photos=dict(library.photos))
        self._before = before
        self._ground = ground_of(library)
        self._about = about_parts(library, before.decisions)
        self._kept = keep(library, before.claims, before.decisions, before.parts)
        self._of_part = claims_of_parts(library)
        self._claims = {f"{part.ref}#{claim.id}": (part, claim) for part, claim in library.claims()}
        self._items = self._leaning_items()
        self._decided: dict[str, list[str]] = {}
        for decision in library.decisions.values():
            for claim in claims_behind(decision, before.claims, self._of_part):
                self._decided.setdefault(claim, []).append(decision.ref)
        self._taken: dict[str, list[tuple[ItemTaken, Taking]]] = {}
        self._graded: dict[tuple[str, tuple[int, ...]], Graded] = {}
        self._known: dict[object, PartKnown] = {}
        self._kept_alive: list[Graded] = []

    def _leaning_items(self) -> dict[str, dict[str, tuple[int, ...]]]:
        """Photograph or source → the claims that lean on it, with the items that they do it by."""
        found: dict[str, dict[str, tuple[int, ...]]] = {}
        lines: dict[str, tuple[str, ...]] = {}
        measured = {m.ref: m.photos for m in self._library.measurements.values()}
        for ref, (_, claim) in self._claims.items():
            for index, item in enumerate(claim.evidence):
                named = [n for n in (item.photo, item.source) if n]
                named += measured.get(item.measured or "", ())
                names: dict[str, None] = {}
                for whole in (name.partition("#")[0] for name in named):
                    if whole not in lines:
                        lines[whole] = ancestry(self._library, whole)
                    names.update(dict.fromkeys(lines[whole]))
                for name in names:
                    mine = found.setdefault(name, {})
                    mine[ref] = (*mine.get(ref, ()), index)
        return found

    def of(self, ref: str) -> Impact:
        """What moves if the photograph or source `ref` falls."""
        what = default_for(self._library, ref)
        supposed = suppose(self._library, ref, what)
        leaning = {
            claim
            for name in (ref, *supposed.changed)
            for claim in self._before.leaning.get(name, ())
        }
        if what == "gone":
            return self._gone(ref, supposed, leaning)
        items = self._items.get(supposed.changed[0], {})
        claims = {
            claim: self._without_items(supposed.library, claim, indexes)
            for claim, indexes in items.items()
        }
        claims = self._with_rivals(claims)
        return self._told_of(ref, supposed, claims, leaning, ())

    def _gone(self, ref: str, supposed: Supposed, leaning: set[str]) -> Impact:
        """A photograph without a source is taken out, and the groups are found anew."""
        library = supposed.library
        members = self._ground.groups[self._ground.group_of[ref]].members
        ground = self._ground
        if len(members) > 1:
            ground = ground_of(library)
        claims: dict[str, Graded] = {}
        for part in {self._claims[claim][0].id: None for claim in self._claims_near(ref, members)}:
            claims.update(grade_part(library, ground, library.parts[part]))
        group = Moved(ref, "group", _members(members), "")
        return self._told_of(ref, supposed, claims, leaning, (group,))

    def _claims_near(self, ref: str, members: Iterable[str]) -> Iterable[str]:
        return sorted({claim for name in (ref, *members) for claim in self._items.get(name, {})})

    def _without_items(self, library: Library, ref: str, indexes: tuple[int, ...]) -> Graded:
        """A claim with some of its items taken anew on the changed records."""
        key = (ref, indexes)
        if key not in self._graded:
            part, claim = self._claims[ref]
            if ref in self._ground.circular:
                self._graded[key] = grade_claim(
                    library,
                    self._ground.groups,
                    self._ground.group_of,
                    part,
                    claim,
                    self._ground.circular,
                )
                return self._graded[key]
            if ref not in self._taken:
                self._taken[ref] = [
                    take(self._library, self._ground.group_of, part, claim, i)
                    for i in range(len(claim.evidence))
                ]
            pairs = list(self._taken[ref])
            for i in indexes:
                pairs[i] = take(library, self._ground.group_of, part, claim, i)
            self._graded[key] = judge(library, self._ground.groups, ref, claim, pairs)
        return self._graded[key]

    def _with_rivals(self, claims: dict[str, Graded]) -> dict[str, Graded]:
        """The claims set beside their rivals again, with those rivals."""
        parts = {self._claims[ref][0].id for ref in claims if self._before.claims[ref].rivals}
        for id_ in sorted(parts):
            part = self._library.parts[id_]
            mine = {
                ref: claims[ref] if ref in claims else self._without_items(self._library, ref, ())
                for ref in self._of_part[part.ref]
                if ref in self._before.claims
            }
            claims = {**claims, **mine, **set_beside(mine, part)}
        return claims

    def _told_of(
        self,
        ref: str,
        supposed: Supposed,
        claims: Mapping[str, Graded],
        leaning: set[str],
        first: tuple[Moved, ...],
    ) -> Impact:
        moved = {
            name: graded
            for name, graded in claims.items()
            if kept_claim(graded) != self._kept.claims[name]
        }
        decisions = sorted({d for claim in moved for d in self._decided.get(claim, ())})
        standing = self._standing(supposed.library, moved, decisions)
        turned = {
            name.partition("#")[0]
            for name, graded in moved.items()
            if (graded.grade, graded.not_settled, graded.held)
            != _sort_of(self._before.claims[name])
        }
        for name in decisions:
            if standing[name].state != self._before.decisions[name].state:
                about = self._library.decisions[name.partition("/")[2]].about
                turned.update(one.partition("#")[0] for one in about)
        parts = sorted(one for one in turned if one in self._before.parts)
        after = keep(
            self._library,
            moved,
            standing,
            {one: self._know(supposed.library, one, moved, standing) for one in parts},
        )
        before = Kept(
            after.rule_set,
            claims={one: self._kept.claims[one] for one in moved},
            decisions={one: self._kept.decisions[one] for one in decisions},
            parts={one: self._kept.parts[one] for one in parts},
        )
        lines = (*first, *between(self._library, before, after))
        return _told(self._library, ref, supposed.says, lines, leaning)

    def _standing(
        self, library: Library, moved: Mapping[str, Graded], refs: Iterable[str]
    ) -> dict[str, Standing]:
        """How decisions stand once claims moved; what was superseded stays so."""
        ids = [ref.partition("/")[2] for ref in refs]
        if not ids:
            return {}
        every: Mapping[str, Graded] = Layered(moved, self._before.claims)
        fewer = replace(library, decisions={id_: library.decisions[id_] for id_ in ids})
        return {
            ref: self._before.decisions[ref] if self._before.decisions[ref].superseded_by else found
            for ref, found in standings(fewer, every, self._of_part).items()
        }

    def _know(
        self,
        library: Library,
        ref: str,
        moved: Mapping[str, Graded],
        standing: Mapping[str, Standing],
    ) -> PartKnown:
        decisions = self._about.decisions.get(ref, ())
        key = (
            ref,
            *(id(moved[claim]) if claim in moved else 0 for claim in self._of_part[ref]),
            *(standing[name].state if name in standing else "" for name in decisions),
        )
        if key not in self._known:
            # The key names claims by where they lie in memory: they are kept, so that they stay.
            self._kept_alive += [moved[claim] for claim in self._of_part[ref] if claim in moved]
            self._known[key] = know_part(
                library,
                Layered(moved, self._before.claims),
                Layered(standing, self._before.decisions),
                self._about.decisions,
                self._about.questions,
                library.parts[ref.partition("/")[2]],
            )
        return self._known[key]


def _sort_of(graded: Graded) -> tuple[str, bool, Held | None]:
    """All of a claim that clearance turns on."""
    return graded.grade, graded.not_settled, graded.held


class Layered(Mapping[str, Any]):
    """A mapping of which some values are replaced; looked up, never copied."""

    def __init__(self, above: Mapping[str, Any], below: Mapping[str, Any]) -> None:
        """`above` goes before `below`, and names nothing that isn't there too."""
        self._above = above
        self._below = below

    def __getitem__(self, name: str) -> Any:
        return self._above[name] if name in self._above else self._below[name]

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a name, else `default`."""
        return self._above[name] if name in self._above else self._below.get(name, default)

    def __contains__(self, name: object) -> bool:
        return name in self._below

    def __iter__(self) -> Iterator[str]:
        return iter(self._below)

    def __len__(self) -> int:
        return len(self._below)


def falls(
    library: Library, before: Findings, at_most: int = MOST_TRIED
) -> tuple[dict[str, Impact], int]:
    """The impact of photographs and sources that claims lean on, if each fell; sources first.

    Those that most claims lean on are tried first, until `at_most` claims have been graded anew.
    The number is how many claims lean on any other: no more can fall with it. 0: all were tried.
    """
    each = Falls(library, before)
    leaning = {ref: len(c) for ref, c in before.leaning.items() if ref in before.group_of}
    tried: list[str] = []
    untried = spent = 0
    for ref in sorted(leaning, key=lambda ref: (-leaning[ref], ref)):
        spent += leaning[ref]
        if spent > at_most:
            untried = leaning[ref]
            break
        tried.append(ref)
    tried.sort(key=lambda ref: (not ref.startswith("sources/"), ref))
    return {ref: each.of(ref) for ref in tried}, untried
