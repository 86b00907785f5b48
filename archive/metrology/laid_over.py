"""How far a point on one photograph lies from the same point on another, in space.

Both cameras are found from points known on what survives, in one network, so that an error of the
survey moves both alike and hardly counts. The two pictures of the point are two unknowns, each on
the plane that the thing is known to lie in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from archive.metrology.camera import SIZE, project
from archive.metrology.judge import Figure, chi2_tail
from archive.metrology.outcome import Estimate, NoEstimate
from archive.metrology.solve import Array
from archive.metrology.space import Scene, solve

UNLIKELY = 0.05
"""Two places differ where chance alone would put them as far apart less often than this."""


@dataclass(frozen=True)
class Shift:
    """The second point seen from the first: `along` one estimate (mm) for each direction asked for.

    `chi2` tests both directions together, against none; `at` is the pixel (2,) at which the first
    view would show the second point.
    """

    along: tuple[Estimate, ...]
    chi2: float
    at: tuple[float, float]

    @property
    def differs(self) -> bool:
        """Is it farther off than chance would have it, 19 times in 20?"""
        return chi2_tail(self.chi2, len(self.along)) < UNLIKELY


def shifts(
    scene: Scene, pairs: Sequence[tuple[str, str]], directions: Array
) -> list[Shift] | NoEstimate:
    """For each pair of named points, how far the second lies from the first.

    `directions` (k, 3) are unit vectors; the first of a pair is seen by the first view. The test of
    both directions at once is Mahalanobis's: dᵀ C⁻¹ d is chi-square with k degrees of freedom.
    """
    solved = solve(scene, tuple(name for pair in pairs for name in pair))
    if isinstance(solved, NoEstimate):
        return solved
    shown = []
    for one, other in pairs:
        a, b = solved.columns(one, other)
        along = []
        for direction in directions:
            result = solved.estimate(_along(a, b, direction))
            if isinstance(result, NoEstimate):
                return result
            along.append(result)
        x = solved.found.x
        pixel = project(x[:SIZE], x[None, b : b + 3])[0][0]
        shown.append(Shift(tuple(along), together(along), (float(pixel[0]), float(pixel[1]))))
    return shown


def _along(one: int, other: int, direction: Array) -> Figure:
    def figure(x: Array) -> tuple[Array, Array]:
        way = x[..., other : other + 3] - x[..., one : one + 3]
        gradient = np.zeros(x.shape)
        gradient[..., one : one + 3] = -direction
        gradient[..., other : other + 3] = direction
        return np.asarray(way @ direction), gradient

    return figure


def together(along: Sequence[Estimate]) -> float:
    """Chi-square of all directions at once, with what they share, against no shift at all."""
    d = np.array([each.value for each in along])
    terms = [dict(each.errors) for each in along]
    labels = list(dict.fromkeys(label for each in terms for label in each))
    effects = np.array([[each.get(label, 0.0) for label in labels] for each in terms])
    return float(d @ np.linalg.solve(effects @ effects.T, d))
