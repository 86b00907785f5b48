"""The page for finding: words, and what they are narrowed by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from archive.core.verdicts import GRADES
from archive.site.addresses import SEARCH_FOLDER
from archive.site.context import Context
from archive.site.documents import KINDS
from archive.site.lists import frame
from archive.site.page import Page


@dataclass(frozen=True, slots=True)
class SearchShown:
    """What a search can be narrowed by, and where its files lie."""

    folder: str
    kinds: tuple[str, ...]
    zones: tuple[tuple[str, str], ...]
    grades: tuple[str, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page for finding."""
    library = context.library
    shown = SearchShown(
        folder=context.root + SEARCH_FOLDER,
        kinds=tuple(_present(context)),
        zones=tuple((zone.id, f"{zone.id} {zone.name}") for zone in library.zones.values()),
        grades=GRADES,
    )
    scripts = ("search-words", "search-index", "search")
    yield Page("search.html", "search", frame(context, "Find", "find", 0, scripts), shown)


def _present(context: Context) -> Iterable[str]:
    for kind, word in KINDS.items():
        if kind == "claims":
            found = any(True for _ in context.library.claims())
        else:
            found = kind == "how" or bool(context.library.of_kind(kind))
        if found:
            yield word
