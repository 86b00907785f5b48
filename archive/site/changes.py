"""What has moved: the differences from each named state to today, and from each to the next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site import words
from archive.site.addresses import STATES
from archive.site.context import Context
from archive.site.foreseen import MovedShown, changes_shown, moved
from archive.site.lists import frame
from archive.site.page import Page


@dataclass(frozen=True, slots=True)
class ChangeShown:
    """The differences between two states; `until` is "today" or a name."""

    anchor: str
    since: str
    until: str
    days: str
    rules: str
    matter: tuple[MovedShown, ...]
    quiet: tuple[MovedShown, ...]


@dataclass(frozen=True, slots=True)
class ChangesShown:
    """All differences."""

    changes: tuple[ChangeShown, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page of what has moved, where a state was kept."""
    if not changes_shown(context):
        return
    shown = []
    for number, one in enumerate(context.view.foreseen.changes, 1):
        lines = [(line, moved(context, line)) for line in one.moved]
        days = [words.day(day) for day in one.on if day]
        shown.append(
            ChangeShown(
                anchor=f"_change-{number}",
                since=one.since,
                until=one.until or "today",
                days=" to ".join(days),
                rules=f"The rules changed too, from set {one.rules[0]} to {one.rules[1]}: "
                "grades may have moved for that alone."
                if one.rules[0] != one.rules[1]
                else "",
                matter=tuple(m for line, m in lines if line.matters or line.what == "grade"),
                quiet=tuple(m for line, m in lines if not line.matters and line.what != "grade"),
            )
        )
    yield Page(
        STATES, "changes", frame(context, "What has moved", "", 0), ChangesShown(tuple(shown))
    )
