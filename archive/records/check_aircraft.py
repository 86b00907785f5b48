"""Zones, systems, states and sisters: what is said of the aircraft as a whole."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from archive.core.problems import Problem
from archive.core.systems import is_known, side_hint
from archive.records.aircraft import Configuration, Event
from archive.records.check_names import at
from archive.records.library import Library
from archive.records.spec import Judged, Record

_ZONE = re.compile(r"[1-8][0-9]{2}\Z")

_ADDRESS = re.compile(r"https?://[^\s/]+(/\S*)?\Z")


def zone_numbers(library: Library) -> Iterator[Problem]:
    """Zones are numbered 100 to 899 (ATA-100; its 900s are for what is not covered)."""
    if library.zones_file:
        for zone in library.zones_file.zones:
            if not _ZONE.match(zone.id):
                says = f"{zone.id} can't be the number of a zone."
                hint = "Zones are numbered 100 to 899: 500 the port wing, 600 the starboard."
                yield Problem(at(library.zones_file, zone, "id"), "zone-impossible", says, hint)


def zone_sides(library: Library) -> Iterator[Problem]:
    """A part sits on the side that its zone's number suggests."""
    opposite = {"port": "starboard", "starboard": "port"}
    for part in library.parts.values():
        number = (part.zone or "").partition("/")[2]
        if not _ZONE.match(number) or part.side not in opposite:
            continue
        side = side_hint(int(number))
        if side == opposite[part.side]:
            says = f"The part is on the {part.side} side; zone {number} by its number is {side}."
            hint = (
                "500s are the port wing, 600s the starboard; elsewhere odd is port, even starboard."
            )
            yield Problem(at(part, part, "zone"), "zone-side", says, hint, advice=True)


def systems(library: Library) -> Iterator[Problem]:
    """A system code is one of the table."""
    for part in library.parts.values():
        if part.system and not is_known(part.system):
            says = f"{part.system} isn't a system code that is known here."
            hint = "Codes are JASC's, such as 5320; leave the field out where none fits."
            yield Problem(at(part, part, "system"), "system-unknown", says, hint)


def _bare(ref: str) -> str:
    return ref.partition("/")[2]


def _later(events: Mapping[str, Event], one: str, other: str) -> bool:
    """Whether event `one` is known to come after event `other`, or is the same."""
    if one == other:
        return True
    first, second = events.get(one), events.get(other)
    if first is None or second is None or not first.when or not second.when:
        return False
    earliest, latest = first.when.earliest, second.when.latest
    return bool(earliest and latest and earliest > latest)


def configurations_in_order(library: Library) -> Iterator[Problem]:
    """A state begins before it ends."""
    aircraft = library.aircraft
    if aircraft is None:
        return
    groups: list[tuple[tuple[Configuration, ...], Mapping[str, Event]]] = [
        (aircraft.configurations, library.events)
    ]
    for sister in aircraft.sisters:
        groups.append((sister.configurations, {event.id: event for event in sister.events}))
    for states, events in groups:
        for state in states:
            for after in state.after:
                for index, before in enumerate(state.before):
                    if _later(events, _bare(after), _bare(before)):
                        one, other = _bare(after), _bare(before)
                        says = f"{state.id} begins after {one}, which is not before {other}."
                        where = at(aircraft, state, f"before[{index}]")
                        hint = "Exchange after and before, or correct the date of one event."
                        yield Problem(where, "configuration-order", says, hint)


def fitted_in_order(library: Library) -> Iterator[Problem]:
    """A part was fitted before it was taken off."""
    for part in library.parts.values():
        fitted = part.fitted
        if fitted and fitted.since and fitted.until:
            since, until = _bare(fitted.since), _bare(fitted.until)
            if _later(library.events, since, until):
                says = f"The part is fitted from {since}, which is not before {until}."
                hint = "Exchange from and until, or correct the date of one event."
                yield Problem(at(part, fitted, "until"), "fitted-order", says, hint)


def sisters_named(library: Library) -> Iterator[Problem]:
    """Who speaks of a sister says which."""
    shelves = (library.sources, library.photos, library.parts)
    records: list[Record] = [record for shelf in shelves for record in shelf.values()]
    for record in records:
        judged = getattr(record, "airframe", None)
        airframe = judged.says if isinstance(judged, Judged) else judged
        if (
            airframe == "sister"
            and not getattr(record, "sister", None)
            and "sister" not in record.lost
        ):
            says = "This is of a sister, and doesn't say which."
            hint = "Add sister: with an id of aircraft.yaml, as soon as it is known."
            yield Problem(at(record, record, "airframe"), "sister-unnamed", says, hint, advice=True)


def site_address(library: Library) -> Iterator[Problem]:
    """The address of the site is one that a telephone can go to."""
    craft = library.aircraft
    if craft is not None and craft.site and not _ADDRESS.match(craft.site):
        says = f"“{craft.site}” is no address that a telephone can go to."
        hint = "Write it as https://…, or leave it out where the site is opened from a stick."
        yield Problem(at(craft, craft, "site"), "address-unreadable", says, hint)
