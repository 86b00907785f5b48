"""What a policy changes in grades and clearances: it may tighten, and every page says so."""

from __future__ import annotations

from shutil import rmtree

import pytest
from cutting import MARKED, TWO, claims, decision, sign
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_records import BASE, part, photo

from archive.core.verdicts import GRADES
from archive.records.policy import Override, Policy
from archive.records.practice import BOOK, LENDS, practice, refusal


@pytest.fixture
def anew(weighed, tmp_path):
    """`weighed`, each time in an empty folder: what an earlier text wrote is gone."""

    def make(text: str):
        rmtree(tmp_path / "content", ignore_errors=True)
        return weighed(text)

    return make


def policy(*lines: str) -> str:
    told = "\n".join(
        f"  - {{rule: {line}, says: Ours, because: We say so, by: HB, on: 2026-11-02}}"
        for line in lines
    )
    return f"\n== policy.yaml ==\noverrides:\n{told}\n"


def known(anew, text: str):
    findings, problems, _ = anew(text)
    assert problems == []
    return findings.parts["parts/chine"], findings


def rules(found) -> list[str]:
    return [r.rule for r in found.reasons if not r.says.startswith("Our policy")]


@pytest.mark.parametrize(
    ("line", "held", "words"),
    [
        ("C3, grade: matched", "C3", "asks for matched"),
        ("C3, also: [position]", "C3", "its position"),
        ("C4, share: 0.25", "C4", "leaves it 25%"),
        ("C5, number: 2", "C5", "1 of 2 signatures"),
        ("C5, roles: lead", "C5", "not signed by the lead"),
        ("C14, always: yes", "C14", "New stock"),
        ("C2, grade: on the airframe", "C3", "asks for on the airframe"),
        ("G5, number: 3", "C5", "Too few witnesses"),
        ("G4, grade: said", "C3", "is said"),
    ],
)
def test_a_policy_tightens_and_says_who_and_why(anew, line, held, words):
    text = TWO + part(claims()) + decision()
    assert known(anew, sign(anew, text))[0].steps["cut"].verdict == "cleared"
    strict = sign(anew, text + policy(line))
    found, findings = known(anew, strict)
    cut = found.steps["cut"]
    assert cut.verdict == "hold"
    assert any(r.rule == held and words in r.says for r in cut.reasons), cut.reasons
    told = [*cut.reasons, *(r for g in findings.claims.values() for r in g.finding.reasons)]
    sentence = "Our policy on " + line[: line.index(",")] + ": Ours. Because: We say so (HB,"
    assert any(r.says.startswith(sentence) for r in told)


def test_a_policy_is_part_of_the_evidence_that_is_signed(anew):
    signed = sign(anew, TWO + part(claims()) + decision())
    for line in ("C4, share: 0.9", "G5, number: 3", "G4, grade: said"):
        findings, _, _ = anew(signed + policy(line))
        assert findings.decisions["decisions/it"].state == "reopened", line
    findings, _, _ = anew(signed + policy("G1, grade: said"))
    assert findings.decisions["decisions/it"].state == "stands", "it bears on none of this"


def test_trial_stock_may_be_loosened_and_a_cut_may_not(anew):
    guess = "\n".join(
        f"  - {{id: {a}, aspect: {a}, says: So}}"
        for a in ("existence", "shape", "size", "material")
    )
    found, _ = known(anew, part(guess))
    assert found.steps["trial"].verdict == "hold"
    found, _ = known(anew, part(guess) + policy("C2, grade: conjecture"))
    assert found.steps["trial"].verdict == "cleared"
    assert "Our policy on C2" in " ".join(r.says for r in found.steps["trial"].reasons)
    assert found.steps["cut"].verdict == "hold"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("G22, number: 1", "Nobody alone lifts a claim to seen or better"),
        ("G5, number: 1", "two witnesses"),
        ("G8, grade: seen", "never raise it"),
        ("G16, grade: matched", "never raise it"),
        ("C3, grade: said", "never for less"),
        ("C4, share: 1.5", "does not fit"),
        ("C5, number: 0", "is signed"),
        ("C10, number: 1", "two options"),
        ("C11, number: 1", "two signatures"),
        ("C14, always: no", "never of less"),
        ("C11, share: 0.5", "not `share:`"),
    ],
)
def test_what_guards_metal_is_not_loosened(anew, line, words):
    text = sign(anew, TWO + part(claims("seen"), MARKED) + decision("build-provisionally"))
    findings, problems, library = anew(text + policy(line))
    assert [p.code for p in problems] == ["policy-refused"]
    assert words in problems[0].says
    assert practice(library.policy) == BOOK
    assert findings.parts["parts/chine"].steps["cut"].verdict == "cleared", "as by the book"


