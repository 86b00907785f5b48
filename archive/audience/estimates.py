"""What several figures come to, without a trace of sealed records; the value itself stays."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from archive.core.estimated import Estimated, Together
from archive.core.findings import Finding, Reason
from archive.core.verdicts import Graded, Held, ItemTaken

KEPT = "It rests on a record that is kept from this site."


def estimated_without(estimated: Estimated, graded: Graded, sealed: frozenset[str]) -> Estimated:
    """An estimate less the lines that are of a sealed record; `graded` is its claim, whole."""
    hidden = _hidden(graded.items, sealed)
    if not hidden:
        return dataclasses.replace(
            estimated, together=together_without(estimated.together, graded, sealed)
        )
    return dataclasses.replace(
        estimated,
        lines=tuple(line for line in estimated.lines if line.index not in hidden),
        together=together_without(estimated.together, graded, sealed),
        finding=Finding(estimated.finding.verdict, (Reason("E1", KEPT),)),
    )


def together_without(
    together: Together | None, graded: Graded, sealed: frozenset[str]
) -> Together | None:
    """What figures come to, less the places of sealed ones and the names of their errors."""
    if together is None:
        return None
    hidden = _hidden(graded.items, sealed)
    return dataclasses.replace(
        together,
        counted=tuple(pair for pair in together.counted if pair[0] not in hidden),
        pairs=tuple(pair for pair in together.pairs if not hidden.intersection(pair[:2])),
        errors=errors_without(together.errors, sealed),
    )


def held_without(held: Held, sealed: frozenset[str]) -> Held:
    """A held size that tells nothing of a sealed record."""
    if held.taken_from.partition("#")[0] in sealed:
        held = dataclasses.replace(held, taken_from="", says=KEPT)
    return dataclasses.replace(held, errors=errors_without(held.errors, sealed))


def errors_without(
    errors: tuple[tuple[str, float], ...], sealed: frozenset[str]
) -> tuple[tuple[str, float], ...]:
    """No errors by name where any of them names a sealed record."""
    named = (ref.partition("#")[0] for label, _ in errors for ref in label.split("|"))
    return () if any(name in sealed for name in named) else errors


def _hidden(items: Iterable[ItemTaken], sealed: frozenset[str]) -> frozenset[int]:
    """The places of the items that are of a sealed record, or measured by one."""
    return frozenset(
        item.index
        for item in items
        if item.ref.partition("#")[0] in sealed or item.measured in sealed
    )
