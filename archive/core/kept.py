"""A state of the findings kept under a name: figures and words of verdict, never prose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True)
class KeptClaim:
    """What was found of a claim: its grade, its size in mm with standard uncertainty (None where
    none is held), how many independent witnesses, and the code of its evidence state."""

    grade: str
    settled: bool
    witnesses: int
    evidence: str
    value_mm: float | None = None
    u_mm: float | None = None


@dataclass(frozen=True, slots=True)
class KeptDecision:
    """What was chosen, how the decision stood, and the code of the evidence that it leans on."""

    choice: str
    state: str
    evidence: str


@dataclass(frozen=True, slots=True)
class KeptPart:
    """What a part was cleared for: the verdicts on trial stock, on a cut, and on touching what
    survives of it ("" where nobody asked)."""

    trial: str
    cut: str
    original: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """All findings of one day, by REF, with the number of the rule set that gave them."""

    rule_set: int
    name: str = ""
    on: date | None = None
    claims: Mapping[str, KeptClaim] = field(default_factory=dict)
    decisions: Mapping[str, KeptDecision] = field(default_factory=dict)
    parts: Mapping[str, KeptPart] = field(default_factory=dict)
    cards: Mapping[str, str] = field(default_factory=dict)
    """REF of each cutting card → how its latest issue stood; REF#ISSUE of each earlier issue of
    which a sheet or a piece was called back → "recall"."""
    dates: Mapping[str, str] | None = None
    """REF of each event and photograph → its days in words; None where nobody kept them."""
    clashing: tuple[str, ...] = ()
    """REFs of photographs, sources and events whose dates can't all be true."""
