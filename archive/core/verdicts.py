"""The shapes of what the reasoning concludes: plain values, each carrying its finding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from archive.core.cards import CardStanding
from archive.core.estimated import Estimated, Together
from archive.core.findings import Finding, Reason
from archive.core.likeness import Related
from archive.core.scales import GRADES as GRADES
from archive.core.scales import STEPS as STEPS


@dataclass(frozen=True, slots=True)
class WitnessGroup:
    """Items that share an origin, and so count as one witness.

    `id` is the REF of the group's root (the smallest where there are several); `members` and
    `roots` are REFs of photographs and sources; `best` is the member of the best generation;
    `sitting` is the occasion, "" where none is recorded or seen. `finding` says why they were
    joined. `once` is the id of the group that it counts with until a person rules, "" where no
    ruling is open; `beside` says why it counts with, or is of one occasion with, other groups.
    """

    id: str
    members: tuple[str, ...]
    roots: tuple[str, ...]
    best: str
    sitting: str
    finding: Finding
    once: str = ""
    beside: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class ItemTaken:
    """How one item of evidence was taken.

    `index` is its place in the claim's list; `ref` the record it names; `group` its witness
    group's id ("" for metal and surveys); `cap` the best grade that it can lend alone, "" where it
    is no evidence; `rule` and `says` tell why. `against` marks what speaks against the claim.
    `value_mm` and `half95_mm` are the size that it gives, None where it gives none; `measured` is
    the REF of the measurement that they come from, "" where a person wrote them. `disputed` is a
    short code of the clashes of dates that it hangs on, "" for none.
    """

    index: int
    ref: str
    group: str
    cap: str
    rule: str
    says: str
    against: bool
    value_mm: float | None = None
    half95_mm: float | None = None
    measured: str = ""
    disputed: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """The size that is held for a claim, in millimetres; `half95_mm` None where no error was given.

    `taken_from` is the REF of the record that it comes from, of several taken together that of
    which counts most; `measured` that of the measurement which gave it, "" where a person wrote it.
    `errors` are the sources of error of several taken together, as in `Measured`.
    """

    value_mm: float
    half95_mm: float | None
    taken_from: str
    says: str
    measured: str = ""
    errors: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Graded:
    """The grade of one claim.

    `grade` is one of GRADES; `not_settled` is true where a rival stands level or evidence speaks
    openly against it; `earned` is the grade of the evidence alone, before any ruling; `items` is
    how each item of evidence was taken, in file order; `rivals` are REFs of rival claims;
    `witnesses` counts the independent witnesses behind it; `state` is the short code of the
    evidence it rests on; `held` is the size, for claims of size and position, and `together` what
    its figures come to; `told` are sentences about what the program can't weigh yet. `by_book` is
    the grade that the rule book gives it, where the team's policy may have lowered it, else "".
    """

    ref: str
    aspect: str
    grade: str
    earned: str
    not_settled: bool
    finding: Finding
    items: tuple[ItemTaken, ...]
    rivals: tuple[str, ...]
    witnesses: int
    state: str
    held: Held | None
    told: tuple[str, ...] = ()
    by_book: str = ""
    together: Together | None = None


@dataclass(frozen=True, slots=True)
class Simulated:
    """What drawing the observations of a measurement anew gave, in millimetres."""

    draws: int
    u_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class LaidOver:
    """Where a point of a mock-up stands against the same point on a period photograph.

    `along` is, for each of the aircraft's axes in the plane of the thing, (axis, mm, 95 %
    half-width); `differs` says that the two stand apart by more than the errors explain. `photo` is
    the REF of the period photograph, `seen_px` where the point is picked on it, and `stands_px`
    where the mock-up's point would be seen there.
    """

    point: str
    along: tuple[tuple[str, float, float], ...]
    differs: bool
    photo: str
    seen_px: tuple[float, float]
    stands_px: tuple[float, float]

    def as_json(self) -> dict[str, object]:
        """The point as plain values, for `--json`."""
        return {
            "point": self.point,
            "along": [{"axis": axis, "mm": mm, "half95_mm": half} for axis, mm, half in self.along],
            "differs": self.differs,
            "photo": self.photo,
            "seen_px": list(self.seen_px),
            "stands_px": list(self.stands_px),
        }


@dataclass(frozen=True, slots=True)
class Fitted:
    """A pick on the photograph `photo` (REF), and where the solution sees its point, in pixels.

    `known` is true of a surveyed point.
    """

    photo: str
    point: str
    picked_px: tuple[float, float]
    seen_px: tuple[float, float]
    known: bool


@dataclass(frozen=True, slots=True)
class Agreement:
    """Whether a photograph (REF) agrees with the metal, by the surveyed points picked on it.

    `checked` counts the points that others check, `agree` those that lie within their error of
    where these put them; `finding` has the verdict and the sentence.
    """

    photo: str
    checked: int
    agree: int
    finding: Finding


@dataclass(frozen=True, slots=True)
class Measured:
    """What a measurement gives: a size with its error, or the reason why it gives none.

    `value_mm`, `u_mm` (standard uncertainty) and `half95_mm` (1.96 u) are None where it is
    `refused`, a sentence; `way_out` then says what would help. `budget` names the terms of the
    error, each with its u in mm, the largest first; `dominates` is the name of the largest and
    `would_halve` says what would halve the error. `errors` are the independent sources, each with
    the signed effect (mm) of one standard deviation: what two measurements share is found by name.
    `chi2` and `dof` tell how well the picks fit. `simulated` is there only where it was asked for.
    A mock-up gives no size either, and is not refused: `laid_over` has its points. `fitted` is how
    each pick lies to the solution, and `structure` where that sees surveyed points that a survey
    joins by lines: (REF of the photograph, name, pixel). `agreements` say of each photograph
    whether its surveyed points agree.
    """

    ref: str
    method: str
    value_mm: float | None
    u_mm: float | None
    half95_mm: float | None
    budget: tuple[tuple[str, float], ...]
    dominates: str
    would_halve: str
    refused: str | None
    way_out: str
    finding: Finding
    errors: tuple[tuple[str, float], ...] = ()
    chi2: float = 0.0
    dof: int = 0
    simulated: Simulated | None = None
    laid_over: tuple[LaidOver, ...] = ()
    fitted: tuple[Fitted, ...] = ()
    structure: tuple[tuple[str, str, tuple[float, float]], ...] = ()
    agreements: tuple[Agreement, ...] = ()

    def as_json(self) -> dict[str, object]:
        """The measurement as plain values, for `--json`."""
        simulated = self.simulated
        return {
            "ref": self.ref,
            "method": self.method,
            "value_mm": self.value_mm,
            "u_mm": self.u_mm,
            "half95_mm": self.half95_mm,
            "refused": self.refused,
            "way_out": self.way_out,
            "budget": [{"term": name, "u_mm": u} for name, u in self.budget],
            "dominates": self.dominates,
            "would_halve": self.would_halve,
            "chi2": self.chi2,
            "dof": self.dof,
            "laid_over": [point.as_json() for point in self.laid_over],
            "simulated": None
            if simulated is None
            else {
                "draws": simulated.draws,
                "u_mm": simulated.u_mm,
                "low_mm": simulated.low_mm,
                "high_mm": simulated.high_mm,
            },
            **self.finding.as_json(),
        }


@dataclass(frozen=True, slots=True)
class PartKnown:
    """What a part's page answers first, and what it may be used for.

    `lead` is the REF of the claim that the five answers are about ("" where there are no claims);
    `size` that of the size claim shown as "how big" ("" where there is none). `steps` gives a
    finding for each of STEPS, with verdict "cleared", "hold" or, of work on an original, "no
    original" where nothing survives that could be touched, and "done" where it was carried out.
    `decisions` are REFs of the decisions about the part that stand, newest first. `treatments`
    gives a finding for each treatment of the original, by REF.
    """

    ref: str
    lead: str
    size: str
    steps: Mapping[str, Finding]
    decisions: tuple[str, ...]
    treatments: Mapping[str, Finding] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ZoneKnown:
    """How well a zone is known: the grade that half of its claims reach, "" without claims."""

    zone: str
    grade: str
    parts: tuple[str, ...]
    claims: int
    held: int
    finding: Finding


@dataclass(frozen=True, slots=True)
class Standing:
    """How a decision stands: "stands", "superseded", "unsigned", or "reopened".

    `evidence_state` is the short code of the evidence it leans on today: what a signature is
    pinned to. `signed_by` are those whose signatures count today, as they are written.
    """

    ref: str
    state: str
    superseded_by: str
    evidence_state: str
    finding: Finding
    signed_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Dated:
    """The earliest and the latest day of an event, or of a photograph's exposure.

    A day is None where nothing bounds that side. `earliest_finding` and `latest_finding` give the
    chain of statements behind each, from the thing itself to the calendar. `states` says for each
    state of the aircraft (by REF) whether a photograph must, may or cannot fall in it, and why.
    `told` are statements about its day that were not used, and clashes that it stands in.
    """

    ref: str
    earliest: date | None
    latest: date | None
    earliest_finding: Finding
    latest_finding: Finding
    states: Mapping[str, Finding]
    told: tuple[Reason, ...] = ()

    def as_json(self) -> dict[str, object]:
        """The dating as plain values, for `--json`; a day is YYYY-MM-DD, or null for none."""
        return {
            "earliest": self.earliest.isoformat() if self.earliest else None,
            "latest": self.latest.isoformat() if self.latest else None,
            "why_earliest": self.earliest_finding.as_json(),
            "why_latest": self.latest_finding.as_json(),
            "states": {state: found.as_json() for state, found in self.states.items()},
            "told": [reason.as_json() for reason in self.told],
        }


@dataclass(frozen=True, slots=True)
class Spell:
    """When a state of the aircraft began and when it ended, each with its bounds."""

    ref: str
    begins: Dated
    ends: Dated


@dataclass(frozen=True, slots=True)
class Clash:
    """Statements about time that can't all be true; without any one of them the rest can.

    `aside` are the places in the finding's reasons of those that were set aside, so that the rest
    still gives dates. `check` says what to look at again. `refs` are the photographs, sources and
    events that it is told at. `advice` is true where all that was set aside is a date that nobody
    argued for, or a thing seen to be absent.
    """

    finding: Finding
    aside: tuple[int, ...]
    check: str
    refs: tuple[str, ...]
    advice: bool


@dataclass(frozen=True, slots=True)
class Findings:
    """All that the reasoning concludes about a content folder, by REF (zones: by number)."""

    groups: Mapping[str, WitnessGroup]
    group_of: Mapping[str, str]
    claims: Mapping[str, Graded]
    parts: Mapping[str, PartKnown]
    zones: Mapping[str, ZoneKnown]
    decisions: Mapping[str, Standing]
    measurements: Mapping[str, Measured]
    leaning: Mapping[str, tuple[str, ...]]
    """REF of a photograph, source, part or survey → REFs of the claims that lean on it."""
    dates: Mapping[str, Dated]
    """REF of an event or a photograph → its earliest and latest day."""
    spells: Mapping[str, Spell]
    """REF of a state → when it began and ended."""
    clashes: tuple[Clash, ...]
    """The contradictions among dates, in the order in which they were met."""
    estimates: Mapping[str, Estimated] = field(default_factory=dict)
    """REF of a claim of size or position with evidence → what its figures come to."""
    related: tuple[Related, ...] = ()
    """Photographs whose pictures are related, with the answer about each pair."""
    cards: Mapping[str, CardStanding] = field(default_factory=dict)
    """REF of a cutting card → how it stands against all this."""

    def agreement(self, photo: str) -> tuple[str, Agreement] | None:
        """Whether a photograph agrees with the metal, by the measurement (REF) on it that checks
        most points; None where none does."""
        found = [
            (ref, one)
            for ref, measured in self.measurements.items()
            for one in measured.agreements
            if one.photo == photo
        ]
        return max(found, key=lambda pair: pair[1].checked, default=None)
