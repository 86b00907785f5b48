"""Overrides of the rules: those that can't be applied, and those that are refused."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.records.check_names import at
from archive.records.library import Library
from archive.records.practice import changes, refusal


def overrides(library: Library) -> Iterator[Problem]:
    """Each override that changes nothing, so that nobody relies on it."""
    policy = library.policy
    for override in policy.overrides if policy else ():
        if policy is None or not override.rule or override.lost:
            continue
        where = at(policy, override, "rule")
        refused = refusal(override)
        if refused:
            hint = "The rule holds as it is. Take the override out, or make it stricter."
            yield Problem(where, "policy-refused", refused, hint)
        elif not changes(override):
            says = f"This override of {override.rule} can't be applied, so all work is held."
            hint = (
                "The manual's chapter on grades says which rules a policy can change, and with "
                "which field. Mend it, or take it out."
            )
            yield Problem(where, "policy-not-applied", says, hint)
