"""Draw all observations anew many times, solve each, and see how far the figure spreads.

Source: JCGM 101:2008, clause 7 (here with the observations, the known lengths and the priors drawn
about their fitted values).
"""

from __future__ import annotations

import numpy as np

from archive.metrology.outcome import Refit
from archive.metrology.solve import Array, Fit, Problem, descend

SEED = 20260521
"""Simulations are the same on every run."""


def spread(values: Array) -> Refit:
    """Standard deviation and 2.5 % and 97.5 % limits of simulated figures (k,)."""
    sound = values[np.isfinite(values)]
    low, high = np.quantile(sound, [0.025, 0.975])
    return Refit(len(sound), float(sound.std(ddof=1)), float(low), float(high))


def refit(problem: Problem, found: Fit, draws: int, scaled: float) -> Array:
    """The unknowns (draws, n) of `draws` simulated sets, each begun from the solution.

    `scaled` widens the drawn errors, as the estimate's were widened.
    """
    chance = np.random.default_rng(SEED)
    fitted = problem.predict(found.x[None])[0][0]
    sigma = np.where(problem.sigma > 1e5 * np.median(problem.sigma), 0.0, problem.sigma * scaled)
    observed = fitted + sigma * chance.standard_normal((draws, fitted.size))
    start = np.broadcast_to(found.x, (draws, found.x.size))
    parts = [
        descend(problem, start[i : i + 100], observed[i : i + 100], most=12)[0]
        for i in range(0, draws, 100)
    ]
    return np.concatenate(parts)
