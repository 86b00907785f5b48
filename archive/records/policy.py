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
