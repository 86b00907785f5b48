"""The plain index: every record of the site by kind, for those who search without a script."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.addresses import EDITIONS, ESTIMATES, RIGHTS
from archive.site.context import Context
from archive.site.foreseen import others as foreseen_pages
from archive.site.lists import frame
from archive.site.page import Link, Page

KINDS = {
    "zones": "Zones",
    "parts": "Parts",
    "photos": "Photographs",
    "sources": "Sources",
    "decisions": "Decisions",
    "questions": "Questions",
    "measurements": "Measurements",
    "surveys": "Surveys",
    "stories": "Stories",
}


@dataclass(frozen=True, slots=True)
class KindShown:
    """All records of one kind."""

    key: str
    name: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class EverythingShown:
    """All records, kind by kind, and the pages that are no record's."""

    kinds: tuple[KindShown, ...]
    others: tuple[Link, ...]


def pages(context: Context) -> Iterator[Page]:
    """The plain index."""
    kinds = tuple(
        KindShown(key, name, context.links(f"{key}/{id_}" for id_ in context.library.of_kind(key)))
        for key, name in KINDS.items()
    )
    others = tuple(
        Link(words, context.page(page))
        for words, page in (
            ("General arrangement", "index.html"),
            ("The aircraft", "aircraft.html"),
            ("Claims", "claims.html"),
            ("Estimates", ESTIMATES),
            ("People", "people.html"),
            *((("Rights and credits", RIGHTS),) if context.view.rights else ()),
            *((("Editions that went out", EDITIONS),) if context.view.published else ()),
            ("How this works", "how/index.html"),
            ("Find", "search.html"),
        )
    )
    others = (*others, *foreseen_pages(context))
    shown = EverythingShown(tuple(kind for kind in kinds if kind.links), others)
    total = sum(len(kind.links) for kind in kinds)
    yield Page(
        "everything.html", "everything", frame(context, "Everything", "everything", total), shown
    )
