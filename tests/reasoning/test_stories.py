"""Six typical cases of the job: each can be written down, checks clean, and is reasoned on."""

from __future__ import annotations

from small_records import part, photo, source

SIGNED = "by: HB, on: 2027-01-02"


def bare(id_: str, more: str) -> str:
    """A part without claims."""
    return part("", more, id_).replace("claims:\n\n", "")


def test_a_flipped_print_is_discovered_late(weighed):
    flip = "flipped: {is: yes, by: HB, on: 2027-03-04, because: the plate reads backwards}"
    region = "{id: chine, outline: [[0, 0], [10, 0], [10, 10]], part: chine-port RULED}"
    text = (
        source("negative")
        + source("print-a", "derived_from: sources/negative")
        + source("print-b", "derived_from: sources/negative")
        + photo("slipway", "print-a", flip).replace(
            "{id: chine, outline: [[0, 0], [10, 0], [10, 10]]}", region
        )
        + photo("other-print", "print-b")
        + bare("chine-starboard", "side: starboard\nsurvives: no\nopposite: chine-port")
        + part(
            "  - id: lap\n    aspect: shape\n    says: The lap faces aft\n"
            "    evidence: [{photo: slipway#chine}, {photo: other-print#chine}]",
            "side: port\nsurvives: no\nopposite: chine-starboard",
            "chine-port",
        )
    )
    findings, problems, _ = weighed(text.replace(" RULED", ""))
    assert [p.code for p in problems] == ["side-to-rule"]
    lap = findings.claims["parts/chine-port#lap"]
    assert [item.rule for item in lap.items] == ["G11", "G4"], "a flip is of one print only"
    ruled = f", ruled: {{part: chine-starboard, {SIGNED}}}"
    findings, problems, _ = weighed(text.replace(" RULED", ruled))
    assert problems == []
    settled = findings.claims["parts/chine-port#lap"].items[0]
    assert (settled.rule, settled.cap) == ("G3", "said"), "it shows the other hand after all"


def test_a_sisters_part_is_used_as_pattern(weighed):
    text = (
        source("loan-letter")
        + bare("float-deck", "side: port\nsurvives: whole")
        + bare(
            "fitting-sister",
            "survives: whole\nairframe: sister\nsister: qk-43\nstatus: pattern-only\n"
            "loan: {from: OW, agreement: loan-letter, due: 2027-09-01, may_copy: yes}",
        )
        + part(
            "  - id: hole-pattern\n    aspect: size\n    says: Four holes on a 58 mm square\n"
            "    tolerance: 0.5 mm\n    evidence:\n"
            "      - part: fitting-sister\n        value: 58.0 mm +/- 0.1 mm\nTRIAL"
            "  - id: plating\n    aspect: finish\n    says: Plated\n"
            "    evidence: [{part: fitting-sister}]",
            "side: port\nsurvives: no",
            "fitting-port",
        )
    )
    trial = (
        "        agrees_with:\n          - {record: parts/float-deck, how: offered up, "
        "within: 0.5 mm, by: LM, on: 2027-02-11}\n"
    )
    findings, problems, _ = weighed(text.replace("TRIAL", ""))
    assert (problems, findings.claims["parts/fitting-port#hole-pattern"].grade) == ([], "said")
    findings, problems, _ = weighed(text.replace("TRIAL", trial))
    assert (problems, findings.claims["parts/fitting-port#hole-pattern"].grade) == ([], "matched")
    plating = findings.claims["parts/fitting-port#plating"].grade
    assert plating == "said", "agreement holds for the aspect that was tried"


def test_two_people_disagree_about_a_grade(weighed):
    base = photo("one") + photo("two")
    claim = (
        "  - id: lap\n    aspect: shape\n    says: Laps aft\n"
        "    evidence: [{photo: one#chine}, {photo: two#chine}]\n"
    )
    findings, _, _ = weighed(base + part(claim))
    state = findings.claims["parts/chine#lap"].state
    rulings = (
        "    graded:\n"
        "      - {is: corroborated, by: HB, on: 2027-01-10, because: second print, "
        f"at_state: {state}}}\n"
        f"      - {{is: seen, by: LM, on: 2027-01-12, because: one roll, at_state: {state}}}"
    )
    findings, problems, _ = weighed(base + part(claim + rulings))
    found = findings.claims["parts/chine#lap"]
    assert (problems, found.grade) == ([], "seen")
    assert any("Two readings" in reason.says for reason in found.finding.reasons)


