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

ORDER = ("hold", "cleared", "done")
"""How treatments of originals are told: what waits first."""

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
class OriginalShown:
    """A treatment of an original, how it stands, and why."""

    link: Link
    part: Link
    verdict: str
    held: bool
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class HoldingShown:
    """All that the page says."""

    carriers: tuple[CarrierShown, ...]
    more: int
    bound: int
    stops: tuple[StopShown, ...]
    waiting: tuple[WaitingShown, ...]
    originals: tuple[OriginalShown, ...]


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
        originals=tuple(_originals(context)),
    )
    yield Page(HOLDING, "holding", frame(context, "What holds what", "", 0), shown)


def _originals(context: Context) -> Iterator[OriginalShown]:
    """The treatments that do something: those held first, then those cleared, then those done."""
    found = [
        (ORDER.index(finding.verdict), part, treatment, finding)
        for part in context.library.parts.values()
        if (known := context.findings.parts.get(part.ref))
        for treatment in part.treatments
        if treatment.operations and (finding := known.treatments.get(f"{part.ref}#{treatment.id}"))
    ]
    for _, part, treatment, finding in sorted(found, key=lambda one: (one[0], one[1].ref)):
        ref = f"{part.ref}#{treatment.id}"
        yield OriginalShown(
            Link(words.capital(words.plain(treatment.id)), context.href(ref)),
            context.link(part.ref),
            finding.verdict,
            finding.verdict == "hold",
            context.reasons(finding, ref),
        )
