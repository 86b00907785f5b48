"""The shapes of what several figures of one size come to: on the axis, together, as stock."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.findings import Finding

FIGURES = ("one figure", "agree", "scatter", "pieces differ", "disagree")
"""How the figures of one claim stand to each other: `Together.verdict` is one of these."""


@dataclass(frozen=True, slots=True)
class Together:
    """What the figures of one claim come to together, in millimetres.

    `verdict` is one of FIGURES; where they disagree there is no value. `counted` gives the place in
    the claim's evidence of each figure taken in, with its weight; the weights sum to 1. `freedom`
    are the degrees of freedom of `u_mm`, None where all errors were given. `chi2`, `dof` and
    `chance` tell how well the figures counted hang together; `scaled` how many times the error was
    widened; `spread_mm` how far pieces of a row truly differ (one standard deviation). `pairs` are
    (one, other, Eₙ) by place in the evidence, the worst first. `errors` are its sources by name.
    """

    verdict: str
    counted: tuple[tuple[int, float], ...]
    value_mm: float | None
    u_mm: float | None
    half95_mm: float | None
    freedom: int | None
    chi2: float
    dof: int
    chance: float
    scaled: float
    spread_mm: float
    pairs: tuple[tuple[int, int, float], ...]
    errors: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class FigureTaken:
    """One line on the axis of a claim's figures.

    `index` is its place in the claim's evidence, `ref` the record, `measured` the measurement, ""
    where a person wrote the figure; `kind` is metal, photograph or paper. The value is None where
    there is no figure, and `why` says why that is, or why a figure is not counted in; `share` is
    its weight, 0 where it isn't counted.
    """

    index: int
    ref: str
    measured: str
    kind: str
    value_mm: float | None
    half95_mm: float | None
    share: float
    why: str


@dataclass(frozen=True, slots=True)
class StockSize:
    """A size of a row of stock sizes, in mm, and the chance that the thing is of it."""

    name: str
    size_mm: float
    chance: float


@dataclass(frozen=True, slots=True)
class Stock:
    """The stock sizes that a figure may be of, the likeliest first.

    `row` is what the row is called; `none` the chance that it is of none; `said` the name of the
    one that may be told, "" where none may; `says` a sentence on it. `near` are all sizes of the
    row round about, in mm, for the axis.
    """

    row: str
    sizes: tuple[StockSize, ...]
    none: float
    said: str
    says: str
    near: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Estimated:
    """All that is concluded from the figures of one claim of size or position.

    `lines` are its figures in file order, with those that give none. `stock` is there where the
    claim names a row of stock sizes. `made_to_mm` is the figure that a person chose, None where
    nobody did; `outside` tells that it lies outside the 95 % interval. `fits` is the chance that a
    part made to that figure, else to the value, is within the claim's tolerance of the true size;
    None without a tolerance or a value. `finding` has the verdict and the numbered reasons.
    """

    ref: str
    lines: tuple[FigureTaken, ...]
    together: Together | None
    stock: Stock | None
    tolerance_mm: float | None
    made_to_mm: float | None
    outside: bool
    fits: float | None
    finding: Finding

    def as_json(self) -> dict[str, object]:
        """The estimate as plain values, for `--json`."""
        found, stock = self.together, self.stock
        return {
            "ref": self.ref,
            "value_mm": found.value_mm if found else None,
            "u_mm": found.u_mm if found else None,
            "half95_mm": found.half95_mm if found else None,
            "freedom": found.freedom if found else None,
            "chi2": found.chi2 if found else None,
            "dof": found.dof if found else None,
            "chance": found.chance if found else None,
            "scaled": found.scaled if found else None,
            "spread_mm": found.spread_mm if found else None,
            "figures": [
                {
                    "ref": line.ref,
                    "measured": line.measured,
                    "kind": line.kind,
                    "value_mm": line.value_mm,
                    "half95_mm": line.half95_mm,
                    "share": line.share,
                    "why": line.why,
                }
                for line in self.lines
            ],
            "stock": None
            if stock is None
            else {
                "row": stock.row,
                "said": stock.said,
                "none": stock.none,
                "sizes": [
                    {"name": one.name, "size_mm": one.size_mm, "chance": one.chance}
                    for one in stock.sizes
                ],
            },
            "tolerance_mm": self.tolerance_mm,
            "made_to_mm": self.made_to_mm,
            "outside": self.outside,
            "fits": self.fits,
            **self.finding.as_json(),
        }
