"""May an original be touched: every gap holds it, and new stock never cuts into one."""

from __future__ import annotations

from datetime import date

import pytest
from cutting import claims, sign
from originals import ASFOUND, COWL, PEOPLE, REUSE, WHOLE
from small_records import part, photo

from archive.reasoning.falls import falls
from archive.reasoning.impact import impact
from archive.reasoning.weigh import weigh


def pinned(weighed, text: str) -> str:
    """The text with the signatures under the cowl's decision pinned to the evidence of today."""
    found = weighed(text, bare=True)[0].decisions.get("decisions/reuse")
    return text.replace("PINNED", found.evidence_state if found else "")


def asked(weighed, text: str, check: bool = True):
    findings, problems, _ = weighed(text, bare=True)
    assert problems == [] or not check
    return findings.parts["parts/cowl"].steps["original"]


def test_a_whole_record_with_two_signatures_is_cleared_for_what_it_names(weighed):
    found = asked(weighed, pinned(weighed, WHOLE))
    assert found.verdict == "cleared"
    words = " ".join(reason.says for reason in found.reasons)
    assert "trim, drill, refit" in words and "Kept at shelf 12" in words
    assert "wet work only" in words and "static display only" in words
    assert {"photos/asfound", "decisions/reuse"} <= set(found.rests_on)


GAPS = [
    ("  photos: [asfound]\n", "", "C7", "no photograph of it as found"),
    ("  condition: dented\n", "", "C7", "nothing of its condition"),
    ("kind: as-found", "kind: period", "C7", "no photograph of it as found"),
    ("  on: 2026-06-02", "  on: 2026-07-19", "C7", "agreed to before"),
    ("    options: [keep it, let in a patch]\n", "", "C10", "Fewer than two options"),
    ("    choice: let in a patch\n", "", "C10", "No option is chosen"),
    ("    operations: [trim, drill, refit]\n", "", "C10", "No treatment names what"),
    ("    removes: {what: corroded sheet, kept_at: shelf 12}\n", "", "C10", "what it takes off"),
    ("    reversible: no\n", "    reversible: no\n    takes_nothing: yes\n", "C10", "say which"),
    ("    reversible: no\n", "", "C10", "undone"),
    ("    proposed: {by: LM, on: 2026-07-01}\n", "", "C10", "proposed it"),
    ("hazards: [lead-paint]\nmates", "mates", "C12", "Nobody has said whether"),
    ("hazards: [lead-paint]\nmates", "hazards: [lead-paint, mould]\nmates", "C12", "mould"),
    ("[lead-paint]\nmates", "[lead-paint, none-found]\nmates", "C12", "say which"),
    ("hazard: lead-paint, says", "hazard: mould, says", "C12", "lead paint"),
    ("lead-paint", "asbestos", "C12", "Licensed people"),
    ("choice: refit-repaired", "choice: keep-as-found", "C11", "no more than tracing"),
    ("about: [parts/cowl, parts/cowl#let-in]", "about: [parts/cowl]", "C11", "Decision missing"),
    ("  - {by: OW, role: owner, on: 2026-07-20, letter: owner-letter, state: PINNED}\n", "",
     "C11", "owner has not signed"),
    (", letter: owner-letter", "", "C11", "by letter"),
    ("name: Oda Wiik, role: owner", "name: Oda Wiik", "C11", "owner has not signed"),
    ("  - {by: HB, role: lead, on: 2026-07-18, state: PINNED}\n", "", "C11", "1 of 2 signatures"),
    ("  - {by: HB, role: lead, on: 2026-07-18, state: PINNED}\n",
     "  - {by: OW, role: lead, on: 2026-07-18, state: PINNED, letter: owner-letter}\n",
     "C11", "1 of 2 signatures"),
    ("survives: whole\n", "survives: whole\nstatus: quarantine\n", "C13", "quarantine"),
    ("survives: whole\n", "survives: whole\nfitted: {from: tail-post-mod}\n", "C6", "was not"),
    ("    choice: let in a patch\n", "    choice: keep it\n", "C10", "not to trim, drill or refit"),
    ("[keep it, let in a patch]", "[keep it, let in a patch, trim it]", "C10", "not to trim:"),
    ("    removes: {what: corroded sheet, kept_at: shelf 12}\n", "    takes_nothing: yes\n",
     "C10", "to trim or drill always takes material"),
    ("    reversible: no\n", "    reversible: yes\n", "C10", "to trim or drill can't be"),
    ("survives: whole\n", "survives: whole\nstatus: original-kept\n", "C10",
     "no treatment may trim, drill or refit it"),
    ("survives: whole\n", "survives: whole\nstatus: pattern-only\n", "C10", "pattern only"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "rule", "words"), GAPS)
