"""Measurements from records: the figure and its error by hand, refusals, and what is shared."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from small_records import part, photo, source

from archive.reasoning.measurements import apart_u, seen_on

SIZE = "file: {sha256: abcdef0123456789, size: [3000, 2000]}"
RULE = """
== parts/rule.md ==
---
title: The rule
zone: zones/700
survives: whole
claims:
  - id: length
    aspect: size
    says: It is a metre long
    evidence:
      - {part: rule, value: 1000 mm +/- 1.96 mm}
---
"""
PITCH = """
== measurements/pitch.yaml ==
title: Pitch
photos: PHOTO
method: METHOD
between: [a, b]
picks:
  - {point: a, at: [100, 300]}
  - {point: b, at: [350, 300]}
  - {point: c, at: [100, 100]}
  - {point: d, at: [600, 100]}
references:
  - {between: [c, d], length: parts/rule#length, SAME}
camera_distance: 10 m +/- 0.98 m
tilt_deg: 10
MORE
"""
CLAIM = """  - id: it
    aspect: size
    says: The pitch
    tolerance: 200 mm
    evidence:
"""


def pitch(photo="one", method="scale", same="same_plane: yes", more="", id_="pitch"):
    text = PITCH.replace("PHOTO", photo).replace("METHOD", method).replace("SAME", same)
    return text.replace("MORE", more).replace("measurements/pitch", f"measurements/{id_}")


def measured(weighed, text, id_="pitch"):
    findings, problems, _ = weighed(text)
    assert problems == []
    return findings.measurements[f"measurements/{id_}"]


def plain(weighed, **more):
    return measured(weighed, photo("one", more=SIZE) + RULE + pitch(**more))


def test_simple_proportion_by_hand(weighed):
    """500 mm; picks √2·2 px of 250 and of 500, known 0.1 %, depth 50 mm of 10 m, lean 10°."""
    found = plain(weighed)
    assert found.refused is None
    assert found.value_mm == pytest.approx(500)
    picks = 500 * math.sqrt(2) * 2 * math.hypot(1 / 250, 1 / 500)
    budget = dict(found.budget)
    assert budget["the picks on “Photo one”"] == pytest.approx(picks, abs=0.01)
    assert budget["the known length “The rule: It is a metre long”"] == pytest.approx(0.5, abs=0.01)
    apart = math.hypot(225 - 350, 200) * 2
    lean = 500 * 2 * apart * math.sin(math.radians(10)) / 10000 / math.sqrt(6)
    assert budget["the plane leaning away in “Photo one”"] == pytest.approx(lean, abs=0.02)
    depth = 500 * 50 / 10000 / math.sqrt(3)
    terms = (picks, 0.5, lean, depth)
    assert found.u_mm == pytest.approx(math.sqrt(sum(t * t for t in terms)), rel=0.02)
    assert found.half95_mm == pytest.approx(1.96 * found.u_mm, abs=0.02)
    assert found.dominates == found.budget[0][0]
    assert found.would_halve
    assert {reason.rule for reason in found.finding.reasons} <= {"M1", "M5", "M6"}
    assert "photos/one" in found.finding.rests_on and "parts/rule#length" in found.finding.rests_on


def test_a_known_length_nearer_to_the_camera(weighed):
    found = plain(weighed, same="nearer: 1 m +/- 0.1 m")
    assert found.value_mm == pytest.approx(500 * 10 / 9, abs=0.01)
    assert "how much nearer the known length stands in “Photo one”" in dict(found.budget)


@pytest.mark.parametrize(
    ("picture", "how", "rule", "says"),
    [
        ("", {"same": "same_plane: no"}, "M8", "in the plane of what is measured"),
        ("", {"same": "nearer: 3 m +/- 0.1 m"}, "M8", "out of the plane by"),
        ("", {"method": "circle"}, "M8", "6 picks"),
        ("", {"method": "plane"}, "M8", "needs 5 known lengths"),
        ("", {"method": "stations"}, "M1", "goes by surveyed points"),
        ("lens: bends", {"method": "circle"}, "M8", "bends lines"),
        ("lens: bends", {"method": "stations"}, "M8", "bends lines"),
        ("", {"method": "symmetry"}, "M8", "needs 6 known points"),
        ("", {"method": "known-plane"}, "M1", "which plane"),
        ("", {"more": "pick_px: 60"}, "M7", "of the size"),
        ("flipped: {is: yes, by: HB, on: 2026-01-02, because: lettering}", {}, "M3", "is flipped"),
        (
            "retouched: [{outline: [[90, 290], [110, 290], [110, 310], [90, 310]]}]",
            {},
            "M2",
            "worked over where a",
        ),
    ],
)
def test_refusals(weighed, picture, how, rule, says):
    findings, _, _ = weighed(photo("one", more=f"{SIZE}\n{picture}") + RULE + pitch(**how))
    found = findings.measurements["measurements/pitch"]
    assert found.refused and says in found.refused
    assert found.value_mm is None and found.errors == () and found.way_out
    assert [reason.rule for reason in found.finding.reasons] == [rule]


@pytest.mark.parametrize("where", ["between: [a, a]", "{point: b, at: [100, 300]}"])
def test_there_is_no_size_between_a_point_and_itself(weighed, where):
    old = "between: [a, b]" if where.startswith("b") else "{point: b, at: [350, 300]}"
    text = photo("one", more=SIZE) + RULE + pitch().replace(old, where)
    findings, problems, _ = weighed(text)
    found = findings.measurements["measurements/pitch"]
    assert found.value_mm is None and found.refused
    assert [p.code for p in problems] == (["pair-expected"] if "a, a" in where else [])


def test_a_halftone_and_what_was_made_from_one_give_no_size(weighed):
    print_ = source("cutting", "generation: halftone").replace("generation: vintage-print\n", "")
    copy = source("copy", "derived_from: [sources/cutting]")
    for of in ("cutting", "copy"):
        text = print_ + copy + photo("one", of, SIZE) + RULE + pitch()
        assert "halftone" in measured(weighed, text).refused


def test_a_paper_gives_no_size(weighed):
    text = photo("one", more=SIZE).replace("kind: period", "kind: document")
    findings, _, _ = weighed(text + RULE + pitch())
    assert "paper" in findings.measurements["measurements/pitch"].refused


def test_a_flipped_print_that_is_ruled_gives_its_size(weighed):
    picture = (
        f"{SIZE}\nflipped: {{is: yes, by: HB, on: 2026-01-02, because: lettering}}\n"
        "picks_ruled: {by: HB, on: 2026-01-02}"
    )
    found = measured(weighed, photo("one", more=picture) + RULE + pitch())
    assert found.value_mm == pytest.approx(500)


def test_a_known_length_without_an_error_or_a_figure_gives_no_scale(weighed):
    bare = RULE.replace(" +/- 1.96 mm", "")
    assert "without an error" in measured(weighed, photo("one", more=SIZE) + bare + pitch()).refused
    none = RULE.replace(", value: 1000 mm +/- 1.96 mm", "")
    assert "no figure" in measured(weighed, photo("one", more=SIZE) + none + pitch()).refused


SURVEY = """
== surveys/jig.yaml ==
title: On the jig
instrument: steel tape
points:
  - {id: c, x: 0 mm +/- 2 mm, y: 0 mm +/- 2 mm, z: 0 mm +/- 2 mm}
  - {id: d, x: 1000 mm +/- 2 mm, y: 0 mm +/- 2 mm, z: 0 mm +/- 2 mm}
"""


def test_surveyed_points_give_a_scale_and_share_their_tape(weighed):
    text = photo("one", more=SIZE) + SURVEY + pitch().replace("parts/rule#length", "surveys/jig")
    found = measured(weighed, text)
    assert found.value_mm == pytest.approx(500)
    assert dict(found.errors)["survey|surveys/jig|d:x"] == pytest.approx(500 / 1000 * 2 / 1.96)
    assert dict(found.errors)["tape|surveys/jig|"] == pytest.approx(500 * 5e-4)


def test_points_of_this_airframe_do_not_measure_another(weighed):
    text = photo("one", more=f"{SIZE}\nsister: qk-43", airframe="sister") + SURVEY
    text += pitch().replace("parts/rule#length", "surveys/jig")
    assert "another aircraft" in measured(weighed, text).refused


def test_a_claim_takes_its_figure_and_its_error(weighed):
    text = photo("one", more=SIZE) + RULE + pitch()
    text += part(CLAIM + "      - {photo: one#chine, measured: pitch}")
    findings, problems, _ = weighed(text)
    assert problems == []
    graded = findings.claims["parts/chine#it"]
    found = findings.measurements["measurements/pitch"]
    assert graded.grade == "seen"
    assert (graded.held.value_mm, graded.held.half95_mm) == (found.value_mm, found.half95_mm)
    assert graded.held.measured == graded.items[0].measured == "measurements/pitch"


def test_a_refused_measurement_is_no_evidence_for_a_size(weighed):
    text = photo("one", more=SIZE) + RULE + pitch(same="same_plane: no")
    text += part(CLAIM + "      - {photo: one#chine, measured: pitch}")
    graded = weighed(text)[0].claims["parts/chine#it"]
    assert graded.grade == "conjecture" and graded.held is None
    assert graded.items[0].rule == "G20" and "gives no figure" in graded.items[0].says


def test_a_scale_that_rests_on_the_claim_it_measures_is_a_circle(weighed):
    text = photo("one", more=SIZE) + pitch().replace("parts/rule#length", "parts/chine#it")
    text += part(CLAIM + "      - {photo: one#chine, measured: pitch}")
    findings, _, _ = weighed(text)
    assert "circle" in findings.measurements["measurements/pitch"].refused
    assert findings.claims["parts/chine#it"].grade == "conjecture"


def test_a_scale_may_rest_on_a_claim_that_was_measured(weighed):
    """The errors of the first come along, by name."""
    text = photo("one", more=SIZE) + photo("two", more=SIZE) + RULE + pitch()
    text += part(CLAIM + "      - {photo: one#chine, measured: pitch}")
    text += pitch("two", id_="next").replace("parts/rule#length", "parts/chine#it")
    first, second = measured(weighed, text), measured(weighed, text, "next")
    assert second.value_mm == pytest.approx(250)
    assert dict(second.errors)["known|parts/rule#length|"] == pytest.approx(0.25, abs=0.01)
    assert seen_on(second) == {"photos/one", "photos/two"}
    assert second.u_mm > first.u_mm / 2


def test_shared_errors_cannot_explain_a_difference(weighed):
    text = photo("one", more=SIZE) + photo("two", more=SIZE) + RULE + pitch()
    text += pitch("two", id_="other")
    one, other = measured(weighed, text), measured(weighed, text, "other")
    loose = math.hypot(one.u_mm, other.u_mm)
    assert apart_u(one, one) == 0
    assert apart_u(one, other) == pytest.approx(
        math.sqrt(loose**2 - 2 * dict(one.errors)["known|parts/rule#length|"] ** 2), abs=0.01
    )


def test_two_figures_off_one_photograph_do_not_corroborate(weighed):
    """The second photograph's figure leans on the first photograph's picks."""
    items = (
        "      - {photo: one#chine, measured: pitch}\n      - {photo: two#chine, measured: next}"
    )
    base = photo("one", more=SIZE) + photo("two", more=SIZE) + RULE + pitch() + part(CLAIM + items)
    apart = weighed(base + pitch("two", id_="next"))[0].claims["parts/chine#it"]
    assert apart.grade == "corroborated"
    rule = RULE.replace("parts/rule.md", "parts/other.md").replace("The rule", "The other")
    leaning = rule.replace(
        "{part: rule, value: 1000 mm +/- 1.96 mm}", "{photo: one#chine, measured: pitch}"
    )
    second = pitch("two", id_="next").replace("parts/rule#", "parts/other#")
    findings, _, _ = weighed(base + leaning + second.replace("[600, 100]", "[350, 100]"))
    assert findings.measurements["measurements/next"].value_mm == pytest.approx(500)
    assert findings.claims["parts/chine#it"].grade == "seen"


def test_a_sister_part_that_agrees_with_a_measurement_is_matched(weighed):
    sister = """
== parts/pattern.md ==
---
title: Pattern
zone: zones/700
survives: whole
airframe: sister
sister: qk-43
---
"""
    item = (
        "      - {part: pattern, value: VALUE, agrees_with: [{record: measurements/pitch, "
        "how: set beside the figure, by: LM, on: 2027-02-11}]}"
    )
    base = photo("one", more=SIZE) + RULE + pitch() + sister
    for value, grade in (("505 mm +/- 1 mm", "matched"), ("560 mm +/- 1 mm", "said")):
        text = base + part(CLAIM + item.replace("VALUE", value))
        assert weighed(text)[0].claims["parts/chine#it"].grade == grade, value


def test_a_record_with_lines_that_cannot_be_read_gives_no_size(weighed):
    findings, _, _ = weighed(photo("one", more=SIZE) + RULE + pitch(more="off_plane: wide"))
    assert "can't be read" in findings.measurements["measurements/pitch"].refused


def test_nothing_to_measure_needs_no_numpy():
    code = (
        "import sys; import archive.cli.main, archive.reasoning.weigh, archive.pipeline; "
        "sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_panel_by_its_sides_and_a_diagonal(weighed):
    """A panel of 1000 x 500 mm seen square-on at half a pixel a millimetre; measured across it."""
    rules = "".join(
        RULE.replace("parts/rule.md", f"parts/r{n}.md")
        .replace("part: rule", f"part: r{n}")
        .replace("1000 mm", f"{mm} mm")
        for n, mm in enumerate((1000, 500, 1000, 500, 1118.034, 1118.034))
    )
    corners = [("p", 100, 100), ("q", 600, 100), ("r", 600, 350), ("s", 100, 350)]
    inner = [("a", 200, 150), ("b", 500, 300)]
    picks = "".join(f"  - {{point: {n}, at: [{x}, {y}]}}\n" for n, x, y in (*corners, *inner))
    pairs = ("p, q", "q, r", "r, s", "s, p", "p, r", "q, s")
    known = "".join(
        f"  - {{between: [{pair}], length: parts/r{n}#length}}\n" for n, pair in enumerate(pairs)
    )
    text = (
        "\n== measurements/pitch.yaml ==\ntitle: Across the panel\nphotos: one\nmethod: plane\n"
        f"between: [a, b]\npicks:\n{picks}references:\n{known}"
    )
    found = measured(weighed, photo("one", more=SIZE) + rules + text)
    assert found.value_mm == pytest.approx(math.hypot(600, 300), abs=0.5)
    assert len([name for name, _ in found.errors if name.startswith("known|")]) == 6


def test_surveyed_points_and_lengths_are_not_mixed_on_a_plane(weighed):
    more = "points: [surveys/jig]"
    found = measured(
        weighed, photo("one", more=SIZE) + RULE + SURVEY + pitch(method="plane", more=more)
    )
    assert "goes by surveyed points" in found.refused


@pytest.mark.parametrize(
    ("photos", "more", "says"),
    [
        ("[one]", "", "laid over one period photograph"),
        ("[one, two]", "", "Nobody says on which plane"),
        ("[one, two]", "on_plane: {axis: y, at: 0 mm}", "isn't picked on “Photo two”"),
    ],
)
def test_a_mock_up_that_gives_no_hold_is_refused(weighed, photos, more, says):
    text = photo("one", more=SIZE) + photo("two", more=SIZE).replace("period", "mock-up") + RULE
    text += (
        pitch(photo=photos, method="mock-up", more=more)
        .replace("- {point: a, ", "- {point: a, photo: one, ")
        .replace("- {point: b, ", "- {point: b, photo: one, ")
        .replace("- {point: c, ", "- {point: c, photo: one, ")
        .replace("- {point: d, ", "- {point: d, photo: one, ")
    )
    result = measured(weighed, text)
    assert says in result.refused and result.way_out and not result.laid_over


def test_a_rule_needs_no_pedigree(weighed):
    """A known length of a thing that is none of the aircraft's gives a scale all the same."""
    rule = RULE.replace("survives: whole", "survives: whole\nstatus: not-ours")
    assert measured(weighed, photo("one", more=SIZE) + rule + pitch()).value_mm == 500


REPEATED = """  - {point: a, at: [100, 300], again: [[101, 300], [99, 300], [100, 302]]}
  - {point: b, at: [350, 300], again: [[351, 301], [349, 299], [350, 300]]}
"""
ONCE = """  - {point: a, at: [100, 300]}
  - {point: b, at: [350, 300]}
"""


def test_repeated_picks_tell_their_makers_own_error(weighed):
    """a: x̄ 100, ȳ 300.5, squares 2 + 3; b: squares 2 + 2: s² = 9/12; (8·4 + 9)/(8 + 12) = 2.05."""
    text = pitch(more="by: HB").replace(ONCE, REPEATED)
    found = measured(weighed, photo("one", more=SIZE) + RULE + text)
    single = math.sqrt((8 * 4 + 9) / 20)
    thing, rule = math.hypot(single / 2, 0.5), math.hypot(single, 0.5)
    picks = 500 * math.sqrt(2) * math.hypot(thing / 250.0005, rule / 500)
    assert dict(found.budget)["the picks on “Photo one”"] == pytest.approx(picks, abs=0.01)
    (told,) = [r.says for r in found.finding.reasons if r.rule == "M12"]
    assert told.startswith("8 picks that HB repeated on “Photo one” scatter by 0.9 px")


def test_repeats_of_one_person_serve_all_that_they_measured_there_and_nobody_else(weighed):
    first = pitch(more="by: HB").replace(ONCE, REPEATED)
    second, third = pitch(more="by: HB", id_="second"), pitch(more="by: LM", id_="third")
    text = photo("one", more=SIZE) + RULE + first + second + third
    findings, problems, _ = weighed(text)
    assert problems == []
    u = {ref: found.u_mm for ref, found in findings.measurements.items()}
    assert u["measurements/pitch"] < u["measurements/second"] < u["measurements/third"]


def test_picks_of_nobody_tell_nothing(weighed):
    found = measured(weighed, photo("one", more=SIZE) + RULE + pitch().replace(ONCE, REPEATED))
    assert "M12" not in [reason.rule for reason in found.finding.reasons]
