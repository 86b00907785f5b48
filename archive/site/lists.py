"""The lists: all claims with their filters, all photographs, sources, decisions and questions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.verdicts import GRADES
from archive.records.claim import ASPECTS
from archive.site import words
from archive.site.claim import grade_of
from archive.site.context import Context
from archive.site.dating import when
from archive.site.decision import DecisionBrief
from archive.site.decision import brief as decision_brief
from archive.site.holds import choices, holds_of, joined
from archive.site.home import open_questions
from archive.site.page import Cell, Frame, Grade, Link, Page, Thumb
from archive.site.question import QuestionBrief
from archive.site.question import brief as question_brief
from archive.site.source import citation, made_on


@dataclass(frozen=True, slots=True)
class ClaimRow:
    """A claim in the list of all; `grade_word`, `zone` and `holds` are what the filters ask for."""

    link: Link
    part: Link
    aspect: str
    grade: Grade | None
    grade_word: str
    zone: str
    size: str
    holds: str


@dataclass(frozen=True, slots=True)
class ClaimsShown:
    """The list of all claims, and what it can be narrowed by."""

    claims: tuple[ClaimRow, ...]
    grades: tuple[str, ...]
    aspects: tuple[str, ...]
    zones: tuple[tuple[str, str], ...]
    holds: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PhotosShown:
    """All photographs, by kind."""

    kinds: tuple[tuple[str, tuple[Thumb, ...]], ...]


@dataclass(frozen=True, slots=True)
class SourceRow:
    """A source in the list of all."""

    link: Link
    citation: str
    generation: str
    made: str
    leaning: str
    discredited: bool


@dataclass(frozen=True, slots=True)
class SourcesShown:
    """All sources."""

    sources: tuple[SourceRow, ...]


@dataclass(frozen=True, slots=True)
class DecisionsShown:
    """All decisions."""

    decisions: tuple[DecisionBrief, ...]


@dataclass(frozen=True, slots=True)
class QuestionsShown:
    """Open questions by the day they must be settled, then the settled ones."""

    waiting: tuple[QuestionBrief, ...]
    settled: tuple[QuestionBrief, ...]


def pages(context: Context) -> Iterator[Page]:
    """The five lists."""
    library = context.library
    yield Page(
        "claims.html",
        "claims",
        frame(context, "Claims", "claims", len(tuple(library.claims())), ("filters",)),
        _claims(context),
    )
    yield Page(
        "photographs.html",
        "photographs",
        frame(context, "Photographs", "photographs", len(library.photos)),
        _photographs(context),
    )
    yield Page(
        "sources.html",
        "sources",
        frame(context, "Sources", "sources", len(library.sources)),
        SourcesShown(tuple(_source(context, id_) for id_ in library.sources)),
    )
    yield Page(
        "decisions.html",
        "decisions",
        frame(context, "Decisions", "decisions", len(library.decisions)),
        DecisionsShown(tuple(decision_brief(context, d.ref) for d in library.decisions.values())),
    )
    yield Page(
        "questions.html",
        "questions",
        frame(context, "Questions", "questions", len(library.questions)),
        QuestionsShown(
            tuple(open_questions(context)),
            tuple(question_brief(context, q.ref) for q in library.questions.values() if q.settled),
        ),
    )


def frame(
    context: Context, title: str, here: str, count: int = 0, scripts: tuple[str, ...] = ()
) -> Frame:
    """The frame of a list's page."""
    return Frame(
        site=context.site,
        root=context.root,
        title=title,
        label=context.site.name,
        cells=(Cell("In all", str(count)),) if count else (),
        here=here,
        up=Link("General arrangement", context.page("index.html")),
        scripts=scripts,
    )


def _claims(context: Context) -> ClaimsShown:
    rows = []
    for part, claim in context.library.claims():
        ref = f"{part.ref}#{claim.id}"
        graded = context.findings.claims.get(ref)
        size, _ = context.size(graded)
        rows.append(
            ClaimRow(
                link=Link(claim.says or claim.id, context.href(ref)),
                part=context.link(part.ref),
                aspect=claim.aspect or "",
                grade=grade_of(graded),
                grade_word=("not settled" if graded.not_settled else graded.grade)
                if graded
                else "",
                zone=(part.zone or "").partition("/")[2],
                size=size,
                holds=joined(holds_of(context.findings.parts.get(part.ref), ref)),
            )
        )
    return ClaimsShown(
        claims=tuple(rows),
        grades=(*GRADES, "not settled"),
        aspects=ASPECTS,
        zones=tuple((z.id, f"{z.id} {z.name}") for z in context.library.zones.values()),
        holds=choices(row.holds for row in rows),
    )


def _photographs(context: Context) -> PhotosShown:
    titles = {
        "period": "Period photographs",
        "as-found": "As found",
        "mock-up": "Mock-ups",
        "document": "Papers",
        "": "Others",
    }
    kinds = []
    for kind, title in titles.items():
        found = [p for p in context.library.photos.values() if (p.shows_what or "") == kind]
        if found:
            thumbs = tuple(
                context.thumb(photo.id, when(context.findings.dates.get(photo.ref)))
                for photo in found
            )
            kinds.append((title, thumbs))
    return PhotosShown(tuple(kinds))


def _source(context: Context, id_: str) -> SourceRow:
    source = context.library.sources[id_]
    return SourceRow(
        link=context.link(source.ref),
        citation=citation(source),
        generation=words.plain(source.generation),
        made=made_on(source),
        leaning=words.count(
            len(context.findings.leaning.get(source.ref, ())), "claim leans", "claims lean"
        )
        + " on it",
        discredited=bool(words.bare(source.discredited)),
    )
