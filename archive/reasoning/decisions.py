"""How decisions stand: signed or not, superseded, or reopened because their evidence moved.

D1  A decision that another one supersedes no longer stands.
D2  A decision without an approval is unsigned.
D3  An approval is pinned to the evidence state that was signed: when that moves, it is reopened.
"""

from __future__ import annotations

from collections.abc import Mapping

from archive.core.dates import show_bounds
from archive.core.findings import Finding, Reason
from archive.core.rules import RULE_SET
from archive.core.verdicts import Graded, Standing
from archive.reasoning.canon import code
from archive.records.decision import Decision
from archive.records.library import Library

STANDS, SUPERSEDED, UNSIGNED, REOPENED = "stands", "superseded", "unsigned", "reopened"


def standings(library: Library, claims: Mapping[str, Graded]) -> dict[str, Standing]:
    """How each decision stands, by REF."""
    newer: dict[str, str] = {}
    for decision in library.decisions.values():
        for old in decision.supersedes:
            newer.setdefault(old, decision.ref)
    of_part = {
        part.ref: tuple(f"{part.ref}#{claim.id}" for claim in part.claims)
        for part in library.parts.values()
    }
    return {
        decision.ref: _standing(
            library,
            claims,
            decision,
            newer.get(decision.ref, ""),
            claims_behind(decision, claims, of_part),
        )
        for decision in library.decisions.values()
    }


def claims_behind(
    decision: Decision, claims: Mapping[str, Graded], of_part: Mapping[str, tuple[str, ...]]
) -> tuple[str, ...]:
    """The claims that a decision leans on: those it names, and those of the parts it is about.

    `of_part` gives the claims of each part, by REF; the answer is sorted.
    """
    named = [*decision.leans_on, *decision.about]
    for option in decision.options:
        named += [*option.evidence, *option.against]
    found = {ref for ref in named if ref in claims}
    for ref in decision.about:
        found.update(of_part.get(ref, ()))
    return tuple(sorted(found))


def _standing(
    library: Library,
    claims: Mapping[str, Graded],
    decision: Decision,
    newer: str,
    behind: tuple[str, ...],
) -> Standing:
    today = code([RULE_SET, decision.choice, [[ref, claims[ref].state] for ref in behind]])
    reasons: list[Reason] = []
    state = STANDS
    if not decision.approvals:
        state = UNSIGNED
        reasons.append(Reason("D2", "Nobody has signed it."))
    for approval in decision.approvals:
        letter = (approval.letter,) if approval.letter else ()
        if approval.state and approval.state != today:
            state = REOPENED
            says = f"{approval.by} signed evidence {approval.state}; it stands at {today} now."
            reasons.append(Reason("D3", says, letter))
        else:
            day = show_bounds(approval.on, approval.on)
            says = f"{approval.by}, {approval.role}, signed on {day}."
            reasons.append(Reason("D2", says, letter))
    if newer:
        state = SUPERSEDED
        reasons.append(Reason("D1", f"“{library.title(newer)}” took its place.", (newer,)))
    return Standing(decision.ref, state, newer, today, Finding(state, tuple(reasons)))
