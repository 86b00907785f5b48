"""What a statement about time is: the ways in which it can be true, and what it stands for.

A moment is known by the REF of what it belongs to: an event (when it was done), a photograph (when
the negative was exposed), a source (when it was made), a sister (when it was built). A day is cut
into instants, so that what follows another on one day can do so, and two things of one day have no
order unless something says so.
"""

from __future__ import annotations

from typing import NamedTuple

from archive.core.findings import Reason
from archive.core.problems import Where
from archive.records.spec import Node, Record

CALENDAR = "calendar"
DAY = 1024
"""Instants in a day: so many things of one day can be told to follow one another."""
WRITTEN, ABSENCES, RECORDS, PARTS, AIRCRAFT = range(5)
"""What gives way first where statements clash: dates merely written; things seen to be absent,
which may have been off for a time; what else the records of photographs and sources say; what parts
say of when they were fitted; the aircraft's own dates."""


class Order(NamedTuple):
    """`end` comes no more than `most` instants after `start`."""

    start: str
    end: str
    most: int


class Statement(NamedTuple):
    """One thing that the records say about when something happened.

    `ways` are the ways in which it can be true, one of which must hold: a date has one, "not there"
    of a part that was fitted and taken off again has two. `stands` is what gives way first in a
    clash, one of WRITTEN to AIRCRAFT. `check` says what to look at again where it clashes.
    """

    reason: Reason
    ways: tuple[tuple[Order, ...], ...]
    stands: int
    check: str
    record: Record
    node: Node
    field: str

    @property
    def where(self) -> Where:
        """The place in the files where it is said."""
        return Where(self.record.path, *self.node.mark_of(self.field))
