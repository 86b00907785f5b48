"""A person's own pick error from repeats: pooled, drawn towards what is expected, never nought."""

from __future__ import annotations

import math

import numpy as np
import pytest

from archive.metrology.picking import SAME_EYE_PX, Scatter, pooled

POINTS = [
    np.array([[10.0, 20.0], [11.0, 20.0], [12.0, 20.0]]),
    np.array([[50.0, 5.0], [50.0, 7.0]]),
    np.array([[1.0, 1.0]]),
]


def test_the_scatter_by_hand():
    """(1 + 0 + 1) + (1 + 1) over 2 (2 + 1) degrees of freedom; a single pick tells nothing."""
    found = pooled(POINTS)
    assert (found.squares, found.freedom, found.picks) == (4.0, 6, 5)
    assert found.own_px == pytest.approx(math.sqrt(4 / 6))


def test_few_repeats_hardly_move_what_is_expected():
    """(8 · 2² + 4) / (8 + 6) = 36/14."""
    assert pooled(POINTS).single_px(2.0) == pytest.approx(math.sqrt(36 / 14))
    assert Scatter().mean_px(2.0, 1) == 2.0


def test_many_repeats_outweigh_it_and_the_mean_is_never_sure():
    many = Scatter(squares=0.25 * 400, freedom=400, picks=220)
    assert many.single_px(2.0) == pytest.approx(0.57, abs=0.01)
    assert many.mean_px(2.0, 1) == pytest.approx(math.hypot(0.571, SAME_EYE_PX), abs=0.01)
    assert many.mean_px(2.0, 10_000) == pytest.approx(SAME_EYE_PX, abs=0.001)


def test_it_finds_the_error_that_picks_were_made_with():
    """Seeded: 40 points picked four times each with 1.3 px; 240 degrees of freedom give ± 9 %."""
    chance = np.random.default_rng(5)
    found = pooled(list(chance.normal(100, 1.3, (40, 4, 2))))
    assert found.freedom == 240
    assert found.own_px == pytest.approx(1.3, rel=0.15)
