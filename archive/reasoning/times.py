"""What the records settle about time, in the shape that the rest of the judgement asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from archive.core.findings import Reason
from archive.core.problems import Problem
from archive.core.verdicts import Clash, Dated, Spell
from archive.reasoning.tightening import Tightened


@dataclass(frozen=True)
class Times:
    """Verdicts by REF, what `check` is to tell of clashes, and the network itself.

    `disputed` gives, for a photograph or a source, the clashes of dates that it stands in and that
    somebody must mend, with what to look at again. `deciding` tells, for "after" or "before" and
    an event's REF, that nothing says so of a photograph, and what would decide it.
    """

    dates: Mapping[str, Dated]
    spells: Mapping[str, Spell]
    clashes: tuple[Clash, ...]
    problems: tuple[Problem, ...]
    tightened: Tightened
    deciding: Mapping[str, tuple[Reason, Reason]]
    disputed: Mapping[str, tuple[Reason, ...]]