def test_each_gap_holds_it(weighed, old, new, rule, words):
    assert old in WHOLE
    found = asked(weighed, pinned(weighed, WHOLE.replace(old, new)))
    assert found.verdict == "hold"
    said = [reason for reason in found.reasons if reason.rule == rule]
    assert any(words in reason.says for reason in said), found.reasons


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("kept_at: shelf 12", "kept_at: the skip"),
        ("corroded sheet", "half of the cowl"),
        ("[trim, drill, refit]", "[trim, drill, straighten, refit]"),
        ("condition: dented", "condition: torn"),
        ("wet work only", "dry sanding"),
        ("survives: whole", "survives: fragment"),
    ],
)
def test_what_was_signed_is_pinned(weighed, old, new):
    """The treatment and the as-found record are part of the evidence that is signed."""
    signed = pinned(weighed, WHOLE)
    found = asked(weighed, signed.replace(old, new))
    assert found.verdict == "hold"
    assert "Decision stale" in " ".join(reason.says for reason in found.reasons)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("hazards: [lead-paint]", "hazards: [dragons]"),
        ("photos: [asfound]", "photos: [lost]"),
        ("alt: A picture", "alt: A picture\nretuched: []"),
        ("name: Hanne Brekk}", "name: Hanne Brekk, rolle: lead}"),
    ],
)
def test_what_cannot_be_read_holds_it(weighed, old, new):
    signed = pinned(weighed, WHOLE)
    assert old in signed
    found = asked(weighed, signed.replace(old, new, 1), check=False)
    assert found.verdict == "hold"
    assert {"C9", "C7"} & {reason.rule for reason in found.reasons}


@pytest.mark.parametrize(
    ("choice", "operations", "clear"),
    [
        ("leave it in place and consolidate", "consolidate", True),
        ("leave it in place", "consolidate", False),
        ("trace it and put it away", "[trace]", True),
        ("trace it and put it away", "[trace, clean]", False),
        ("Keep it as it is", "trace", True),
        ("copy and store", "refit", False),
        ("fit a doubler", "refit", True),
    ],
)
def test_what_is_done_fits_the_option_chosen(weighed, choice, operations, clear):
    """The option's words are the team's own: leave and keep allow tracing alone."""
    text = WHOLE.replace("[keep it, let in a patch]", f"[do otherwise, {choice}]")
    text = text.replace("choice: let in a patch", f"choice: {choice}")
    text = text.replace("[trim, drill, refit]", operations)
    found = asked(weighed, pinned(weighed, text))
    assert (found.verdict == "cleared") is clear, found.reasons


@pytest.mark.parametrize(
    ("fall", "words"),
    [
        ("discredited: {is: true, by: RO, on: 2026-08-01, because: A forgery}", "discredited"),
        ("consent:\n  withdrawn: {by: RO, on: 2026-08-01, extent: all-use}", "taken back"),
    ],
)
def test_an_approval_falls_with_its_letter(weighed, fall, words):
    signed = pinned(weighed, WHOLE)
    before, problems, _ = weighed(signed, bare=True)
    assert problems == [] and before.parts["parts/cowl"].steps["original"].verdict == "cleared"
    head = "== sources/owner-letter.md ==\n---\n"
    assert head in signed
    findings, problems, _ = weighed(signed.replace(head, f"{head}{fall}\n"), bare=True)
    found = findings.parts["parts/cowl"].steps["original"]
    assert found.verdict == "hold"
    said = [reason for reason in found.reasons if "sources/owner-letter" in reason.rests_on]
    assert any(words in reason.says for reason in said), found.reasons
    assert findings.decisions["decisions/reuse"].signed_by == ("HB",)


