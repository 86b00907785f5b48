"""When a photograph was taken and how that is known, as its page and the lists tell it."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.dates import show_bounds
from archive.core.verdicts import Dated
from archive.site.context import Context
from archive.site.page import ReasonShown
from archive.site.words import capital

STATES = {
    "must": "it was taken in this state",
    "may": "it may have been, or may not",
    "cannot": "it can't have been",
}
"""Whether a photograph falls in a state of the aircraft, in words."""


@dataclass(frozen=True, slots=True)
class BoundShown:
    """One bound, and the chain of statements that gives it."""

    says: str
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class FallsShown:
    """Whether it was taken in a state of the aircraft, and why."""

    state: str
    says: str
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class DatingShown:
    """When, in a line; both bounds with their chains; the states; what was not used."""

    when: str
    bounds: tuple[BoundShown, ...]
    falls: tuple[FallsShown, ...]
    told: tuple[ReasonShown, ...]


def when(dated: Dated | None) -> str:
    """`14 June 1932`, `between 11 June and 31 December 1932`; "" where nothing bounds it."""
    if dated is None or (dated.earliest is None and dated.latest is None):
        return ""
    return show_bounds(dated.earliest, dated.latest)


def dating(context: Context, ref: str) -> DatingShown | None:
    """How a photograph is dated; None for what has no day of its own, such as a paper's picture."""
    dated = context.findings.dates.get(ref)
    if dated is None:
        return None
    return DatingShown(
        when=capital(when(dated)) or "Nothing in the record dates it",
        bounds=tuple(
            BoundShown(capital(finding.verdict), context.reasons(finding, ref))
            for finding, day in (
                (dated.earliest_finding, dated.earliest),
                (dated.latest_finding, dated.latest),
            )
            if day is not None
        ),
        falls=tuple(
            FallsShown(context.name(state), STATES[found.verdict], context.reasons(found, ref))
            for state, found in dated.states.items()
        ),
        told=context.told(dated.told, ref),
    )
