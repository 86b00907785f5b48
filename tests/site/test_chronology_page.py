"""The chronology's page and a photograph's: drawn to scale, and telling what each day rests on."""

from __future__ import annotations

import itertools
import re
from datetime import date

import pytest
from site_sample import pictures_of

from archive.audience.view import View
from archive.site.chronology import Axis, ChronologyShown
from archive.site.dating import DatingShown
from archive.site.page import Page
from archive.site.pages import pages
from archive.site.photo import PhotoShown
from archive.site.render import render


@pytest.fixture(scope="module")
def site(view: View) -> dict[str, Page]:
    return {page.path: page for page in pages(view, pictures_of(view))}


def per_cent(text: str) -> float:
    return float(text.rstrip("%"))


def test_equal_spans_of_time_are_equally_wide() -> None:
    axis = Axis(date(1931, 1, 1), date(1935, 12, 31))
    starts = [per_cent(axis.at(date(year, 1, 1))) for year in range(1931, 1937)]
    steps = [b - a for a, b in itertools.pairwise(starts)]
    assert max(steps) - min(steps) < 0.1  # a leap year is a day longer
    assert [tick.label for tick in axis.ticks()] == ["1931", "1932", "1933", "1934", "1935", "1936"]


def test_a_long_life_letters_every_so_many_years() -> None:
    axis = Axis(date(1910, 1, 1), date(1970, 1, 1))
    labels = [tick.label for tick in axis.ticks() if tick.label]
    assert 5 <= len(labels) <= 9
    assert len(axis.ticks()) > 55


def test_the_sheet_holds_events_states_and_photographs(site: dict[str, Page]) -> None:
    shown = site["chronology.html"].data
    assert isinstance(shown, ChronologyShown)
    fitted, post = shown.events
    assert (fitted.when, len(fitted.points), fitted.marks) == ("11 June 1932", 1, ())
    assert (post.when, post.points, post.marks[0].kind) == (
        "between May and August 1933",
        (),
        "span",
    )
    state = shown.states[0]
    assert [mark.kind for mark in state.marks] == ["maybe", "sure"]
    sure = state.marks[1]
    assert sure.left == fitted.points[0] and sure.right == post.marks[0].left
    slipway = next(row for row in shown.photographs if row.link.text.endswith("slipway"))
    assert per_cent(slipway.points[0]) > per_cent(fitted.points[0])


def test_the_drawing_is_read_without_sight(site: dict[str, Page]) -> None:
    text = render(site["chronology.html"]).decode()
    assert "11 June 1932" in text
    main = text.partition("<main")[2].partition("</main>")[0]
    drawn = re.sub(r'<(svg|div)[^>]*aria-hidden="true".*?</\1>', "", main, flags=re.S)
    assert "<svg" not in drawn
    assert drawn.count("11 June 1932") >= 2


def test_a_photograph_tells_when_and_how_that_is_known(site: dict[str, Page]) -> None:
    shown = site["photos/slipway.html"].data
    assert isinstance(shown, PhotoShown)
    assert isinstance(shown.dating, DatingShown)
    assert len(shown.dating.bounds) == 2
    for bound in shown.dating.bounds:
        assert bound.reasons[0].rule is not None
        assert bound.reasons[0].rule.href.startswith("../how/chronology.html#T")
    text = render(site["photos/slipway.html"]).decode()
    assert "When was it taken, and how do we know" in text
    assert "Survey, 1932: it was taken in this state" in text
