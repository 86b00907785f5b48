"""Do the observations fit together: chi-square, the worst pick, and what is made of it.

Sources: chi-square tail by the incomplete gamma function (series and continued fraction, Abramowitz
& Stegun 6.5.29, 6.5.31); single blunders by W. Baarda, A testing procedure for use in geodetic
networks (1968); errors widened by √(χ²/ν) as in R. T. Birge, Phys. Rev. 40:207 (1932), and by
Student's t with ν degrees of freedom over the normal's, since that factor is itself told by ν
residuals alone (JCGM 100:2008, G.3).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from archive.metrology.chances import COVER, cover_factor
from archive.metrology.outcome import Checked, Estimate, NoEstimate, Spot
from archive.metrology.simulate import refit, spread
from archive.metrology.solve import LEFT_OUT, Array, Fit, Problem, effects, fit

Figure = Callable[[Array], tuple[Array, Array]]
"""Unknowns (…, n) → the figure (…) that is asked for, and its gradient (…, n)."""

UNFINISHED = 1e-3
"""A search that could still lower the sum of squares by more than this part has found nothing."""
WIDEN_BELOW = 0.05
REFUSE_ABOVE = 6.0
REFUSE_BELOW = 1e-3
BLUNDER = 3.5
MOST_BLUNDERS = 3
ENOUGH_PICKS = 7
LEAST_REDUNDANCY = 0.02
"""Widen the errors below this chance; refuse above this χ²/ν (and below this chance); a pick whose
residual is this many of its own errors is a blunder; drop so many at most, and none among fewer
picks than these that check each other, where the wrong one would be dropped too often; a pick of
which less than this part is checked by the others isn't."""


def chi2_tail(chi2: float, dof: int) -> float:
    """The chance of a chi-square at least this large with `dof` degrees of freedom; 1 for dof 0.

    >>> round(chi2_tail(4.643, 3), 4)
    0.1999
    """
    if dof <= 0 or chi2 <= 0:
        return 1.0
    a, x = dof / 2, chi2 / 2
    front = math.exp(-x + a * math.log(x) - math.lgamma(a))
    if x < a + 1:
        term = total = 1 / a
        k = a
        while abs(term) > 1e-16 * abs(total):
            k += 1
            term *= x / k
            total += term
        return max(0.0, 1 - front * total)
    b = x + 1 - a
    c, d = 1e300, 1 / b
    value = d
    for i in range(1, 500):
        an = -i * (i - a)
        b += 2
        d = 1 / (an * d + b)
        c = b + an / c
        value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * value


def worst_pick(problem: Problem, found: Fit) -> tuple[int, float]:
    """The pick whose residual is largest in its own errors: (pick, w); (-1, 0) where none can tell.

    A row with hardly any redundancy tells nothing and is passed over.
    """
    rows, redundancy = _telling(problem, found)
    if not rows.any():
        return -1, 0.0
    w = np.where(rows, np.abs(found.residuals) / np.sqrt(np.maximum(redundancy, 1e-12)), 0.0)
    row = int(np.argmax(w))
    return int(problem.picks[row]), float(w[row])


def _telling(problem: Problem, found: Fit) -> tuple[npt.NDArray[np.bool_], Array]:
    """Which rows are of picks that the others check, and the redundancy of every row, both (m,)."""
    leverage = np.einsum("mn,nk,mk->m", found.jacobian, found.covariance, found.jacobian)
    redundancy = 1 - leverage
    return (problem.picks >= 0) & (redundancy > LEAST_REDUNDANCY), redundancy


def settle(
    problem: Problem, start: Array, names: Sequence[str]
) -> tuple[Problem, Fit, tuple[str, ...]] | NoEstimate:
    """Fit, and leave out blunders one at a time, largest first; `names` are those of the picks."""
    found = fit(problem, start)
    if found is None:
        return NoEstimate(
            "The known points and the picks do not pin this down.",
            "Pick known points that are spread wider, and not all on one line.",
        )
    left: list[str] = []
    kept = len(set(problem.picks[_telling(problem, found)[0]].tolist()))
    while len(left) < MOST_BLUNDERS and kept >= ENOUGH_PICKS and found.dof > 1:
        pick, w = worst_pick(problem, found)
        if w <= BLUNDER or chi2_tail(found.chi2, found.dof) >= WIDEN_BELOW:
            break
        without = problem.without(pick)
        again = fit(without, found.x)
        # Against what the others scatter: where all are rough, the worst of them is no blunder.
        if again is None or w <= BLUNDER * math.sqrt(max(1.0, again.chi2 / max(again.dof, 1))):
            break
        problem = without
        left.append(names[pick])
        kept -= 1
        found = again
    return problem, found, tuple(left)


