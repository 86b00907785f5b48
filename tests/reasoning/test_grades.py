"""Each grading rule, on the smallest folder that shows it."""

from __future__ import annotations

import re

import pytest
from small_records import part, photo, source

CLAIM = "  - id: it\n    aspect: {aspect}\n    says: A thing\n    configuration: survey-1932\n"


def claim(evidence: str, aspect: str = "existence", more: str = "") -> str:
    lines = "".join(f"      - {line}\n" for line in evidence.strip().splitlines())
    return CLAIM.format(aspect=aspect) + more + "    evidence:\n" + lines


def graded(weighed, text: str, ref: str = "parts/chine#it"):
    findings, problems, _ = weighed(text)
    assert problems == []
    return findings.claims[ref]


def weighed_with_mistakes(weighed, text: str):
    findings, problems, _ = weighed(text)
    assert problems
    return findings


def rules(found) -> list[str]:
    return [reason.rule for reason in found.finding.reasons]


def test_nothing_speaks_for_it(weighed):
    found = graded(weighed, part(CLAIM.format(aspect="shape")))
    assert (found.grade, rules(found)) == ("conjecture", ["G23"])


def test_one_clear_photograph_is_seen(weighed):
    found = graded(weighed, photo("one") + part(claim("{photo: one#chine}")))
    assert (found.grade, found.witnesses) == ("seen", 1)


def test_two_negatives_corroborate(weighed):
    two = photo("one") + photo("two")
    found = graded(weighed, two + part(claim("{photo: one#chine}\n{photo: two#chine}")))
    assert (found.grade, found.witnesses) == ("corroborated", 2)
    assert found.finding.reasons[0].rests_on == ("photos/one#chine", "photos/two#chine")


def test_copies_of_one_negative_count_once(weighed):
    text = (
        source("negative")
        + source("print-a", "derived_from: sources/negative")
        + source("print-b", "derived_from: sources/negative")
        + photo("one", "print-a")
        + photo("two", "print-b")
    )
    found = graded(weighed, text + part(claim("{photo: one#chine}\n{photo: two#chine}")))
    assert (found.grade, found.witnesses) == ("seen", 1)
    assert "G19" in rules(found)


def test_an_album_joins_no_witnesses(weighed):
    text = (
        source("album")
        + source("leaf-a", "within: album")
        + source("leaf-b", "within: album")
        + photo("one", "leaf-a")
        + photo("two", "leaf-b")
    )
    found = graded(weighed, text + part(claim("{photo: one#chine}\n{photo: two#chine}")))
    assert found.grade == "corroborated"


def test_one_sitting_is_two_witnesses_for_shape_and_one_for_material(weighed):
    text = (
        source("frame-7", "sitting: roll-3")
        + source("frame-8", "sitting: roll-3")
        + photo("one", "frame-7")
        + photo("two", "frame-8")
    )
    both = "{photo: one#chine}\n{photo: two#chine}"
    assert graded(weighed, text + part(claim(both, "shape"))).grade == "corroborated"
    found = graded(weighed, text + part(claim(both, "material")))
    assert (found.grade, found.witnesses) == ("seen", 1)


def test_a_person_joins_two_prints(weighed):
    ruling = (
        "same_negative:\n  - {photo: two, is: same, by: HB, on: 2026-01-03, because: shared dust}"
    )
    text = photo("one", more=ruling) + photo("two")
    found = graded(weighed, text + part(claim("{photo: one#chine}\n{photo: two#chine}")))
    assert found.witnesses == 1


@pytest.mark.parametrize(
    ("airframe", "rule"), [("sister", "G16"), ("type", "G16"), ("unknown", "G16")]
)
def test_another_airframe_is_said_at_most(weighed, airframe, rule):
    text = photo("one", airframe=airframe) + part(claim("{photo: one#chine}"))
    found = graded(weighed, text)
    assert (found.grade, rules(found)[0]) == ("said", rule)


def test_a_possible_reading_is_said_at_most(weighed):
    found = graded(weighed, photo("one") + part(claim("{photo: one#chine, reading: possible}")))
    assert (found.grade, rules(found)) == ("said", ["G8"])


def test_two_probable_readings_need_a_clear_one(weighed):
    two = photo("one") + photo("two")
    probable = "{photo: one#chine, reading: probable}\n{photo: two#chine, reading: probable}"
    assert graded(weighed, two + part(claim(probable))).grade == "seen"


