"""Overrides of the rules: read and shown, and said not to be applied."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.records.check_names import at
from archive.records.library import Library


def overrides(library: Library) -> Iterator[Problem]:
    """Each override, so that nobody relies on it."""
    policy = library.policy
    for override in policy.overrides if policy else ():
        if policy and override.rule:
            says = f"This override of {override.rule} isn't applied: the rule holds as it is."
            hint = "A ruling of your own under the claim, graded:, does count."
            yield Problem(
                at(policy, override, "rule"), "policy-not-applied", says, hint, advice=True
            )