def estimate(
    problem: Problem, found: Fit, left: tuple[str, ...], names: Sequence[str], figure: Figure,
    draws: int = 0,
) -> Estimate | NoEstimate:  # fmt: skip
    """A figure with its errors, widened where the observations fit badly, refused where they don't.

    With `draws` the observations are simulated so many times as well.
    """
    ratio = found.chi2 / found.dof if found.dof > 0 else 0.0
    chance = chi2_tail(found.chi2, found.dof)
    pick, w = worst_pick(problem, found)
    worst = f"“{names[pick]}”" if pick >= 0 else "one of them"
    if ratio > REFUSE_ABOVE and chance < REFUSE_BELOW:
        return NoEstimate(
            f"The picks do not fit together (chi-square {ratio:.1f} times what it should be); "
            f"the worst is {worst}.",
            "Look for swapped names, a pick on the wrong corner, or a known point that has moved.",
            checked(problem, found),
        )
    slope = found.jacobian.T @ found.residuals
    if slope @ found.covariance @ slope > UNFINISHED * (1 + found.chi2):
        return NoEstimate(
            "No solution settles among these picks.",
            "Look for swapped names, or pick known points that are spread wider.",
        )
    badly = chance < WIDEN_BELOW and ratio > 1
    scaled = math.sqrt(ratio) * cover_factor(found.dof) / COVER if badly else 1.0
    value, gradient = figure(found.x)
    errors = tuple(
        (label, float(effect) * scaled)
        for label, effect in zip(problem.labels, effects(found, gradient), strict=True)
        if abs(effect) > 1e-9
    )
    notes = []
    if found.dof <= 0:
        notes.append("There are no more picks than needed, so a bad one among them can't be told.")
    if left:
        notes.append(f"Left out as a blunder: {', '.join(left)}.")
    if scaled > 1:
        notes.append(f"The picks fit badly, so the error was widened {scaled:.2f} times.")
        if w > BLUNDER:
            notes.append(f"Look again at {worst}.")
    simulated = spread(figure(refit(problem, found, draws, scaled))[0]) if draws else None
    return Estimate(
        float(value), errors, found.chi2, found.dof, scaled, left, tuple(notes), simulated,
        fitted(problem, found), checked=checked(problem, found),
    )  # fmt: skip


def fitted(problem: Problem, found: Fit) -> tuple[tuple[str, Spot, Spot], ...]:
    """The label of each pick in pixels, where it was made, and where the solution sees it."""
    seen = problem.observed + found.residuals * problem.sigma
    rows = [
        row
        for row, label in enumerate(problem.labels)
        if problem.picks[row] >= 0 and label.endswith(":u")
    ]

    def spot(values: Array, row: int) -> Spot:
        return float(values[row]), float(values[row + 1])

    return tuple(
        (problem.labels[row].removesuffix(":u"), spot(problem.observed, row), spot(seen, row))
        for row in rows
    )


def checked(problem: Problem, found: Fit) -> tuple[Checked, ...]:
    """How each pick of a known point lies to all other observations, where these check it.

    What is left of a pick over its redundancy is how far the others, its own survey among them, put
    it from there. A pick that was left out as a blunder is judged by its error as it was given.
    """
    telling, redundancy = _telling(problem, found)
    columns: dict[str, list[int]] = {}
    for row, label in enumerate(problem.labels):
        if label.startswith("survey|"):
            name = label.rpartition("|")[2].rpartition(":")[0]
            columns.setdefault(name, []).append(int(np.argmax(np.abs(found.jacobian[row]))))
    given = np.where(problem.sigma > LEFT_OUT / 10, problem.sigma / LEFT_OUT, problem.sigma)
    rows = []
    for row, label in enumerate(problem.labels):
        name = label.rpartition("|")[2].removesuffix(":u")
        if not label.endswith(":u") or name not in columns or not telling[row : row + 2].all():
            continue
        both = slice(row, row + 2)
        left_px = found.residuals[both] * problem.sigma[both]
        gap_px = float(np.linalg.norm(left_px / redundancy[both]))
        by_place = found.jacobian[both][:, columns[name]] * problem.sigma[both, None]
        scale = float(np.linalg.svd(by_place, compute_uv=False)[0])
        off = float(np.sum((left_px / given[both]) ** 2 / redundancy[both]))
        rows.append(Checked(label.removesuffix(":u"), gap_px, gap_px / max(scale, 1e-12), off))
    return tuple(rows)
