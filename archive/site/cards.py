"""The register of cutting cards: does this one still hold, which must come back, and all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.addresses import CARDS
from archive.site.card import CardLine, line, recalls
from archive.site.context import Context
from archive.site.lists import frame
from archive.site.page import Page
from archive.site.words import day


@dataclass(frozen=True, slots=True)
class CardsShown:
    """All cards, the newest number first, and those to be fetched back; `day` is the site's."""

    recalls: tuple[CardLine, ...]
    cards: tuple[CardLine, ...]
    day: str


def pages(context: Context) -> Iterator[Page]:
    """The register's page; there is one without cards too, for whoever holds a card to ask."""
    found = tuple(line(context, one) for one in reversed(tuple(context.findings.cards.values())))
    yield Page(
        CARDS,
        "cards",
        frame(context, "Cutting cards", "cards", len(found), ("cards",)),
        CardsShown(recalls(context), found, day(context.view.as_of)),
    )
