"""May an original be touched: every gap holds it, and new stock never cuts into one."""

from __future__ import annotations

import pytest
from cutting import claims, sign
from small_records import BASE, part, photo, source

PEOPLE = BASE.replace("name: Oda Wiik}", "name: Oda Wiik, role: owner}")
assert PEOPLE != BASE

COWL = """
== parts/cowl.md ==
---
title: Port cowl
zone: zones/700
survives: whole
hazards: [lead-paint]
mates: [chine]
as_found:
  by: LM
  on: 2026-06-02
  photos: [asfound]
  position: bay 2
  condition: dented
treatments:
  - id: let-in
    options: [keep it, let in a patch]
    choice: let in a patch
    operations: [trim, drill, refit]
    removes: {what: corroded sheet, kept_at: shelf 12}
    reversible: no
    adds: [chine]
    hazards: [{hazard: lead-paint, says: wet work only, by: LM, on: 2026-06-20}]
    proposed: {by: LM, on: 2026-07-01}
---
"""
REUSE = """
== decisions/reuse.md ==
---
title: The cowl goes back in
question: Does it?
about: [parts/cowl, parts/cowl#let-in]
choice: refit-repaired
because: It is whole.
approvals:
  - {by: OW, role: owner, on: 2026-07-20, letter: owner-letter, state: PINNED}
  - {by: HB, role: lead, on: 2026-07-18, state: PINNED}
---
"""
ASFOUND = photo("asfound").replace("kind: period", "kind: as-found") + source("owner-letter")
WHOLE = PEOPLE + ASFOUND + COWL + REUSE + part("", id_="chine").replace("claims:\n", "")


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