def test_a_photograph_that_may_show_the_state_is_capped_and_does_not_corroborate(weighed):
    may = photo("one").replace("is: must", "is: may") + photo("two").replace("is: must", "is: may")
    found = graded(weighed, may + part(claim("{photo: one#chine}\n{photo: two#chine}")))
    assert (found.grade, found.witnesses) == ("seen", 2)
    assert rules(found) == ["G9", "G9"]


def test_a_photograph_that_cannot_show_the_state_is_no_evidence(weighed):
    text = photo("one").replace("is: must", "is: cannot")
    assert graded(weighed, text + part(claim("{photo: one#chine}"))).grade == "conjecture"


def test_without_a_date_or_a_ruling_it_is_may(weighed):
    text = photo("one").replace(
        "configuration: survey-1932, is: must", "configuration: survey-1932, is: may"
    )
    found = graded(weighed, text + part(claim("{photo: one#chine}")))
    assert (found.grade, rules(found)) == ("seen", ["G9"])
    none = re.sub(r"configurations:\n.*\n", "", photo("one"))
    found = graded(weighed, none + part(claim("{photo: one#chine}")))
    assert (found.grade, rules(found)) == ("seen", ["G9"])
    assert "may not (undated)" in found.finding.reasons[0].says
    assert "Nothing says that it was taken after" in found.finding.reasons[0].says


def test_what_was_ruled_into_another_state_is_no_evidence(weighed):
    text = photo("one").replace(
        "configuration: survey-1932, is: must", "configuration: works-1932, is: must"
    )
    found = graded(weighed, text + part(claim("{photo: one#chine}")))
    assert (found.grade, rules(found)) == ("conjecture", ["G23", "G9"])
    assert "cannot show “Survey state”" in found.finding.reasons[1].says


def test_retouched_there_is_no_evidence_elsewhere_it_is(weighed):
    there = "retouched:\n  - {outline: [[5, 1], [20, 1], [20, 9]], says: wires ruled in}"
    found = graded(weighed, photo("one", more=there) + part(claim("{photo: one#chine}")))
    assert (found.grade, found.items[0].rule) == ("conjecture", "G10")
    away = there.replace("[[5, 1], [20, 1], [20, 9]]", "[[50, 1], [60, 1], [60, 9]]")
    assert (
        graded(weighed, photo("one", more=away) + part(claim("{photo: one#chine}"))).grade == "seen"
    )


def test_a_halftone_gives_no_size_but_shows_existence(weighed):
    text = source("cutting").replace("vintage-print", "halftone") + photo("one", "cutting")
    size = "{photo: one#chine, value: 7/8 in +/- 1/16 in}"
    found = graded(weighed, text + part(claim(size, "size")))
    assert (found.grade, found.items[0].rule) == ("conjecture", "G12")
    assert graded(weighed, text + part(claim("{photo: one#chine}"))).grade == "seen"


def test_discredit_goes_down_to_what_was_made_from_it(weighed):
    bad = "discredited: {is: yes, by: HB, on: 2026-02-02, because: a forgery}"
    text = source("root", bad) + source("leaf", "derived_from: sources/root") + photo("one", "leaf")
    found = graded(weighed, text + part(claim("{photo: one#chine}")))
    assert (found.grade, found.items[0].rule) == ("conjecture", "G13")


def test_colour_never_from_monochrome_but_a_reversal_of_tones_counts(weighed):
    two = photo("one") + photo("two")
    plain = part(claim("{photo: one#chine}\n{photo: two#chine}", "finish"))
    assert graded(weighed, two + plain).grade == "conjecture"
    alone = part(claim("{photo: one#chine, tone_reversal: yes}", "finish"))
    assert graded(weighed, two + alone).grade == "conjecture"
    both = "{photo: one#chine, tone_reversal: yes}\n{photo: two#chine, tone_reversal: yes}"
    assert graded(weighed, two + part(claim(both, "finish"))).grade == "corroborated"


def test_absence_counts_only_where_it_would_have_shown(weighed):
    for would, grade in (("", "conjecture"), (", would_have_shown: yes", "seen")):
        text = part(claim("{photo: one#chine, absent: yes" + would + "}"))
        assert graded(weighed, photo("one") + text).grade == grade


