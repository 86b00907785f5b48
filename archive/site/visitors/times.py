"""The aircraft through time: what happened to it, the states it was in, and pictures of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.page import Page
from archive.site.visitors.addresses import anchor
from archive.site.visitors.edition import Edition, Picture, Said
from archive.site.visitors.parts import THEME


@dataclass(frozen=True, slots=True)
class EventShown:
    """Something that happened, and when."""

    anchor: str
    when: str
    says: Said


@dataclass(frozen=True, slots=True)
class StateShown:
    """A state of the aircraft: what marks it, whether it is the one shown, pictures taken in it."""

    anchor: str
    name: Said
    says: Said
    target: str
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class TimeShown:
    """All that the page says."""

    events: tuple[EventShown, ...]
    states: tuple[StateShown, ...]
    sisters: tuple[tuple[str, str, Said], ...]


def pages(edition: Edition) -> Iterator[Page]:
    """The page, alone."""
    library = edition.library
    aircraft = library.aircraft
    shown = TimeShown(
        events=tuple(
            EventShown(
                anchor(f"events/{event.id}"),
                edition.when(f"events/{event.id}") or edition.dated(event.when),
                edition.foreign(event.says or ""),
            )
            for event in library.events.values()
        ),
        states=tuple(
            StateShown(
                anchor=anchor(f"configurations/{state.id}"),
                name=edition.foreign(state.name or ""),
                says=edition.foreign(state.says or ""),
                target=edition.t("times.target")
                if aircraft and aircraft.target == f"configurations/{state.id}"
                else "",
                pictures=tuple(_taken_in(edition, f"configurations/{state.id}")),
            )
            for state in library.configurations.values()
        ),
        sisters=tuple(
            (anchor(f"sisters/{one.id}"), one.mark or one.id, edition.foreign(one.says or ""))
            for one in library.sisters.values()
        ),
    )
    frame = edition.frame("time.html", edition.t("times.title"), edition.site.name, "time")
    yield Page(edition.path("time.html"), "time", frame, shown, THEME)


def _taken_in(edition: Edition, state: str) -> Iterator[Picture]:
    """Photographs that must have been taken in a state."""
    for photo in edition.library.photos.values():
        dated = edition.view.findings.dates.get(photo.ref)
        found = dated.states.get(state) if dated else None
        if found is not None and found.verdict == "must" and photo.shows_what == "period":
            picture = edition.picture(photo.id, 320)
            if picture is not None:
                yield picture
