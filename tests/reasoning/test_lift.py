"""What would lift a claim: the step that is named, when it really comes, gives that grade."""

from __future__ import annotations

import pytest
from small_records import letter, part, photo, source

from archive.core.rules import LIFTING
from archive.reasoning.lift import lifts

HEAD = "  - id: it\n    aspect: {aspect}\n    says: A thing\n    configuration: survey-1932\n"


def claim(evidence: str = "", aspect: str = "existence", more: str = "") -> str:
    lines = "".join(f"      - {line}\n" for line in evidence.strip().splitlines())
    return HEAD.format(aspect=aspect) + more + ("    evidence:\n" + lines if lines else "")


def steps(weighed, text: str):
    findings, problems, library = weighed(text)
    assert problems == []
    return {step.rule: step for step in lifts(library, findings)["parts/chine#it"]}, findings


def may(name: str) -> str:
    """A photograph on which nobody has ruled yet."""
    found = photo(name)
    start, end = found.index("configurations:"), found.index("regions:")
    return found[:start] + found[end:]


FLOAT = part("  - {id: x, aspect: existence, says: So}", "survives: whole", "float")
SISTER = part(
    "  - {id: x, aspect: existence, says: So}",
    "survives: whole\nairframe: sister\nsister: qk-43",
    "pattern",
)
OLD, NEW = "before", "after"
CASES = {
    "L1": (
        may("one") + photo("two") + part(claim("{photo: one#chine}\n{photo: two#chine}")),
        photo("one") + photo("two") + part(claim("{photo: one#chine}\n{photo: two#chine}")),
    ),
    "L3": (
        photo("one") + part(claim("{photo: one#chine, absent: yes}")),
        photo("one") + part(claim("{photo: one#chine, absent: yes, would_have_shown: yes}")),
    ),
    "L4": (
        photo("one") + part(claim("{photo: one#chine}", "size")),
        photo("one") + part(claim("{photo: one#chine, value: 9 mm +/- 1 mm}", "size")),
    ),
    "L5": (
        FLOAT + SISTER + part(claim("{part: pattern}", "shape"), "survives: no\nmates: [float]"),
        FLOAT
        + SISTER
        + part(
            claim(
                "{part: pattern, agrees_with: [{record: float, how: offered up, by: LM, "
                "on: 2026-01-02}]}".replace("record: float", "record: parts/float"),
                "shape",
            ),
            "survives: no\nmates: [float]",
        ),
    ),
    "L6": (
        photo("one") + part(claim("{photo: one#chine, reading: possible}")),
        photo("one") + part(claim("{photo: one#chine, reading: clear}")),
    ),
    "L7": (
        letter("note") + part(claim("{source: note}")),
        letter("note", "first_hand: yes\ndated: 1932") + part(claim("{source: note}")),
    ),
    "L8": (
        photo("one", airframe="unknown") + part(claim("{photo: one#chine}")),
        photo("one") + part(claim("{photo: one#chine}")),
    ),
    "L9": (
        photo("one", more="retouched: [{outline: [[0, 0], [10, 0], [10, 10]], says: Painted}]")
        + part(claim("{photo: one#chine}")),
        photo("one") + part(claim("{photo: one#chine}")),
    ),
    "L10": (
        source("print").replace("vintage-print", "halftone")
        + photo("one", "print")
        + part(claim("{photo: one#chine, value: 9 mm +/- 1 mm}", "size")),
        source("print")
        + photo("one", "print")
        + part(claim("{photo: one#chine, value: 9 mm +/- 1 mm}", "size")),
    ),
    "L11": (
        source("print", "discredited: {is: yes, by: HB, on: 2026-01-02, because: doubt}")
        + photo("one", "print")
        + part(claim("{photo: one#chine}")),
        source("print") + photo("one", "print") + part(claim("{photo: one#chine}")),
    ),
    "L13": (
        photo("one") + part(claim("{photo: one#chine}")),
        photo("one")
        + letter("note", "first_hand: yes\ndated: 1932")
        + part(claim("{photo: one#chine}\n{source: note}")),
    ),
    "L14": (
        photo("one") + part(claim("{photo: one#chine}")),
        photo("one") + photo("two") + part(claim("{photo: one#chine}\n{photo: two#chine}")),
    ),
    "L15": (
        part(claim("", "finish")),
        photo("one", more="monochrome: no") + part(claim("{photo: one#chine}", "finish")),
    ),
    "L16": (
        FLOAT + part(claim("", "shape"), "survives: no\nmates: [float]"),
        FLOAT
        + SISTER
        + part(
            claim(
                "{part: pattern, agrees_with: [{record: parts/float, how: offered up, by: LM, "
                "on: 2026-01-02}]}",
                "shape",
            ),
            "survives: no\nmates: [float]",
        ),
    ),
    "L17": (
        FLOAT.replace("survives: whole", "survives: no")
        + part(claim(), "survives: no\nopposite: float"),
        FLOAT + part(claim("{part: float}"), "survives: no\nopposite: float"),
    ),
    "L18": (
        FLOAT + part(claim()),
        FLOAT + part(claim("{part: float, witness_mark: yes}")),
    ),
}
"""Rule → the records as they are, and as they are once the evidence that it names has come."""


