"""How cutting cards stand against the findings of today: plain values."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.check_codes import as_printed
from archive.core.findings import Finding
from archive.core.moved import Moved

UNCHANGED, CHANGED, RECALL = "unchanged", "changed", "recall"
SUPERSEDED, WITHDRAWN = "superseded", "withdrawn"


@dataclass(frozen=True, slots=True)
class IssueStanding:
    """How one issue of a card stands.

    The finding's verdict is UNCHANGED; CHANGED, where what moved matters to no cut by this card;
    RECALL, where it does; SUPERSEDED, where a later issue took its place; or WITHDRAWN. `moved` is
    every line that differs from what was printed, for a superseded issue too. `fits` gives, by the
    claim's id, the chance that a piece made to the figures as printed is near enough. `out` says
    that this sheet is to be fetched back; `pieces` are those made to it that are to be looked at
    again, each by who made it and when.
    """

    card: str
    issue: int
    code: str
    finding: Finding
    moved: tuple[Moved, ...] = ()
    fits: tuple[tuple[str, float], ...] = ()
    out: bool = False
    pieces: tuple[str, ...] = ()

    @property
    def state(self) -> str:
        """The verdict."""
        return self.finding.verdict

    @property
    def recalled(self) -> bool:
        """Is the sheet to be fetched back, or a piece made to it to be looked at again?"""
        return self.out or bool(self.pieces)

    @property
    def printed(self) -> str:
        """Number, issue and code as they stand on the card."""
        return as_printed(self.card.partition("/")[2], self.issue, self.code)

    def as_json(self) -> dict[str, object]:
        """The standing as plain values, for `--json`."""
        return {
            "ref": self.card,
            "card": self.printed,
            **self.finding.as_json(),
            "fetch_back": self.out,
            "look_again": list(self.pieces),
            "moved": [line.as_json() for line in self.moved],
        }


@dataclass(frozen=True, slots=True)
class CardStanding:
    """How a card and all its issues stand, oldest first; `part` is the REF of what it is for."""

    ref: str
    part: str
    issues: tuple[IssueStanding, ...]

    @property
    def latest(self) -> IssueStanding | None:
        """The issue that counts; None where none can be read."""
        return self.issues[-1] if self.issues else None

    @property
    def state(self) -> str:
        """How the latest issue stands; a card of which no issue can be read is to be recalled."""
        return self.issues[-1].state if self.issues else RECALL

    @property
    def recalled(self) -> tuple[IssueStanding, ...]:
        """The issues of which a sheet or a piece is called back, the newest first."""
        return tuple(one for one in reversed(self.issues) if one.recalled)

    @property
    def calls(self) -> bool:
        """Is anything of it called back? A card of which no issue can be read is."""
        return bool(self.recalled) or self.state == RECALL
