"""A plane at true scale: there and back, where it ends, how finely, and whether its ± holds."""

from __future__ import annotations

import numpy as np
import pytest
import scenes
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.metrology import plane, rectify
from archive.metrology.outcome import NoEstimate

CORNERS = np.array([[0.0, 0.0], [3000, 0], [3000, 1000], [0, 1000]])
SIZE = (3000.0, 2000.0)


def seen_aslant(lean: float, bend: float = 0.0) -> rectify.Straightened:
    """The plane of CORNERS, leaning into the picture, its errors those of 1 px picks."""
    h = np.array([[0.6, 0.02, 400.0], [0.01, 0.55, 500.0], [lean, lean / 5, 1.0]])
    return rectify.Straightened(
        h, bend, np.diag([1e-6] * 2 + [1.0] + [1e-6] * 2 + [1.0] + [1e-12] * 2 + [1e-4]),
        CORNERS, CORNERS[:2], SIZE, 10.0,
    )  # fmt: skip


@settings(max_examples=100, deadline=None)
@given(
    st.floats(-1e-4, 1e-4),
    st.floats(-0.8, 0.8),
    st.floats(0, 3000),
    st.floats(0, 1000),
)
def test_there_and_back(lean: float, bend: float, across: float, down: float) -> None:
    flat = seen_aslant(lean, bend)
    there = np.array([[across, down]])
    assert flat.places(flat.pixels(there)) == pytest.approx(there, abs=0.01)


@settings(max_examples=50, deadline=None)
@given(
    st.floats(-1e-4, 1e-4), st.floats(0, 2 * np.pi), st.floats(-200, 3200), st.floats(-200, 1200)
)
def test_the_sheet_lies_true_on_the_plane(lean: float, turn: float, x: float, y: float) -> None:
    """Lengths on the sheet are lengths on the plane, and it is never mirrored."""
    flat = seen_aslant(lean)
    sheet = rectify.frame(flat, np.array([np.cos(turn), np.sin(turn)]))
    two = np.array([[x, y], [1500.0, 500.0]])
    on = sheet.on_sheet(two)
    assert np.linalg.norm(on[0] - on[1]) == pytest.approx(np.linalg.norm(two[0] - two[1]))
    assert sheet.on_plane(on) == pytest.approx(two)
    axes = np.column_stack([sheet.right, sheet.down])
    assert np.linalg.det(flat.slopes(two[1:])[0] @ axes) > 0
    straight = sheet.to_photo(flat) @ np.append(on[0], 1.0)
    assert straight[:2] / straight[2] == pytest.approx(flat.pixels(two)[0])


def test_it_goes_past_the_known_points_by_a_tenth_of_their_extent_and_no_farther() -> None:
    sheet = rectify.frame(seen_aslant(0.0), np.array([0.0, -1.0]))
    extent = float(np.hypot(3000, 1000))
    assert sheet.margin == pytest.approx(plane.REACH * extent)
    assert sheet.width == pytest.approx(3000 + 2 * sheet.margin, abs=1)
    assert sheet.height == pytest.approx(1000 + 2 * sheet.margin, abs=1)


def test_it_is_no_finer_than_the_photograph() -> None:
    square_on = rectify.frame(seen_aslant(0.0), np.array([0.0, -1.0]))
    assert square_on.px_per_m <= 1000 / square_on.finest + 1
    assert square_on.finest == pytest.approx(1 / 0.6, rel=0.01)
    assert square_on.coarsest == pytest.approx(1 / 0.55, rel=0.01)
    huge = seen_aslant(0.0)
    many = rectify.Straightened(
        huge.h * np.array([[50.0], [50.0], [1.0]]), 0.0, huge.covariance, CORNERS, CORNERS[:2],
        (150_000.0, 100_000.0), 10.0,
    )  # fmt: skip
    large = rectify.frame(many, np.array([0.0, -1.0]))
    assert large.px_per_m * large.width / 1000 <= rectify.LONGEST_PX + 1
    aslant = rectify.frame(seen_aslant(3e-4), np.array([0.0, -1.0]))
    usual = 1000 / np.sqrt(aslant.finest * aslant.coarsest)
    assert aslant.px_per_m < 1000 / aslant.finest and aslant.px_per_m < 2.5 * usual


