"""Seeded samples of what figures come to: the 95 % interval, the chance of a fit, stock sizes.

The limits are those that a method which is right as often as it says fails less than once in a
thousand runs (4 standard errors of the sample, and a point for each side that errs on purpose).
"""

from __future__ import annotations

import math
import zlib

import numpy as np
import pytest
from figures_made_up import FITS, MEANS, STOCKS

CASES = 400


def sample(draw, name):
    chance = np.random.default_rng(zlib.crc32(name.encode()))
    told = [outcome for _ in range(CASES) if (outcome := draw(chance)) is not None]
    right, said = (math.fsum(pair[i] for pair in told) / len(told) for i in (0, 1))
    return right, said, len(told)


@pytest.mark.parametrize("name", [name for name in MEANS if "hidden" not in name])
def test_the_interval_holds_as_often_as_it_says(name):
    right, _, _ = sample(MEANS[name], name)
    assert 0.91 <= right <= 0.995


@pytest.mark.parametrize("name", FITS)
def test_a_fit_is_as_likely_as_it_says(name):
    right, said, n = sample(FITS[name], name)
    assert abs(right - said) <= 4 * math.sqrt(said * (1 - said) / n) + 0.05 * ("one" not in name)


@pytest.mark.parametrize("name", STOCKS)
def test_a_stock_size_that_is_named_is_right(name):
    right, said, n = sample(STOCKS[name], name)
    assert n > 100
    assert right >= 0.9 - 4 * math.sqrt(0.09 / n)
    assert abs(right - said) <= 4 * math.sqrt(said * (1 - said) / n)
