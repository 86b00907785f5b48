"""The demo: it checks clean, it is rich enough, and it holds the traps of the trade."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from archive.pipeline import weigh

CONTENT = Path(__file__).parents[1] / "content"


@pytest.fixture(scope="module")
def demo(demo_cache):
    return weigh(CONTENT, demo_cache, date(2026, 11, 25))


def test_it_checks_clean(demo):
    assert [str(problem) for problem in demo.problems if not problem.advice] == []


def test_it_is_rich_enough(demo):
    library = demo.library
    period = [p for p in library.photos.values() if p.shows_what != "document"]
    papers = [s for s in library.sources.values() if s.citation and s.citation.type != "graphic"]
    assert len(period) >= 24
    assert len(papers) >= 12
    assert len(library.parts) >= 30
    assert len({part.zone for part in library.parts.values()}) >= 8
    assert sum(1 for _ in library.claims()) >= 60
    assert len(library.decisions) >= 12
    assert len(library.questions) >= 8
    assert len(library.measurements) >= 12


def test_every_grade_occurs_and_something_is_not_settled(demo):
    claims = demo.findings.claims.values()
    assert {claim.grade for claim in claims} == {
        "on the airframe", "matched", "corroborated", "seen", "said", "conjecture",
    }  # fmt: skip
    assert any(claim.not_settled for claim in claims)
    assert any(step.steps["cut"].verdict == "cleared" for step in demo.findings.parts.values())


def test_the_traps_are_sprung(demo):
    """Rules that the demo must show at work, each by at least one claim."""
    rules = {reason.rule for c in demo.findings.claims.values() for reason in c.finding.reasons}
    wanted = {"G1", "G2", "G3", "G4", "G5", "G7", "G8", "G9", "G10", "G12", "G14", "G16", "G17"}
    assert wanted | {"G19", "G20", "G21", "G22", "G23"} <= rules
    states = {standing.state for standing in demo.findings.decisions.values()}
    assert {"stands", "superseded"} <= states
    choices = {decision.choice for decision in demo.library.decisions.values()}
    assert {"build", "build-provisionally", "leave-off", "defer", "refit-repaired"} <= choices
    assert any(len(group.members) >= 6 for group in demo.findings.groups.values())
    assert any(group.sitting for group in demo.findings.groups.values())
    assert any(p.flipped and p.flipped.says for p in demo.library.photos.values())
    assert any(s.consent and s.consent.withdrawn for s in demo.library.sources.values())
    assert any(len(part.members) == 40 for part in demo.library.parts.values())


def test_the_reused_halftone_is_dated_by_its_plate_and_not_by_its_newspaper(demo):
    """Printed on 16 July 1932; the plate shows wheels, which came off on 11 June."""
    found = demo.findings.dates["photos/works-apron-halftone"]
    assert (str(found.earliest), str(found.latest)) == ("1932-03-01", "1932-04-09")
    assert found.states["configurations/works-1932"].verdict == "must"
    assert found.states["configurations/survey-1932"].verdict == "cannot"
    assert "16 July 1932" in found.told[0].says


def test_every_ruling_on_a_state_is_borne_out(demo):
    """What a person ruled of a photograph's state, the chronology finds as well."""
    for photo in demo.library.photos.values():
        for ruling in photo.configurations:
            found = demo.findings.dates[photo.ref].states[ruling.configuration]
            assert found.verdict == ruling.is_in, photo.ref
    assert (
        demo.findings.dates["photos/beached-1932-late"].states["configurations/survey-1932"].verdict
        == "must"
    )  # nobody ruled on that one


def test_states_follow_one_another(demo):
    spells = demo.findings.spells
    works, survey = (spells[f"configurations/{s}"] for s in ("works-1932", "survey-1932"))
    assert works.ends.latest == survey.begins.earliest
    assert str(survey.ends.earliest) == "1933-05-01"
    assert all(clash.advice for clash in demo.findings.clashes)


def test_the_pictures_are_small_enough_to_carry(demo):
    total = sum(path.stat().st_size for path in (CONTENT / "photos").iterdir())
    assert total <= 25 * 1024 * 1024


def test_real_names_stay_out():
    """The folder is invented: of the web it names rights statements, which are a standard's."""
    for path in CONTENT.rglob("*.md"):
        text = path.read_text("utf-8").replace("http://rightsstatements.org/", "")
        assert "http" not in text, path


def test_the_demo_shows_what_several_figures_come_to(demo):
    """Sizes that agree, one that disagrees and why, stock that is named and stock that is not."""
    found = demo.findings.estimates
    together = [e for e in found.values() if e.together and len(e.together.counted) > 1]
    assert sum(e.finding.verdict in ("agree", "scatter") for e in together) >= 5
    apart = found["parts/water-rudder-port#depth"]
    assert apart.finding.verdict == "disagree"
    assert any("altered between" in r.says for r in apart.finding.reasons if r.rule == "E7")
    assert found["parts/cowl-port#sheet-thickness"].stock.said == "No. 18 SWG"
    assert found["parts/chine-port#rivet-pitch"].stock.said == "7/8 in"
    wall = found["parts/frame-fuselage#longeron-wall"].stock
    assert wall.said == "" and {s.name for s in wall.sizes[:2]} == {"No. 20 BWG", "No. 21 BWG"}
    assert found["parts/ribs-main#spar-slot"].finding.verdict == "pieces differ"
    assert found["parts/chine-port#rivet-pitch"].made_to_mm == pytest.approx(22.225)
    rules = {r.rule for m in demo.findings.measurements.values() for r in m.finding.reasons}
    assert "M12" in rules


def test_the_example_by_hand_is_what_the_program_says(demo):
    """The manual's example: 641.33 mm ± 8.70, shares 4.7, 83.5 and 11.7 %, fits 99.6 in 100."""
    found = demo.findings.estimates["parts/rudder-post-works#length"]
    assert found.together.value_mm == pytest.approx(641.33, abs=0.005)
    assert found.together.half95_mm == pytest.approx(8.70, abs=0.005)
    assert [round(100 * w, 1) for _, w in found.together.counted] == [4.7, 83.5, 11.7]
    assert found.fits == pytest.approx(0.996, abs=5e-4)


def test_a_card_has_gone_stale_and_says_what_moved(demo):
    """The trap of the card in the drawer; `tests/demo/cards.py` issues the cards anew."""
    cards = demo.findings.cards
    assert len(cards) >= 4
    assert [ref for ref, card in cards.items() if card.state == "recall"] == ["cards/0001"]
    moved = {(line.ref, line.what) for line in cards["cards/0001"].latest.moved}
    assert ("parts/chine-port#rivet-pitch", "size") in moved
    assert [issue.state for issue in cards["cards/0002"].issues] == ["superseded", "unchanged"]
    assert demo.library.cards["0003"].cut
