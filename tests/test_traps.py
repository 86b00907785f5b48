"""The traps of the trade that the demo sets: each is caught, and its page says how.

Those of measuring (a nearer reference, a stretched print) and of rights (a permission for panels
only, a consent withdrawn) have their tests beside those subjects.
"""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def told(demo_site: Path):
    """`told(page)` → the words of a page of the demo's site as it is built, on one line."""

    def words(path: str) -> str:
        text = (demo_site / path).read_text("utf-8")
        text = text[text.index("<main") : text.index("</main>")]
        text = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", text, flags=re.S)
        text = html.unescape(re.sub(r"<[^>]+>", " ", text))
        return re.sub(r"\s+", " ", text).replace(" ,", ",").replace(" .", ".")

    return words


def test_a_flipped_print(told):
    page = told("photos/works-apron-flipped.html")
    assert "The mark reads backwards, and the venturi is on the wrong side" in page
    assert "2 venturi 200-07 Venturi on the port side side ruled: HB, 4 August 2026" in page
    assert "Counts once with 13 other items" in page, "it is a print of a plate that is held"


def test_a_reused_halftone_that_shows_an_earlier_state_than_its_date(told):
    page = told("photos/works-apron-halftone.html")
    assert "Between 1 March and 9 April 1932." in page
    assert "Written on it is 16 July 1932: that is not the day it was taken. T4" in page
    assert "First survey season, summer 1932: it can't have been" in page
    assert "came through a halftone: it gives no size. G12" in told("parts/wheel-gear.html")


def test_three_crops_of_one_negative(told):
    page = told("photos/works-apron-print.html")
    assert "Counts once with 13 other items" in page
    for other in ("leaf 7 of the fitter's album", "in the newspaper", "the nose enlarged"):
        assert other in page
    gear = told("parts/wheel-gear.html")
    assert "It is no second witness: a better or equal copy of the same origin counts. G19" in gear


def test_a_three_view_traced_from_one_of_them(told):
    page = told("sources/brochure-threeview.html")
    assert (
        "Counts once with 13 other items" in page
        and "S-09 Three-view in the brochure tracing" in page
    )
    wing = told("parts/wing-upper-port.html")
    assert "“Three-view in the brochure” is not about this airframe." in wing


def test_two_frames_of_one_roll(told):
    page = told("parts/windscreen-front.html")
    assert "F-206 On the slipway, third day on floats" in page
    assert "F-207 On the slipway, next frame of the roll" in page
    assert "Two independent witnesses agree. G5" in page, "for shape they are two"
    stripe = told("parts/covering-fuselage.html")
    assert "It is of one sitting with another item: one witness for finish. G19" in stripe


def test_a_stripe_whose_tone_reverses_between_two_emulsions(told):
    page = told("parts/covering-fuselage.html")
    assert "The stripe was red with a narrow cream edge corroborated" in page
    assert page.count("the two tones have changed places: that is evidence of colour. G4") == 3


def test_an_identically_painted_sister(told):
    page = told("photos/sister-slipway.html")
    assert "The third of the type, delivered on floats and painted just like QK-41" in page
    assert "Under the glass the last figure of the mark is a 3" in page
    assert "No claim leans on it." in page


def test_testimony_against_the_metal(told):
    page = told("parts/chine-port.html")
    assert "Rivets along the chine stand at an even pitch of 7/8 in matched" in page
    assert "Against it, but weaker: “Interview with the mechanic of the survey”" in page
    assert "is told from memory" in page
    assert "Cut for display cleared" in page, "words do not beat metal"


def test_an_operators_modification_over_the_makers_part(told):
    page = told("parts/rudder-post-works.html")
    assert (
        "“Water-rudder post as lengthened, port” was put on in place of this part: it says nothing"
        " of what was there before. G17"
    ) in page
    held = told("parts/rudder-post-operator.html")
    assert "It was not on the aircraft in “First survey season, summer 1932”. C6" in held


def test_an_original_part_that_a_card_would_cut(told):
    patch = told("parts/cowl-port-patch.html")
    assert "Trial stock cleared" in patch and "Cut for display hold" in patch
    assert (
        "Original material touched: it is let into “Ring cowl, port half”, and that treatment is"
        " not cleared. C13"
    ) in patch
    cowl = told("parts/cowl-port.html")
    assert "Hazard flagged: lead paint. Nobody has answered for it. C12" in cowl
    assert "Trim, drill, refit: hold" in cowl
    assert "Kept at shelf 12." in cowl


def test_an_original_that_is_cleared_for_one_thing_alone(told):
    page = told("parts/fin-frame.html")
    assert "Touch an original cleared" in page
    assert "Cleared for this alone: straighten." in page and "It can't be undone." in page
    assert "As-found record missing: record it before you touch it. C7" in told(
        "parts/covering-fuselage.html"
    )


def test_what_is_built_on_one_picture_bears_its_mark(told):
    page = told("parts/camera-hatch.html")
    assert "A signed decision says build provisionally. C5" in page
    assert "Conjectural: mark it “QK41 N-051 CONJECTURAL IN SHAPE”" in page


def test_forty_ribs_of_which_three_survive(told):
    page = told("parts/ribs-main.html")
    assert "The shape is claimed of some members only, not of L-P1, L-P10" in page
    assert page.count(" survives") >= 3 and "gone" in page
    assert "Cut for display hold" in page


def test_two_people_who_disagree(told):
    page = told("parts/windscreen-front.html")
    assert "HB ruled “corroborated” on 12 June 2026" in page
    assert "LM ruled “seen” on 14 June 2026" in page
    assert "Two readings: the lower holds, seen. G22" in page


def test_a_photograph_that_turns_up_after_handover(told):
    page = told("photos/beached-1932-late.html")
    assert "20 June 2027" in page and "three weeks after the handover" in page
    post = told("parts/rudder-post-works.html")
    assert "F-218 Beached, a picture that came too late" in post
    assert "Came to light after the handover." in post


def test_a_policy_says_on_every_page_that_it_bears_on_who_said_so_and_why(told):
    because = "The museum wants each new piece to be told from old work"
    for path in ("parts/chine-port.html", "parts/strut-front-port.html", "how/grades.html"):
        page = told(path)
        assert because in page and "HB, 1 April 2026" in page, path
    assert "Three options are weighed" in told("parts/fin-frame.html")