def test_impact_names_the_approval_that_falls_with_a_letter(weighed):
    findings, problems, library = weighed(pinned(weighed, WHOLE), bare=True)
    assert problems == []
    for what in ("discredited", "consent-withdrawn", "gone"):
        found = impact(library, findings, "sources/owner-letter", what)
        moved = {(line.ref, line.what): (line.before, line.after) for line in found.moved}
        assert moved["decisions/reuse", "signed"] == ("HB, OW", "HB")
        assert moved["parts/cowl", "original"] == ("cleared", "hold")
        assert "original is held" in found.finding.verdict
    every, _ = falls(library, findings)
    assert every["sources/owner-letter"] == impact(library, findings, "sources/owner-letter")


def test_tracing_alone_asks_no_decision_to_refit(weighed):
    traced = WHOLE.replace("[trim, drill, refit]", "trace").replace(
        "choice: refit-repaired", "choice: keep-as-found"
    )
    assert asked(weighed, pinned(weighed, traced)).verdict == "cleared"


def test_of_a_loan_the_lender_signs_and_says_that_it_may_be_traced(weighed):
    lent = WHOLE.replace("[trim, drill, refit]", "trace")
    lent = lent.replace("mates: [chine]", "mates: [chine]\nloan: {from: LM, may_copy: no}")
    words = [reason.says for reason in asked(weighed, pinned(weighed, lent)).reasons]
    assert any("may be copied" in says for says in words)
    assert any("lender has not signed" in says for says in words)


def test_nothing_to_touch_is_neither_go_nor_hold(weighed):
    gone = WHOLE.replace("survives: whole", "survives: no")
    assert asked(weighed, pinned(weighed, gone)).verdict == "no original"


def test_of_several_treatments_each_must_clear(weighed):
    more = WHOLE.replace(
        "    proposed: {by: LM, on: 2026-07-01}\n",
        "    proposed: {by: LM, on: 2026-07-01}\n  - {id: straighten, options: [no, yes], "
        "choice: yes, operations: straighten}\n",
    )
    text = pinned(weighed, more)
    findings, problems, _ = weighed(text, bare=True)
    assert problems == []
    known = findings.parts["parts/cowl"]
    verdicts = {ref.partition("#")[2]: f.verdict for ref, f in known.treatments.items()}
    assert verdicts == {"let-in": "cleared", "straighten": "hold"}
    assert known.steps["original"].verdict == "hold"
    assert all(r.says.startswith("straighten: ") for r in known.steps["original"].reasons)


def test_a_new_part_that_is_let_into_an_original_waits_for_it(weighed):
    """An original part that a card for new stock would cut."""
    new = (
        photo("one")
        + photo("two")
        + part(claims())
        + """
== decisions/it.md ==
---
title: Make the patch
question: Make it?
about: [parts/chine]
choice: build
because: It fits.
approvals: [{by: HB, role: lead, on: 2026-07-20, state: STATE}]
---
"""
    )
    both = PEOPLE + ASFOUND + COWL + REUSE + new

    def cut(text: str):
        findings, problems, _ = weighed(text, bare=True)
        state = findings.decisions["decisions/it"].evidence_state
        findings, problems, _ = weighed(text.replace("STATE", state), bare=True)
        assert problems == []
        return findings.parts["parts/chine"].steps

    ready = pinned(weighed, both)
    assert cut(ready)["cut"].verdict == "cleared"
    unanswered = pinned(
        weighed, both.replace("hazards: [{hazard: lead-paint", "hazards: [{hazard: mould")
    )
    found = cut(unanswered)
    assert [reason.rule for reason in found["cut"].reasons] == ["C13"]
    assert "let into “Port cowl”" in found["cut"].reasons[0].says
    assert found["trial"].verdict == "cleared", "trial stock touches nothing"


