"""The life of an aircraft, this one or a sister: its events, its states, and what bounds them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from archive.records.aircraft import Configuration, Event
from archive.records.library import Library, by_id


@dataclass(frozen=True)
class Life:
    """Events and states by REF. `sister` is the sister's REF, "" for this aircraft.

    Where a sister's event or state has a name that this aircraft uses too, the name means this
    aircraft's.
    """

    sister: str
    events: Mapping[str, Event]
    states: Mapping[str, Configuration]

    def starts(self, state: str) -> tuple[str, ...]:
        """The events after which a state begins, as far as they are known here."""
        found = self.states.get(state)
        return tuple(ref for ref in found.after if ref in self.events) if found else ()

    def ends(self, state: str) -> tuple[str, ...]:
        """The events of which the first ends a state, as far as they are known here."""
        found = self.states.get(state)
        return tuple(ref for ref in found.before if ref in self.events) if found else ()

    def whole(self, state: str) -> bool:
        """Has the state a boundary, and is every one of them known?"""
        found = self.states.get(state)
        named = (*found.after, *found.before) if found else ()
        return bool(named) and all(ref in self.events for ref in named)

    def spell(self, library: Library, feature: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The events since which, and until which, a feature could be seen on this aircraft.

        A part is there from the event that fitted it to the one that took it off; what an event
        did is there from then on; a state has its own events.
        """
        if feature in self.events:
            return (feature,), ()
        if feature in self.states:
            return self.starts(feature), self.ends(feature)
        kind, _, id_ = feature.partition("/")
        part = library.parts.get(id_) if kind == "parts" and not self.sister else None
        if part is None or not part.fitted or part.airframe not in (None, "this"):
            return (), ()
        return self._known(part.fitted.since), self._known(part.fitted.until)

    def _known(self, event: str | None) -> tuple[str, ...]:
        return (event,) if event and event in self.events else ()


def lives_of(library: Library) -> tuple[Life, ...]:
    """The life of this aircraft, and then of each sister."""
    ours = Life(
        "",
        {f"events/{id_}": event for id_, event in library.events.items()},
        {f"configurations/{id_}": state for id_, state in library.configurations.items()},
    )
    found = [ours]
    for id_, sister in library.sisters.items():
        events = {f"events/{n}": event for n, event in by_id(sister.events).items()}
        states = {f"configurations/{n}": state for n, state in by_id(sister.configurations).items()}
        found.append(
            Life(
                f"sisters/{id_}",
                {ref: event for ref, event in events.items() if ref not in ours.events},
                {ref: state for ref, state in states.items() if ref not in ours.states},
            )
        )
    return tuple(found)


def event_name(event: Event) -> str:
    """What an event is called within a sentence: its own words if they are few, else its id."""
    says = (event.says or "").rstrip(".")
    return says if 0 < len(says) <= 40 else event.id.replace("-", " ").capitalize()
