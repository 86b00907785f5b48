"""The tests of fit: the chi-square tail, and which pick is called the worst."""

from __future__ import annotations

import numpy as np
import pytest

from archive.metrology.judge import chi2_tail, worst_pick
from archive.metrology.solve import Problem, fit


@pytest.mark.parametrize(
    ("chi2", "dof", "chance"),
    [
        (3.841, 1, 0.05),
        (5.991, 2, 0.05),
        (18.307, 10, 0.05),
        (29.588, 10, 0.001),
        (24.996, 15, 0.05),
    ],
)
def test_the_tail_of_chi_square(chi2, dof, chance):
    """Percentage points as handbooks print them (Abramowitz & Stegun, table 26.8; from memory)."""
    assert chi2_tail(chi2, dof) == pytest.approx(chance, rel=2e-3)


def test_two_degrees_of_freedom_are_an_exponential():
    for value in np.linspace(0.1, 60, 50):
        assert chi2_tail(value, 2) == pytest.approx(np.exp(-value / 2), rel=1e-12)


def test_nothing_to_spare_tells_nothing():
    assert chi2_tail(5.0, 0) == 1.0


def test_the_worst_pick_is_the_one_that_was_moved():
    places = np.linspace(0, 1, 8)
    design = np.column_stack([np.ones(8), places])

    def predict(x):
        return x @ design.T, np.broadcast_to(design, (*x.shape[:-1], 8, 2))

    values = 1 + 2 * places
    values[5] += 3.0
    problem = Problem(predict, values, np.full(8, 0.2), ("",) * 8, np.arange(8))
    found = fit(problem, np.zeros(2))
    pick, w = worst_pick(problem, found)
    assert pick == 5 and w > 3.5
    again = fit(problem.without(5), found.x)
    assert again.dof == found.dof - 1
    assert again.x == pytest.approx([1, 2], abs=1e-6)
