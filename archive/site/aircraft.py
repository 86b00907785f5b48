"""The aircraft's page, and the people's: datum, events, states and sisters; who is who."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.records.aircraft import Configuration, Event
from archive.records.policy import Override
from archive.records.practice import changes, refusal
from archive.site.context import Context
from archive.site.lists import frame
from archive.site.page import Cell, Link, Page
from archive.site.words import dated, plain


@dataclass(frozen=True, slots=True)
class EventShown:
    """Something that happened, and what tells of it."""

    anchor: str
    when: str
    says: str
    evidence: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class StateShown:
    """A state of the aircraft, between events."""

    anchor: str
    name: str
    says: str
    span: str
    target: bool


@dataclass(frozen=True, slots=True)
class SisterShown:
    """Another airframe of the type."""

    anchor: str
    mark: str
    built: str
    says: str
    events: tuple[EventShown, ...]


@dataclass(frozen=True, slots=True)
class OverrideShown:
    """A rule that this team applies differently; `idle` says why it is not applied, "" if it is."""

    rule: str
    says: str
    because: str
    signed: str
    idle: str


@dataclass(frozen=True, slots=True)
class AircraftShown:
    """All that the aircraft's page says."""

    datum: tuple[Cell, ...]
    events: tuple[EventShown, ...]
    states: tuple[StateShown, ...]
    sisters: tuple[SisterShown, ...]
    overrides: tuple[OverrideShown, ...]


@dataclass(frozen=True, slots=True)
class PersonShown:
    """Somebody named in the records."""

    anchor: str
    initials: str
    name: str
    role: str


@dataclass(frozen=True, slots=True)
class PeopleShown:
    """Everybody named."""

    people: tuple[PersonShown, ...]


def pages(context: Context) -> Iterator[Page]:
    """The aircraft's page, and the people's."""
    yield Page(
        "aircraft.html", "aircraft", frame(context, "The aircraft", "aircraft"), shown(context)
    )
    people = tuple(
        PersonShown(one.id, one.initials or "", one.name or "", plain(one.role))
        for one in context.library.people.values()
    )
    yield Page(
        "people.html",
        "people",
        frame(context, "People", "people", len(people)),
        PeopleShown(people),
    )


def shown(context: Context) -> AircraftShown:
    """All that the aircraft's page says."""
    aircraft = context.library.aircraft
    if aircraft is None:
        return AircraftShown((), (), (), (), ())
    datum = aircraft.datum
    policy = context.library.policy
    return AircraftShown(
        datum=tuple(
            cell
            for cell in (
                Cell("Station 0", (datum.station_zero or "") if datum else ""),
                Cell("Butt line 0", (datum.butt_line_zero or "") if datum else ""),
                Cell("Water line 0", (datum.water_line_zero or "") if datum else ""),
                Cell("Axes", "x aft, y to starboard, z up, in millimetres"),
            )
            if cell.text
        ),
        events=tuple(_event(context, event) for event in aircraft.events),
        states=tuple(
            _state(context, state, aircraft.target or "") for state in aircraft.configurations
        ),
        sisters=tuple(
            SisterShown(
                f"sister-{one.id}",
                one.mark or one.id,
                dated(one.built),
                one.says or "",
                tuple(_event(context, event, f"{one.id}_") for event in one.events),
            )
            for one in aircraft.sisters
        ),
        overrides=tuple(
            override_shown(context, one) for one in (policy.overrides if policy else ())
        ),
    )


def override_shown(context: Context, one: Override) -> OverrideShown:
    """An override of the policy as pages tell it."""
    idle = refusal(one) or ("" if changes(one) else "No field of it says how the rule changes.")
    return OverrideShown(
        one.rule or "", one.says or "", one.because or "", context.signed(one.by, one.on), idle
    )


def _event(context: Context, event: Event, within: str = "") -> EventShown:
    return EventShown(
        f"{within}event-{event.id}",
        dated(event.when),
        event.says or "",
        context.links(event.evidence),
    )


def _state(context: Context, state: Configuration, target: str) -> StateShown:
    spans = []
    for word, refs in (("after", state.after), ("before", state.before)):
        if refs:
            said = " and ".join(context.library.title(ref) for ref in refs)
            spans.append(f"{word}: {said.rstrip('.')}")
    return StateShown(
        f"configuration-{state.id}",
        state.name or state.id,
        state.says or "",
        "; ".join(spans),
        target == f"configurations/{state.id}",
    )
