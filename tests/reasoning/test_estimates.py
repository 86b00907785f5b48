"""What figures come to, from records: which are counted, what they share, why they disagree."""

from __future__ import annotations

import math

import pytest
from small_records import letter, part, photo, source

TWO = photo("one") + photo("two")
LETTER = letter("letter", "first_hand: yes\ndated: 1932-05-03")


def claim(evidence: str, more: str = "", configuration: str = "") -> str:
    lines = "".join(f"      - {line}\n" for line in evidence.splitlines())
    return (
        f"  - id: it\n    aspect: size\n    says: So big\n    tolerance: 9 mm\n"
        f"{configuration}{more}    evidence:\n{lines}"
    )


def both(weighed, text):
    findings, problems, _ = weighed(text)
    assert problems == []
    (ref,) = [ref for ref in findings.estimates if ref.endswith("#it")]
    return findings.estimates[ref], findings.claims[ref]


def estimate(weighed, text):
    return both(weighed, text)[0]


def rules(found):
    return [reason.rule for reason in found.finding.reasons]


FIGURES = """{photo: one#chine, value: 250 mm +/- 4 mm}
{photo: two#chine, value: 252 mm +/- 2 mm}"""


def test_two_photographs_come_to_one_value(weighed):
    found = estimate(weighed, TWO + part(claim(FIGURES)))
    assert found.finding.verdict == "agree"
    assert found.together.value_mm == pytest.approx(251.6)
    assert found.together.half95_mm == pytest.approx(1 / math.sqrt(1 / 16 + 1 / 4))
    assert dict(found.together.counted) == {0: pytest.approx(0.2), 1: pytest.approx(0.8)}
    assert rules(found) == ["E3", "E6", "E10"]


def test_figures_that_scatter_are_widened_and_never_narrowed(weighed):
    apart = FIGURES.replace("250 mm", "248 mm")
    found = estimate(weighed, TWO + part(claim(apart))).together
    chi2 = 4**2 / (16 + 4) * 1.96**2
    assert found.verdict == "scatter"
    assert found.scaled == pytest.approx(math.sqrt(chi2))
    assert found.half95_mm == pytest.approx(math.sqrt(chi2) / math.sqrt(1 / 16 + 1 / 4))
    close = estimate(weighed, TWO + part(claim(FIGURES.replace("250 mm", "252 mm")))).together
    assert close.scaled == 1.0


def test_prints_of_one_negative_count_once(weighed):
    copies = source("negative") + photo("one", "negative") + photo("two", "negative")
    found = estimate(weighed, copies + part(claim(FIGURES)))
    assert found.finding.verdict == "one figure"
    assert [line.share for line in found.lines] == [0.0, 1.0]
    assert "origin counts" in found.lines[0].why


def test_words_never_narrow_a_piece_of_metal(weighed):
    piece = part("", "survives: fragment\nassembly: chine", "piece").replace("claims:\n\n", "")
    evidence = "{part: piece, value: 250 mm +/- 4 mm}\n{source: letter, value: 251 mm +/- 1 mm}"
    found = estimate(weighed, LETTER + piece + part(claim(evidence)))
    assert found.together.half95_mm == pytest.approx(4)
    assert [line.share for line in found.lines] == [1.0, 0.0]
    assert "set beside" in found.lines[1].why


def test_figures_that_disagree_have_no_value_and_are_not_settled(weighed):
    found, graded = both(weighed, TWO + part(claim(FIGURES.replace("250 mm", "260 mm"))))
    assert found.finding.verdict == "disagree"
    assert (found.together.value_mm, found.fits) == (None, None)
    assert graded.not_settled
    assert "G21" in [reason.rule for reason in graded.finding.reasons]
    assert rules(found) == ["E6", "E7"]
    assert "none is in the record" in found.finding.reasons[-1].says


def test_one_bad_pair_among_many_is_not_called_by_chance(weighed):
    """Eₙ 1.1 of one pair among six is what chance does; of one pair alone it is not."""
    apart = 1.1 * math.hypot(4, 4)
    line = "{{photo: {}#chine, value: {:.3f} mm +/- 4 mm}}\n"
    ends = line.format("one", 250) + line.format("two", 250 + apart)
    assert estimate(weighed, TWO + part(claim(ends))).finding.verdict == "disagree"
    more = TWO + photo("three") + photo("four")
    middle = line.format("three", 253) + line.format("four", 253.2)
    assert estimate(weighed, more + part(claim(ends + middle))).finding.verdict == "scatter"


ALTERED = """configurations:
  - {configuration: survey-1934, is: must, by: HB, on: 2026-01-02, because: so}
  - {configuration: survey-1932, is: cannot, by: HB, on: 2026-01-02, because: so}
"""


def says(found):
    return " ".join(r.says for r in found.finding.reasons if r.rule == "E7")


FAR = FIGURES.replace("250 mm", "300 mm")


def test_another_state_explains(weighed):
    other = photo("two")
    start = other.index("configurations:")
    other = other[:start] + ALTERED + other[other.index("regions:") :]
    found = estimate(weighed, photo("one") + other + part(claim(FAR)))
    assert "may have been altered between" in says(found)


