"""The shape of an answer to "may we?": one use of one item on one day, with its conditions."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.dates import Day
from archive.core.findings import Finding

PERMITTED, WITHHELD = "permitted", "withheld"


@dataclass(frozen=True, slots=True)
class Owed:
    """What a licence asks for besides the credit line, such as a fee or a copy of the book."""

    says: str
    settled: Day | None


@dataclass(frozen=True, slots=True)
class Permission:
    """Whether the item `ref` may be put to `use`, and on what terms.

    The finding's verdict is PERMITTED or WITHHELD. `credit` is the wording to print, "" where none
    is asked for; `crop` and `overprint` are true only where the rights say so; `until` is the last
    day that it holds, None for as long as nothing changes; `conditions` are sentences that bind
    whoever uses it; `owed` is what it costs. `statement` is the address of its rights statement.
    """

    ref: str
    use: str
    finding: Finding
    credit: str = ""
    crop: bool = False
    overprint: bool = False
    until: Day | None = None
    conditions: tuple[str, ...] = ()
    owed: tuple[Owed, ...] = ()
    statement: str = ""

    @property
    def permitted(self) -> bool:
        """Whether it may be used."""
        return self.finding.verdict == PERMITTED

    def as_json(self) -> dict[str, object]:
        """The answer as plain values, for `--json`."""
        return {
            **self.finding.as_json(),
            "ref": self.ref,
            "use": self.use,
            "credit": self.credit,
            "crop": self.crop,
            "overprint": self.overprint,
            "until": self.until.isoformat() if self.until else None,
            "conditions": list(self.conditions),
            "owed": [
                {"says": one.says, "settled": one.settled.isoformat() if one.settled else None}
                for one in self.owed
            ],
            "statement": self.statement,
        }


@dataclass(frozen=True, slots=True)
class Rights:
    """What is known of the rights in one photograph or source, on a day.

    `uses` gives the answer for each use, in the order of the uses; `hint` is a sentence about when
    copyright may have ended, "" where nothing can be said. A hint allows nothing.
    """

    ref: str
    uses: tuple[Permission, ...]
    hint: str = ""
