"""Whether a part or a photograph belongs to a state of the aircraft: must, may or cannot.

It is told by how far the photograph can lie from each event that bounds the state, not by whether
calendar dates overlap: what shows the floats was taken after they were fitted, whatever the day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from archive.core.dates import show_bounds
from archive.core.findings import Finding, Reason
from archive.core.verdicts import Dated
from archive.reasoning.lives import Life
from archive.reasoning.statements import named, stopped
from archive.reasoning.tightening import Tightened
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import InConfiguration, Photo

MUST, MAY, CANNOT = "must", "may", "cannot"


@dataclass(frozen=True)
class Clocks:
    """What there is to tell the state of a photograph by: records, network, what would decide."""

    library: Library
    tightened: Tightened
    deciding: Mapping[str, tuple[Reason, Reason]]


def deciding(library: Library, events: Mapping[str, Dated]) -> dict[str, tuple[Reason, Reason]]:
    """ "after" or "before" and an event's REF → that nothing says so, and what would decide it."""
    fitted = parts_at(library)
    return {
        f"{word} {event}": _would_decide(library, dated, fitted.get(event, ()), word)
        for event, dated in events.items()
        for word in ("after", "before")
    }


def parts_at(library: Library) -> dict[str, tuple[str, ...]]:
    """REF of an event → REFs of the parts of this airframe that it fitted or took off."""
    found: dict[str, list[str]] = {}
    for part in library.parts.values():
        if part.fitted and part.airframe in (None, "this"):
            for event in (part.fitted.since, part.fitted.until):
                if event:
                    found.setdefault(event, []).append(part.ref)
    return {event: tuple(refs) for event, refs in found.items()}


def state_of(clocks: Clocks, life: Life, photo: Photo, state: str) -> Finding:
    """Whether a photograph was taken in a state: must, may or cannot, and why.

    The first reason names events and the photograph alone, no other record.
    """
    rulings = [ruling for ruling in photo.configurations if ruling.configuration == state]
    for ruling in rulings:
        if ruling.is_in == CANNOT:
            return Finding(CANNOT, (_ruled(clocks, photo, ruling),))
    outside = _outside(clocks, life, photo, state)
    if outside:
        return Finding(CANNOT, outside)
    for ruling in rulings:
        if ruling.is_in == MAY:
            return Finding(MAY, (_ruled(clocks, photo, ruling),))
    open_at = _undecided(clocks, life, photo, state)
    if life.whole(state) and not open_at:
        return Finding(MUST, _inside(clocks, life, photo, state))
    for ruling in rulings:
        if ruling.is_in == MUST and not life.whole(state):
            return Finding(MUST, (_ruled(clocks, photo, ruling),))
    return Finding(MAY, open_at or (_unbounded(clocks, state),))


def fitted_in(library: Library, tightened: Tightened, part: Part, configuration: str | None) -> str:
    """Whether a part was on the aircraft in a configuration (a REF; None is "any time")."""
    state = library.configurations.get(configuration.partition("/")[2]) if configuration else None
    if state is None or part.fitted is None:
        return MUST
    since, until = part.fitted.since, part.fitted.until
    by = partial(not_after, tightened)
    if since and any(by(end, since) for end in state.before):
        return CANNOT
    if until and any(by(until, start) for start in state.after):
        return CANNOT
    on_by_start = since is None or any(by(since, start) for start in state.after)
    off_after_end = until is None or any(by(end, until) for end in state.before)
    return MUST if on_by_start and off_after_end else MAY


def together(tightened: Tightened, one: Part, other: Part) -> str:
    """Whether two parts were on the aircraft at one time: "cannot" where one was gone before."""
    if one.fitted is None or other.fitted is None:
        return MUST
    for first, then in ((one.fitted, other.fitted), (other.fitted, one.fitted)):
        if first.until and then.since and not_after(tightened, first.until, then.since):
            return CANNOT
    return MUST


