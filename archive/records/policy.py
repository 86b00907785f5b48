"""Overrides of the grading and clearance rules, each with a reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.core.verdicts import GRADES
from archive.records.claim import ASPECTS
from archive.records.spec import Node, Record, node, one_of, spec_field, text


@dataclass(frozen=True, kw_only=True)
class Override(Node):
    """One rule that this team applies differently."""

    rule: str | None = text(
        "The rule's number, as the pages print it, such as `G7`.", required=True
    )
    says: str | None = text("What holds instead.", required=True)
    grade: str | None = one_of(
        GRADES, "The grade that the step asks for (C2, C3), or that the rule lends at most."
    )
    number: Any = spec_field(
        "whole", "How many: witnesses (G5), people (G22), signatures (C5, C11), options (C10)."
    )
    share: Any = spec_field("number", "Which share of the tolerance the error may take (C4).")
    also: tuple[str, ...] = one_of(
        ASPECTS, "Further aspects that a cut asks for (C3).", many=True, one_or_many=True
    )
    roles: tuple[str, ...] = text(
        "Roles that must be among those who signed (C5, C11).", many=True, one_or_many=True
    )
    always: bool | None = spec_field(
        "yesno", "`yes`: all new stock has its mark planned, not only what is conjectural (C14)."
    )
    because: str | None = text("Why.", required=True)
    by: str | None = spec_field("person", "Who decided it.", required=True)
    on: Any = spec_field("day", "On which day.", required=True)


@dataclass(frozen=True, kw_only=True)
class Policy(Record):
    """The team's overrides: `policy.yaml`."""

    kind = "policy"
    singular = "policy"
    what = "the policy"
    prose_allowed = False

    overrides: tuple[Override, ...] = node(Override, "The overrides.", many=True)
    letter_from: tuple[str, ...] = text(
        "Roles whose approval must come by letter; owner, lender and museum where left out.",
        many=True,
    )


OUTSIDE = ("owner", "lender", "museum")
"""Roles whose approval comes from outside the workshop, and so on paper."""


def needs_letter(policy: Policy | None, role: str | None) -> bool:
    """Whether an approval in this role must name a letter."""
    roles = (policy.letter_from if policy else ()) or OUTSIDE
    return (role or "").lower() in {word.lower() for word in roles}
