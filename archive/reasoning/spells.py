"""When a state of the aircraft began and ended: with the last and the first of its events."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from archive.core.findings import Finding, Reason
from archive.core.verdicts import Dated, Spell
from archive.reasoning.lives import Life

_NO_EVENT = "no event is named"


def spell(life: Life, state: str, dates: Mapping[str, Dated]) -> Spell:
    """When a state began and ended, from the dates of its events."""
    starts = [dates[ref] for ref in life.starts(state)]
    ends = [dates[ref] for ref in life.ends(state)]
    return Spell(
        state,
        begins=_joined(state, _last(starts, "earliest", False), _last(starts, "latest", True)),
        ends=_joined(state, _first(ends, "earliest", True), _first(ends, "latest", False)),
    )


def _last(events: Sequence[Dated], side: str, all_of_them: bool) -> Dated | None:
    known = [event for event in events if getattr(event, side)]
    if all_of_them and len(known) < len(events):
        return None
    return max(known, key=lambda event: str(getattr(event, side)), default=None)


def _first(events: Sequence[Dated], side: str, all_of_them: bool) -> Dated | None:
    known = [event for event in events if getattr(event, side)]
    if all_of_them and len(known) < len(events):
        return None
    return min(known, key=lambda event: str(getattr(event, side)), default=None)


def _joined(state: str, early: Dated | None, late: Dated | None) -> Dated:
    unnamed = Finding(_NO_EVENT, (Reason("T2", "No event with a day bounds it here.", (state,)),))
    return Dated(
        ref=state,
        earliest=early.earliest if early else None,
        latest=late.latest if late else None,
        earliest_finding=early.earliest_finding if early else unnamed,
        latest_finding=late.latest_finding if late else unnamed,
        states={},
    )