def shown_when_off(tightened: Tightened, photo: Photo, part: Part) -> bool:
    """Is it certain that a photograph was taken while a part was not on the aircraft?"""
    if part.fitted is None:
        return False
    before = part.fitted.since and tightened.most(part.fitted.since, photo.ref)
    later = part.fitted.until and tightened.most(photo.ref, part.fitted.until)
    return any(isinstance(most, int) and most < 0 for most in (before, later))


def not_after(tightened: Tightened, one: str, other: str) -> bool:
    """Is it certain that event `one` happened no later than event `other`?"""
    most = tightened.most(other, one)
    return most is not None and most <= 0


def _outside(clocks: Clocks, life: Life, photo: Photo, state: str) -> tuple[Reason, ...]:
    """Why it can't have been taken in the state; () where it can."""
    ways = [(event, photo.ref, event, "before") for event in life.starts(state)]
    ways += [(photo.ref, event, event, "after") for event in life.ends(state)]
    for first, then, event, word in ways:
        most = clocks.tightened.most(first, then)
        if most is not None and most < 0:
            says = f"It was taken {word} “{named(clocks.library, event)}”."
            return (Reason("T12", says, (event,)), *_reasons(clocks, first, then))
    return ()


def _inside(clocks: Clocks, life: Life, photo: Photo, state: str) -> tuple[Reason, ...]:
    starts, ends = life.starts(state), life.ends(state)
    told = [f"after “{named(clocks.library, event)}”" for event in starts]
    told += [f"before “{named(clocks.library, event)}”" for event in ends]
    found = [_reasons(clocks, photo.ref, event) for event in starts]
    found += [_reasons(clocks, event, photo.ref)[::-1] for event in ends]
    first = Reason("T12", f"It was taken {' and '.join(told)}.", (*starts, *ends))
    return (first, *dict.fromkeys(reason for reasons in found for reason in reasons))


def _undecided(clocks: Clocks, life: Life, photo: Photo, state: str) -> tuple[Reason, ...]:
    """For each event that leaves the question open: that it does, and what would decide it."""
    open_at: list[Reason] = []
    ways = [(photo.ref, event, event, "after") for event in life.starts(state)]
    ways += [(event, photo.ref, event, "before") for event in life.ends(state)]
    for first, then, event, word in ways:
        most = clocks.tightened.most(first, then)
        if most is None or most >= 0:
            open_at += clocks.deciding[f"{word} {event}"]
    return tuple(open_at)


def _would_decide(
    library: Library, dated: Dated, fitted: tuple[str, ...], word: str
) -> tuple[Reason, Reason]:
    event = dated.ref
    name = named(library, event)
    says = f"Nothing says that it was taken {word} “{name}”"
    if dated.earliest or dated.latest:
        says += f" ({show_bounds(dated.earliest, dated.latest)})"
    wanted = []
    edge = dated.latest if word == "after" else dated.earliest
    if edge:
        than = "later than" if word == "after" else "earlier than"
        wanted.append(f"a day {than} {show_bounds(edge, edge)}")
    parts = fitted[:2]
    titles = (library.title(part) for part in parts)
    wanted += [f"“{title}” seen, or seen not to be there" for title in titles]
    if not wanted:
        wanted.append(f"a date for “{name}”")
    decided = f"It would be decided by {'; or by '.join(wanted)}."
    return Reason("T12", f"{says}.", (event,)), Reason("T12", decided, (event, *parts))


def _unbounded(clocks: Clocks, state: str) -> Reason:
    name = clocks.library.title(state)
    says = f"No events bound “{name}”, so only a person's ruling can say."
    return Reason("T12", says, (state,))


def _reasons(clocks: Clocks, start: str, end: str) -> tuple[Reason, ...]:
    tightened = clocks.tightened
    return tuple(tightened.said[n].reason for n in tightened.because(start, end))


def _ruled(clocks: Clocks, photo: Photo, ruling: InConfiguration) -> Reason:
    name = clocks.library.title(ruling.configuration or "")
    says = f"{ruling.by} ruled that it {ruling.is_in} fall in “{name}”: {ruling.because}"
    return Reason("T9", stopped(says), (photo.ref, ruling.configuration or ""))
