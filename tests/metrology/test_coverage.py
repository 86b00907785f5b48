"""Seeded samples of the coverage study: does the 95 % interval hold the truth as often as it says?

Of 200 cases a method of true 95 % coverage stays within 89.5 % and 99 % in all but one of a
thousand runs. The figures that the manual quotes come from `tests/benchmarks/coverage.py`.
"""

from __future__ import annotations

import zlib

import numpy as np
import pytest
from scenes import METHODS

from archive.metrology.outcome import NoEstimate

CASES = 200
SHORT = {
    "two photographs, 8 points",
    "two photographs, 12 points, cropped",
    "two photographs, 12 points, stretched 1.5 %",
    "three photographs, 8 points",
}
"""Slow ones that the long study covers."""


@pytest.mark.parametrize("name", [name for name in METHODS if name not in SHORT])
def test_the_interval_holds_the_truth(name):
    chance = np.random.default_rng(zlib.crc32(name.encode()) + 1)
    held, stated, off = 0, [], []
    for _ in range(CASES):
        outcome, truth = METHODS[name](chance)
        if isinstance(outcome, NoEstimate) or outcome.u > 0.15 * outcome.value:
            continue
        off.append(abs(outcome.value - truth))
        stated.append(outcome.u)
        held += off[-1] <= 1.96 * outcome.u
    assert len(off) >= 0.85 * CASES
    assert 0.895 <= held / len(off) <= 0.99
    assert np.median(stated) <= 1.3 * np.sqrt(np.mean(np.square(off)))
