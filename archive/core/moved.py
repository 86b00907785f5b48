"""One thing that differs between two sets of findings, and why it matters."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.findings import Reason
from archive.core.scales import GRADES


@dataclass(frozen=True, slots=True)
class Moved:
    """One thing that differs between two sets of findings.

    `ref` is the claim, part, decision, zone, photograph, witness group or card; `what` is one of
    "grade", "size", "witnesses", "choice", "decision", "signed", "evidence", "trial", "cut",
    "original", "zone", "group", "day", "belongs", "conflict", "use", "card" or, of a card,
    "mock-up", "words", "tolerance", "hazards", "state", "mark", "treatment" or "record"; `before`
    and `after` are words, "" where there is nothing. `matters` is why it matters, None where no
    step turns on it; `better` says that it opens a step and shuts none.
    """

    ref: str
    what: str
    before: str
    after: str
    matters: Reason | None = None
    better: bool = False

    @property
    def falls(self) -> bool:
        """Is this a claim whose grade goes down?"""
        return self.what == "grade" and _place(self.after) > _place(self.before)

    def as_json(self) -> dict[str, object]:
        """The line as plain values, for `--json`."""
        return {
            "ref": self.ref,
            "what": self.what,
            "before": self.before,
            "after": self.after,
            "matters": self.matters.as_json() if self.matters else None,
        }


def _place(words: str) -> int:
    grade = words.partition(",")[0]
    return GRADES.index(grade) if grade in GRADES else len(GRADES)