def test_new_stock_asks_what_becomes_of_what_survives(weighed):
    def rules(more: str) -> list[str]:
        text = photo("one") + photo("two") + part(claims(), more)
        text += """
== decisions/it.md ==
---
title: Copy it
question: Copy it?
about: [parts/chine]
choice: store-and-copy
because: It is the only witness.
approvals: [{by: HB, role: lead, on: 2026-07-20, state: STATE}]
---
"""
        found = weighed(sign(weighed, text))[0].parts["parts/chine"].steps["cut"]
        return [reason.rule for reason in found.reasons] if found.verdict == "hold" else []

    assert rules("survives: fragment") == ["C13"]
    assert rules("survives: fragment\nstatus: original-kept") == ["C13"], "no shelf is named"
    assert rules("survives: fragment\nstatus: original-kept\nshelf: bay 1") == []


DONE = "    done: {by: LM, on: 2026-08-03, says: Let in and riveted, hours: 12}\n"
PROPOSED = "    proposed: {by: LM, on: 2026-07-01}\n"


def test_what_was_carried_out_is_not_cleared_again(weighed):
    """It asks for no new signature, and more work for a treatment of its own."""
    signed = pinned(weighed, WHOLE)
    before, _, _ = weighed(signed, bare=True)
    findings, problems, _ = weighed(signed.replace(PROPOSED, PROPOSED + DONE), bare=True)
    assert problems == []
    found = findings.parts["parts/cowl"].steps["original"]
    assert found.verdict == "done"
    assert found.reasons[0].says == (
        "let-in was carried out, 3 August 2026, by LM; further work needs a treatment of its own."
    )
    reuse = "decisions/reuse"
    assert findings.decisions[reuse].state == "stands"
    assert findings.decisions[reuse].evidence_state == before.decisions[reuse].evidence_state


def test_a_treatment_waits_for_the_one_that_it_builds_on(weighed):
    second = """  - id: refinish
    options: [leave it bare, clean and wax]
    choice: clean and wax
    operations: clean
    after: let-in
    takes_nothing: yes
    reversible: yes
    hazards: [{hazard: lead-paint, says: wet work only, by: LM, on: 2026-06-20}]
    proposed: {by: LM, on: 2026-07-02}
"""
    both = WHOLE.replace(PROPOSED, PROPOSED + second)
    both = both.replace("parts/cowl#let-in]", "parts/cowl#let-in, parts/cowl#refinish]")
    signed = pinned(weighed, both)

    def verdicts(text: str) -> dict[str, str]:
        findings, problems, _ = weighed(text, bare=True)
        assert problems == []
        known = findings.parts["parts/cowl"]
        found = {ref.partition("#")[2]: f.verdict for ref, f in known.treatments.items()}
        return {**found, "original": known.steps["original"].verdict}

    assert verdicts(signed) == {"let-in": "cleared", "refinish": "hold", "original": "hold"}
    done = signed.replace(PROPOSED, PROPOSED + DONE)
    assert verdicts(done) == {"let-in": "done", "refinish": "cleared", "original": "cleared"}


def test_a_new_part_waits_no_more_once_it_was_let_in(weighed):
    """What is done to the original holds back no piece that goes with it."""
    new = photo("one") + photo("two") + part(claims())
    text = pinned(weighed, PEOPLE + ASFOUND + COWL + REUSE + new)
    for there, held in (("", False), (DONE, False)):
        findings, problems, _ = weighed(text.replace(PROPOSED, PROPOSED + there), bare=True)
        assert problems == []
        rules = {reason.rule for reason in findings.parts["parts/chine"].steps["cut"].reasons}
        assert ("C13" in rules) is held


def test_what_is_to_be_done_one_day_is_not_done_yet(weighed):
    """Weighed as of a day before, it is cleared as if nobody had written it down."""
    signed = pinned(weighed, WHOLE).replace(PROPOSED, PROPOSED + DONE)
    _, _, library = weighed(signed, bare=True)
    for day, verdict in ((date(2026, 8, 2), "cleared"), (date(2026, 8, 3), "done")):
        found = weigh(library, day).parts["parts/cowl"].steps["original"]
        assert found.verdict == verdict
