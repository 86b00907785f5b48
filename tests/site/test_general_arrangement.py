"""The drawing: three views on one scale, each zone with its grade's line and its number."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from site_sample import view_of, written

from archive.audience.view import View
from archive.site.balloons import ALONE_REACH_PX, REACH_PX, RING_PX, _spread
from archive.site.context import Context
from archive.site.general_arrangement import (
    Drawing,
    ViewDrawn,
    _area,
    _inside,
    draw,
)
from archive.site.pages import site_of


def drawing(view: View) -> Drawing:
    found = draw(Context(view, {}, site_of(view)))
    assert found is not None
    return found


def test_all_three_views_are_drawn_on_one_sheet(view: View) -> None:
    assert [one.key for one in drawing(view).views] == ["side", "top", "front"]


def test_side_and_plan_share_stations_and_side_and_front_share_heights(view: View) -> None:
    side, plan, front = drawing(view).views

    def x_of(one: ViewDrawn, number: str) -> float:
        path = next(z for z in one.zones if z.number == number).shapes[0].path
        return one.x + float(path[1:].split(" ")[0])

    assert x_of(side, "100") == pytest.approx(x_of(plan, "100"), abs=0.2)
    assert side.y + axis(side) == pytest.approx(front.y + 46 + (1000 - 0) * scale(side), abs=0.5)


def axis(one: ViewDrawn) -> float:
    """Height of the datum line on a side view."""
    return float(one.axis.split(" ")[1].split("H")[0])


def scale(one: ViewDrawn) -> float:
    """Pixels to the millimetre: the sample's side view is 5500 mm long."""
    return (one.width - 2 * 46) / 5500


def test_a_zone_carries_the_line_of_its_grade(view: View) -> None:
    side = drawing(view).views[0]
    lines = {zone.number: zone.line for zone in side.zones}
    wings = view.findings.zones["500"].grade
    assert lines == {"100": "", "500": wings.split(" ")[-1], "700": ""}


def test_each_zone_takes_the_focus_once(view: View) -> None:
    for views in (drawing(view).views, drawing(view).alone):
        first = [zone.number for one in views for zone in one.zones if zone.first]
        assert sorted(first) == ["100", "500", "700"]


def test_balloons_stand_clear_of_each_other(view: View) -> None:
    for one in (*drawing(view).views, *drawing(view).alone):
        rings = [(zone.balloon.x, zone.balloon.y) for zone in one.zones]
        for i, (x, y) in enumerate(rings):
            assert RING_PX <= x <= one.width - RING_PX + 0.1
            assert all(math.hypot(x - u, y - v) > 2 * RING_PX for u, v in rings[:i])


def test_without_outlines_there_is_no_drawing(tmp_path: Path) -> None:
    bare = view_of(written(tmp_path, {"zones.yaml": 'zones:\n  - {id: "500", name: Wings}\n'}))
    assert draw(Context(bare, {}, site_of(bare))) is None


@given(
    st.lists(st.floats(-500, 1500), min_size=1, max_size=12),
    st.floats(100, 1000),
    st.sampled_from([REACH_PX, ALONE_REACH_PX]),
)
def test_spread_keeps_the_order_and_the_sheet(
    wanted: list[float], width: float, reach: float
) -> None:
    places = _spread(sorted(wanted), width, reach)
    assert places == sorted(places)
    assert all(0 < place < width for place in places)


def test_areas_are_those_of_the_textbook() -> None:
    # A 3-4-5 triangle and a unit square: plane geometry, no source needed.
    assert _area([(0, 0), (4, 0), (0, 3)]) == 6
    assert _area([(0, 0), (1, 0), (1, 1), (0, 1)]) == 1


def test_the_dot_lies_inside_a_hollow_outline() -> None:
    hollow = [
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 10.0),
        (8.0, 10.0),
        (8.0, 2.0),
        (2.0, 2.0),
        (2.0, 10.0),
        (0.0, 10.0),
    ]
    x, y = _inside(hollow)
    assert (x < 2 or x > 8) or y < 2
