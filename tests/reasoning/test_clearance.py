"""What evidence clears and what it holds, in shop words."""

from __future__ import annotations

import pytest
from cutting import MARKED, TWO, claims, decision, sign
from small_records import BASE, part, photo, source


def step(weighed, text: str):
    findings, problems, _ = weighed(sign(weighed, TWO + text))
    assert problems == []
    return findings.parts["parts/chine"].steps["cut"]


def holds(weighed, text: str) -> list[str]:
    found = step(weighed, text)
    return [reason.rule for reason in found.reasons] if found.verdict == "hold" else []


def test_corroborated_signed_and_tight_enough_is_cleared(weighed):
    found = step(weighed, part(claims()) + decision())
    assert found.verdict == "cleared"
    assert "static display only" in found.reasons[-1].says
    assert {ref for reason in found.reasons for ref in reason.rests_on} >= {"decisions/it"}


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        (part(claims()), ["C5"]),
        (part(claims()) + decision(signed=False), ["C5"]),
        (part(claims()) + decision("leave-off"), ["C5"]),
        (part(claims("seen")) + decision(), ["C5"]),
        (part(claims("seen")) + decision("build-provisionally"), ["C14"]),
        (part(claims("seen"), MARKED) + decision("build-provisionally"), []),
        (part(claims(tolerance="1/16 in"), MARKED) + decision("build-provisionally"), ["C4"]),
        (part(claims()) + decision(more="configuration: survey-1934"), ["C5"]),
        (part(claims()) + decision().replace("[parts/chine]", "[parts/chine#size]"), ["C5"]),
        (part(claims()) + decision().replace("[parts/chine]", "[zones/700]"), []),
        (part(claims()) + decision().replace("2026-07-20", "2099-01-01"), ["C5"]),
        (part(claims(), "survives: no\nfitted: {from: patched}") + decision(), ["C6"]),
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
    text = part(claims(tolerance="2 mm"), MARKED) + decision("build-provisionally")
    (reason,) = step(weighed, text).reasons
    assert reason.says == (
        "The size is too loose: held to 10 in ± 3/32 in, and the job needs ± 2 mm."
    )


def test_it_says_what_would_help_claims_of_one_witness_or_none(weighed):
    """To build provisionally helps what is seen; what is said or conjecture wants evidence."""
    (reason,) = step(weighed, part(claims("seen")) + decision()).reasons
    assert "must say build provisionally" in reason.says
    said = claims().rpartition("    evidence:")[0]
    (shape, low) = step(weighed, part(said) + decision()).reasons
    assert (shape.rule, low.rule) == ("C3", "C5")
    assert "No decision helps while its material is below seen" in low.says
    assert "must say" not in low.says


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
    assert steps["original"].verdict == "no original"


def test_a_beaten_rival_does_not_hold_the_part(weighed):
    rival = (
        "\n  - id: other\n    aspect: shape\n    says: Otherwise\n    rival_of: shape\n"
        "    configuration: survey-1932\n    evidence: [{photo: one#chine, reading: possible}]"
    )
    assert holds(weighed, part(claims() + rival) + decision()) == []


def test_a_decision_is_reopened_when_its_evidence_or_the_job_moves(weighed):
    signed = sign(weighed, TWO + part(claims()) + decision())
    for old, new in (("+/- 1/8 in", "+/- 3/16 in"), ("tolerance: 1/4 in", "tolerance: 1/2 in")):
        findings, _, _ = weighed(signed.replace(old, new))
        assert findings.decisions["decisions/it"].state == "reopened"
        cut = findings.parts["parts/chine"].steps["cut"]
        assert "C5" in {reason.rule for reason in cut.reasons}


def test_a_superseded_decision_no_longer_stands(weighed):
    newer = decision("leave-off").replace("decisions/it.md", "decisions/newer.md")
    newer = newer.replace("choice:", "supersedes: [it]\nchoice:")
    findings, problems, _ = weighed(TWO + part(claims()) + decision() + newer)
    assert problems == []
    old = findings.decisions["decisions/it"]
    assert (old.state, old.superseded_by) == ("superseded", "decisions/newer")
    assert findings.parts["parts/chine"].decisions == ("decisions/newer",)


def test_figures_that_contradict_hold_the_cut(weighed):
    third = photo("three")
    wrong = claims().replace(
        "{photo: two#chine, value: 10 in +/- 1/8 in}]",
        "{photo: two#chine, value: 10 in +/- 1/8 in}, "
        "{photo: three#chine, value: 16 in +/- 1/16 in}]",
    )
    found = step(weighed, third + part(wrong) + decision())
    assert found.verdict == "hold"
    findings, _, _ = weighed(TWO + third + part(wrong))
    size = findings.claims["parts/chine#size"]
    assert (size.not_settled, round(size.held.value_mm)) == (True, 254)


def test_a_claim_that_it_was_not_there_asks_for_no_metal(weighed):
    absent = claims().replace("chine,", "chine, absent: yes, would_have_shown: yes,", 2)
    assert "C3" in holds(weighed, part(absent) + decision())


def test_a_claim_for_some_members_clears_no_others(weighed):
    row = "survives: no\nmembers: [{tag: r1, survives: no}, {tag: r2, survives: no}]"
    some = claims().replace("    tolerance", "    applies_to: [r1]\n    tolerance")
    assert holds(weighed, part(some, row) + decision()) == ["C3"]
    assert holds(weighed, part(claims(), row) + decision()) == []


