"""A question: what is not known, what would settle it, by when, and who was asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.common import Signed, Titled
from archive.records.spec import Node, node, ref, spec_field, text


@dataclass(frozen=True, kw_only=True)
class Enquiry(Node):
    """A letter or call to somebody who may know."""

    asked: str | None = text("Who was asked.", required=True, key="who")
    on: Any = spec_field("day", "When.", required=True)
    by: str | None = spec_field("person", "Who asked.")
    says: str | None = text("What was asked.")
    answered: Any = spec_field("day", "When they answered.")
    answer: str | None = text("What they said.")
    chase: Any = spec_field("day", "When to ask again.")
    letter: str | None = ref(("sources",), "The letter.")


@dataclass(frozen=True, kw_only=True)
class Answer(Signed):
    """What settled it."""

    says: str | None = text("The answer.", required=True)
    evidence: tuple[str, ...] = ref((), "What it rests on.", many=True)


@dataclass(frozen=True, kw_only=True)
class Question(Titled):
    """Something not known that somebody needs to know."""

    kind = "questions"
    singular = "question"
    what = "a question"

    question: str | None = text("What is not known.", required=True)
    about: tuple[str, ...] = ref((), "What it touches.", many=True, one_or_many=True)
    would_settle: str | None = text("The picture, paper or piece that would settle it.")
    by_when: Any = spec_field("day", "When it must be settled.")
    enquiries: tuple[Enquiry, ...] = node(Enquiry, "Who was asked.", many=True)
    settled: Answer | None = node(Answer, "The answer, once there is one.")
