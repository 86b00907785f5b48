"""What is old and what is new on the aircraft as it is shown: the kinds, and a part's share.

The six kinds are those of the trade's originality statements (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.findings import Finding

IN_PLACE = "original, in place"
REPAIRED = "original, repaired"
ELSEWHERE = "of the period, from another aircraft"
COPIED = "new, copied from an original"
PICTURED = "new, from photographs and papers"
CONJECTURAL = "new, a conjecture"
KINDS = (IN_PLACE, REPAIRED, ELSEWHERE, COPIED, PICTURED, CONJECTURAL)
"""What stands on the aircraft, the oldest first."""

LEFT_OFF = "left off"
BESIDE = "kept beside the aircraft"
UNDECIDED = "not decided yet"
NOT_THEN = "not on the aircraft at that time"
OFF = (LEFT_OFF, BESIDE, UNDECIDED, NOT_THEN)
"""What doesn't, or not yet."""

BASES = ("pieces", "m²", "kg")
"""What a share can be stated by: a count of pieces, the surface, the mass."""


@dataclass(frozen=True, slots=True)
class Share:
    """Part of a part, of one kind: so many pieces, and surface and mass where they are recorded."""

    kind: str
    pieces: int
    area_m2: float | None = None
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Originality:
    """What a part is on the aircraft as shown: its main kind with the reason, and its shares.

    A row of like parts may be of two kinds: those that survive, and those that are made.
    """

    part: str
    zone: str
    finding: Finding
    shares: tuple[Share, ...]