def test_a_retouched_print_and_a_flipped_one_explain(weighed):
    worked = photo("two", more="retouched:\n  - {outline: [[50, 50], [60, 50], [60, 60]]}")
    found = estimate(weighed, photo("one") + worked + part(claim(FAR)))
    assert "“Photo two” was worked over" in says(found)
    turned = "flipped: {is: yes, by: HB, on: 2026-01-02, because: reads backwards}"
    region = "id: chine, outline: [[0, 0], [10, 0], [10, 10]]"
    ruled = region + ", ruled: {part: chine, by: HB, on: 2026-01-02}"
    flipped = photo("two", more=turned).replace(region, ruled)
    found = estimate(weighed, photo("one") + flipped + part(claim(FAR)))
    assert "printed the wrong way round" in says(found)


def test_a_half_for_a_whole_explains(weighed):
    found = estimate(weighed, TWO + part(claim(FIGURES.replace("250 mm", "504 mm"))))
    assert "twice the other" in says(found)


RIBS = """== parts/chine.md ==
---
title: The ribs
zone: zones/700
survives: fragment
members:
  - {tag: R1, survives: yes}
  - {tag: R2, survives: yes}
  - {tag: R3, survives: yes}
  - {tag: R4, survives: no}
claims:
CLAIMS---
"""


def ribs(*values: str) -> str:
    lines = "\n".join(
        f"{{part: chine, member: R{i}, value: {v} mm +/- 1.96 mm}}" for i, v in enumerate(values, 1)
    )
    return RIBS.replace("CLAIMS", claim(lines))


def test_pieces_of_a_row_may_truly_differ(weighed):
    """100, 110, 120 ± 1: τ² = 100 − 1 = 99; u = √(100/3) with 2 degrees of freedom, t = 4.303."""
    found = estimate(weighed, ribs("100", "110", "120"))
    assert found.finding.verdict == "pieces differ"
    assert found.together.value_mm == pytest.approx(110)
    assert found.together.spread_mm == pytest.approx(math.sqrt(99), abs=0.01)
    assert found.together.freedom == 2
    assert found.together.half95_mm == pytest.approx(4.303 * math.sqrt(100 / 3), abs=0.05)
    assert "E5" in rules(found)


def test_two_pieces_of_a_row_are_too_few_to_tell(weighed):
    assert estimate(weighed, ribs("100", "110")).finding.verdict == "disagree"


def test_a_stock_size_is_named_where_it_is_sure(weighed):
    tube = "{part: chine, value: 32 mm +/- 0.3 mm}"
    text = part(claim(tube, "    stock: tube-in\n"), "survives: whole")
    found = estimate(weighed, text)
    assert found.stock.said == "1 1/4 in"
    assert found.stock.sizes[0].chance == pytest.approx(0.955, abs=0.003)
    assert found.together.value_mm == 32


def test_no_stock_size_is_named_where_two_lie_within_the_error(weighed):
    sheet = "{part: chine, value: 1.3 mm +/- 0.2 mm}"
    text = part(claim(sheet, "    stock: gauge-swg\n"), "survives: whole")
    found = estimate(weighed, text).stock
    assert found.said == ""
    assert {one.name for one in found.sizes[:2]} == {"No. 17 SWG", "No. 18 SWG"}
    assert "no size is named" in found.says


def test_a_size_of_no_row(weighed):
    tube = "{part: chine, value: 30.2 mm +/- 0.3 mm}"
    text = part(claim(tube, "    stock: tube-in\n"), "survives: whole")
    found = estimate(weighed, text).stock
    assert found.said == ""
    assert found.none > 0.9
    assert "none fits" in found.says


def test_a_chosen_figure_outside_the_error_is_told_and_moves_nothing(weighed):
    chosen = "    made_to: {is: 260 mm, by: LM, on: 2026-02-01, because: It is a round figure.}\n"
    found, graded = both(weighed, TWO + part(claim(FIGURES, chosen)))
    assert found.outside
    assert found.together.value_mm == graded.held.value_mm == pytest.approx(251.6)
    (told,) = [r.says for r in found.finding.reasons if r.rule == "E9"]
    assert told.startswith("LM chose")
    assert "outside" in told
    assert found.fits < 0.99
    inside = estimate(weighed, TWO + part(claim(FIGURES, chosen.replace("260", "252"))))
    assert not inside.outside


def test_the_chance_of_a_fit(weighed):
    """u = 4/1.96 mm, ± 9 mm: 9/2.04 = 4.41 u. With ± 4 mm it is 95 in 100."""
    one = claim("{photo: one#chine, value: 250 mm +/- 4 mm}")
    assert estimate(weighed, photo("one") + part(one)).fits > 0.9999
    tight = estimate(weighed, photo("one") + part(one.replace("9 mm\n", "4 mm\n")))
    assert tight.fits == pytest.approx(0.95, abs=1e-4)
    bare = estimate(weighed, photo("one") + part(one.replace("    tolerance: 9 mm\n", "")))
    assert bare.fits is None


def test_a_figure_without_an_error_or_against_is_no_estimate(weighed):
    evidence = FIGURES + "\n{source: letter, value: 250 mm}"
    found = estimate(weighed, LETTER + TWO + part(claim(evidence)))
    assert len(found.together.counted) == 2
    assert found.lines[2].why == "It comes without an error."
