"""The first page: the general arrangement, its zones, and what must be settled first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from archive.core.verdicts import GRADES
from archive.site import words
from archive.site.addresses import CARDS
from archive.site.card import CardLine, recalls
from archive.site.context import Context
from archive.site.foreseen import others
from archive.site.general_arrangement import Drawing, draw
from archive.site.holds import choices, holds_of, joined
from archive.site.page import Cell, Frame, Grade, Link, Page
from archive.site.question import QuestionBrief, brief

FIRST = 6


@dataclass(frozen=True, slots=True)
class ZoneRow:
    """A zone in the list beside the drawing."""

    number: str
    href: str
    name: str
    grade: Grade | None
    parts: str
    held: str
    holds: str


@dataclass(frozen=True, slots=True)
class HomeShown:
    """All that the first page says."""

    recalls: tuple[CardLine, ...]
    drawing: Drawing | None
    zones: tuple[ZoneRow, ...]
    holds: tuple[tuple[str, str], ...]
    legend: tuple[Grade, ...]
    questions: tuple[QuestionBrief, ...]
    questions_more: int
    decisions: tuple[tuple[Link, str], ...]
    stories: tuple[Link, ...]
    objective: str
    counts: tuple[tuple[str, str], ...]
    others: tuple[Link, ...]


def pages(context: Context) -> Iterator[Page]:
    """The first page, alone."""
    yield Page("index.html", "home", _frame(context), _shown(context))


def _frame(context: Context) -> Frame:
    aircraft = context.library.aircraft
    target = aircraft.target if aircraft else None
    return Frame(
        site=context.site,
        root=context.root,
        title=context.site.name,
        label="General arrangement",
        subtitle=(aircraft.summary or "") if aircraft else "",
        cells=tuple(
            cell
            for cell in (
                Cell("State", context.library.title(target) if target else ""),
                Cell("Handover", words.day(aircraft.handover) if aircraft else ""),
                Cell("Mark", context.site.mark),
            )
            if cell.text
        ),
        here="zones",
        scripts=("filters",),
    )


def open_questions(context: Context) -> list[QuestionBrief]:
    """Questions not yet settled, those needed first at the top, those without a day last."""
    waiting = [one for one in context.library.questions.values() if not one.settled]
    waiting.sort(
        key=lambda one: (one.by_when if isinstance(one.by_when, date) else date.max, one.id)
    )
    return [brief(context, one.ref) for one in waiting]


def _shown(context: Context) -> HomeShown:
    waiting = open_questions(context)
    library = context.library
    moved = [
        ref
        for ref, standing in context.findings.decisions.items()
        if standing.state in ("reopened", "unsigned")
    ]
    rows = tuple(_row(context, number) for number in library.zones)
    return HomeShown(
        recalls=recalls(context),
        drawing=draw(context),
        zones=rows,
        holds=choices(row.holds for row in rows),
        legend=tuple(grade for grade in map(Grade.of, GRADES) if grade),
        questions=tuple(waiting[:FIRST]),
        questions_more=max(0, len(waiting) - FIRST),
        decisions=tuple(
            (context.link(ref), context.findings.decisions[ref].state) for ref in moved[:FIRST]
        ),
        stories=context.links(story.ref for story in library.stories.values()),
        objective=(library.aircraft.objective or "") if library.aircraft else "",
        counts=tuple(
            (words.count(len(found), one, many), context.page(page))
            for found, one, many, page in (
                (tuple(library.claims()), "claim", "claims", "claims.html"),
                (library.photos, "photograph", "photographs", "photographs.html"),
                (library.sources, "source", "sources", "sources.html"),
                (library.decisions, "decision", "decisions", "decisions.html"),
                (library.questions, "question", "questions", "questions.html"),
                (library.cards, "cutting card", "cutting cards", CARDS),
            )
        ),
        others=others(context),
    )


def _row(context: Context, number: str) -> ZoneRow:
    known = context.findings.zones.get(number)
    zone = context.library.zones[number]
    return ZoneRow(
        number=number,
        href=context.href(f"zones/{number}"),
        name=zone.name or "",
        grade=Grade.of(known.grade) if known else None,
        parts=words.count(len(known.parts) if known else 0, "part"),
        held=f"{words.count(known.held, 'part')} held"
        if known and known.held
        else "none held"
        if known and known.parts
        else "",
        holds=joined(
            dict.fromkeys(
                rule
                for ref in (known.parts if known else ())
                for rule in holds_of(context.findings.parts.get(ref))
            )
        ),
    )