@pytest.mark.parametrize(
    "mistake",
    [
        ("decisions/it.md", "about: [parts/chine]", "about: [parts/chin]"),
        ("photos/one.md", "alt: A picture", "alt: A picture\nretuched: []"),
        ("aircraft.yaml", "target: survey-1932", "target: survey-1923"),
        ("parts/chine.md", "configuration: survey-1932", "configuration: survey-1923"),
    ],
)
def test_a_record_that_cannot_be_taken_as_meant_holds_the_cut(weighed, mistake):
    _, old, new = mistake
    signed = sign(weighed, TWO + part(claims()) + decision())
    assert old in BASE + signed
    text = (BASE + signed).replace(old, new, 1)
    findings, problems, _ = weighed(text, bare=True)
    assert problems
    assert "C9" in {r.rule for r in findings.parts["parts/chine"].steps["cut"].reasons}


def test_lines_that_cannot_be_read_hold_the_cut(weighed):
    text = TWO + part(claims(), "survives: no\nhazards: [dragons]") + decision()
    findings, problems, _ = weighed(sign(weighed, text))
    assert problems
    assert [r.rule for r in findings.parts["parts/chine"].steps["cut"].reasons] == ["C9"]


ARGUED = "date: {argued: {is: 1932-07, by: HB, on: 2026-01-02, because: the log}}"
OTHER = "dated: {is: 1932-08, by: LM, on: 2026-01-02, because: the sleeve}"


def disputed(text: str, other: str = OTHER) -> str:
    """Two people date one negative to two months."""
    one = photo("one", "one", ARGUED)
    negative = source("one", other).replace("vintage-print", "negative")
    return TWO.replace(photo("one"), one) + negative + text


def test_a_clash_of_dates_holds_the_cut_and_reopens_what_was_signed(weighed):
    text = part(claims()) + decision()
    agreed = disputed(text, OTHER.replace("1932-08", "1932-07"))
    signed = sign(weighed, agreed)
    findings, problems, _ = weighed(signed)
    assert (problems, findings.clashes) == ([], ())
    assert findings.parts["parts/chine"].steps["cut"].verdict == "cleared"
    findings, _, _ = weighed(signed.replace("1932-07, by: LM", "1932-08, by: LM"))
    (clash,) = findings.clashes
    assert not clash.advice
    claim = findings.claims["parts/chine#size"]
    assert claim.not_settled and "T11" in {r.rule for r in claim.finding.reasons}
    assert findings.decisions["decisions/it"].state == "reopened"
    steps = findings.parts["parts/chine"].steps
    assert (steps["trial"].verdict, steps["cut"].verdict) == ("cleared", "hold")
    told = [r for r in steps["cut"].reasons if r.rule == "C15"]
    assert len(told) == 1
    assert "(existence, shape, size, material) has its day in dispute" in told[0].says
    assert "Look again at the date argued for “Source one”; whether “Photo one”" in told[0].says
    assert told[0].says.endswith("Mend one of them, then sign again.")
    assert {"photos/one", "sources/one", "parts/chine#size"} <= set(told[0].rests_on)


def test_a_clash_holds_only_what_hangs_on_the_day(weighed):
    """A claim of no state, of a part that nobody says was ever off, needs no day."""
    timeless = part(claims().replace("    configuration: survey-1932\n", "")) + decision()
    findings, _, _ = weighed(sign(weighed, disputed(timeless)))
    assert findings.clashes
    assert findings.parts["parts/chine"].steps["cut"].verdict == "cleared"
    fitted = timeless.replace("survives: no", "survives: no\nfitted: {from: floats-fitted}")
    findings, _, _ = weighed(sign(weighed, disputed(fitted)))
    held = findings.parts["parts/chine"].steps["cut"]
    assert "C15" in {r.rule for r in held.reasons}


def test_a_clash_about_a_photograph_that_the_claims_do_not_lean_on_holds_nothing(weighed):
    other = photo("three", "one", ARGUED) + source("one", OTHER).replace(
        "vintage-print", "negative"
    )
    findings, _, _ = weighed(sign(weighed, TWO + other + part(claims()) + decision()))
    assert findings.clashes
    assert findings.parts["parts/chine"].steps["cut"].verdict == "cleared"


def test_a_clash_beneath_evidence_against_a_claim_holds_too(weighed):
    """The clash may be why it counts for nothing."""
    against = claims().replace("evidence: [", "evidence: [{photo: three#chine, against: yes}, ")
    other = photo("three", "one", ARGUED) + source("one", OTHER).replace(
        "vintage-print", "negative"
    )
    cannot = other.replace("is: must", "is: cannot")
    findings, _, _ = weighed(sign(weighed, TWO + cannot + part(against) + decision()))
    held = findings.parts["parts/chine"].steps["cut"]
    assert {"C15"} <= {r.rule for r in held.reasons}


def test_an_absence_that_gives_way_holds_nothing(weighed):
    gone = ARGUED + "\nshows: [{feature: parts/fin, is: absent, would_have_shown: yes}]"
    fin = part(
        "  - {id: it, aspect: shape, says: So}", "survives: no\nfitted: {from: first-flight}", "fin"
    )
    text = TWO.replace(photo("one"), photo("one", "", gone)) + fin + part(claims()) + decision()
    findings, _, _ = weighed(sign(weighed, text))
    (clash,) = findings.clashes
    assert clash.advice
    assert findings.parts["parts/chine"].steps["cut"].verdict == "cleared"
