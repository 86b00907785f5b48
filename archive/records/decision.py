"""A decision: what was asked, what could be done and why, what was chosen, who dissents."""

from __future__ import annotations

from dataclasses import dataclass

from archive.records.common import Signed, Titled
from archive.records.spec import Node, node, one_of, ref, spec_field, text

CHOICES = (
    "build",
    "build-provisionally",
    "leave-off",
    "keep-as-found",
    "refit",
    "refit-repaired",
    "store-and-copy",
    "defer",
)


@dataclass(frozen=True, kw_only=True)
class Option(Node):
    """One thing that could be done."""

    id: str = spec_field("name", "Its name.", required=True)
    says: str | None = text("What it would mean.", required=True)
    evidence: tuple[str, ...] = ref((), "What speaks for it.", many=True, key="for")
    against: tuple[str, ...] = ref((), "What speaks against it.", many=True)
    removes: str | None = text("What it destroys or takes off.")
    reversible: bool | None = spec_field("yesno", "Can it be undone?")
    cost: str | None = text("Days and money.")


@dataclass(frozen=True, kw_only=True)
class Dissent(Signed):
    """Somebody who would have chosen otherwise, in their own words."""

    says: str | None = text("Their words.", required=True)


@dataclass(frozen=True, kw_only=True)
class Approval(Signed):
    """A signature under the decision."""

    role: str | None = text("As what: owner, lead, museum.", required=True)
    state: str | None = text("The evidence state that was signed, as the page prints it.")
    letter: str | None = ref(("sources",), "The letter, where it came by letter.")


@dataclass(frozen=True, kw_only=True)
class Decision(Titled):
    """Why a thing is built as it is."""

    kind = "decisions"
    singular = "decision"
    what = "a decision"

    question: str | None = text("What had to be decided.", required=True)
    about: tuple[str, ...] = ref(
        ("parts", "zones"),
        "The parts or claims it settles.",
        many=True,
        one_or_many=True,
        required=True,
    )
    options: tuple[Option, ...] = node(Option, "What could be done.", many=True, pieces=True)
    choice: str | None = one_of(CHOICES, "What was chosen.", required=True)
    option: str | None = spec_field("name", "Which option.")
    because: str | None = text("Why, in a sentence or two.", required=True)
    told: str | None = text(
        "Why, in words for visitors; they get these in place of `because`, which is kept from them "
        "where it leans on what may not be shown."
    )
    configuration: str | None = ref(("configurations",), "For which state of the aircraft.")
    leans_on: tuple[str, ...] = ref(
        (), "The claims, photographs and papers that it rests on.", many=True, one_or_many=True
    )
    dissent: tuple[Dissent, ...] = node(Dissent, "Who would have chosen otherwise.", many=True)
    approvals: tuple[Approval, ...] = node(Approval, "Who signed.", many=True)
    supersedes: tuple[str, ...] = ref(
        ("decisions",), "Earlier decisions that it replaces.", many=True, one_or_many=True
    )
    reversible: str | None = text("How it can be undone, and at what cost.")
    review: str | None = text("What would reopen it.")
