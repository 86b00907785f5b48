"""What falls with each photograph and source: what leans on it is graded and measured anew.

It gives just what `impact` gives for each; a test compares the two over whole archives.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping
from dataclasses import replace

from archive.core.cards import CardStanding
from archive.core.foresight import Impact, Moved
from archive.core.kept import Kept
from archive.core.verdicts import Findings, Graded, Held, Measured, PartKnown, Standing
from archive.reasoning.approvals import approvals_moved, letters
from archive.reasoning.cards import card_standings
from archive.reasoning.clearance import know_part
from archive.reasoning.decisions import claims_behind, claims_of_parts, standings
from archive.reasoning.differences import between, keep, kept_claim
from archive.reasoning.evidence import take
from archive.reasoning.grades import grade_claim, judge, set_beside
from archive.reasoning.ground import Given, Ground
from archive.reasoning.impact import days_moved, impact, impact_of
from archive.reasoning.independence import ancestry
from archive.reasoning.layered import Layered
from archive.reasoning.measurements import measure
from archive.reasoning.picked import Asked
from archive.reasoning.policy import Pair
from archive.reasoning.retold import photographs_beside, trusting, untold
from archive.reasoning.supposing import default_for, suppose
from archive.reasoning.times import Times
from archive.reasoning.weigh import docket_of, ground_of, in_order
from archive.records.library import Library
from archive.records.support import leanings

MOST_TRIED = 6_000
"""How many claims are graded anew, at most, to find what each record carries: about a second."""


def falls(
    library: Library,
    before: Findings,
    given: Given = Given(),  # noqa: B008  (frozen)
    at_most: int = MOST_TRIED,
    times: Times | None = None,
) -> tuple[dict[str, Impact], int]:
    """The impact of photographs and sources that claims lean on, if each fell; sources first.

    Those that most claims lean on are tried first, until `at_most` claims have been graded anew.
    The number is how many claims lean on any other: no more can fall with it. 0: all were tried.
    `times` is the chronology, where that is worked out already.
    """
    leaning = {letter: 0 for _, letter in letters(library) if letter in before.group_of}
    leaning |= {ref: len(c) for ref, c in before.leaning.items() if ref in before.group_of}
    each = Falls(library, before, given, times)
    found: dict[str, Impact] = {}
    untried = spent = 0
    for ref in sorted(leaning, key=lambda ref: (-leaning[ref], ref)):
        whole = default_for(library, ref) != "discredited" or each.moves_all_days(ref)
        cost = len(before.claims) if whole else leaning[ref]
        if spent + cost > at_most:
            untried = max(untried, leaning[ref])
            continue
        spent += cost
        found[ref] = impact(library, before, ref, given=given) if whole else each.of(ref)
    order = sorted(found, key=lambda ref: (not ref.startswith("sources/"), ref))
    return {ref: found[ref] for ref in order}, untried


class Falls:
    """The impact of one source's fall at a time, by grading anew only what leans on it.

    Whatever two falls have in common (a print and its negative take out the same items) is worked
    out once.
    """

    def __init__(
        self, library: Library, before: Findings, given: Given, times: Times | None = None
    ) -> None:
        """`before` are the findings of `library` with what was `given`; `times` its chronology."""
        self._library = library
        self._before = before
        self._given = given
        grades = {ref: graded.grade for ref, graded in before.claims.items()}
        self._ground = ground_of(library, given, grades, before.measurements, times)
        self._held = {ref: graded.held for ref, graded in before.claims.items()}
        self._docket = docket_of(self._ground, before.claims, before.decisions)
        self._kept = keep(library, before.claims, before.decisions, before.parts, before.cards)
        self._of_part = claims_of_parts(library)
        self._claims = {f"{part.ref}#{c.id}": (part, c) for part, c in library.claims()}
        self._place = {ref: place for place, ref in enumerate(in_order(self._ground))}
        self._above = _leaning_on(library)
        self._lines: dict[str, tuple[str, ...]] = {}
        self._items = self._leaning_items()
        self._measured_on = self._measurements_on()
        self._decided: dict[str, list[str]] = {}
        for decision in library.decisions.values():
            for claim in claims_behind(decision, before.claims, self._of_part):
                self._decided.setdefault(claim, []).append(decision.ref)
        self._datings = self._datings_of()
        self._signed: dict[str, list[str]] = {}
        for ref, letter in letters(library):
            for name in self._behind((letter,)):
                self._signed.setdefault(name, []).append(ref)
        self._taken: dict[str, list[Pair]] = {}
        self._graded: dict[tuple[str, tuple[int, ...], str], Graded] = {}
        self._known: dict[object, tuple[PartKnown, tuple[Graded, ...]]] = {}

    def _leaning_items(self) -> dict[str, dict[str, tuple[int, ...]]]:
        """Photograph or source → the claims that lean on it, with the items that they do it by."""
        found: dict[str, dict[str, tuple[int, ...]]] = {}
        for ref, (_, claim) in self._claims.items():
            for index, item in enumerate(claim.evidence):
                for name in self._behind(n for n in (item.photo, item.source) if n):
                    mine = found.setdefault(name, {})
                    mine[ref] = (*mine.get(ref, ()), index)
        return found

    def _measurements_on(self) -> dict[str, list[str]]:
        """Photograph or source → the measurements that are made on it."""
        found: dict[str, list[str]] = {}
        for record in self._library.measurements.values():
            for name in self._behind(record.photos):
                found.setdefault(name, []).append(record.ref)
        return found

    def _datings_of(self) -> dict[str, list[int]]:
        """Photograph or source → the statements about days that fall with it, by number."""
        found: dict[str, list[int]] = {}
        for ref, numbers in trusting(self._ground.times).items():
            for name in self._behind((ref,)):
                found.setdefault(name, []).extend(numbers)
        return found

    def moves_all_days(self, ref: str) -> bool:
        """Would its fall move days all over, so that everything must be weighed anew?"""
        return self._times(suppose(self._library, ref, "discredited").changed[0]) is None

    def _times(self, fallen: str) -> Times | None:
        """The chronology once a source fell; None where all of it must be worked out anew."""
        numbers = self._datings.get(fallen, ())
        return untold(self._library, self._ground.times, numbers) if numbers else self._ground.times

    def _days(self, fallen: str) -> list[Moved]:
        """The photographs whose days move once a source fell."""
        times = self._times(fallen)
        beside = photographs_beside(self._ground.times, self._datings.get(fallen, ()))
        if times is None or not beside:
            return []
        old = self._before.dates
        new = {ref: times.dates[ref] for ref in beside}
        return days_moved(self._library, {ref: old[ref] for ref in beside}, new)

    def _redated(self, fallen: str) -> dict[str, tuple[int, ...]]:
        """The claims with items whose photographs may be dated otherwise once a source fell."""
        moved = photographs_beside(self._ground.times, self._datings.get(fallen, ()))
        groups = {self._before.group_of[ref] for ref in moved if ref in self._before.group_of}
        every = {*moved, *(m for name in groups for m in self._before.groups[name].members)}
        found: dict[str, tuple[int, ...]] = {}
        for ref in sorted(every):
            for claim, indexes in self._items.get(ref, {}).items():
                found[claim] = tuple(sorted({*found.get(claim, ()), *indexes}))
        return found

    def _behind(self, refs: Iterable[str]) -> dict[str, None]:
        """The items that are named and all that they were made from, once each."""
        names: dict[str, None] = {}
        for whole in (ref.partition("#")[0] for ref in refs):
            if whole not in self._lines:
                self._lines[whole] = ancestry(self._library, whole)
            names.update(dict.fromkeys(self._lines[whole]))
        return names

    def of(self, ref: str) -> Impact:
        """What moves if `ref`, a source or a photograph that has one, is discredited."""
        supposed = suppose(self._library, ref, "discredited")
        leaning = {
            claim
            for name in (ref, *supposed.changed)
            for claim in self._before.leaning.get(name, ())
        }
        claims = self._anew(supposed.library, supposed.changed[0])
        moved = {
            name: graded
            for name, graded in claims.items()
            if kept_claim(graded) != self._kept.claims[name]
        }
        signed_by = self._signed.get(supposed.changed[0], ())
        leaning_on = {d for claim in moved for d in self._decided.get(claim, ())}
        decisions = sorted(leaning_on.union(signed_by))
        standing = self._standing(supposed.library, moved, decisions)
        parts = self._turned(moved, standing)
        known = {one: self._know(supposed.library, one, moved, standing) for one in parts}
        cards = self._cards(supposed.library, moved, standing, known)
        after = keep(self._library, moved, standing, known, cards)
        before = Kept(
            after.rule_set,
            claims={one: self._kept.claims[one] for one in moved},
            decisions={one: self._kept.decisions[one] for one in decisions},
            parts={one: self._kept.parts[one] for one in parts},
            cards={
                name: state
                for name, state in self._kept.cards.items()
                if name.partition("#")[0] in cards
            },
        )
        days = self._days(supposed.changed[0])
        signed = approvals_moved(self._before, standing, known)
        lines = (*days, *signed, *between(self._library, before, after))
        return impact_of(self._library, ref, supposed.says, lines, leaning)

    def _anew(self, library: Library, fallen: str) -> dict[str, Graded]:
        """The claims that lean on a record that fell, and what leans on those, graded in their
        order, with the measurements between them worked out anew.
        """
        times = self._times(fallen)
        assert times is not None, "asked of `moves_all_days` first"
        redated = self._redated(fallen)
        own = self._items.get(fallen, {})
        items = {
            ref: tuple(sorted({*own.get(ref, ()), *redated.get(ref, ())}))
            for ref in {**own, **redated}
        }
        claims: dict[str, Graded] = {}
        grades: dict[str, str] = {}
        held: dict[str, Held | None] = {}
        measured: dict[str, Measured] = {}
        ground = replace(
            self._ground,
            library=library,
            times=times,
            grades=Layered(grades, self._ground.grades),
            measured=Layered(measured, self._ground.measured),
        )
        known = Layered(held, self._held)
        first = (*items, *self._measured_on.get(fallen, ()))
        waiting = [(self._place[ref], ref) for ref in first]
        heapq.heapify(waiting)
        shaken: set[str] = set()
        done: set[str] = set()
        while waiting:
            _, ref = heapq.heappop(waiting)
            if ref in done:
                continue
            done.add(ref)
            if ref not in self._claims:
                record = library.measurements[ref.partition("/")[2]]
                found = measure(Asked(ground, record, known, self._given.sizes))
                if found == self._before.measurements[ref]:
                    continue
                measured[ref] = found
            else:
                if ref in shaken:
                    claims[ref] = grade_claim(ground, *self._claims[ref])
                else:
                    claims[ref] = self._without_items(
                        ground, ref, items[ref], fallen if ref in redated else ""
                    )
                size = claims[ref].held
                # A measurement takes over the errors behind a size, which may move beneath it.
                beneath = size is not None and size.measured in measured
                if _sort_of(claims[ref]) == _sort_of(self._before.claims[ref]) and not beneath:
                    continue
                grades[ref], held[ref] = claims[ref].grade, size
            for other in self._above.get(ref, ()):
                shaken.add(other)
                heapq.heappush(waiting, (self._place[other], other))
        return self._with_rivals(claims)

    def _without_items(
        self, ground: Ground, ref: str, indexes: tuple[int, ...], redated_by: str = ""
    ) -> Graded:
        """A claim with some of its items taken anew on the changed records.

        `redated_by` is the record whose fall moves the days of some of them.
        """
        key = (ref, indexes, redated_by)
        if key not in self._graded:
            part, claim = self._claims[ref]
            if ref not in self._taken:
                self._taken[ref] = [
                    take(self._ground, part, claim, i) for i in range(len(claim.evidence))
                ]
            pairs = list(self._taken[ref])
            for i in indexes:
                pairs[i] = take(ground, part, claim, i)
            self._graded[key] = judge(ground, ref, claim, pairs)
        return self._graded[key]

    def _with_rivals(self, claims: dict[str, Graded]) -> dict[str, Graded]:
        """The claims set beside their rivals again, with those rivals."""
        parts = {self._claims[ref][0].id for ref in claims if self._before.claims[ref].rivals}
        for id_ in sorted(parts):
            part = self._library.parts[id_]
            mine = {
                ref: claims[ref] if ref in claims else self._without_items(self._ground, ref, ())
                for ref in self._of_part[part.ref]
            }
            claims = {**claims, **mine, **set_beside(mine, part)}
        return claims

    def _turned(self, moved: Mapping[str, Graded], standing: Mapping[str, Standing]) -> list[str]:
        """The parts whose clearance may turn: by a claim of theirs, or by a decision about them."""
        parts = {
            name.partition("#")[0]
            for name, graded in moved.items()
            if _sort_of(graded) != _sort_of(self._before.claims[name])
        }
        turned = {n for n in standing if _signs(standing[n]) != _signs(self._before.decisions[n])}
        if turned:
            about = self._docket.decisions_about.items()
            parts.update(part for part, names in about if turned.intersection(names))
        # A new part waits for the original that it is let into.
        hosts = self._docket.hosts.items()
        parts.update(
            new for new, those in hosts if any(h.partition("#")[0] in parts for h in those)
        )
        return sorted(parts)

    def _standing(
        self, library: Library, moved: Mapping[str, Graded], refs: Iterable[str]
    ) -> dict[str, Standing]:
        """How decisions stand once claims moved; what was superseded stays so."""
        ids = [ref.partition("/")[2] for ref in refs]
        if not ids:
            return {}
        every: Mapping[str, Graded] = Layered(moved, self._before.claims)
        fewer = replace(library, decisions={id_: library.decisions[id_] for id_ in ids})
        found = standings(fewer, every, self._given.as_of, self._of_part)
        return {
            ref: self._before.decisions[ref] if self._before.decisions[ref].superseded_by else one
            for ref, one in found.items()
        }

    def _cards(
        self,
        library: Library,
        moved: Mapping[str, Graded],
        standing: Mapping[str, Standing],
        known: Mapping[str, PartKnown],
    ) -> dict[str, CardStanding]:
        """How the cards stand that lean on claims or decisions which moved."""
        if not library.cards:
            return {}
        parts = {name.partition("#")[0] for name in moved} | set(known)
        parts |= {
            part for part, names in self._docket.decisions_about.items() if {*names} & {*standing}
        }
        return card_standings(
            library,
            Layered(moved, self._before.claims),
            Layered(standing, self._before.decisions),
            Layered(known, self._before.parts),
            parts,
        )

    def _know(
        self,
        library: Library,
        ref: str,
        moved: Mapping[str, Graded],
        standing: Mapping[str, Standing],
    ) -> PartKnown:
        hosts = [host.partition("#")[0] for host in self._docket.hosts.get(ref, ())]
        decisions = [
            name for one in (ref, *hosts) for name in self._docket.decisions_about.get(one, ())
        ]
        mine = tuple(moved[claim] for claim in self._of_part[ref] if claim in moved)
        states = (_signs(standing[name]) for name in decisions if name in standing)
        # Claims are named by where they lie in memory: they are kept beside, so that they stay.
        key = (ref, *map(id, mine), *states)
        if key not in self._known:
            docket = replace(
                self._docket,
                claims=Layered(moved, self._before.claims),
                standings=Layered(standing, self._before.decisions),
            )
            part = library.parts[ref.partition("/")[2]]
            known = know_part(replace(self._ground, library=library), docket, part)
            self._known[key] = (known, mine)
        return self._known[key][0]


def _leaning_on(library: Library) -> dict[str, list[str]]:
    """Claim or measurement → the claims and measurements that lean straight on it."""
    found: dict[str, set[str]] = {}
    for leaning, target, *_ in leanings(library):
        found.setdefault(target, set()).add(leaning)
    return {target: sorted(those) for target, those in found.items()}


def _signs(standing: Standing) -> tuple[str, tuple[str, ...]]:
    """All of a decision that clearance turns on."""
    return standing.state, standing.signed_by


def _sort_of(graded: Graded) -> tuple[str, str, bool, Held | None]:
    """All of a claim that clearance, and other claims, turn on."""
    return graded.grade, graded.by_book, graded.not_settled, graded.held
