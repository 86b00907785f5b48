"""What holds the work up: each stop with the parts that it holds, and the day each part must start.

A stop that hangs on a record (an open question, a decision that isn't signed) is one stop for all
parts that it holds. A want of evidence is told by its rule and the aspect that it is about.
"""

from __future__ import annotations

from typing import Any

from archive.core.findings import Reason
from archive.core.foresight import Holding, Stop, Waiting
from archive.core.verdicts import Findings
from archive.reasoning.docket import HOLD
from archive.records.claim import Claim
from archive.records.library import Library

Key = tuple[str, str, str]
"""A stop's rule, the record that it hangs on, and its words."""

_WANTS = {
    "C3": "The {} is less than seen, or not settled.",
    "C4": "The {} has no tolerance, or no figure that is tight enough for it.",
}


def holding(library: Library, findings: Findings) -> Holding:
    """Stops, those that hold most parts by themselves first; and parts, by the day to start."""
    held = {
        ref: tuple(reason for reason in known.steps["cut"].reasons if not reason.aside)
        for ref, known in findings.parts.items()
        if known.steps["cut"].verdict == HOLD
    }
    parts: dict[Key, list[str]] = {}
    alone: dict[Key, list[str]] = {}
    for ref, reasons in held.items():
        keys = dict.fromkeys(_key(library, reason) for reason in reasons)
        for key in keys:
            parts.setdefault(key, []).append(ref)
        if len(keys) == 1:
            alone.setdefault(next(iter(keys)), []).append(ref)
    stops = [
        Stop(rule, says, on, tuple(found), tuple(alone.get((rule, on, says), ())))
        for (rule, on, says), found in parts.items()
    ]
    stops.sort(key=lambda stop: (-len(stop.alone), -len(stop.parts), stop.rule, stop.says))
    waiting = [Waiting(ref, _latest(library, ref), reasons) for ref, reasons in held.items()]
    waiting.sort(key=lambda one: (one.latest is None, str(one.latest), one.part))
    return Holding(tuple(stops), tuple(waiting))


def _key(library: Library, reason: Reason) -> Key:
    on = next(
        (ref for ref in reason.rests_on if ref.partition("/")[0] in ("decisions", "questions")), ""
    )
    if on:
        return reason.rule, on, reason.says
    claim = library.get(reason.rests_on[0]) if reason.rests_on else None
    wants = _WANTS.get(reason.rule)
    if wants and isinstance(claim, Claim):
        # What rests on a claim tells figures of its own: all of one aspect are one want.
        return reason.rule, "", wants.format(claim.aspect)
    return reason.rule, "", reason.says


def _latest(library: Library, ref: str) -> Any:
    """The last day on which work on a part can begin and be done by the handover."""
    part = library.parts[ref.partition("/")[2]]
    handover = library.aircraft.handover if library.aircraft else None
    if handover is None or part.lead_days is None:
        return None
    return type(handover).fromordinal(max(1, handover.toordinal() - part.lead_days))
