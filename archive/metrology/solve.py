"""Least squares with known errors: Levenberg–Marquardt, batched, and what each observation does.

Sources: K. Levenberg, Quart. Appl. Math. 2:164 (1944); D. W. Marquardt, J. SIAM 11:431 (1963);
first-order propagation as in JCGM 100:2008, 5.1.2 and 5.2.2.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Predict = Callable[[Array], tuple[Array, Array]]
"""x (…, n) → predicted observations (…, m) and their Jacobian (…, m, n)."""

LEFT_OUT = 1e6
"""By how much the error of a blunder is widened, so that it no longer counts."""


@dataclass(frozen=True)
class Problem:
    """Observations (m,) with their standard deviations (m,), and the model that predicts them.

    `labels` name the source of each observation's error; `picks` gives, for each observation, the
    number of the pick it belongs to, or -1: the rows of one pick stand and fall together.
    """

    predict: Predict
    observed: Array
    sigma: Array
    labels: tuple[str, ...]
    picks: npt.NDArray[np.int_]

    def without(self, pick: int) -> Problem:
        """The same problem with one pick taken for a blunder."""
        return replace(self, sigma=np.where(self.picks == pick, self.sigma * LEFT_OUT, self.sigma))


@dataclass(frozen=True)
class Fit:
    """A solution: x (n,), whitened residuals (m,), whitened Jacobian (m, n), covariance (n, n)."""

    x: Array
    residuals: Array
    jacobian: Array
    covariance: Array
    chi2: float
    dof: int


def descend(
    problem: Problem, start: Array, observed: Array | None = None, most: int = 60
) -> tuple[Array, Array]:
    """Minimise Σ((predicted − observed)/σ)² from each start (…, n): the places, and the least sums.

    `observed` (…, m) replaces the problem's own, for simulated draws. Columns are scaled to unit
    length and the damping is each case's own; a case that stops getting better is left alone.
    """
    lead, n = start.shape[:-1], start.shape[-1]
    x = start.reshape(-1, n).copy()
    aim = problem.observed if observed is None else observed
    aim = np.broadcast_to(aim, (*lead, problem.sigma.size)).reshape(-1, problem.sigma.size)
    damping = np.full(len(x), 1e-3)
    cost = np.full(len(x), np.inf)
    alive = np.arange(len(x))
    residual, jacobian = _whitened(problem, x, aim)
    cost[:] = _sum_of_squares(residual)
    for _ in range(most):
        # Of a single case, or while every one goes on, nothing large is copied.
        every = alive.size == len(x)
        r, j = (residual, jacobian) if every else (residual[alive], jacobian[alive])
        lam = damping[alive]
        scale = np.sqrt(np.einsum("bmn,bmn->bn", j, j))
        scale = np.where(scale > 0, scale, 1.0)
        js = j / scale[:, None, :]
        normal = np.swapaxes(js, 1, 2) @ js
        gradient = (r[:, None, :] @ js)[:, 0]
        normal[:, np.arange(n), np.arange(n)] += lam[:, None]
        step = -_solved(normal, gradient) / scale
        trial = x[alive] + step
        r2, j2 = _whitened(problem, trial, aim[alive])
        c2 = _sum_of_squares(r2)
        better = c2 < cost[alive]
        gained = np.where(better, cost[alive], 0.0) - np.where(better, c2, 0.0)
        small = np.abs(step * scale).max(axis=1) < 1e-7
        won = alive[better]
        if every and better.all():
            x, residual, jacobian = trial, r2, j2
        else:
            x[won], residual[won], jacobian[won] = trial[better], r2[better], j2[better]
        still = (~better & (lam < 1e10) & ~small) | (
            better & (gained > 1e-12 * (1e-9 + cost[alive])) & ~small
        )
        cost[won] = c2[better]
        damping[alive] = np.where(better, np.maximum(lam / 10, 1e-12), lam * 10)
        alive = alive[still]
        if not alive.size:
            break
    return x.reshape(*lead, n), cost.reshape(lead)


def fit(problem: Problem, start: Array, most: int = 60) -> Fit | None:
    """The solution from one start (n,), or None where the observations don't pin it down."""
    x, cost = descend(problem, start[None], most=most)
    if not np.isfinite(cost[0]):
        return None
    residual, jacobian = _whitened(problem, x, problem.observed[None])
    covariance = _covariance(jacobian[0])
    if covariance is None:
        return None
    dropped = int(np.sum(problem.sigma > LEFT_OUT / 10))
    dof = problem.observed.size - x.shape[1] - dropped
    return Fit(x[0], residual[0], jacobian[0], covariance, float(cost[0]), dof)


def effects(found: Fit, gradient: Array) -> Array:
    """What one standard deviation of each observation (m,) does to a figure of gradient (n,).

    Their squares add up to gradient · covariance · gradient.
    """
    return np.asarray(found.jacobian @ (found.covariance @ gradient))


def _whitened(problem: Problem, x: Array, aim: Array) -> tuple[Array, Array]:
    with np.errstate(all="ignore"):
        predicted, jacobian = problem.predict(x)
        return (predicted - aim) / problem.sigma, jacobian / problem.sigma[:, None]


def _sum_of_squares(residual: Array) -> Array:
    with np.errstate(all="ignore"):
        total = np.einsum("...m,...m->...", residual, residual)
    return np.where(np.isfinite(total), total, np.inf)


def _solved(normal: Array, gradient: Array) -> Array:
    """The solution of each case; a case that has none stands still."""
    sound = np.logical_and(np.isfinite(normal).all(axis=(1, 2)), np.isfinite(gradient).all(axis=1))
    normal = np.where(sound[:, None, None], normal, np.eye(normal.shape[-1]))
    gradient = np.where(sound[:, None], gradient, 0.0)
    try:
        return np.asarray(np.linalg.solve(normal, gradient[..., None])[..., 0])
    except np.linalg.LinAlgError:
        return np.zeros_like(gradient)


def _covariance(jacobian: Array) -> Array | None:
    """(J'J)⁻¹ by QR of the column-scaled J (m, n); None where J has no full rank."""
    if not np.isfinite(jacobian).all():
        return None
    scale = np.sqrt(np.einsum("mn,mn->n", jacobian, jacobian))
    if not (scale > 0).all():
        return None
    triangle = np.linalg.qr(jacobian / scale, mode="r")
    if np.abs(np.diag(triangle)).min() < 1e-8:
        return None
    half = np.linalg.inv(triangle) / scale[:, None]
    return np.asarray(half @ half.T)
