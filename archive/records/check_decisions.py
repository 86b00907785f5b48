"""Decisions and treatments: an option that is there, and signatures that can be shown."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.records.check_names import at, nearest
from archive.records.library import Library
from archive.records.policy import needs_letter


def options(library: Library) -> Iterator[Problem]:
    """The option chosen is one that was weighed."""
    for decision in library.decisions.values():
        names = {option.id for option in decision.options}
        if decision.option and decision.option not in names and "options" not in decision.lost:
            says = f"There is no option called {decision.option} in this decision."
            hint = nearest(decision.option, names) or "List it under options:."
            yield Problem(at(decision, decision, "option"), "option-unknown", says, hint)


def letters(library: Library) -> Iterator[Problem]:
    """An approval from outside the workshop (or as the policy has it) has its letter."""
    for decision in library.decisions.values():
        for approval in decision.approvals:
            if approval.letter or "letter" in approval.lost:
                continue
            if needs_letter(library.policy, approval.role):
                says = f"The {(approval.role or '').lower()}'s approval has no letter behind it."
                hint = "Keep the letter as a source and name it: letter: sources/…"
                yield Problem(
                    at(decision, approval, "role"), "approval-no-letter", says, hint, advice=True
                )


def treatments(library: Library) -> Iterator[Problem]:
    """The treatment chosen is one that was weighed, and somebody proposed it."""
    for part in library.parts.values():
        for treatment in part.treatments:
            choice = treatment.choice
            if choice and treatment.options and choice not in treatment.options:
                says = f"“{choice}” isn't among the options weighed."
                hint = nearest(choice, treatment.options) or "Add it to options:."
                yield Problem(at(part, treatment, "choice"), "option-unknown", says, hint)
