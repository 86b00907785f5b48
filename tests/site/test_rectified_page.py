"""How a plane at true scale is said and drawn: round figures, its name, its doubts, its links."""

from __future__ import annotations

import dataclasses

import pytest
from site_sample import pictures_of

from archive.audience.view import View
from archive.core.images import PictureSize, RectifiedPicture
from archive.core.rectified import Doubt, Reckoned, Rectified, round_step
from archive.site.pages import pages
from archive.site.rectified import grid, place_words, plane_words, sentences
from archive.site.render import render

REF = "measurements/strut-slipway"
PLANE = Rectified(
    ref=REF, photo="photos/slipway", width_mm=2400.0, height_mm=1200.0, px_per_m=500,
    to_photo=(0.5, 0.0, 10.0, 0.0, 0.5, 20.0, 0.0, 0.0, 1.0), lens=(600.0, 400.0, 1800.0, 0.0),
    mirrored=False, normal="y", stands_mm=-451.4, seen_from=-1,
    across=Reckoned("x", -186.5, 1), down=Reckoned("z", 150.0, -1), origin="", surveyed=True,
    within=((200.0, 200.0), (2200.0, 200.0), (2200.0, 1000.0), (200.0, 1000.0)), margin_mm=200.0,
    known=(("foot-pin", (200.0, 200.0)),),
    ends=(("head", (700.0, 600.0)), ("foot", (1200.0, 600.0))),
    doubts=(Doubt((200.0, 200.0), 2.31, 1.0),),
    everywhere=(Doubt((200.0, 200.0), 2.31, 1.0), Doubt((2200.0, 1000.0), 12.2, 9.96)),
    finest_mm=1.6, coarsest_mm=2.8, off_plane_mm=10.0, lean_mm=4.21, worked_over=(),
    rests_on=("photos/slipway",),
)  # fmt: skip
MADE = RectifiedPicture(
    PictureSize("pictures/plane-strut-slipway-1.png", 1200, 600),
    PictureSize("pictures/plane-strut-slipway-2.jpg", 800, 400),
)


def page_of(view: View, plane: Rectified) -> str:
    shown = dataclasses.replace(view, rectified={REF: plane})
    made = pages(shown, pictures_of(shown), {}, {REF: MADE})
    return render(next(page for page in made if page.path == f"{REF}.html")).decode()


@pytest.mark.parametrize(("most", "up", "step"), [
    (370, True, 500), (500, True, 500), (501, True, 1000), (0.3, True, 0.5), (740, False, 500),
    (1000, False, 1000), (1.9, False, 1),
])  # fmt: skip
def test_steps_are_round(most: float, up: bool, step: float) -> None:
    assert round_step(most, up=up) == pytest.approx(step)


def test_the_grid_stands_at_round_figures_both_ways() -> None:
    aft = list(grid(Reckoned("x", -186.5, 1), 1300, 500))
    assert aft == [
        (pytest.approx(186.5), 0),
        (pytest.approx(686.5), 500),
        (pytest.approx(1186.5), 1000),
    ]
    up = list(grid(Reckoned("z", 150.0, -1), 1200, 500))
    assert sorted(up) == [
        (pytest.approx(150), 0),
        (pytest.approx(650), -500),
        (pytest.approx(1150), -1000),
    ]


def test_a_plane_is_called_as_the_trade_calls_it() -> None:
    assert plane_words(PLANE) == (
        "The upright plane along the aircraft, at butt line −451 mm, seen from port"
    )
    across = dataclasses.replace(PLANE, normal="x", stands_mm=900.0, seen_from=1)
    assert plane_words(across) == (
        "The upright plane across the aircraft, at station 900 mm, seen from astern"
    )
    level = dataclasses.replace(PLANE, normal="z", stands_mm=-1010.0, seen_from=-1)
    assert plane_words(level) == "The level plane at water line −1010 mm, seen from below"
    askew = dataclasses.replace(
        PLANE, normal="", across=Reckoned("u", 0, 1), down=Reckoned("v", 0, -1), origin="foot-pin"
    )
    assert plane_words(askew) == "A plane that lies askew"
    assert "isn’t known" in plane_words(dataclasses.replace(askew, surveyed=False))
    assert place_words(PLANE, (186.5, 650.0)) == "x 0, z −500"


def test_what_it_cannot_tell_is_said_with_figures() -> None:
    told = " ".join(sentences(PLANE))
    assert "Only what lies in this plane is at true size" in told
    assert "± 2.4 mm at best (near x 14, z −50)" in told  # rounded up, never down
    assert "± 13 mm at worst" in told and "± 1.0 to ± 10.0 mm" in told
    assert "What stands another 10 mm off is moved by up to 4.3 mm more." in told
    assert "covers 1.6 mm here at its best and 2.8 mm at its worst" in told
    assert "flipped" not in told and "worked over" not in told
    other = dataclasses.replace(PLANE, mirrored=True, worked_over=PLANE.within and (PLANE.within,))
    told = " ".join(sentences(other))
    assert "flipped; here it is put right" in told and "take nothing from there" in told


def test_the_page_shows_it_with_what_can_be_taken_away(view: View) -> None:
    text = page_of(view, PLANE)
    assert 'src="../pictures/plane-strut-slipway-2.jpg"' in text
    assert 'href="../pictures/plane-strut-slipway-1.png" download' in text
    for paper in ("a4", "letter"):
        assert f'href="../templates/strut-slipway-{paper}.pdf"' in text
    assert "1200 × 600 pixels, 500 to the metre" in text
    assert ">± 2.4</text>" in text and ">−500</text>" in text and ">500 mm</text>" in text
    assert "_hatch" not in text
    patched = dataclasses.replace(PLANE, worked_over=(((10.0, 20.0), (30.0, 20.0), (30.0, 60.0)),))
    assert 'points="10,20 30,20 30,60"' in page_of(view, patched)


def test_without_a_plane_the_page_says_nothing_of_it(view: View) -> None:
    made = pages(view, pictures_of(view))
    text = render(next(page for page in made if page.path == f"{REF}.html")).decode()
    assert "true scale" not in text and "templates/" not in text
