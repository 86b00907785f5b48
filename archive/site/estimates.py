"""The page of all sizes: those whose figures disagree, those of several figures, and the rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.addresses import ESTIMATES
from archive.site.context import Context
from archive.site.estimate import DISAGREE, EstimateShown, shown, telling
from archive.site.lists import frame
from archive.site.page import Page


@dataclass(frozen=True, slots=True)
class EstimatesShown:
    """The page of all sizes: those that disagree, those of several figures, and the rest."""

    disagree: tuple[EstimateShown, ...]
    several: tuple[EstimateShown, ...]
    rest: tuple[EstimateShown, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page of all estimates."""
    found = [
        (estimated, shown(context, estimated, alone=True))
        for estimated in context.findings.estimates.values()
        if estimated.together is not None
    ]
    disagree = [s for e, s in found if e.finding.verdict == DISAGREE]
    several = [s for e, s in found if e.finding.verdict != DISAGREE and telling(e)]
    rest = [s for e, s in found if e.finding.verdict != DISAGREE and not telling(e)]
    yield Page(
        ESTIMATES,
        "estimates",
        frame(context, "Estimates", "estimates", len(found)),
        EstimatesShown(tuple(disagree), tuple(several), tuple(rest)),
    )
