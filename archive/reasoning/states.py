"""Whether a part or a photograph belongs to a state of the aircraft: must, may or cannot.

Until the chronology can be worked out, only what is certain from the events' own days is used:
an event is before another where its latest day is no later than the other's earliest.
"""

from __future__ import annotations

from archive.records.aircraft import Configuration, Event
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import InConfiguration, Photo

MUST, MAY, CANNOT = "must", "may", "cannot"


def fitted_in(library: Library, part: Part, configuration: str | None) -> str:
    """Whether a part was on the aircraft in a configuration (a REF; None is "any time")."""
    state = _configuration(library, configuration)
    if state is None or part.fitted is None:
        return MUST
    since = _event(library, part.fitted.since)
    until = _event(library, part.fitted.until)
    starts = [event for ref in state.after if (event := _event(library, ref))]
    ends = [event for ref in state.before if (event := _event(library, ref))]
    if since and any(_not_before(since, end) for end in ends):
        return CANNOT
    if until and any(_not_after(until, start) for start in starts):
        return CANNOT
    on_by_start = since is None or any(_not_after(since, start) for start in starts)
    off_after_end = until is None or any(_not_before(until, end) for end in ends)
    return MUST if on_by_start and off_after_end else MAY


def shown_in(photo: Photo, configuration: str | None) -> tuple[str, InConfiguration | None]:
    """Whether a photograph shows a configuration, and the ruling that says so.

    Of two rulings the more doubtful holds; with none it is *may*.
    """
    if configuration is None:
        return MUST, None
    rulings = [rule for rule in photo.configurations if rule.configuration == configuration]
    if not rulings:
        return MAY, None
    order = (CANNOT, MAY, MUST)
    worst = min(rulings, key=lambda rule: order.index(rule.is_in or MAY))
    return worst.is_in or MAY, worst


def _configuration(library: Library, ref: str | None) -> Configuration | None:
    return library.configurations.get(ref.partition("/")[2]) if ref else None


def _event(library: Library, ref: str | None) -> Event | None:
    return library.events.get(ref.partition("/")[2]) if ref else None


def _not_after(one: Event, other: Event) -> bool:
    """Is it certain that `one` happened no later than `other`?"""
    if one.id == other.id:
        return True
    latest = one.when.latest if one.when else None
    earliest = other.when.earliest if other.when else None
    return latest is not None and earliest is not None and latest <= earliest


def _not_before(one: Event, other: Event) -> bool:
    return _not_after(other, one)


def together(library: Library, one: Part, other: Part) -> str:
    """Whether two parts were on the aircraft at one time: "cannot" where one was gone before."""
    if one.fitted is None or other.fitted is None:
        return MUST
    for first, then in ((one, other), (other, one)):
        assert first.fitted is not None and then.fitted is not None
        gone = _event(library, first.fitted.until)
        came = _event(library, then.fitted.since)
        if gone and came and _not_after(gone, came):
            return CANNOT
    return MUST


def excludes(library: Library, one: str, other: str) -> bool:
    """Is it certain that two configurations (REFs) can't hold at once?

    One of them then ends with, or before, an event that begins the other.
    """
    first, second = _configuration(library, one), _configuration(library, other)
    if first is None or second is None or first.id == second.id:
        return False
    for before, after in ((first, second), (second, first)):
        ends = [event for ref in before.before if (event := _event(library, ref))]
        starts = [event for ref in after.after if (event := _event(library, ref))]
        if any(_not_after(end, start) for end in ends for start in starts):
            return True
    return False
