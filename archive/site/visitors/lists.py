"""What was left off and why, what nobody knows, whom to thank, the papers, and how it is done."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.verdicts import GRADES
from archive.records.citation import render as cited
from archive.records.spec import Judged
from archive.site.page import Grade, Link, Page
from archive.site.visitors.addresses import anchor
from archive.site.visitors.edition import Edition, Picture, Said
from archive.site.visitors.parts import THEME, ChoiceShown, choice_of

LEFT = ("leave-off", "defer")
"""Choices that put nothing on the aircraft."""


@dataclass(frozen=True, slots=True)
class ChosenShown:
    """A decision: what was asked, what was chosen, and what it is about."""

    anchor: str
    title: Said
    question: Said
    chosen: ChoiceShown
    about: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class ChoicesShown:
    """What was left off, and what else was decided."""

    left: tuple[ChosenShown, ...]
    others: tuple[ChosenShown, ...]


@dataclass(frozen=True, slots=True)
class QuestionShown:
    """Something that nobody knows, and what would settle it."""

    anchor: str
    title: Said
    question: Said
    would_settle: Said
    answer: Said
    about: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class QuestionsShown:
    """Open questions, then those that were settled."""

    waiting: tuple[QuestionShown, ...]
    settled: tuple[QuestionShown, ...]


@dataclass(frozen=True, slots=True)
class CreditsShown:
    """Credit lines in the wording that is asked for, and the people who agreed to be named."""

    credits: tuple[tuple[str, tuple[Link, ...]], ...]
    people: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class PaperShown:
    """A source that may be shown: its citation, its day, its pictures."""

    anchor: str
    title: Said
    citation: str
    when: str
    credit: str
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class PapersShown:
    """All sources that may be shown."""

    papers: tuple[PaperShown, ...]


@dataclass(frozen=True, slots=True)
class MethodShown:
    """How it is done: the six grades with the sentence that each allows."""

    grades: tuple[tuple[Grade, str], ...]
    day: str


def pages(edition: Edition) -> Iterator[Page]:
    """The five pages."""
    t, name = edition.t, edition.site.name
    for page, template, shown in (
        ("choices", "choices", _choices(edition)),
        ("questions", "questions", _questions(edition)),
        ("credits", "credits", _credits(edition)),
        ("papers", "papers", _papers(edition)),
        ("method", "method", _method(edition)),
    ):
        frame = edition.frame(f"{page}.html", t(f"{page}.title"), name, page)
        yield Page(edition.path(f"{page}.html"), template, frame, shown, THEME)


def _choices(edition: Edition) -> ChoicesShown:
    found = []
    for decision in edition.library.decisions.values():
        standing = edition.view.findings.decisions.get(decision.ref)
        if standing is None or standing.state == "superseded":
            continue
        found.append(
            (
                decision.choice,
                ChosenShown(
                    anchor(decision.ref),
                    edition.text(decision, "title"),
                    edition.text(decision, "question"),
                    choice_of(edition, decision.ref),
                    edition.links(ref.partition("#")[0] for ref in decision.about),
                ),
            )
        )
    return ChoicesShown(
        tuple(one for choice, one in found if choice in LEFT),
        tuple(one for choice, one in found if choice not in LEFT),
    )


def _questions(edition: Edition) -> QuestionsShown:
    waiting: list[QuestionShown] = []
    settled: list[QuestionShown] = []
    for question in edition.library.questions.values():
        shown = QuestionShown(
            anchor(question.ref),
            edition.text(question, "title"),
            edition.text(question, "question"),
            edition.text(question, "would_settle"),
            edition.foreign((question.settled.says if question.settled else None) or ""),
            edition.links(ref.partition("#")[0] for ref in question.about),
        )
        (settled if question.settled else waiting).append(shown)
    return QuestionsShown(tuple(waiting), tuple(settled))


def _credits(edition: Edition) -> CreditsShown:
    lines: dict[str, list[str]] = {}
    for ref, rights in edition.view.rights.items():
        for use in rights.uses:
            if use.credit:
                lines.setdefault(use.credit, []).append(ref)
    return CreditsShown(
        tuple((line, edition.links(refs)) for line, refs in sorted(lines.items())),
        tuple(
            (anchor(f"people/{one.id}"), one.name or "", one.role or "")
            for one in edition.library.people.values()
        ),
    )


def _papers(edition: Edition) -> PapersShown:
    photos: dict[str, list[str]] = {}
    for photo in edition.library.photos.values():
        photos.setdefault(photo.source or "", []).append(photo.id)
    found = []
    for source in edition.library.sources.values():
        dated = source.dated.says if isinstance(source.dated, Judged) else source.dated
        rights = edition.view.rights.get(source.ref)
        pictures = (edition.picture(id_, 320) for id_ in photos.get(source.ref, ()))
        found.append(
            PaperShown(
                anchor(source.ref),
                edition.text(source, "title"),
                cited(source.citation) if source.citation else "",
                edition.dated(dated),
                rights.uses[0].credit if rights else "",
                tuple(one for one in pictures if one is not None),
            )
        )
    return PapersShown(tuple(found))


def _method(edition: Edition) -> MethodShown:
    grades = []
    for grade in GRADES:
        line = grade.rpartition(" ")[2]
        mark = Grade(edition.t(f"grade.{line}"), line, True)
        grades.append((mark, edition.t(f"method.grade.{line}")))
    return MethodShown(tuple(grades), edition.day())