@pytest.mark.parametrize(
    ("piece", "more", "grade"),
    [
        ("survives: fragment\nassembly: chine", "", "on the airframe"),
        ("survives: fragment", ", witness_mark: yes", "on the airframe"),
        ("survives: whole\nopposite: chine", "", "matched"),
        ("survives: whole\nmates: [chine]", "", "matched"),
        ("survives: whole", "", "said"),
        ("survives: whole\nairframe: sister\nsister: qk-43", "", "said"),
        ("survives: whole\nairframe: unknown", "", "said"),
        ("survives: no\nassembly: chine", "", "conjecture"),
        ("survives: fragment\nassembly: chine\norigin: ours", "", "conjecture"),
        ("survives: whole\norigin: operator\nreplaces: chine", "", "conjecture"),
        ("survives: whole\nassembly: chine\nfitted: {from: tail-post-mod}", "", "conjecture"),
        ("survives: whole\nassembly: chine\nfitted: {from: first-flight}", "", "on the airframe"),
        ("survives: whole\nassembly: chine\nfitted: {until: repaint}", "", "on the airframe"),
    ],
)
def test_metal(weighed, piece, more, grade):
    other = part("  []", piece, "piece").replace("claims:\n  []\n", "")
    found = graded(weighed, other + part(claim("{part: piece" + more + "}")))
    assert found.grade == grade


def test_a_sister_that_was_tried_on_this_airframe_is_matched(weighed):
    sister = part("", "survives: whole\nairframe: sister\nsister: qk-43", "pattern").replace(
        "claims:\n\n", ""
    )
    deck = part("", "survives: whole", "deck").replace("claims:\n\n", "")
    tried = (
        "{part: pattern, agrees_with: [{record: parts/deck, how: four holes coincide, "
        "by: LM, on: 2027-02-11}]}"
    )
    found = graded(weighed, sister + deck + part(claim(tried, "shape")))
    assert (found.grade, rules(found)) == ("matched", ["G3"])


LETTER = """
== sources/letter.md ==
---
title: Works letter
citation: {type: personal_communication, author: A. Clerk, issued: 1932-05-03}
first_hand: yes
airframe: {is: this, by: HB, on: 2026-01-02}
---
"""


def test_a_first_hand_dated_paper_is_seen_and_two_corroborate_a_material(weighed):
    found = graded(weighed, LETTER + part(claim("{source: letter}", "material")))
    assert (found.grade, rules(found)) == ("seen", ["G7"])
    second = LETTER.replace("letter.md", "log.md").replace("Works letter", "Log")
    both = part(claim("{source: letter}\n{source: log}", "material"))
    assert graded(weighed, LETTER + second + both).grade == "corroborated"
    shape = part(claim("{source: letter}\n{source: log}", "shape"))
    assert graded(weighed, LETTER + second + shape).grade == "seen"


@pytest.mark.parametrize("taken", ["first_hand: yes\n", ", issued: 1932-05-03"])
def test_words_without_hand_or_date_are_said(weighed, taken):
    text = LETTER.replace(taken, "") + part(claim("{source: letter}", "material"))
    assert graded(weighed, text).grade == "said"


def test_sizes_that_differ_do_not_corroborate(weighed):
    two = photo("one") + photo("two")
    near = (
        "{photo: one#chine, value: 10 in +/- 1/4 in}\n"
        "{photo: two#chine, value: 10 1/4 in +/- 1/4 in}"
    )
    assert graded(weighed, two + part(claim(near, "size"))).grade == "corroborated"
    far = near.replace("10 1/4 in +/-", "11 in +/-")
    assert graded(weighed, two + part(claim(far, "size"))).grade == "seen"


def test_a_size_needs_a_figure_and_its_error(weighed):
    bare = graded(weighed, photo("one") + part(claim("{photo: one#chine}", "size")))
    assert (bare.grade, bare.items[0].rule) == ("conjecture", "G20")
    loose = graded(weighed, photo("one") + part(claim("{photo: one#chine, value: 10 in}", "size")))
    assert (loose.grade, loose.items[0].rule) == ("said", "G20")