@pytest.mark.parametrize("line", ["G18, grade: said", "C8, number: 1", "G4", "T4", "nonsense"])
def test_what_no_policy_can_change_holds_the_work(anew, content, line):
    from archive.read.load import load
    from archive.records.checks import check

    loaded = load(content(BASE + policy(line)), None)
    assert [(p.code, p.advice) for p in check(loaded.library) if "policy" in p.code] == [
        ("policy-not-applied", False)
    ]
    text = sign(anew, TWO + part(claims()) + decision())
    findings, _, _ = anew(text + policy(line))
    cut = findings.parts["parts/chine"].steps["cut"]
    assert "C9" in rules(cut), cut
    assert any("policy.yaml" in reason.says for reason in cut.reasons)


@pytest.mark.parametrize("broken", ["overrides: [{rule: C3, grade: seeen}]", "overides: []", ": ["])
def test_a_policy_that_cannot_be_read_holds_the_work(anew, broken):
    text = sign(anew, TWO + part(claims()) + decision())
    findings, problems, _ = anew(text + f"\n== policy.yaml ==\n{broken}\n")
    assert problems
    cut = findings.parts["parts/chine"].steps["cut"]
    assert "C9" in rules(cut), cut


def test_a_rival_that_a_policy_lowers_is_not_beaten_by_that(anew):
    """Nor does a level rival settle because the rule that carries it was made stricter."""
    two = photo("one") + photo("may").replace("is: must", "is: may")
    rival = (
        "\n  - id: other\n    aspect: shape\n    says: Otherwise\n    rival_of: shape\n"
        "    configuration: survey-1932\n    evidence: [{photo: may#chine}]"
    )
    text = two + part(claims("seen") + rival)
    for more in ("", policy("G9, grade: said")):
        findings, problems, _ = anew(text + more)
        assert problems == []
        assert findings.claims["parts/chine#shape"].not_settled, more
        holds = findings.parts["parts/chine"].steps["cut"].reasons
        assert any("The shape is not settled" in r.says for r in holds)


OVERRIDES = st.one_of(
    st.tuples(st.sampled_from(sorted(LENDS)), st.sampled_from(GRADES)).map(
        lambda two: f"{two[0]}, grade: {two[1]}"
    ),
    st.sampled_from(GRADES[:5]).map(lambda grade: f"C2, grade: {grade}"),
    st.sampled_from(GRADES[:4]).map(lambda grade: f"C3, grade: {grade}"),
    st.integers(2, 4).map(lambda n: f"G5, number: {n}"),
    st.sampled_from(["0.2", "0.5", "1"]).map(lambda share: f"C4, share: {share}"),
    st.integers(1, 2).map(lambda n: f"C5, number: {n}"),
    st.sampled_from(["position", "finish"]).map(lambda a: f"C3, also: [{a}]"),
    st.just("C14, always: yes"),
)
ITEMS = st.lists(
    st.tuples(
        st.sampled_from(["one", "two", "three"]),
        st.sampled_from(["clear", "probable", "possible"]),
        st.sampled_from([10, 10, 16]),
        st.booleans(),
    ),
    min_size=1,
    max_size=3,
)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(lines=st.lists(OVERRIDES, min_size=1, max_size=3), items=ITEMS, may=st.booleans())
def test_tightening_never_clears_more_nor_a_harder_step_sooner(anew, lines, items, may):
    three = photo("one") + photo("two") + photo("three")
    if may:
        three = three.replace("is: must", "is: may", 1)
    evidence = ", ".join(
        f"{{photo: {name}#chine, reading: {read}, value: {value} in +/- 1/8 in, "
        f"against: {'yes' if against else 'no'}}}"
        for name, read, value, against in items
    )
    written = "\n".join(
        f"  - id: {aspect}\n    aspect: {aspect}\n    says: So\n    tolerance: 1/4 in\n"
        f"    configuration: survey-1932\n    evidence: [{evidence}]"
        for aspect in ("existence", "shape", "size", "material")
    )
    told = [line for line in lines if not _refused(line)]
    text = three + part(written, MARKED) + decision("build-provisionally")
    before = anew(sign(anew, text))[0]
    after = anew(sign(anew, text + (policy(*told) if told else "")))[0]
    for ref, graded in before.claims.items():
        assert GRADES.index(after.claims[ref].grade) >= GRADES.index(graded.grade)
        assert after.claims[ref].not_settled or not graded.not_settled
    steps = [f.parts["parts/chine"].steps for f in (before, after)]
    for step in ("mock-up", "trial", "cut"):
        if steps[0][step].verdict == "hold":
            assert steps[1][step].verdict == "hold", (step, told)
    for found in steps:
        verdicts = [found[step].verdict for step in ("look", "mock-up", "trial", "cut")]
        held = verdicts.index("hold") if "hold" in verdicts else len(verdicts)
        assert "cleared" not in verdicts[held:], "a harder step is never cleared before an easier"


def _refused(line: str) -> str:
    rule, _, rest = line.partition(", ")
    name, _, value = rest.partition(": ")
    plain = {"grade": str, "number": int, "share": float}.get(name)
    said = Override(rule=rule, **({name: plain(value)} if plain else {}))
    assert practice(Policy(overrides=(said,))) is not None
    return refusal(said)
