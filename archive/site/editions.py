"""Editions that went out: who holds copies, and what they show that may not be shown any more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.publications import Recalled
from archive.site import words
from archive.site.addresses import EDITIONS
from archive.site.context import Context
from archive.site.lists import frame
from archive.site.page import Link, Page, ReasonShown


@dataclass(frozen=True, slots=True)
class WithdrawnShown:
    """A record that an edition carried and that may not be shown any more, and why."""

    link: Link
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class MovedShown:
    """A label or a claim that says otherwise today."""

    link: Link
    says: str


@dataclass(frozen=True, slots=True)
class EditionShown:
    """An edition: its day, its holders, and what must be told them."""

    anchor: str
    day: str
    carried: str
    build: str
    copies: tuple[str, ...]
    tell: bool
    withdrawn: tuple[WithdrawnShown, ...]
    labels: tuple[MovedShown, ...]
    moved: tuple[MovedShown, ...]


@dataclass(frozen=True, slots=True)
class EditionsShown:
    """All editions, the latest first."""

    editions: tuple[EditionShown, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page of the editions, where one went out."""
    found = context.view.published
    if found:
        shown = EditionsShown(tuple(edition(context, one) for one in reversed(found)))
        head = frame(context, "Editions that went out", "", len(found))
        yield Page(EDITIONS, "editions", head, shown)


def edition(context: Context, one: Recalled) -> EditionShown:
    """An edition as pages and papers tell it."""
    out = one.publication
    return EditionShown(
        anchor=f"_{out.name}",
        day=words.day(out.on),
        carried=words.count(len(out.carried), "record and claim", "records and claims"),
        build=out.build,
        copies=out.copies,
        tell=one.to_tell,
        withdrawn=tuple(
            WithdrawnShown(
                context.link(ref) if context.href(ref) else Link(ref), context.reasons(why)
            )
            for ref, why in one.withdrawn
        ),
        labels=tuple(MovedShown(context.link(ref), says) for ref, says in one.labels),
        moved=tuple(
            MovedShown(
                context.link(ref) if context.href(ref) else Link(ref), f"was {then}, is {now}"
            )
            for ref, then, now in one.moved
        ),
    )