def test_the_figures_that_carry_the_grade_are_held_together(weighed):
    """(250/16 + 252/4) / (1/16 + 1/4) = 251.6, and 1 / √(1/16 + 1/4) = 1.79; led by the tighter."""
    two = photo("one") + photo("two")
    both = "{photo: one#chine, value: 250 mm +/- 4 mm}\n{photo: two#chine, value: 252 mm +/- 2 mm}"
    held = graded(weighed, two + part(claim(both, "size"))).held
    assert (held.value_mm, held.taken_from) == (pytest.approx(251.6), "photos/two#chine")
    assert held.half95_mm == pytest.approx(1.7889, abs=1e-4)


def test_figures_that_disagree_hold_the_tightest(weighed):
    two = photo("one") + photo("two")
    both = "{photo: one#chine, value: 250 mm +/- 4 mm}\n{photo: two#chine, value: 260 mm +/- 2 mm}"
    found = graded(weighed, two + part(claim(both, "size")))
    assert found.not_settled
    assert (found.held.value_mm, found.held.half95_mm) == (260, pytest.approx(2))


def test_level_rivals_are_not_settled_and_a_better_one_is_told(weighed):
    two = photo("one") + photo("two")
    rivals = claim("{photo: one#chine}") + claim("{photo: two#chine}").replace(
        "id: it", "id: other\n    rival_of: it"
    )
    found = graded(weighed, two + part(rivals))
    assert (found.grade, found.not_settled, found.rivals) == ("seen", True, ("parts/chine#other",))
    better = rivals.replace(
        "      - {photo: two#chine}", "      - {photo: two#chine}\n      - {photo: one#chine}"
    )
    assert graded(weighed, two + part(better)).not_settled is False


def test_words_do_not_beat_metal(weighed):
    piece = part("", "survives: fragment\nassembly: chine", "piece").replace("claims:\n\n", "")
    text = LETTER + piece + part(claim("{part: piece}\n{source: letter, against: yes}"))
    found = graded(weighed, text)
    assert (found.grade, found.not_settled) == ("on the airframe", False)
    assert "weaker" in found.finding.reasons[-1].says


def test_evidence_against_that_is_as_strong_leaves_it_open(weighed):
    two = photo("one") + photo("two")
    text = two + part(
        claim(
            "{photo: one#chine}\n"
            "{photo: two#chine, against: yes, absent: yes, would_have_shown: yes}"
        )
    )
    assert graded(weighed, text).not_settled is True


def ruled(weighed, evidence: str, *rulings: str, extra: str = ""):
    first = graded(weighed, extra + part(claim(evidence)))
    lines = "".join(f"      - {line.replace('STATE', first.state)}\n" for line in rulings)
    return graded(weighed, extra + part(claim(evidence) + "    graded:\n" + lines))


def test_a_ruling_lowers_and_of_two_the_lower_holds(weighed):
    two = photo("one") + photo("two")
    one = "{is: seen, by: LM, on: 2027-01-12, because: one roll, at_state: STATE}"
    other = "{is: corroborated, by: HB, on: 2027-01-10, because: same lap, at_state: STATE}"
    found = ruled(weighed, "{photo: one#chine}\n{photo: two#chine}", one, other, extra=two)
    assert (found.grade, found.earned) == ("seen", "corroborated")


def test_nobody_alone_lifts_a_claim_over_the_floor(weighed):
    lift = "{is: seen, by: HB, on: 2027-01-12, because: I know it, at_state: STATE}"
    found = ruled(weighed, "{photo: one#chine, reading: possible}", lift, extra=photo("one"))
    assert found.grade == "said"
    second = lift.replace("HB", "LM")
    both = ruled(weighed, "{photo: one#chine, reading: possible}", lift, second, extra=photo("one"))
    assert both.grade == "seen"


def test_a_ruling_lapses_when_the_evidence_moves(weighed):
    one = "{is: said, by: LM, on: 2027-01-12, because: doubtful, at_state: STATE}"
    first = graded(weighed, photo("one") + part(claim("{photo: one#chine}")))
    text = part(
        claim("{photo: one#chine}\n{photo: two#chine}")
        + "    graded:\n      - "
        + one.replace("STATE", first.state)
        + "\n"
    )
    found = graded(weighed, photo("one") + photo("two") + text)
    assert found.grade == "corroborated"
    assert any("lapsed" in reason.says for reason in found.finding.reasons)


