"""Several figures of one quantity: what they come to together, and how well they hang together.

Errors are given by source (`outcome.Errors`), so that what two figures share is known by name. The
mean is that of least squares with their covariance (A. C. Aitken, Proc. R. Soc. Edinburgh 55:42,
1935), with no figure counted below nothing. Where the figures scatter more than their errors let
them, there are two ways out, and they are not mixed: one thing measured badly has all its errors
widened, never narrowed, by √(χ²/ν) (R. T. Birge, Phys. Rev. 40:207, 1932; the Particle Data Group's
rule leaves out of χ² what is more than 3 √n times as loose as the mean, from memory); things that
truly differ have a spread of their own (R. C. Paule and J. Mandel, J. Res. NBS 87:377, 1982),
started from R. DerSimonian and N. Laird, Controlled Clinical Trials 7:177 (1986); with few things
the error follows from the scatter itself (J. Hartung and G. Knapp, Statistics in Medicine 20:1771,
2001, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archive.metrology.chances import COVER, cover_factor
from archive.metrology.judge import chi2_tail
from archive.metrology.outcome import Errors
from archive.metrology.solve import Array

ROUNDS = 60
"""At most so many rounds of any search here; each of them settles in a few."""
LOOSE = 3.0


@dataclass(frozen=True, slots=True)
class Combination:
    """Several figures taken together, in the unit of the figures.

    `value` and `u` (standard uncertainty, widened or with the spread in it); `weights` (n) sum to
    1; `errors` are its sources by name, with which it may be set against other figures. `chi2`,
    `dof` and `chance` tell how well the figures hang together before anything was widened; `scaled`
    is the factor of widening, 1 for none; `spread` the standard deviation between things that truly
    differ, 0 for none; `freedom` the degrees of freedom of `u`, None where the errors were given.
    """

    value: float
    u: float
    weights: tuple[float, ...]
    errors: Errors
    chi2: float
    dof: int
    chance: float
    scaled: float = 1.0
    spread: float = 0.0
    freedom: int | None = None


def by_source(errors: Sequence[Errors]) -> tuple[tuple[str, ...], Array]:
    """The names of all sources (k), and what each does to each figure (n, k)."""
    names = {label: column for column, label in enumerate(_named(errors))}
    effects = np.zeros((len(errors), len(names)))
    for row, sources in enumerate(errors):
        for label, effect in sources:
            effects[row, names[label]] += effect
    return tuple(names), effects


def _named(errors: Sequence[Errors]) -> list[str]:
    return list(dict.fromkeys(label for sources in errors for label, _ in sources))


def apart(errors: Sequence[Errors]) -> Array:
    """Standard uncertainty (n, n) of the differences of figures: what they share cancels."""
    _, effects = by_source(errors)
    squares = ((effects[:, None, :] - effects[None, :, :]) ** 2).sum(-1)
    return np.asarray(np.sqrt(squares))


def combine(
    values: Sequence[float], errors: Sequence[Errors], in_proportion: frozenset[str] = frozenset()
) -> Combination:
    """The figures (n) of one thing taken together; widened by √(χ²/ν) where they scatter more.

    `in_proportion` are sources that act on the logarithm of a figure (a tape, a known length):
    where figures share one, its effect is taken at the mean and not at each figure, which else can
    pull the mean out of the data. Raises ValueError for no figures.
    """
    x, names, effects = _taken(values, errors)
    shared = _shared(names, effects, in_proportion)
    mean, weights, effects = _at_the_mean(x, effects, shared)
    u = _u(weights, effects)
    chi2, dof = _misfit(x, mean, effects), len(x) - 1
    scaled = 1.0
    if dof:
        own = np.sqrt((effects**2).sum(1))
        near = own < LOOSE * math.sqrt(len(x)) * u
        if near.sum() < 2:
            near[:] = True
        among, _, some = _at_the_mean(x[near], effects[near], shared)
        scaled = max(1.0, math.sqrt(_misfit(x[near], among, some) / (near.sum() - 1)))
    return Combination(
        value=mean,
        u=u * scaled,
        weights=tuple(float(w) for w in weights),
        errors=_errors(names, weights @ effects * scaled),
        chi2=chi2,
        dof=dof,
        chance=chi2_tail(chi2, dof),
        scaled=scaled,
    )


def combine_things(
    values: Sequence[float], errors: Sequence[Errors], label: str = "spread||"
) -> Combination:
    """The mean of several things (n ≥ 2) that may truly differ, such as the ribs of a row.

    Their spread τ is what brings χ² with V + τ² I to n − 1; found by Newton's method from the
    moments' estimate; its part of the error is called `label`. The half-width is the larger of
    1.96 u from the stated errors, and of Student's t with n − 1 degrees of freedom times the u that
    the scatter gives. Raises ValueError for no figures.
    """
    x, names, effects = _taken(values, errors)
    cover = effects @ effects.T
    plain, _, _ = _at_the_mean(x, effects, np.zeros(len(names), bool))
    chi2, dof = _misfit(x, plain, effects), len(x) - 1
    between = spread_between(x, cover)
    weights = _weights(cover + between * np.eye(len(x)))
    value = float(weights @ x)
    u = math.sqrt(float(weights @ (cover + between * np.eye(len(x))) @ weights))
    # Few pieces may hide a spread by luck: what the figures themselves tell of their mean.
    luck = 1.0 if between else math.sqrt(chi2 / dof) if dof else 0.0
    guessed = dof > 0 and cover_factor(dof) * luck > COVER
    if guessed:
        u *= luck
    found = _errors(names, weights @ effects * (luck if guessed else 1.0))
    own = math.sqrt(between * float(weights @ weights))
    return Combination(
        value=value,
        u=u,
        weights=tuple(float(w) for w in weights),
        errors=(*found, (label, own)) if own else found,
        chi2=chi2,
        dof=dof,
        chance=chi2_tail(chi2, dof),
        spread=math.sqrt(between),
        freedom=dof if guessed else None,
    )


def spread_between(values: Array, cover: Array, rounds: int = ROUNDS) -> float:
    """The variance τ² between things (n) whose errors have covariance `cover` (n, n).

    Without rounds it is the moments' estimate of DerSimonian and Laird, with them that of Paule and
    Mandel; nought where the errors explain all.
    """
    eye, one = np.eye(len(values)), np.ones(len(values))

    def residual(between: float) -> Array:
        weight = np.linalg.inv(cover + between * eye)
        leads = weight @ one
        return np.asarray(weight - np.outer(leads, leads) / leads.sum())

    first = residual(0.0)
    misfit = float(values @ first @ values)
    between = max(0.0, (misfit - (len(values) - 1)) / float(np.trace(first)))
    if between == 0:
        return 0.0
    for _ in range(rounds):
        part = residual(between)
        left = part @ values
        step = (float(values @ left) - (len(values) - 1)) / float(left @ left)
        between = max(0.0, between + step)
        if abs(step) <= 1e-12 * (between + 1e-300):
            break
    return between


def _taken(
    values: Sequence[float], errors: Sequence[Errors]
) -> tuple[Array, tuple[str, ...], Array]:
    if not len(values):
        raise ValueError("there is nothing to combine")
    names, effects = by_source(errors)
    return np.asarray(values, float), names, effects


def _shared(
    names: Sequence[str], effects: Array, in_proportion: frozenset[str]
) -> npt.NDArray[np.bool_]:
    """Which sources (k) act in proportion and on more than one figure."""
    wanted = np.array([name in in_proportion for name in names], bool)
    return np.asarray(wanted & ((effects != 0).sum(0) > 1))


def _at_the_mean(
    x: Array, effects: Array, shared: npt.NDArray[np.bool_]
) -> tuple[float, Array, Array]:
    """The mean, its weights (n), and the effects with those shared in proportion taken there."""
    now = effects
    mean = float(_weights(now @ now.T) @ x)
    safe = np.where(np.abs(x) > 1e-9, x, 1.0)[:, None]
    for _ in range(ROUNDS if shared.any() else 0):
        now = effects.copy()
        now[:, shared] = effects[:, shared] / safe * mean
        moved = float(_weights(now @ now.T) @ x)
        if abs(moved - mean) <= 1e-12 * abs(mean):
            break
        mean = moved
    weights = _weights(now @ now.T)
    return float(weights @ x), weights, now


def _weights(cover: Array) -> Array:
    """The weights (n), none below nothing, that sum to 1 and give the least variance."""
    n = len(cover)
    kept = np.arange(n)
    ridge = 1e-12 * max(float(np.trace(cover)) / n, 1e-300)
    while True:
        some = cover[np.ix_(kept, kept)] + ridge * np.eye(len(kept))
        leads = np.linalg.solve(some, np.ones(len(kept)))
        if len(kept) == 1 or leads.min() >= 0:
            break
        kept = np.delete(kept, int(np.argmin(leads)))
    weights = np.zeros(n)
    weights[kept] = leads / leads.sum()
    return weights


def _u(weights: Array, effects: Array) -> float:
    return float(np.linalg.norm(weights @ effects))


def _misfit(x: Array, mean: float, effects: Array) -> float:
    cover = effects @ effects.T
    ridge = 1e-12 * max(float(np.trace(cover)) / len(x), 1e-300)
    off = x - mean
    return float(off @ np.linalg.solve(cover + ridge * np.eye(len(x)), off))


def _errors(names: Sequence[str], effects: Array) -> Errors:
    return tuple((n, float(e)) for n, e in zip(names, effects, strict=True) if e)
