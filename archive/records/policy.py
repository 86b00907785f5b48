"""Overrides of the grading and clearance rules, each with a reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.spec import Node, Record, node, spec_field, text


@dataclass(frozen=True, kw_only=True)
class Override(Node):
    """One rule that this team applies differently."""

    rule: str | None = text(
        "The rule's number, as the pages print it, such as `G7`.", required=True
    )
    says: str | None = text("What holds instead.", required=True)
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
