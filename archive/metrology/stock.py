"""Which of a row of stock sizes a figure most likely is, and how likely it is none of them.

By Bayes's rule: each size alike beforehand, one time in ten a size of no row, spread evenly over
the row's length. A size that was rolled or drawn is itself only as true as its maker's tolerance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

SPECIAL = 0.1
"""How often a size is made to measure and is of no row (common practice, no source)."""


def likely(value: float, u: float, sizes: Sequence[float], tolerance: float) -> tuple[float, ...]:
    """The chance of each size of a row (n, rising), then of none of them; they sum to 1.

    `u` is the standard uncertainty of the figure and `tolerance` the standard deviation of the
    stock's own make, all in one unit. The row's length for a special size is its extent and one
    mean step.

    >>> [round(p, 3) for p in likely(31.2, 0.6, [3.175 * k for k in range(3, 17)], 0.1)[-9:]]
    [0.0, 0.926, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.074]
    """
    doubt = math.hypot(u, tolerance)
    extent = sizes[-1] - sizes[0]
    step = extent / max(1, len(sizes) - 1) or max(abs(sizes[0]), doubt)
    each = (1 - SPECIAL) / len(sizes)
    logs = [-0.5 * ((value - size) / doubt) ** 2 for size in sizes]
    shares = [each * math.exp(log) / (doubt * math.sqrt(2 * math.pi)) for log in logs]
    shares.append(SPECIAL / (extent + step))
    total = math.fsum(shares)
    return tuple(share / total for share in shares)
