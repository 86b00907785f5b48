"""What is foreseen, as pages tell it: what falls with a record, what would lift a claim."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from archive.core.findings import Finding
from archive.core.foresight import Impact, Moved, Step
from archive.site import words
from archive.site.addresses import HOLDING, STATES
from archive.site.context import Context
from archive.site.page import Grade, Link, ReasonShown

WHATS = {
    "grade": "grade",
    "size": "size",
    "witnesses": "independent witnesses",
    "decision": "decision",
    "signed": "signatures",
    "treatment": "treatment",
    "choice": "choice",
    "evidence": "evidence state",
    "trial": "trial stock",
    "cut": "cut for display",
    "original": "work on the original",
    "made": "made already",
    "group": "as a witness",
    "day": "when it was",
    "conflict": "its dates",
    "belongs": "of which state",
    "use": "use",
}


@dataclass(frozen=True, slots=True)
class MovedShown:
    """One line that differs: what it is about, before and after, and why it matters.

    `was` and `now` are grade marks where the line is about a grade, None otherwise.
    """

    link: Link
    what: str
    before: str
    after: str
    was: Grade | None
    now: Grade | None
    held: bool
    matters: ReasonShown | None


@dataclass(frozen=True, slots=True)
class BesideShown:
    """A part that meets one whose claims move."""

    part: Link
    how: str
    other: Link


@dataclass(frozen=True, slots=True)
class FallShown:
    """What falls if a record falls. `asks` is the command that tells what isn't worked out here."""

    supposed: str
    verdict: str
    matter: tuple[MovedShown, ...]
    quiet: tuple[MovedShown, ...]
    stands: tuple[Link, ...]
    beside: tuple[BesideShown, ...]
    told_in: tuple[Link, ...]
    asks: str


@dataclass(frozen=True, slots=True)
class LiftShown:
    """One thing that would lift a claim."""

    outcome: str
    asks: str
    rule: Link | None
    rests_on: tuple[Link, ...]


def holding_shown(context: Context) -> bool:
    """Whether this audience gets the page of what holds what: the public doesn't."""
    return context.view.audience != "public"


def changes_shown(context: Context) -> bool:
    """Whether there is a state to compare with, and the audience isn't the public."""
    return bool(context.view.foreseen.changes) and context.view.audience != "public"


def others(context: Context) -> tuple[Link, ...]:
    """The pages of what holds what and of what has moved, as far as they are there."""
    every = (
        ("What holds what", HOLDING, holding_shown(context)),
        ("What has moved", STATES, changes_shown(context)),
    )
    return tuple(Link(says, context.page(page)) for says, page, there in every if there)


def fall(context: Context, ref: str) -> FallShown | None:
    """What falls with a record; None where no claim leans on it, or for the public."""
    if context.view.audience == "public":
        return None
    found = context.view.foreseen.falls.get(ref)
    asks = f"witnessmark impact {ref}"
    if found is None:
        leaning = context.findings.leaning.get(ref) and context.view.foreseen.untried
        return FallShown("", "", (), (), (), (), (), asks) if leaning else None
    return _fall(context, found, asks)


def _fall(context: Context, found: Impact, asks: str) -> FallShown:
    lines = [(line, moved(context, line)) for line in found.moved]
    return FallShown(
        supposed=found.supposed,
        verdict=found.finding.verdict,
        matter=tuple(shown for line, shown in lines if line.matters or line.what == "grade"),
        quiet=tuple(shown for line, shown in lines if not line.matters and line.what != "grade"),
        stands=context.links(found.stands),
        beside=tuple(
            BesideShown(context.link(one.part), one.how, context.link(one.other))
            for one in found.beside
        ),
        told_in=tuple(map(partial(_telling, context), found.told_in)),
        asks=asks,
    )


def _telling(context: Context, ref: str) -> Link:
    link = context.link(ref)
    return replace(link, text=f"{link.text}: its label") if ref.startswith("parts/") else link


def moved(context: Context, line: Moved) -> MovedShown:
    """One line of differences as a page tells it."""
    reasons = context.reasons(Finding("", (line.matters,))) if line.matters else ()
    graded = line.what == "grade"
    return MovedShown(
        link=context.link(line.ref),
        what=WHATS.get(line.what, line.what),
        before=words.plain(line.before) if line.what == "choice" else line.before,
        after=words.plain(line.after) if line.what == "choice" else line.after,
        was=_mark(line.before) if graded else None,
        now=_mark(line.after) if graded else None,
        held=line.what in ("trial", "cut", "original") and line.after == "hold",
        matters=reasons[0] if reasons else None,
    )


def _mark(said: str) -> Grade | None:
    grade, _, rest = said.partition(", ")
    return Grade.of(grade, bool(rest))


def lifts(context: Context, ref: str) -> tuple[LiftShown, ...]:
    """What would lift a claim, the cheapest first."""
    return tuple(_lift(context, step) for step in context.view.foreseen.lifts.get(ref, ()))


def _lift(context: Context, step: Step) -> LiftShown:
    return LiftShown(
        words.capital(step.outcome),
        step.asks,
        context.rule(step.rule),
        context.links(step.rests_on),
    )
