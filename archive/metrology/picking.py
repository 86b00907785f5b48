"""How far off a person's picks are, from points that the same person picked again.

Scatter within points, pooled: s² = Σ |x − x̄|² / ν with ν = 2 Σ (n − 1), both directions of the
picture alike (pooled standard deviation: JCGM 100:2008, 4.2.4 and H.3.6). Few repeats tell little,
so s is drawn towards what is expected: (ν₀ s₀² + ν s²) / (ν₀ + ν), the centre of a scaled
inverse-χ² prior worth ν₀ degrees of freedom (A. Gelman et al., Bayesian Data Analysis, 2.6, from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from archive.metrology.solve import Array

WORTH = 8
"""What is expected of a pick counts as so many degrees of freedom: four repeats outweigh it."""
SAME_EYE_PX = 0.5
"""What repeats can't show, since the same eye takes the same edge each time: one standard deviation
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Scatter:
    """Scatter of repeated picks: sum of squares (px²), its degrees of freedom, how many picks."""

    squares: float = 0.0
    freedom: int = 0
    picks: int = 0

    @property
    def own_px(self) -> float:
        """The standard deviation of the repeats alone; nought without any."""
        return math.sqrt(self.squares / self.freedom) if self.freedom else 0.0

    def single_px(self, expected_px: float) -> float:
        """The standard deviation of one pick, drawn towards what is expected of one."""
        square = WORTH * expected_px**2 + self.squares
        return math.sqrt(square / (WORTH + self.freedom))

    def mean_px(self, expected_px: float, picks: int) -> float:
        """The error of the mean of so many picks of one point, one standard deviation.

        Without any repeat it is what is expected; no number of repeats brings it below SAME_EYE_PX.
        """
        if not self.freedom:
            return expected_px
        single = self.single_px(expected_px)
        return math.hypot(single / math.sqrt(picks), SAME_EYE_PX)


def pooled(points: Iterable[Array]) -> Scatter:
    """The scatter of all repeats (each (n, 2), px) of one person on one photograph.

    >>> import numpy as np
    >>> pooled([np.array([[0.0, 0.0], [2.0, 0.0]])]).own_px
    1.0
    """
    squares, freedom, picks = 0.0, 0, 0
    for repeats in points:
        if len(repeats) > 1:
            squares += float(((repeats - repeats.mean(0)) ** 2).sum())
            freedom += 2 * (len(repeats) - 1)
            picks += len(repeats)
    return Scatter(squares, freedom, picks)
