"""A question's page: what is not known, what would settle it, by when, and who was asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.records.question import Question
from archive.site import words
from archive.site.context import Context
from archive.site.markdown import Prose
from archive.site.page import Cell, Frame, Link, Page


@dataclass(frozen=True, slots=True)
class QuestionBrief:
    """A question in a few lines, for lists and for the pages that it touches."""

    link: Link
    question: str
    would_settle: str
    by_when: str
    settled: str


@dataclass(frozen=True, slots=True)
class EnquiryShown:
    """A letter or call to somebody, and what came of it."""

    asked: str
    signed: str
    says: str
    answered: str
    answer: str
    chase: str
    letter: Link | None


@dataclass(frozen=True, slots=True)
class QuestionShown:
    """All that a question's page says."""

    question: str
    would_settle: str
    by_when: str
    about: tuple[Link, ...]
    enquiries: tuple[EnquiryShown, ...]
    settled: str
    settled_signed: str
    settled_by: tuple[Link, ...]
    prose: Prose


def pages(context: Context) -> Iterator[Page]:
    """The page of every question."""
    for question in context.library.questions.values():
        yield Page(
            f"questions/{question.id}.html",
            "question",
            _frame(context, question),
            shown(context, question),
        )


def brief(context: Context, ref: str) -> QuestionBrief:
    """A question in a few lines."""
    question = context.library.questions[ref.partition("/")[2]]
    return QuestionBrief(
        link=context.link(ref),
        question=question.question or "",
        would_settle=question.would_settle or "",
        by_when=words.day(question.by_when),
        settled=(question.settled.says or "settled") if question.settled else "",
    )


def _frame(context: Context, question: Question) -> Frame:
    return context.frame(
        question,
        label="Question",
        here="questions",
        up=Link("Questions", context.page("questions.html")),
        cells=(
            Cell("Stands", "settled" if question.settled else "open"),
            Cell("Needed by", words.day(question.by_when)),
            Cell("Asked", words.count(len(question.enquiries), "enquiry", "enquiries")),
            Cell("Written", context.signed(question.by, question.on)),
        ),
    )


def shown(context: Context, question: Question) -> QuestionShown:
    """All that a question's page says."""
    settled = question.settled
    return QuestionShown(
        question=question.question or "",
        would_settle=question.would_settle or "",
        by_when=words.day(question.by_when),
        about=context.links(question.about),
        enquiries=tuple(
            EnquiryShown(
                asked=one.asked or "",
                signed=context.signed(one.by, one.on),
                says=one.says or "",
                answered=words.day(one.answered),
                answer=one.answer or "",
                chase=words.day(one.chase),
                letter=context.link(one.letter) if one.letter else None,
            )
            for one in question.enquiries
        ),
        settled=(settled.says or "") if settled else "",
        settled_signed=context.signed(settled.by, settled.on) if settled else "",
        settled_by=context.links(settled.evidence) if settled else (),
        prose=context.prose(question.prose),
    )
