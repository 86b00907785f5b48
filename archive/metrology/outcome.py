"""What a method hands back: a figure with every source of its error, or why there is none."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

Errors = tuple[tuple[str, float], ...]
"""(label, signed effect on the figure of one standard deviation of that source), each once."""


Spot = tuple[float, float]
"""A pixel: across and down."""


@dataclass(frozen=True, slots=True)
class Refit:
    """What drawing the observations anew gave: standard deviation and 95 % limits of the figure."""

    draws: int
    u: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Checked:
    """A pick of a known point against all the other observations.

    `gap_px` is how far it lies from where these put it, `gap` the same in the unit of the known
    places, at the least; `chi2` is the square of that in its own errors, over both directions.
    """

    label: str
    gap_px: float
    gap: float
    chi2: float


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure, and what its error is made of.

    `errors` are independent sources: u² is the sum of their squares, and the covariance of two
    figures is the sum of products over the labels that they share (JCGM 100:2008, F.1.2.3).
    `chi2` and `dof` say how well the observations fit; `scaled` is the factor by which the errors
    were widened because they didn't. `left_out` are labels of picks taken for blunders. `notes` are
    sentences on how the figure came about. `refit` is there where simulation was asked for.
    `fitted` is, for each pick, its label, where it was made and where the solution sees it (px);
    `structure` is where the solution sees known points: label of the picture, name, pixel.
    `checked` is how each pick of a known point that the others check lies to them.
    """

    value: float
    errors: Errors
    chi2: float = 0.0
    dof: int = 0
    scaled: float = 1.0
    left_out: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    refit: Refit | None = None
    fitted: tuple[tuple[str, Spot, Spot], ...] = ()
    structure: tuple[tuple[str, str, Spot], ...] = ()
    checked: tuple[Checked, ...] = ()

    @property
    def u(self) -> float:
        """Standard uncertainty, in the unit of the figure."""
        return math.sqrt(sum(effect * effect for _, effect in self.errors))

    def with_errors(self, *more: tuple[str, float]) -> Estimate:
        """The same figure with further independent sources of error."""
        kept = tuple(pair for pair in more if pair[1])
        return replace(self, errors=self.errors + kept) if kept else self

    def widened(self, factor: float, note: str) -> Estimate:
        """The same figure with every error made larger by a factor, and a sentence on why."""
        errors = tuple((label, effect * factor) for label, effect in self.errors)
        return replace(self, errors=errors).with_notes(note)

    def with_notes(self, *more: str) -> Estimate:
        """The same figure with further sentences; empty ones are dropped."""
        return replace(self, notes=self.notes + tuple(filter(None, more)))


@dataclass(frozen=True, slots=True)
class NoEstimate:
    """Why there is no figure, in a sentence, and the way out of it."""

    reason: str
    way_out: str
    checked: tuple[Checked, ...] = ()


Outcome = Estimate | NoEstimate
