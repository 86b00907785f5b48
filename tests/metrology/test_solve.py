"""The solver: it finds the minimum from far off, in batches, and carries errors on exactly."""

from __future__ import annotations

import numpy as np
import pytest

from archive.metrology.simulate import refit, spread
from archive.metrology.solve import Problem, descend, effects, fit


def straight_line(places, values, sigma=0.5):
    """y = a + b p, observed with a standard deviation."""
    design = np.column_stack([np.ones_like(places), places])

    def predict(x):
        return x @ design.T, np.broadcast_to(design, (*x.shape[:-1], *design.shape))

    labels = tuple(f"v|{i}|" for i in range(len(places)))
    sigmas = np.full(len(places), sigma)
    return Problem(predict, values, sigmas, labels, np.arange(len(places)))


PLACES = np.array([0.0, 1.0, 2.0, 5.0])


def test_a_line_is_found_with_its_covariance():
    found = fit(straight_line(PLACES, 3 + 2 * PLACES), np.zeros(2))
    assert found.x == pytest.approx([3, 2])
    design = np.column_stack([np.ones(4), PLACES]) / 0.5
    assert found.covariance == pytest.approx(np.linalg.inv(design.T @ design))
    assert found.dof == 2
    assert found.chi2 == pytest.approx(0, abs=1e-12)


def test_effects_add_up_to_the_variance():
    found = fit(straight_line(PLACES, 3 + 2 * PLACES), np.zeros(2))
    gradient = np.array([1.0, 10.0])
    parts = effects(found, gradient)
    assert parts @ parts == pytest.approx(gradient @ found.covariance @ gradient)


def test_an_effect_is_what_moving_one_observation_does():
    moved = 3 + 2 * PLACES
    before = fit(straight_line(PLACES, moved.copy()), np.zeros(2))
    moved[3] += 0.5
    after = fit(straight_line(PLACES, moved), np.zeros(2))
    assert after.x[1] - before.x[1] == pytest.approx(effects(before, np.array([0, 1.0]))[3])


def test_what_is_not_pinned_down_has_no_solution():
    assert fit(straight_line(np.array([1.0, 1.0, 1.0]), np.ones(3)), np.zeros(2)) is None


def test_cases_of_a_batch_do_not_disturb_each_other():
    def valley(x):
        a, b = x[..., 0], x[..., 1]
        jacobian = np.zeros((*x.shape[:-1], 2, 2))
        jacobian[..., 0, 0], jacobian[..., 0, 1], jacobian[..., 1, 0] = -20 * a, 10, -1
        return np.stack([10 * (b - a * a), 1 - a], -1), jacobian

    problem = Problem(valley, np.zeros(2), np.ones(2), ("", ""), np.array([0, 1]))
    starts = np.array([[-1.2, 1.0], [5.0, -3.0], [1.0, 1.0]])
    x, cost = descend(problem, starts, most=200)
    assert x == pytest.approx(np.ones((3, 2)), abs=1e-5)
    alone = descend(problem, starts[:1], most=200)[0]
    assert x[0] == pytest.approx(alone[0], abs=1e-9)
    assert (cost < 1e-9).all()


def test_simulated_draws_spread_as_first_order_says():
    problem = straight_line(PLACES, 3 + 2 * PLACES)
    found = fit(problem, np.zeros(2))
    drawn = refit(problem, found, 4000, 1.0)
    told = spread(drawn[:, 1])
    assert told.u == pytest.approx(np.sqrt(found.covariance[1, 1]), rel=0.05)
    assert told.low < 2 < told.high


def test_simulation_is_the_same_every_time():
    problem = straight_line(PLACES, 3 + 2 * PLACES)
    found = fit(problem, np.zeros(2))
    assert np.array_equal(refit(problem, found, 50, 1.0), refit(problem, found, 50, 1.0))
