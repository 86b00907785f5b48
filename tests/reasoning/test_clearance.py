"""What evidence clears and what it holds, in shop words."""

from __future__ import annotations

import pytest
from small_records import part, photo

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
    approvals = "approvals: [{by: OW, role: owner, on: 2026-07-20}]" if signed else ""
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


TWO = photo("one") + photo("two")


def holds(weighed, text: str, step: str = "cut") -> list[str]:
    findings, problems, _ = weighed(TWO + text)
    assert problems == []
    return [reason.rule for reason in findings.parts["parts/chine"].steps[step].reasons]


def test_corroborated_signed_and_tight_enough_is_cleared(weighed):
    findings, problems, _ = weighed(TWO + part(claims()) + decision())
    assert (problems, findings.parts["parts/chine"].steps["cut"].verdict) == ([], "cleared")


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        (part(claims()), ["C5"]),
        (part(claims()) + decision(signed=False), ["C5"]),
        (part(claims()) + decision("leave-off"), ["C5"]),
        (part(claims("seen")) + decision(), ["C5"]),
        (part(claims("seen")) + decision("build-provisionally"), []),
        (part(claims(tolerance="1/16 in")) + decision(), ["C4"]),
        (part(claims(tolerance="")) + decision(), ["C4"]),
        (part(claims(), "survives: no\nfitted: {from: tail-post-mod}") + decision(), ["C6"]),
        (part(claims().replace("material", "finish")) + decision(), ["C3"]),
        (part("  []").replace("claims:\n  []", "") + decision(), ["C3"]),
    ],
)
def test_holds(weighed, text, rules):
    assert holds(weighed, text) == rules


def test_an_open_question_holds_until_it_is_settled(weighed):
    question = """
== questions/q.md ==
---
title: Which struts?
question: Which struts were meant?
about: [parts/chine]
MORE
---
"""
    text = part(claims()) + decision() + question
    assert holds(weighed, text.replace("MORE", "")) == ["C8"]
    answer = "settled: {by: HB, on: 2026-10-01, says: These}"
    assert holds(weighed, text.replace("MORE", answer)) == []


def test_the_hold_says_both_figures(weighed):
    findings, _, _ = weighed(TWO + part(claims(tolerance="1 mm")) + decision())
    (reason,) = findings.parts["parts/chine"].steps["cut"].reasons
    assert reason.says == "The size is too loose: held to ± 3.17 mm, and the job needs ± 1 mm."


def test_a_mock_up_is_open_at_any_grade_and_trial_stock_is_not(weighed):
    bare = part("  - id: it\n    aspect: shape\n    says: It is so")
    findings, _, _ = weighed(bare)
    steps = findings.parts["parts/chine"].steps
    assert [steps[s].verdict for s in ("look", "mock-up", "trial", "cut")] == [
        "cleared",
        "cleared",
        "hold",
        "hold",
    ]
    assert steps["original"].verdict == "asked apart"


def test_a_beaten_rival_does_not_hold_the_part(weighed):
    rival = (
        "\n  - id: other\n    aspect: shape\n    says: Otherwise\n    rival_of: shape\n"
        "    configuration: survey-1932\n    evidence: [{photo: one#chine, reading: possible}]"
    )
    assert holds(weighed, part(claims() + rival) + decision()) == []


def test_a_decision_is_reopened_when_its_evidence_moves(weighed):
    findings, _, _ = weighed(TWO + part(claims()) + decision())
    state = findings.decisions["decisions/it"].evidence_state
    pinned = decision().replace("on: 2026-07-20", f"on: 2026-07-20, state: {state}")
    assert holds(weighed, part(claims()) + pinned) == []
    assert holds(weighed, part(claims(half="3/16 in")) + pinned) == ["C5"]
    findings, _, _ = weighed(TWO + part(claims(half="3/16 in")) + pinned)
    assert findings.decisions["decisions/it"].state == "reopened"


def test_a_superseded_decision_no_longer_stands(weighed):
    newer = decision("leave-off").replace("decisions/it.md", "decisions/newer.md")
    newer = newer.replace("choice:", "supersedes: [it]\nchoice:")
    findings, problems, _ = weighed(TWO + part(claims()) + decision() + newer)
    assert problems == []
    old = findings.decisions["decisions/it"]
    assert (old.state, old.superseded_by) == ("superseded", "decisions/newer")
    assert findings.parts["parts/chine"].decisions == ("decisions/newer",)


def test_lines_that_cannot_be_read_hold_the_cut(weighed):
    text = TWO + part(claims(), "survives: no\nhazards: [dragons]") + decision()
    findings, problems, _ = weighed(text)
    assert problems
    assert [r.rule for r in findings.parts["parts/chine"].steps["cut"].reasons] == ["C9"]
