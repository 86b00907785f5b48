"""The aircraft: its identity, its datum, what happened to it, and the day it is rebuilt to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.spec import Node, Record, node, one_of, ref, spec_field, text


@dataclass(frozen=True, kw_only=True)
class Datum(Node):
    """Where the measures start. Axes are fixed: x aft, y to starboard, z up, in millimetres."""

    station_zero: str | None = text("What station 0 is: x is counted aft from here.", required=True)
    butt_line_zero: str | None = text("What butt line 0 is: y is counted to starboard from here.")
    water_line_zero: str | None = text("What water line 0 is: z is counted up from here.")


@dataclass(frozen=True, kw_only=True)
class Event(Node):
    """Something that happened to the aircraft once."""

    id: str = spec_field("name", "Its name, for `events/…`.", required=True)
    when: Any = spec_field("date", "When it happened, as far as known.")
    says: str | None = text("What happened.", required=True)
    evidence: tuple[str, ...] = ref((), "The records that tell of it.", many=True)


@dataclass(frozen=True, kw_only=True)
class Configuration(Node):
    """A state of the aircraft, between events."""

    id: str = spec_field("name", "Its name, for `configurations/…`.", required=True)
    name: str | None = text("What it is called on the pages.", required=True)
    after: tuple[str, ...] = ref(("events",), "It begins once these have happened.", many=True)
    before: tuple[str, ...] = ref(("events",), "It ends when any of these happens.", many=True)
    says: str | None = text("What marks this state.")


@dataclass(frozen=True, kw_only=True)
class Sister(Node):
    """Another airframe of the type."""

    id: str = spec_field("name", "Its name, for `sisters/…`.", required=True)
    mark: str | None = text("Its registration or serial, kept as written.")
    built: Any = spec_field("date", "When it was built.")
    says: str | None = text("What is known of it, and where it differs.")
    events: tuple[Event, ...] = node(Event, "What happened to it.", many=True)
    configurations: tuple[Configuration, ...] = node(Configuration, "Its states.", many=True)


@dataclass(frozen=True, kw_only=True)
class Aircraft(Record):
    """The one aircraft that the folder is about: `aircraft.yaml`."""

    kind = "aircraft"
    singular = "aircraft"
    what = "the aircraft"
    prose_allowed = False

    name: str | None = text("Maker and type.", required=True)
    mark: str | None = text("Its registration or serial, kept as written.")
    summary: str | None = text("A sentence for the first page.")
    datum: Datum | None = node(Datum, "The declared datum.", required=True)
    units: str | None = one_of(("in", "mm"), "The units that pages print first.", required=True)
    events: tuple[Event, ...] = node(Event, "What happened to the aircraft.", many=True)
    configurations: tuple[Configuration, ...] = node(Configuration, "Its states.", many=True)
    sisters: tuple[Sister, ...] = node(Sister, "Other airframes of the type.", many=True)
    target: str | None = ref(("configurations",), "The state it is rebuilt to.", required=True)
    objective: str | None = text("The treatment objective, as agreed.")
    handover: Any = spec_field("day", "The day it must be handed over.")
    language: str | None = spec_field("language", "The language of the records.")
    picture: str | None = ref(("photos",), "The picture of the visitors' first page.")
    web: str | None = text("Where the visitors' edition stands on the web, for labels.")
    languages: tuple[str, ...] = spec_field(
        "language", "Other languages of the visitors' edition.", many=True, one_or_many=True
    )
    site: str | None = text(
        "The address that the crew's site is served at, if it is: printed in the squares of cards."
    )