@pytest.mark.parametrize("rule", CASES)
def test_what_is_named_gives_the_grade_that_is_foretold(weighed, rule):
    before, after = CASES[rule]
    found, findings = steps(weighed, before)
    now = findings.claims["parts/chine#it"]
    assert rule in found, sorted(found)
    step = found[rule]
    really = weighed(after)[0].claims["parts/chine#it"]
    assert (step.to, step.settles) == (really.grade, not really.not_settled)
    assert step.to != now.grade
    assert step.asks.endswith((".", "?")) and step.outcome.startswith(step.to)


def test_a_flipped_print_asks_for_its_side_first(weighed):
    flip = "flipped: {is: yes, by: HB, on: 2026-01-02, because: letters}"
    text = photo("one", more=flip).replace("10]]}", "10]], part: chine}")
    text += part(claim("{photo: one#chine}"), "survives: no\nside: port")
    findings, _, library = weighed(text)
    first = lifts(library, findings)["parts/chine#it"][0]
    assert (first.rule, first.to) == ("L2", "seen")


def test_a_figure_that_is_too_loose_asks_for_a_tighter_one(weighed):
    evidence = "{photo: one#chine, value: 90 mm +/- 9 mm}"
    text = photo("one") + part(claim(evidence, "size", "    tolerance: 2 mm\n"))
    found, _ = steps(weighed, text)
    assert found["L12"].outcome == "held to the ± 0.0787 in that the job needs"
    really = weighed(text.replace("9 mm}", "2 mm}"))[0].claims["parts/chine#it"]
    assert really.held.half95_mm <= 2.0


def test_level_rivals_are_settled_by_what_lifts_one_over_the_other(weighed):
    one = claim("{photo: one#chine}", "shape")
    other = claim("{photo: two#chine}", "shape", "    rival_of: it\n").replace(
        "id: it", "id: other"
    )
    found, findings = steps(weighed, photo("one") + photo("two") + part(one + other))
    assert findings.claims["parts/chine#it"].not_settled
    assert found["L14"].settles and found["L14"].outcome == "corroborated, settled"


def test_the_request_says_from_where_of_when_and_with_what_off(weighed):
    cowl = part("  - {id: x, aspect: existence, says: So}", 'survives: no\nsystem: "7110"', "cowl")
    text = cowl + part(
        claim("", "shape"), 'survives: no\nside: port\nsystem: "7120"\nmates: [cowl]'
    )
    found, _ = steps(weighed, text)
    assert found["L14"].asks == (
        "A photograph of QK-41, from port, with “Part cowl” off, that shows “Part chine”, taken "
        "after 11 June 1932 and before May 1933."
    )


def test_nothing_is_asked_of_what_stands_on_the_airframe(weighed):
    text = part(claim("{part: chine}"), "survives: whole")
    assert steps(weighed, text)[0] == {}


def test_consent_that_was_taken_back_is_not_asked_for_again(weighed):
    taken = "consent: {given: 2026-01-01, withdrawn: {on: 2026-05-01, by: heirs, extent: all-use}}"
    text = source("tape", taken) + part(claim("{source: tape}"))
    found, findings = steps(weighed, text)
    assert findings.claims["parts/chine#it"].grade == "conjecture"
    assert "L11" not in found


MEASURED = """
== parts/rule.md ==
---
title: The rule
zone: zones/700
survives: whole
claims:
  - {id: length, aspect: size, says: A metre, evidence: [{part: rule, value: 1 m +/- 2 mm}]}
---
== measurements/pitch.yaml ==
title: Pitch
photos: one
method: scale
between: [a, b]
picks:
  - {point: a, at: [100, 300]}
  - {point: b, at: [350, 300]}
  - {point: c, at: [100, 100]}
  - {point: d, at: [600, 100]}
references:
  - {between: [c, d], length: parts/rule#length, same_plane: yes}
camera_distance: 10 m +/- 0.98 m
tilt_deg: 10
"""


def test_a_size_that_a_fallen_picture_refuses_is_measured_anew_where_the_picture_is_restored(
    weighed,
):
    fake = "discredited: {is: yes, by: HB, on: 2026-01-02, because: a fake}"
    size = "file: {sha256: abcdef0123456789, size: [3000, 2000]}"
    measured = part(claim("{photo: one#chine, measured: pitch}", "size"))
    rest = photo("one", "print", more=size) + MEASURED + measured
    found, _ = steps(weighed, source("print", fake) + rest)
    _, after = steps(weighed, source("print") + rest)
    assert after.claims["parts/chine#it"].grade == "seen"
    assert found["L11"].to == "seen"


def test_a_measurement_that_gives_no_size_says_its_own_way_out(weighed):
    measured = part(claim("{photo: one#chine, measured: pitch}", "size"))
    found, findings = steps(weighed, source("print") + photo("one", "print") + MEASURED + measured)
    refused = findings.measurements["measurements/pitch"]
    assert refused.value_mm is None
    assert refused.way_out in found["L4"].asks and "measurements/pitch" in found["L4"].rests_on


def test_a_measured_size_that_is_too_loose_says_what_would_halve_its_error(weighed):
    size = "file: {sha256: abcdef0123456789, size: [3000, 2000]}"
    measured = claim("{photo: one#chine, measured: pitch}", "size", "    tolerance: 1 mm\n")
    text = source("print") + photo("one", "print", more=size) + MEASURED + part(measured)
    found, findings = steps(weighed, text)
    advice = findings.measurements["measurements/pitch"].would_halve
    assert advice and advice in found["L12"].asks
    assert found["L12"].to == "seen" and "that the job needs" in found["L12"].outcome


def test_every_rule_is_tried_somewhere():
    assert set(LIFTING) == {*CASES, "L2", "L12"}