def test_places_behind_the_horizon_are_not_shown() -> None:
    flat = seen_aslant(-3e-4)
    assert flat.before_camera(np.array([[0.0, 0.0], [3200.0, 0.0], [3400.0, 0.0]])).tolist() == [
        True,
        True,
        False,
    ]


def test_the_doubt_of_a_place_holds_ninety_five_times_in_a_hundred() -> None:
    """Made-up scenes; the limits are such that true 95 % fail less than once in a thousand runs."""
    chance = np.random.default_rng(5)
    inside, cases = 0, 0
    for _ in range(150):
        target = np.array([1500.0, 0, -500])
        camera = scenes.a_camera(chance, target, scenes.around(chance, target))
        more = np.column_stack(
            [chance.uniform(0, 3000, 2), np.zeros(2), chance.uniform(-1e3, 0, 2)]
        )
        points = np.vstack([[[0, 0, 0], [3000, 0, 0], [3000, 0, -1000], [0, 0, -1000.0]], more])
        survey = points[:, [0, 2]] + chance.normal(0, 2.5, (6, 2))
        middle = survey.mean(0)
        known = plane.Known(
            survey - middle, np.full((6, 2), 2.5), scenes.seen(camera, points, chance),
            [f"survey|s|{i}" for i in range(6)], [f"pick|p|{i}" for i in range(6)],
        )  # fmt: skip
        sought = plane.Sought(known.pixels[:2], known.pick_labels[:2], scenes.PICK_PX)
        solved = plane.solved_plane(known, sought, scenes.SIZE)
        if isinstance(solved, NoEstimate):
            continue
        flat = rectify.straightened(solved, 6, scenes.SIZE, 0.0)
        if isinstance(flat, NoEstimate):
            continue
        true = np.array([[chance.uniform(0, 3000), 0.0, chance.uniform(-1000, 0)]])
        shown = flat.places(scenes.seen(camera, true, chance, px=0.0)) + middle
        way = chance.uniform(0, np.pi)
        off = float((shown - true[:, [0, 2]])[0] @ [np.cos(way), np.sin(way)])
        spread, _ = flat.doubts(shown - middle)
        inside += abs(off) <= 1.96 * spread[0]
        cases += 1
    assert cases > 140
    # The doubt is that of the worst direction, so that any one way it holds rather oftener.
    assert inside / cases >= 0.89


def test_a_plane_of_lengths_is_told_by_its_own_points(chance: np.random.Generator) -> None:
    """Turned or moved as a whole it is the same plane: no doubt comes of that."""
    flat = seen_aslant(1e-5)
    moved = np.zeros((9, 9))
    moved[2, 2] = moved[5, 5] = 25.0  # the picture shifted by 5 px, all of it alike
    afloat = rectify.Straightened(flat.h, 0.0, moved, CORNERS, CORNERS[:2], SIZE, 0.0, afloat=True)
    tied = rectify.Straightened(flat.h, 0.0, moved, CORNERS, CORNERS[:2], SIZE, 0.0)
    middle = np.array([[1500.0, 500.0]])
    assert tied.doubts(middle)[0][0] > 5
    assert afloat.doubts(middle)[0][0] < 0.5


def test_the_hull_and_how_far_a_place_lies_outside() -> None:
    ring = rectify.hull(np.vstack([CORNERS, [[1500.0, 500], [10, 10], [3000, 500]]]))
    assert len(ring) == 4
    places = np.array([[1500.0, 500], [3100, 500], [3030, 1040], [0, 0]])
    assert rectify.outside_by(places, ring) == pytest.approx([0, 100, 50, 0])


@pytest.fixture
def chance() -> np.random.Generator:
    return np.random.default_rng(1)
