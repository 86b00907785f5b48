"""What would lift a claim: each kind of evidence that is missing is tried by grading it anew.

Nothing here says what a grade would be: the claim is given the evidence, and the same reasoning
grades it. The steps are those of `core.rules.LIFTING`, the cheapest first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from archive.core.foresight import Step
from archive.core.lengths import show_mm
from archive.core.verdicts import Findings, Graded, Held, Measured
from archive.reasoning.attempts import Attempt, attempts, plenty
from archive.reasoning.chronology import chronology
from archive.reasoning.evidence import FIGURED, take
from archive.reasoning.grades import grade_claim, judge, set_beside
from archive.reasoning.ground import Given, Ground
from archive.reasoning.independence import witness_groups
from archive.reasoning.layered import Layered
from archive.reasoning.measurements import measure
from archive.reasoning.picked import Asked
from archive.reasoning.policy import Pair
from archive.reasoning.retold import retold
from archive.reasoning.taking import CORROBORATED, rank
from archive.reasoning.times import Times
from archive.reasoning.weigh import ground_of
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import Part

TIMELY = frozenset({"L1", "L8", "L11"})
"""Steps that may move the day of a photograph, or tell the state that it shows."""
TIERS = (("L1", "L2", "L3", "L4"), ("L5", "L6"), ("L7", "L8", "L9", "L10", "L11", "L12"))
"""Steps that cost about the same; the later ones, finds all, stand one by one or in pairs."""
_FINDS = (("L13", "L14", "L15"), ("L16", "L17"), ("L18",))
_TIER = {rule: place for place, rules in enumerate((*TIERS, *_FINDS)) for rule in rules}


ENOUGH = (rank(CORROBORATED), False)
"""What a claim must be worth for nothing dearer to be told: corroborated, and settled."""


@dataclass(frozen=True, slots=True)
class Bench:
    """The ground with all that might be found laid beside the records, and the findings without."""

    ground: Ground
    findings: Findings
    given: Given
    held: Mapping[str, Held | None]


def bench_of(
    library: Library, findings: Findings, given: Given, times: Times | None = None
) -> Bench:
    """The bench of a library, laid out once for all claims; `findings` and `times` are its own."""
    found, extra = plenty(library)
    grades = {ref: g.grade for ref, g in findings.claims.items()}
    ground = ground_of(library, given, grades, findings.measurements, times)
    dates = chronology(replace(extra, aircraft=library.aircraft)).dates
    more = witness_groups(extra)
    return Bench(
        replace(
            ground,
            library=found,
            times=replace(ground.times, dates={**ground.times.dates, **dates}),
            groups={**ground.groups, **more},
            group_of={**ground.group_of, **{m: g.id for g in more.values() for m in g.members}},
        ),
        findings,
        given,
        {ref: graded.held for ref, graded in findings.claims.items()},
    )


def lifts(
    library: Library,
    findings: Findings,
    given: Given = Given(),  # noqa: B008  (frozen)
    times: Times | None = None,
) -> dict[str, tuple[Step, ...]]:
    """What would lift each claim, by REF; () where nothing that is tried would.

    `times` is the chronology, where that is worked out already.
    """
    bench = bench_of(library, findings, given, times)
    return {f"{part.ref}#{claim.id}": lift(bench, part, claim) for part, claim in library.claims()}


def lift_of(
    library: Library,
    findings: Findings,
    ref: str,
    given: Given = Given(),  # noqa: B008  (frozen)
) -> tuple[Step, ...]:
    """What would lift one claim, by its REF; () where there is no such claim."""
    kind, _, rest = ref.partition("/")
    id_, _, name = rest.partition("#")
    part = library.parts.get(id_) if kind == "parts" else None
    claim = next((c for c in part.claims if c.id == name), None) if part else None
    if part is None or claim is None:
        return ()
    return lift(bench_of(library, findings, given), part, claim)


def lift(bench: Bench, part: Part, claim: Claim) -> tuple[Step, ...]:
    """The steps that would lift one claim, the cheapest first.

    A dearer step is told only where it does more than every cheaper one, and none once a cheaper
    one corroborates: that is enough for a cut.
    """
    trial = _Trial(bench, part, claim)
    now = bench.findings.claims[f"{part.ref}#{claim.id}"]
    found: list[Step] = []
    best, tier, seen = _worth(now), -1, _worth(now)
    for attempt in attempts(bench.ground, part, claim, now):
        if _TIER[attempt.rule] != tier:
            tier, best = _TIER[attempt.rule], min(best, seen)
        tighter = attempt.rule == "L12"
        if not tighter and found and best <= ENOUGH:
            continue
        if not tighter and best[0] <= rank(attempt.at_most) and not best[1]:
            continue
        then = trial.graded(attempt)
        outcome = _outcome(bench.ground.library, claim, now, then)
        if outcome and (tighter or _worth(then) < best):
            seen = min(seen, _worth(then))
            settled = not then.not_settled
            found.append(
                Step(attempt.rule, attempt.asks, then.grade, settled, outcome, attempt.rests_on)
            )
    return tuple(found)


def _worth(graded: Graded) -> tuple[int, bool]:
    return rank(graded.grade), graded.not_settled


@dataclass(frozen=True, slots=True)
class _Trial:
    """One claim, to be graded with what each attempt brings."""

    bench: Bench
    part: Part
    claim: Claim
    taken: list[Pair] = field(default_factory=list)

    def graded(self, attempt: Attempt) -> Graded:
        """The claim as it would be graded."""
        ref = f"{self.part.ref}#{self.claim.id}"
        ground = self.bench.ground
        if attempt.library is not None:
            ground = replace(ground, library=attempt.library, times=_times(self.bench, attempt))
            measured = _measured(self.bench, ground, self.part.claims)
            ground = replace(ground, measured=measured)
            then = grade_claim(ground, self.part, attempt.claim)
        else:
            then = judge(ground, ref, attempt.claim, self._pairs(attempt.claim))
        rivals = self.bench.findings.claims[ref].rivals
        if not rivals:
            return then
        # What changes a record may move the rivals too; what is laid beside this claim alone can't.
        beside = {
            name: self.bench.findings.claims[name]
            if attempt.library is None
            else grade_claim(ground, self.part, claim)
            for claim in self.part.claims
            if (name := f"{self.part.ref}#{claim.id}") in rivals
        }
        return set_beside({**beside, ref: then}, self.part)[ref]

    def _pairs(self, claim: Claim) -> list[Pair]:
        """How each item is taken: those that are as they were, as they were taken."""
        ground, old = self.bench.ground, self.claim.evidence
        if not self.taken:
            self.taken.extend(take(ground, self.part, self.claim, i) for i in range(len(old)))
        return [
            self.taken[i] if i < len(old) and item is old[i] else take(ground, self.part, claim, i)
            for i, item in enumerate(claim.evidence)
        ]


def _times(bench: Bench, attempt: Attempt) -> Times:
    """The chronology with what an attempt says of a photograph or what it was made from."""
    ground = bench.ground
    group = ground.groups.get(ground.group_of.get(attempt.rests_on[0].partition("#")[0], ""))
    if attempt.library is None or group is None or attempt.rule not in TIMELY:
        return ground.times
    return retold(attempt.library, ground.times, group.members)


def _measured(bench: Bench, ground: Ground, claims: tuple[Claim, ...]) -> Mapping[str, Measured]:
    """The measurements, with those of the claims that gave no size worked out on other records.

    One that gives a size already gives no other for a ruling, a name or a print.
    """
    before = bench.findings.measurements
    found: dict[str, Measured] = {}
    for ref in {item.measured for claim in claims for item in claim.evidence if item.measured}:
        record = ground.library.measurements.get(ref.partition("/")[2])
        if record is not None and before[ref].refused:
            found[ref] = measure(Asked(ground, record, bench.held, bench.given.sizes))
    return Layered(found, before) if found else before


def _outcome(library: Library, claim: Claim, now: Graded, then: Graded) -> str:
    """What a claim gains, in words; "" where it gains nothing."""
    gained = list(_gains(library, claim, now, then))
    return ", ".join(gained)


def _gains(library: Library, claim: Claim, now: Graded, then: Graded) -> Iterator[str]:
    if rank(then.grade) < rank(now.grade):
        yield then.grade
    elif rank(then.grade) > rank(now.grade):
        return
    if now.not_settled and not then.not_settled:
        yield "settled"
    elif then.not_settled and not now.not_settled:
        yield "but not settled"
    if claim.aspect in FIGURED and claim.tolerance is not None and then.held is not None:
        needed: float = claim.tolerance.mm
        if _fits(then, needed) and not _fits(now, needed):
            units = (library.aircraft.units if library.aircraft else None) or "mm"
            yield f"held to the ± {show_mm(needed, None, units)} that the job needs"


def _fits(graded: Graded, needed_mm: float) -> bool:
    half = graded.held.half95_mm if graded.held else None
    return half is not None and half <= needed_mm
