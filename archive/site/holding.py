"""What holds what, for the lead: the sources that carry most, the stops, and the days to begin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.findings import Finding
from archive.site import words
from archive.site.addresses import HOLDING
from archive.site.context import Context
from archive.site.foreseen import holding_shown
from archive.site.lists import frame
from archive.site.page import Link, Page, ReasonShown

MOST = 20
"""How many of the sources that carry most are told."""


@dataclass(frozen=True, slots=True)
class CarrierShown:
    """A source or photograph, and what would fall with it."""

    link: Link
    verdict: str
    claims: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class StopShown:
    """One stop: what is wanted, the record that it hangs on, and the parts that it holds."""

    says: str
    rule: Link | None
    on: Link | None
    count: str
    alone: tuple[Link, ...]
    others: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class WaitingShown:
    """A part that is held, the latest day to begin, and what holds it."""

    link: Link
    latest: str
    stops: str
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class HoldingShown:
    """All that the page says."""

    carriers: tuple[CarrierShown, ...]
    more: int
    bound: int
    stops: tuple[StopShown, ...]
    waiting: tuple[WaitingShown, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page of what holds what."""
    if not holding_shown(context):
        return
    foreseen = context.view.foreseen
    carriers = foreseen.carriers
    shown = HoldingShown(
        carriers=tuple(
            CarrierShown(
                context.link(one.ref),
                one.finding.verdict,
                context.links(one.fallen),
            )
            for one in carriers[:MOST]
        ),
        more=max(0, len(carriers) - MOST),
        bound=foreseen.untried,
        stops=tuple(
            StopShown(
                stop.says,
                context.rule(stop.rule),
                context.link(stop.on) if stop.on else None,
                words.count(len(stop.parts), "part"),
                context.links(stop.alone),
                context.links(ref for ref in stop.parts if ref not in stop.alone),
            )
            for stop in foreseen.holding.stops
        ),
        waiting=tuple(
            WaitingShown(
                context.link(one.part),
                words.day(one.latest),
                words.count(len(one.stops), "stop"),
                context.reasons(Finding("hold", one.stops), one.part),
            )
            for one in foreseen.holding.waiting
        ),
    )
    yield Page(HOLDING, "holding", frame(context, "What holds what", "", 0), shown)
