"""Made-up figures with a known truth: shared errors, pieces that differ, tolerances, stock sizes.

Each case gives (was it right, what chance was stated), or None where nothing was said.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from archive.core.stock_sizes import stock_row
from archive.metrology.chances import COVER, chance_within, cover_factor
from archive.metrology.combine import Combination, combine, combine_things
from archive.metrology.stock import SPECIAL, likely

Told = tuple[float, float] | None
Draw = Callable[[np.random.Generator], Told]
HELD = 0.95


def together(
    chance: np.random.Generator, n: int, shared: float, hidden: float = 0.0
) -> tuple[Combination, float]:
    """n figures of one size (1 to 3 m) with errors of 4 to 25 mm, of which a share is in
    proportion and common to all (a known length), and what they come to; and the truth. `hidden`
    adds an error that nobody stated, in parts of the stated one.
    """
    truth = chance.uniform(1000, 3000)
    u = chance.uniform(4, 25, n)
    part = shared * u.min() / truth
    common = chance.standard_normal()
    own = np.sqrt(np.maximum(u**2 - (part * truth) ** 2, 1.0))
    off = own * chance.standard_normal(n) + hidden * own * chance.standard_normal(n)
    figures = truth * (1 + part * common) + off
    errors = [
        (("known|k|", part * x), (f"own|{i}|", s))
        for i, (x, s) in enumerate(zip(figures, own, strict=True))
    ]
    return combine(list(figures), errors, frozenset({"known|k|"})), truth


def _mean(n: int, shared: float, hidden: float = 0.0) -> Draw:
    def draw(chance: np.random.Generator) -> Told:
        found, truth = together(chance, n, shared, hidden)
        return float(abs(found.value - truth) <= COVER * found.u), HELD

    return draw


def _pieces(n: int, spread: float) -> Draw:
    """n pieces of a row that differ by `spread` times the error of a figure."""

    def draw(chance: np.random.Generator) -> Told:
        u = chance.uniform(0.5, 1.5, n)
        figures = 500 + spread * chance.standard_normal(n) + u * chance.standard_normal(n)
        found = combine_things(list(figures), [((f"own|{i}|", s),) for i, s in enumerate(u)])
        return float(abs(found.value - 500) <= cover_factor(found.freedom) * found.u), HELD

    return draw


def _fit(tight: float) -> Draw:
    """A part made to what three figures come to, with a tolerance of `tight` times their error."""

    def draw(chance: np.random.Generator) -> Told:
        found, truth = together(chance, 3, 0.7)
        tolerance = tight * found.u / found.scaled
        return (
            float(abs(found.value - truth) <= tolerance),
            chance_within(0.0, tolerance, found.u, found.freedom),
        )

    return draw


def _one(tight: float) -> Draw:
    """A part made to one figure, which nothing widens."""

    def draw(chance: np.random.Generator) -> Told:
        u = chance.uniform(2, 20)
        return float(abs(u * chance.standard_normal()) <= tight * u), chance_within(0, tight * u, u)

    return draw


def _stock(name: str, loose: tuple[float, float]) -> Draw:
    """A thing of a row of stock, or one time in ten of none, measured to `loose` mm (from, to)."""

    def draw(chance: np.random.Generator) -> Told:
        row = stock_row(name)
        sizes = row.sizes_mm
        special = chance.random() < SPECIAL
        which = int(chance.integers(len(sizes)))
        step = (sizes[-1] - sizes[0]) / (len(sizes) - 1)
        true = sizes[which] + row.true_mm * chance.standard_normal()
        if special:
            true = chance.uniform(sizes[0] - step / 2, sizes[-1] + step / 2)
        u = chance.uniform(*loose)
        value = true + u * chance.standard_normal()
        *chances, _ = likely(value, u, sizes, row.true_mm)
        best = int(np.argmax(chances))
        inside = sum(abs(size - value) <= COVER * u for size in sizes)
        if chances[best] < 0.9 or inside > 1:
            return None
        return float(not special and best == which), chances[best]

    return draw


MEANS: Mapping[str, Draw] = {
    "two figures, nothing shared": _mean(2, 0.0),
    "four figures, nothing shared": _mean(4, 0.0),
    "two figures that share a known length": _mean(2, 0.8),
    "four figures that share a known length": _mean(4, 0.8),
    "eight figures that share a known length": _mean(8, 0.8),
    "three pieces of a row that differ as much as the error": _pieces(3, 1.0),
    "three pieces that differ four times as much": _pieces(3, 4.0),
    "six pieces that differ twice as much": _pieces(6, 2.0),
    "three pieces that do not differ": _pieces(3, 0.0),
    "four figures with a hidden error as large as the stated one": _mean(4, 0.0, 1.0),
}
FITS: Mapping[str, Draw] = {
    "a fit of one figure, tolerance 1 u": _one(1.0),
    "a fit of one figure, tolerance 1.6 u": _one(1.6),
    "a fit, tolerance 0.7 u": _fit(0.7),
    "a fit, tolerance 1.3 u": _fit(1.3),
    "a fit, tolerance 2 u": _fit(2.0),
}
STOCKS: Mapping[str, Draw] = {
    "stock named: inch tube": _stock("tube-in", (0.05, 0.6)),
    "stock named: SWG": _stock("gauge-swg", (0.01, 0.06)),
    "stock named: B&S": _stock("gauge-bs", (0.01, 0.06)),
    "stock named: rivet pitch": _stock("rivet-pitch-in", (0.05, 0.8)),
    "stock named: sixteenths": _stock("sixteenths-in", (0.02, 0.3)),
}
