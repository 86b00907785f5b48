"""A decision's page: what was asked, what could be done, what was chosen, and how it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.records.decision import Decision
from archive.site import words
from archive.site.context import Context
from archive.site.markdown import Prose
from archive.site.page import Cell, Frame, Grade, Link, Page, ReasonShown

STATES = {
    "stands": "stands",
    "superseded": "superseded",
    "unsigned": "not signed yet",
    "reopened": "reopened: its evidence has moved",
}


@dataclass(frozen=True, slots=True)
class DecisionBrief:
    """A decision in a few lines, for the pages of what it is about."""

    link: Link
    question: str
    choice: str
    because: str
    state: str
    dissent: tuple[str, ...]
    signed: str


@dataclass(frozen=True, slots=True)
class OptionShown:
    """One thing that could be done, what speaks for it and against it."""

    id: str
    says: str
    chosen: bool
    speaks_for: tuple[Link, ...]
    against: tuple[Link, ...]
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SignedShown:
    """Somebody's words or signature."""

    who: Link
    on: str
    says: str
    link: Link | None = None


@dataclass(frozen=True, slots=True)
class LeanShown:
    """A record that the decision leans on, and its grade where it is a claim."""

    link: Link
    grade: Grade | None


@dataclass(frozen=True, slots=True)
class DecisionShown:
    """All that a decision's page says."""

    question: str
    choice: str
    because: str
    state: str
    standing: tuple[ReasonShown, ...]
    options: tuple[OptionShown, ...]
    about: tuple[Link, ...]
    leans_on: tuple[LeanShown, ...]
    dissent: tuple[SignedShown, ...]
    approvals: tuple[SignedShown, ...]
    supersedes: tuple[Link, ...]
    superseded_by: Link | None
    reversible: str
    review: str
    prose: Prose


def pages(context: Context) -> Iterator[Page]:
    """The page of every decision."""
    for decision in context.library.decisions.values():
        yield Page(
            f"decisions/{decision.id}.html",
            "decision",
            _frame(context, decision),
            shown(context, decision),
        )


def brief(context: Context, ref: str) -> DecisionBrief:
    """A decision in a few lines."""
    decision = context.library.decisions[ref.partition("/")[2]]
    return DecisionBrief(
        link=context.link(ref),
        question=decision.question or "",
        choice=words.choice(decision.choice),
        because=decision.because or "",
        state=state_of(context, ref),
        dissent=tuple(
            f"{context.who(one.by).text} dissents: {one.says or ''}" for one in decision.dissent
        ),
        signed=", ".join(
            f"{context.who(one.by).text} ({one.role})" if one.role else context.who(one.by).text
            for one in decision.approvals
        ),
    )


def state_of(context: Context, ref: str) -> str:
    """How a decision stands, in words; "" where nothing was concluded."""
    standing = context.findings.decisions.get(ref)
    return STATES.get(standing.state, standing.state) if standing else ""


def _frame(context: Context, decision: Decision) -> Frame:
    return context.frame(
        decision,
        label="Decision",
        here="decisions",
        up=Link("Decisions", context.page("decisions.html")),
        cells=(
            Cell("Chosen", words.choice(decision.choice)),
            Cell("Stands", state_of(context, decision.ref)),
            Cell("For", context.library.title(decision.configuration))
            if decision.configuration
            else Cell("For", ""),
            Cell("Written", context.signed(decision.by, decision.on)),
        ),
    )


def shown(context: Context, decision: Decision) -> DecisionShown:
    """All that a decision's page says."""
    standing = context.findings.decisions.get(decision.ref)
    return DecisionShown(
        question=decision.question or "",
        choice=words.choice(decision.choice),
        because=decision.because or "",
        state=state_of(context, decision.ref),
        standing=context.reasons(standing.finding) if standing else (),
        options=tuple(
            OptionShown(
                id=option.id,
                says=option.says or "",
                chosen=option.id == decision.option,
                speaks_for=context.links(option.evidence),
                against=context.links(option.against),
                facts=tuple(
                    filter(
                        None,
                        (
                            f"Takes off: {option.removes}" if option.removes else "",
                            {True: "Can be undone", False: "Can't be undone", None: ""}[
                                option.reversible
                            ],
                            option.cost or "",
                        ),
                    )
                ),
            )
            for option in decision.options
        ),
        about=context.links(decision.about),
        leans_on=tuple(_lean(context, ref) for ref in dict.fromkeys(decision.leans_on)),
        dissent=tuple(
            SignedShown(context.who(one.by), words.day(one.on), one.says or "")
            for one in decision.dissent
        ),
        approvals=tuple(
            SignedShown(
                context.who(one.by),
                words.day(one.on),
                words.plain(one.role),
                context.link(one.letter) if one.letter else None,
            )
            for one in decision.approvals
        ),
        supersedes=context.links(decision.supersedes),
        superseded_by=context.link(standing.superseded_by)
        if standing and standing.superseded_by
        else None,
        reversible=decision.reversible or "",
        review=decision.review or "",
        prose=context.prose(decision.prose),
    )


def _lean(context: Context, ref: str) -> LeanShown:
    graded = context.findings.claims.get(ref)
    return LeanShown(
        context.link(ref), Grade.of(graded.grade, graded.not_settled) if graded else None
    )
