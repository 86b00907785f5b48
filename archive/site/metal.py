"""Whether a photograph agrees with the metal, as its page says it."""

from __future__ import annotations

from dataclasses import dataclass

from archive.site.context import Context
from archive.site.page import Link, ReasonShown


@dataclass(frozen=True, slots=True)
class MetalShown:
    """The answer, why, and the measurement whose solution gives it."""

    says: str
    by: Link
    reasons: tuple[ReasonShown, ...]


def metal(context: Context, ref: str) -> MetalShown | None:
    """The answer for a photograph, by its REF; None where no points check each other on it."""
    found = context.findings.agreement(ref)
    if found is None:
        return None
    by, agreement = found
    says = f"The photograph {agreement.finding.verdict}"
    return MetalShown(says, context.link(by), context.reasons(agreement.finding, ref))
