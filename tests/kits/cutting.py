"""A part that clears for a cut, as text: its claims, the decision to build it, the signatures."""

from __future__ import annotations

from small_records import photo

ASPECTS = ("existence", "shape", "size", "material")


def claims(grade: str = "corroborated", tolerance: str = "1/4 in", half: str = "1/8 in") -> str:
    """Four claims, each resting on one or two photographs."""
    both = "{photo: one#chine, value: 10 in +/- HALF}, {photo: two#chine, value: 10 in +/- HALF}"
    one = "{photo: one#chine, value: 10 in +/- HALF}"
    evidence = (both if grade == "corroborated" else one).replace("HALF", half)
    return "\n".join(
        f"  - id: {aspect}\n    aspect: {aspect}\n    says: It is so\n"
        f"    configuration: survey-1932\n"
        + (f"    tolerance: {tolerance}\n" if aspect == "size" and tolerance else "")
        + f"    evidence: [{evidence}]"
        for aspect in ASPECTS
    )


def decision(choice: str = "build", signed: bool = True, more: str = "") -> str:
    mark = "{by: OW, role: owner, on: 2026-07-20, state: STATE}"
    approvals = f"approvals: [{mark}]" if signed else ""
    return f"""
== decisions/it.md ==
---
title: What to do
question: What to do?
about: [parts/chine]
choice: {choice}
because: It is so.
{approvals}
{more}
---
"""


MARKED = "survives: no\nmark: {what: NEW 2026, place: inside face}"
TWO = photo("one") + photo("two")


def sign(weighed, text: str) -> str:
    """The text with every signature pinned to the evidence of today."""
    findings, _, _ = weighed(text.replace("STATE", "000000"))
    standing = findings.decisions.get("decisions/it")
    return text.replace("STATE", standing.evidence_state if standing else "")