def test_a_flipped_print_is_no_evidence_until_its_side_is_ruled(weighed):
    flip = "flipped: {is: yes, by: HB, on: 2027-03-04, because: the plate reads backwards}"
    hand = photo("one", more=flip).replace("{id: chine,", "{id: chine, part: chine,")
    text = part(claim("{photo: one#chine}"), "survives: no\nside: port")
    findings, problems, _ = weighed(hand + text)
    assert findings.claims["parts/chine#it"].items[0].rule == "G11"
    assert [problem.code for problem in problems] == ["side-to-rule"]
    settled = hand.replace(
        "part: chine,", "part: chine, ruled: {part: chine, by: HB, on: 2027-03-05},"
    )
    assert graded(weighed, settled + text).grade == "seen"


def test_consent_for_publication_moves_no_grade_and_for_all_use_it_does(weighed):
    paper = LETTER.replace(
        "first_hand: yes",
        "first_hand: yes\nconsent:\n  given: 2026-02-01\n"
        "  withdrawn: {on: 2027-05-01, by: family, extent: EXTENT}",
    )
    text = part(claim("{source: letter}", "material"))
    assert graded(weighed, paper.replace("EXTENT", "publication") + text).grade == "seen"
    assert graded(weighed, paper.replace("EXTENT", "all-use") + text).grade == "conjecture"


def test_a_circle_lends_no_grade(weighed):
    one = part(claim("{part: two#it}"), "survives: whole\nassembly: two", "chine")
    two = part(claim("{part: chine#it}"), "survives: whole", "two")
    findings, problems, _ = weighed(one + two)
    assert findings.claims["parts/chine#it"].grade == "conjecture"
    assert "support-circular" in {problem.code for problem in problems}


def test_a_trial_that_begs_the_question_is_a_circle_too(weighed):
    sister = part(
        claim("{part: chine#it}"), "survives: whole\nairframe: sister\nsister: qk-43", "pattern"
    )
    tried = (
        "{part: pattern, agrees_with: [{record: parts/pattern#it, how: it fits, "
        "by: LM, on: 2027-02-11}]}"
    )
    found = weighed_with_mistakes(weighed, sister + part(claim(tried)))
    assert found.claims["parts/chine#it"].items[0].rule == "G18"


def test_a_misread_against_does_not_count_in_favour(weighed):
    text = photo("one") + part(claim("{photo: one#chine, against: Maybe}"))
    found = weighed_with_mistakes(weighed, text).claims["parts/chine#it"]
    assert (found.grade, found.items[0].rule) == ("conjecture", "G25")


@pytest.mark.parametrize(
    "line", ["retouched: [{outline: nonsense}]", "flipped: {is: perhaps, by: HB, on: 2026-01-02}"]
)
def test_a_photograph_that_cannot_be_read_where_it_matters_is_no_evidence(weighed, line):
    text = photo("one", more=line) + part(claim("{photo: one#chine}"))
    found = weighed_with_mistakes(weighed, text).claims["parts/chine#it"]
    assert (found.grade, found.items[0].rule) == ("conjecture", "G25")


def test_a_mistake_that_does_not_matter_moves_nothing(weighed):
    text = photo("one", more="scan: {dpi: many}") + part(claim("{photo: one#chine}"))
    assert weighed_with_mistakes(weighed, text).claims["parts/chine#it"].grade == "seen"


def test_a_copy_whose_descent_cannot_be_read_is_no_second_witness(weighed):
    text = (
        source("negative")
        + source("print-a", "derived_from: sources/negative")
        + source("print-b", "derived_from: [sources/]")
        + photo("one", "print-a")
        + photo("two", "print-b")
        + part(claim("{photo: one#chine}\n{photo: two#chine}"))
    )
    found = weighed_with_mistakes(weighed, text).claims["parts/chine#it"]
    assert (found.grade, found.witnesses) == ("seen", 1)


def test_a_ruling_counts_from_its_day_on(weighed):
    """The small folders are asked about the first day of 2028."""
    text = photo("one") + part(claim("{photo: one#chine}"))
    state = graded(weighed, text).state
    for day, grade in (("2028-01-01", "said"), ("2028-01-02", "seen")):
        ruling = (
            f"    graded: [{{is: said, by: HB, on: {day}, because: a doubt, at_state: {state}}}]\n"
        )
        found = graded(weighed, text.replace("    evidence:", f"{ruling}    evidence:", 1))
        assert found.grade == grade, day
        told = [reason.says for reason in found.finding.reasons if reason.rule == "G22"]
        assert any("that day is to come" in says for says in told) == (grade == "seen")