def test_the_operators_part_took_the_place_of_the_makers(weighed):
    text = bare(
        "rudder-post-operator",
        "survives: whole\norigin: operator\nreplaces: rudder-post-works\n"
        "fitted: {from: tail-post-mod}",
    ) + part(
        "  - id: length\n    aspect: size\n    says: Eighteen inches\n"
        "    configuration: survey-1932\n"
        "    evidence: [{part: rudder-post-operator, value: 18 in +/- 1/16 in}]",
        "survives: no\nfitted: {from: first-flight, until: tail-post-mod}",
        "rudder-post-works",
    )
    findings, problems, _ = weighed(text)
    assert problems == []
    assert findings.claims["parts/rudder-post-works#length"].items[0].rule == "G17"
    holds = findings.parts["parts/rudder-post-operator"].steps["cut"].reasons
    assert "C6" in {reason.rule for reason in holds}, "not on the aircraft in the target state"


def test_a_cowling_goes_back_in_with_patches_and_the_owners_consent(weighed):
    text = (
        source("owner-letter")
        + photo("asfound").replace("kind: period", "kind: as-found")
        + bare("cowl-patch", "survives: no\norigin: ours")
        + bare(
            "cowl-port",
            'tag: "041"\nsurvives: whole\nside: port\nhazards: [lead-paint]\n'
            f"as_found: {{{SIGNED}, photos: [asfound], position: bay 2}}\n"
            "treatments:\n  - id: patch-lower-edge\n    options: [keep, patch]\n    choice: patch\n"
            "    removes: {what: corroded sheet, kept_at: shelf 12}\n    reversible: no\n"
            f"    adds: [cowl-patch]\n    proposed: {{{SIGNED}}}",
        )
        + """
== decisions/cowl-port-reuse.md ==
---
title: The port cowl goes back in
question: Does the port cowl go back in?
about: [parts/cowl-port]
choice: refit-repaired
because: It is the only one.
approvals:
  - {by: OW, role: owner, on: 2026-07-20, letter: owner-letter, state: STATE}
  - {by: HB, role: lead, on: 2026-07-18, state: STATE}
---
"""
    )
    today = weighed(text)[0].decisions["decisions/cowl-port-reuse"].evidence_state
    findings, problems, library = weighed(text.replace("STATE", today))
    assert problems == []
    assert library.parts["cowl-port"].tag == "041"
    assert findings.decisions["decisions/cowl-port-reuse"].state == "stands"
    original = findings.parts["parts/cowl-port"].steps["original"]
    assert original.verdict == "hold", "cleared in full: tests/reasoning/test_originals.py"
    assert "lead paint" in " ".join(reason.says for reason in original.reasons)
    cut = findings.parts["parts/cowl-port"].steps["cut"]
    assert any("refit repaired" in reason.says for reason in cut.reasons)


def test_a_family_withdraws_consent(weighed):
    def interview(extent: str) -> str:
        return (
            source("form")
            + source("letter")
            + f"""
== sources/interview.md ==
---
title: The mechanic's talk
citation: {{type: interview, title: Talk, author: "Mechanic, A."}}
first_hand: yes
consent:
  form: form
  given: 2026-02-01
  withdrawn: {{on: 2027-05-01, by: family, letter: letter, extent: {extent}}}
rights: {{holder: family, grants: [{{use: web, until: 2027-05-01}}]}}
---
"""
            + part(
                "  - id: ply\n    aspect: material\n    says: Plywood\n"
                "    evidence: [{source: interview, quote: it was ply}]"
            )
        )

    for extent, grade in (
        ("publication", "said"),
        ("all-use", "conjecture"),
        ("return-or-destroy", "conjecture"),
    ):
        findings, problems, _ = weighed(interview(extent))
        assert (problems, findings.claims["parts/chine#ply"].grade) == ([], grade)
