"""All that is foreseen of a library: what falls, what would lift, what holds up, what has moved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from archive.core.foresight import Change, Foreseen
from archive.core.kept import Kept
from archive.core.verdicts import Findings
from archive.reasoning.differences import between, keep
from archive.reasoning.falls import falls
from archive.reasoning.ground import Given
from archive.reasoning.holding import holding
from archive.reasoning.impact import day_of
from archive.reasoning.lift import lifts
from archive.reasoning.times import Times
from archive.records.library import Library


def foresee(
    library: Library,
    findings: Findings,
    given: Given = Given(),  # noqa: B008  (frozen)
    states: Sequence[Kept] = (),
    times: Times | None = None,
) -> Foreseen:
    """What is foreseen of a library, weighed with what was `given`.

    `states` are its named states, oldest first; `times` its chronology, where that is worked out
    already.
    """
    fallen, untried = falls(library, findings, given, times=times)
    return Foreseen(
        falls=fallen,
        untried=untried,
        lifts=lifts(library, findings, given, times),
        holding=holding(library, findings),
        changes=tuple(_changes(library, findings, states)),
    )


def today(library: Library, findings: Findings) -> Kept:
    """The findings of today in canonical form, without a name."""
    kept = keep(library, findings.claims, findings.decisions, findings.parts, findings.cards)
    clashes = (clash.refs for clash in findings.clashes if not clash.advice)
    return replace(
        kept,
        dates={ref: day_of(findings.dates[ref]) for ref in sorted(findings.dates)},
        clashing=tuple(sorted({ref for refs in clashes for ref in refs})),
    )


def change(library: Library, since: Kept, until: Kept) -> Change:
    """What differs between two states."""
    return Change(
        since.name,
        until.name,
        (since.on, until.on),
        (since.rule_set, until.rule_set),
        between(library, since, until),
    )


def _changes(library: Library, findings: Findings, states: Sequence[Kept]) -> Iterator[Change]:
    """From each state to today, the newest first; then from each to the next."""
    if not states:
        return
    now = today(library, findings)
    for state in reversed(states):
        yield change(library, state, now)
    for index in range(len(states) - 1, 0, -1):
        yield change(library, states[index - 1], states[index])
