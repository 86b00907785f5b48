"""The demo's plane at true scale against the model that its photograph was rendered from."""

from __future__ import annotations

import itertools
import json
import math
from pathlib import Path

import numpy as np
import pytest

from archive.pipeline import rectified, weigh

HERE = Path(__file__).parent
TRUTH = json.loads((HERE / "demo" / "truth.json").read_text("utf-8"))
FILE = TRUTH["files"]["slipway-1932.jpg"]["points"]
SPACE = TRUTH["points"]["survey-1932"]
KNOWN = ("frame-1", "frame-2", "frame-4")


@pytest.fixture(scope="module")
def weighed(demo_cache):
    return weigh(HERE.parent / "content", demo_cache)


@pytest.fixture(scope="module")
def planes(weighed):
    return rectified(weighed)


def on_sheet(plane, pixel):
    """Where a pixel of the photograph lies on the sheet, mm; the lens hardly bends this one."""
    back = np.linalg.inv(np.array(plane.to_photo).reshape(3, 3)) @ [*pixel, 1.0]
    assert abs(plane.lens[3]) < 1e-3
    return back[:2] / back[2]


def half_at(plane, at):
    return min(plane.everywhere, key=lambda one: math.dist(one.at, at))


def test_only_a_plane_that_holds_is_laid_out(planes):
    """The belly's plane is refused, for the hatch reaches past the frame where the belly turns."""
    assert list(planes) == ["measurements/stripe-slipway"]


def test_it_is_counted_as_the_aircraft_is(planes):
    plane = planes["measurements/stripe-slipway"]
    assert (plane.normal, plane.across.axis, plane.down.axis) == ("y", "x", "z")
    assert (plane.across.ways, plane.down.ways, plane.seen_from) == (1, -1, -1)
    assert plane.stands_mm == pytest.approx(-455, abs=10)
    assert not plane.mirrored and plane.origin == ""


def test_points_that_were_never_given_lie_where_the_model_has_them(planes):
    """True pixels against true places: frame 3 and the stripe had no part in the solution."""
    plane = planes["measurements/stripe-slipway"]
    names = [
        name
        for name in FILE
        if name in SPACE
        and "port" in name
        and name.startswith(("frame-3", "stripe-port-front", *KNOWN))
    ]
    assert len(names) >= 8
    at = {name: on_sheet(plane, FILE[name]) for name in names}
    for name, spot in at.items():
        off = math.dist(
            (plane.across.value(spot[0]), plane.down.value(spot[1])),
            (SPACE[name][0], SPACE[name][2]),
        )
        assert off <= half_at(plane, spot).half95_mm, name
    for one, other in itertools.combinations(names, 2):
        true = math.dist(SPACE[one], SPACE[other])
        both = (half_at(plane, at[one]).half95_mm, half_at(plane, at[other]).half95_mm)
        assert abs(math.dist(at[one], at[other]) - true) <= math.hypot(*both), (one, other)


def test_it_ends_before_the_side_bends(planes):
    """Aft of frame 4 the fuselage tapers: frame 5, were it shown, would stand well out of place."""
    plane = planes["measurements/stripe-slipway"]
    spot = on_sheet(plane, FILE["frame-5-lower-port"])
    off = math.dist(
        (plane.across.value(spot[0]), plane.down.value(spot[1])),
        (SPACE["frame-5-lower-port"][0], SPACE["frame-5-lower-port"][2]),
    )
    assert off > 2 * plane.worst.half95_mm and spot[0] > plane.width_mm


def test_the_measured_length_is_the_measurements(planes, weighed):
    plane = planes["measurements/stripe-slipway"]
    found = weighed.findings.measurements[plane.ref]
    (_, one), (_, other) = plane.ends
    assert math.dist(one, other) == pytest.approx(found.value_mm, abs=0.05)
