"""The camera: derivatives against differences, and taking it apart gives back what went in."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.metrology import camera as cam
from archive.metrology.starts import find_cameras, flatness, straightness

ANGLE = st.floats(-3.0, 3.0)


def a_camera():
    camera = np.zeros(cam.SIZE)
    camera[cam.LOG_F], camera[cam.STRETCH], camera[cam.K1] = np.log(4500), 0.004, 0.02
    camera[cam.CX], camera[cam.CY] = 1500, 1000
    camera[cam.TURN], camera[cam.MOVE] = [1.2, -0.8, 0.7], [300, -200, 12000]
    return camera


POINTS = np.random.default_rng(7).uniform(-1500, 1500, (12, 3))


@pytest.mark.parametrize("column", range(cam.SIZE))
def test_derivatives_by_the_camera(column):
    camera = a_camera()
    _, by_camera, _ = cam.project(camera, POINTS)
    step = 1e-5 * max(1, abs(camera[column]))
    up, down = camera.copy(), camera.copy()
    up[column] += step
    down[column] -= step
    slope = (cam.project(up, POINTS)[0] - cam.project(down, POINTS)[0]) / (2 * step)
    assert by_camera[..., column] == pytest.approx(slope, rel=1e-6, abs=1e-4)


@pytest.mark.parametrize("axis", range(3))
def test_derivatives_by_the_point(axis):
    _, _, by_point = cam.project(a_camera(), POINTS)
    step = np.eye(3)[axis] * 0.01
    up, down = cam.project(a_camera(), POINTS + step)[0], cam.project(a_camera(), POINTS - step)[0]
    assert by_point[..., axis] == pytest.approx((up - down) / 0.02, abs=1e-8)


@given(st.tuples(ANGLE, ANGLE, ANGLE))
def test_a_rotation_comes_back_from_its_vector(vector):
    turn = cam.rotation(np.array(vector))
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)
    again = cam.rotation_vector(turn)
    assert np.linalg.norm(again) <= np.pi + 1e-9
    assert cam.rotation(again) == pytest.approx(turn, abs=1e-7)


def test_half_a_turn_has_a_vector_too():
    for axis in np.eye(3):
        turn = cam.rotation(axis * np.pi)
        assert cam.rotation(cam.rotation_vector(turn)) == pytest.approx(turn, abs=1e-7)


@settings(max_examples=30)
@given(st.tuples(ANGLE, ANGLE, ANGLE))
def test_a_matrix_taken_apart_is_the_camera_that_made_it(vector):
    camera = a_camera()
    camera[cam.K1], camera[cam.TURN] = 0.0, vector
    inner, turn, stood = cam.taken_apart(-3 * cam.matrix(camera))
    assert turn == pytest.approx(cam.rotation(np.array(vector)), abs=1e-6)
    assert stood == pytest.approx(cam.centre(camera), abs=1e-3)
    assert inner[0, 0] * inner[1, 1] == pytest.approx(4500**2, rel=1e-6)


def test_a_ray_passes_through_the_point_that_it_was_picked_on():
    camera = a_camera()
    pixel = cam.project(camera, POINTS[:1])[0][0]
    toward = POINTS[0] - cam.centre(camera)
    assert cam.ray(camera, pixel) == pytest.approx(toward / np.linalg.norm(toward), abs=1e-9)


def test_a_point_behind_the_camera_is_no_number():
    camera = a_camera()
    behind = cam.centre(camera) - 5 * (POINTS[0] - cam.centre(camera))
    assert np.isnan(cam.project(camera, behind[None])[0]).all()


def test_the_camera_is_found_from_all_round():
    """From directions, turns and lenses that no start was made for; a nearly flat set too."""
    chance = np.random.default_rng(3)
    for _ in range(40):
        camera = np.zeros(cam.SIZE)
        camera[cam.LOG_F] = np.log(chance.uniform(2500, 9000))
        camera[cam.CX], camera[cam.CY] = 1500, 1000
        camera[cam.TURN] = chance.uniform(-2, 2, 3)
        camera[cam.MOVE] = [0, 0, chance.uniform(8000, 16000)]
        points = chance.uniform(-1500, 1500, (7, 3))
        points[1:6, 1] *= 0.02
        pixels = cam.project(camera, points)[0] + chance.normal(0, 0.2, (7, 2))
        found = find_cameras(points, pixels, (3000, 2000), 0.2)
        assert found[0][1] < 40
        stood = cam.centre(found[0][0])
        assert np.linalg.norm(stood - cam.centre(camera)) < 0.15 * camera[cam.MOVE][2]


def test_flat_and_straight_sets_are_known_as_such():
    flat = POINTS * [1, 1, 0]
    assert flatness(POINTS) > 0.2 > 1e-9 > flatness(flat)
    assert straightness(flat) > 0.2 > 1e-9 > straightness(flat * [1, 0, 0])
