"""Do figures of one quantity truly differ?

Two figures differ by Eₙ times the 95 % half-width of their difference (ISO 13528:2022, 9.7, with
1.96 u for the expanded uncertainty). Among many pairs some stand out by chance, so each is asked
for less: the chance of 5 % is shared among them (Z. Šidák, J. Am. Stat. Assoc. 62:626, 1967).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from archive.metrology.chances import COVER
from archive.metrology.combine import apart
from archive.metrology.outcome import Errors

MOST_SCATTER = 1.96
"""Above so many times the scatter that the errors allow, figures disagree: for two figures that is
the same as Eₙ above 1."""
_NORMAL = NormalDist()


def en_scores(
    values: Sequence[float], errors: Sequence[Errors]
) -> tuple[tuple[int, int, float], ...]:
    """(one, other, Eₙ) of every pair of figures, the worst first; errors are by source."""
    doubt = apart(errors)
    found = []
    for one in range(len(values)):
        for other in range(one + 1, len(values)):
            off, half = abs(values[one] - values[other]), COVER * float(doubt[one, other])
            found.append((one, other, off / half if half else (math.inf if off else 0.0)))
    return tuple(sorted(found, key=lambda pair: (-pair[2], pair[:2])))


def en_limit(pairs: int) -> float:
    """The Eₙ that the worst of so many pairs passes by chance once in twenty; 1 for one pair.

    >>> en_limit(1), round(en_limit(6), 3)
    (1.0, 1.342)
    """
    if pairs <= 1:
        return 1.0
    each = 1 - 0.95 ** (1 / pairs)
    return _NORMAL.inv_cdf(1 - each / 2) / _NORMAL.inv_cdf(0.975)
