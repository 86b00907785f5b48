"""What would move if a record fell or evidence came, and what holds the work up: plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from archive.core.findings import Finding, Reason
from archive.core.moved import Moved as Moved


@dataclass(frozen=True, slots=True)
class Beside:
    """A part that meets or moves with a part whose claims move: it must be looked at too."""

    part: str
    how: str
    other: str


@dataclass(frozen=True, slots=True)
class Impact:
    """What moves if something is supposed of a record.

    `ref` is the record, `supposed` what is supposed of it, in a sentence. `moved` are the
    differences; `stands` are REFs of claims that lean on the record and keep their grade without
    it; `beside` are parts along which it travels; `told_in` are REFs of stories, questions and
    decisions that name the record, or a part whose claims move: their words may need changing.
    """

    ref: str
    supposed: str
    moved: tuple[Moved, ...] = ()
    stands: tuple[str, ...] = ()
    beside: tuple[Beside, ...] = ()
    told_in: tuple[str, ...] = ()

    @property
    def fallen(self) -> tuple[str, ...]:
        """The REFs of claims whose grade goes down."""
        return tuple(line.ref for line in self.moved if line.falls)

    @property
    def finding(self) -> Finding:
        """What it comes to, and the reasons why it matters, each with what it rests on."""
        counts = [
            _count(len(self.fallen), "claim falls", "claims fall"),
            _count(
                sum(1 for m in self.moved if m.what == "decision" and m.after == "reopened"),
                "decision reopens",
                "decisions reopen",
            ),
            _count(
                sum(1 for m in self.moved if m.what == "cut" and m.after == "hold"),
                "part is held from cutting",
                "parts are held from cutting",
            ),
            _count(
                sum(1 for m in self.moved if m.what == "original" and m.after == "hold"),
                "original is held",
                "originals are held",
            ),
            _count(
                len({m.ref for m in self.moved if m.what == "card" and m.after.endswith("recall")}),
                "card is recalled",
                "cards are recalled",
            ),
            _count(
                sum(1 for m in self.moved if m.what == "conflict" and m.matters),
                "clash of dates appears",
                "clashes of dates appear",
            ),
        ]
        verdict = ", ".join(words for words in counts if words)
        if not verdict:
            kinds = {line.what for line in self.moved}
            verdict = "something moves, nothing falls" if kinds else "nothing moves"
            verdict = "use only: no grade changes" if kinds == {"use"} else verdict
        reasons = tuple(line.matters for line in self.moved if line.matters)
        return Finding(verdict, reasons)

    def as_json(self) -> dict[str, object]:
        """The impact as plain values, for `--json`: a finding, and what it is made of."""
        return {
            "ref": self.ref,
            "supposed": self.supposed,
            **self.finding.as_json(),
            "moved": [line.as_json() for line in self.moved],
            "stands": list(self.stands),
            "beside": [{"part": b.part, "how": b.how, "other": b.other} for b in self.beside],
            "told_in": list(self.told_in),
        }


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}" if number else ""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that would lift a claim, tried by grading the claim anew with it.

    `rule` is its number in `core.rules.LIFTING`, `asks` the request in shop words; `to` is the
    grade that the claim would have, `settles` whether it would be settled then, `outcome` what it
    gains, in words. `rests_on` are REFs of the records that it is about.
    """

    rule: str
    asks: str
    to: str
    settles: bool
    outcome: str
    rests_on: tuple[str, ...] = ()

    def as_json(self) -> dict[str, object]:
        """The step as plain values, for `--json`."""
        return {
            "rule": self.rule,
            "says": self.asks,
            "to": self.to,
            "settles": self.settles,
            "outcome": self.outcome,
            "rests_on": list(self.rests_on),
        }


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing that holds parts from being cut.

    `rule` is the clearing rule, `says` what is wanted, `on` the record that it hangs on ("" where
    it is a want of every part by itself). `parts` are REFs of the parts that it holds, `alone`
    those that nothing else holds.
    """

    rule: str
    says: str
    on: str
    parts: tuple[str, ...]
    alone: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """A part that is held from being cut, and the latest day on which work on it can begin.

    `latest` is the handover less the part's `lead_days`; None where either isn't given.
    """

    part: str
    latest: date | None
    stops: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Holding:
    """What holds the work up: the stops, those that free most first, and the parts that wait."""

    stops: tuple[Stop, ...] = ()
    waiting: tuple[Waiting, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """What differs between two states of the findings.

    `since` and `until` are their names, `until` "" for today; `on` the days they were kept, None
    for today. `rules` are the numbers of their rule sets: where they differ, grades may have moved
    for that alone.
    """

    since: str
    until: str
    on: tuple[date | None, date | None]
    rules: tuple[int, int]
    moved: tuple[Moved, ...]


@dataclass(frozen=True)
class Foreseen:
    """Everything that is foreseen of one content folder.

    `falls` gives the impact of photographs and sources that are leaned on, if each fell; `lifts`
    the steps that would lift each claim, by REF, the cheapest first. In a very large archive not
    every record is tried, but those that most claims lean on; `untried` is how many claims lean on
    any other at most, and so the most that can fall with it: 0 where all were tried. `changes` are
    the differences from each named state to today, and from each to the next.
    """

    falls: Mapping[str, Impact] = field(default_factory=dict)
    untried: int = 0
    lifts: Mapping[str, tuple[Step, ...]] = field(default_factory=dict)
    holding: Holding = Holding()
    changes: tuple[Change, ...] = ()

    @property
    def carriers(self) -> tuple[Impact, ...]:
        """Sources and photographs by how many claims would fall with them, most first.

        Items that carry just the same claims (a print and its negative) are told once, by the
        first of them.
        """
        found: dict[tuple[str, ...], Impact] = {}
        for impact in self.falls.values():
            if impact.fallen:
                found.setdefault(impact.fallen, impact)
        return tuple(sorted(found.values(), key=lambda one: (-len(one.fallen), one.ref)))


NOTHING = Foreseen()
"""What is foreseen where nobody asked."""
