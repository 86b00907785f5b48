"""A cutting card: what was printed, issue by issue, on what evidence, and what was made from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.core.check_codes import as_printed, check_code
from archive.core.scales import GRADES, STEPS
from archive.records.claim import ASPECTS
from archive.records.common import Signed
from archive.records.decision import CHOICES
from archive.records.part import HAZARDS
from archive.records.spec import Node, Record, fields_of, node, one_of, ref, spec_field, text

ASKED = tuple(step for step in STEPS if step != "look")
"""The steps that a card can be issued for."""

MILLIONTHS = 1_000_000


@dataclass(frozen=True, kw_only=True)
class CardClaim(Node):
    """A claim of the part as it stood when the card was printed."""

    claim: str = spec_field("name", "Its name.", required=True)
    aspect: str | None = one_of(ASPECTS, "What it is about.", required=True)
    says: str | None = text("Its words.", required=True)
    grade: str | None = one_of(GRADES, "Its grade.", required=True)
    settled: bool | None = spec_field("yesno", "Was it settled?", required=True)
    witnesses: Any = spec_field("whole", "How many independent witnesses.", required=True)
    evidence: str | None = text("The code of its evidence state.", required=True)
    value_mm: Any = spec_field("number", "Its size, in millimetres.")
    half95_mm: Any = spec_field("number", "The 95 % half-width of its size.")
    tolerance_mm: Any = spec_field("number", "What the job needed, as ±.")
    make_to_mm: Any = spec_field("number", "The figure that a person chose to make it to.")
    measured_from: str | None = text("The edge, pin or line that it was set out from.")
    leave: str | None = text("What was to be left over, to be trimmed at the fit.")


@dataclass(frozen=True, kw_only=True)
class CardDecision(Node):
    """A decision about the part as it stood when the card was printed."""

    decision: str = spec_field("name", "Its name.", required=True)
    choice: str | None = one_of(CHOICES, "What was chosen.", required=True)
    state: str | None = text("How it stood.", required=True)
    evidence: str | None = text("The code of its evidence state.", required=True)


@dataclass(frozen=True, kw_only=True)
class CardTreatment(Node):
    """A treatment of an original as it had been signed when the card was printed."""

    treatment: str = spec_field("name", "Its name.", required=True)
    choice: str | None = text("The option chosen.")
    work: str | None = text("What is done to the original.", required=True)
    takes: str | None = text("What it takes off, and where that is kept.", required=True)
    undone: str | None = text("Whether it can be undone.")
    hazards: str | None = text("How each hazard is met.")
    signed: str | None = text("Who had signed for it.")
    evidence: str | None = text("The code of what was signed.", required=True)


@dataclass(frozen=True, kw_only=True)
class Issue(Node):
    """One printing of a card, with the evidence state that it leans on."""

    issue: Any = spec_field("whole", "Its number: 1, 2, …", required=True)
    step: str | None = one_of(ASKED, "What it is for.", required=True)
    on: Any = spec_field("day", "The day it was issued.", required=True)
    by: str | None = spec_field("person", "Who issued it.")
    code: str | None = text("The check code printed on it.", required=True)
    rules: Any = spec_field("whole", "The number of the rule set.", required=True)
    configuration: str | None = spec_field("name", "The state of the aircraft it was for.")
    hazards: tuple[str, ...] = one_of(HAZARDS, "The hazards it warns of.", many=True)
    mark: str | None = text("The mark that the new part is to bear.")
    mark_place: str | None = text("Where that mark is to be.")
    claims: tuple[CardClaim, ...] = node(CardClaim, "The claims it leans on.", many=True)
    decisions: tuple[CardDecision, ...] = node(
        CardDecision, "The decisions it leans on.", many=True
    )
    treatments: tuple[CardTreatment, ...] = node(
        CardTreatment, "What is done to an original by it, and nothing else.", many=True
    )


@dataclass(frozen=True, kw_only=True)
class LookedAt(Signed):
    """The piece was held against a later issue, and does."""

    against: Any = spec_field("whole", "The issue whose words and figures it meets.", required=True)
    says: str | None = text("What was found.")


@dataclass(frozen=True, kw_only=True)
class Scrapped(Signed):
    """The piece is not to be used."""

    because: str | None = text("Why, and what became of it.")


@dataclass(frozen=True, kw_only=True)
class Cut(Signed):
    """A piece was made from the card, or an original worked on by it."""

    issue: Any = spec_field("whole", "From which issue.", required=True)
    made: str | None = text("What was made, and its sizes as made; what was done.")
    looked_at: LookedAt | None = node(LookedAt, "Where the piece was looked at again, and kept.")
    scrapped: Scrapped | None = node(Scrapped, "Where the piece is no longer to be used.")


@dataclass(frozen=True, kw_only=True)
class Returned(Signed):
    """The sheet of an earlier issue came back from the bench."""

    issue: Any = spec_field("whole", "Of which issue.", required=True)


@dataclass(frozen=True, kw_only=True)
class Withdrawal(Signed):
    """The card was taken back from the bench."""

    because: str | None = text("Why.", required=True)


@dataclass(frozen=True, kw_only=True)
class Card(Record):
    """A cutting card; its name is its number, and is never given twice."""

    kind = "cards"
    singular = "card"
    what = "a cutting card"
    prose_allowed = False

    part: str | None = ref(("parts",), "The part it is for.", required=True)
    sealed: bool | None = spec_field(
        "yesno", "`yes` keeps it off every site; so does a part that is sealed."
    )
    withdrawn: Withdrawal | None = node(Withdrawal, "Where it was taken back.")
    cut: tuple[Cut, ...] = node(Cut, "What was made from it, or done by it.", many=True)
    returned: tuple[Returned, ...] = node(
        Returned, "The sheets of earlier issues that came back from the bench.", many=True
    )
    issues: tuple[Issue, ...] = node(
        Issue, "Each time that it was printed, oldest first.", many=True, required=True
    )

    @property
    def title(self) -> str:
        """What the card is called on the pages."""
        return f"Cutting card {self.id}"


def code_of(number: str, part: str | None, issue: Issue) -> str:
    """The check code of an issue: of all that it leans on and says, without day and name.

    Lengths count in millionths of a millimetre.
    """
    claims = [
        [
            one.claim,
            one.aspect,
            one.says,
            one.grade,
            one.settled,
            one.witnesses,
            one.evidence,
            *(_micro(v) for v in (one.value_mm, one.half95_mm, one.tolerance_mm, one.make_to_mm)),
            one.measured_from,
            one.leave,
        ]
        for one in issue.claims
    ]
    decisions = [[one.decision, one.choice, one.state, one.evidence] for one in issue.decisions]
    treatments = [
        [getattr(one, name) for name in fields_of(CardTreatment)] for one in issue.treatments
    ]
    return check_code(
        [
            number,
            issue.issue,
            part,
            issue.step,
            issue.rules,
            issue.configuration,
            list(issue.hazards),
            [issue.mark, issue.mark_place],
            claims,
            decisions,
            *treatments,
        ]
    )


def printed(card: Card, issue: Issue) -> str:
    """Number, issue and code as they stand on a card."""
    return as_printed(card.id, issue.issue or 0, issue.code or "")


def _micro(value_mm: float | None) -> int | None:
    return None if value_mm is None else round(value_mm * MILLIONTHS)
