"""A plane of a photograph laid out at true scale: what is known of the view, without its pixels."""

from __future__ import annotations

import math
from dataclasses import dataclass

Spot = tuple[float, float]
"""A place on the sheet: millimetres to the right and down from its upper left corner."""


STEPS = (1, 2, 5, 10)


def round_step(most: float, *, up: bool = True) -> float:
    """The least of 1, 2, 5, 10, 20 … that isn't below `most`, or the greatest that isn't above.

    >>> round_step(370), round_step(740, up=False)
    (500.0, 500.0)
    """
    ten = 10.0 ** math.floor(math.log10(most))
    steps = [ten * step for step in STEPS]
    if up:
        return next(step for step in steps if step >= most * (1 - 1e-9))
    return next(step for step in reversed(steps) if step <= most * (1 + 1e-9))


@dataclass(frozen=True, slots=True)
class Reckoned:
    """How places along one side of the sheet are counted.

    `axis` is x, y or z of the aircraft, u or v on a plane that lies askew; `at_mm` is its value at
    the sheet's left or upper edge, and `ways` is +1 where it grows to the right or down, else -1.
    """

    axis: str
    at_mm: float
    ways: int

    def value(self, along_mm: float) -> float:
        """The value of a place so far along the sheet."""
        return self.at_mm + self.ways * along_mm


@dataclass(frozen=True, slots=True)
class Doubt:
    """How surely a place on the sheet is known: 95 % half-width in its worst direction (mm).

    `half95_mm` is for what stands off the plane by no more than is allowed for, `flat95_mm` for
    what lies flat in it.
    """

    at: Spot
    half95_mm: float
    flat95_mm: float


@dataclass(frozen=True, slots=True)
class Rectified:
    """A plane of a photograph at true scale: only what lies in the plane is at its true size.

    `ref` is the measurement that the plane was solved for and `photo` the photograph. The sheet is
    `width_mm` by `height_mm`, at `px_per_m` pixels a metre. `to_photo` are the nine numbers (row by
    row) of the homography from the sheet to pixels of the upright picture before its lens, `lens`
    (middle across and down, focal length, k1) bends them; where `mirrored`, pixels are counted from
    the right. `normal` and `stands_mm` tell the plane: square to that axis of the aircraft, there;
    "" where it lies askew or no point of it was surveyed. `seen_from` is +1 where the camera looked
    against that axis, -1 where along it. `across` and `down` tell how places are counted, from the
    point `origin` ("" for the aircraft's datum). It is `surveyed` where points of it
    were; else it is known by lengths on it alone, and nobody knows where on the aircraft it lies.

    `within` is the outline of the known points, `margin_mm` how far the view goes past it. `known`
    are the known points and `ends` those of what is measured. `doubts` are told for some places
    among the known points, and `everywhere` for many over all that is shown. One pixel of the
    photograph covers `finest_mm` to `coarsest_mm`. What stands off the plane by less than
    `off_plane_mm` is allowed for; 10 mm of height move a thing by up to `lean_mm`. `worked_over`
    are outlines of retouched places. `rests_on` are the REFs of all that it hangs on.
    """

    ref: str
    photo: str
    width_mm: float
    height_mm: float
    px_per_m: int
    to_photo: tuple[float, ...]
    lens: tuple[float, float, float, float]
    mirrored: bool
    normal: str
    stands_mm: float
    seen_from: int
    across: Reckoned
    down: Reckoned
    origin: str
    surveyed: bool
    within: tuple[Spot, ...]
    margin_mm: float
    known: tuple[tuple[str, Spot], ...]
    ends: tuple[tuple[str, Spot], ...]
    doubts: tuple[Doubt, ...]
    everywhere: tuple[Doubt, ...]
    finest_mm: float
    coarsest_mm: float
    off_plane_mm: float
    lean_mm: float
    worked_over: tuple[tuple[Spot, ...], ...]
    rests_on: tuple[str, ...]

    @property
    def best(self) -> Doubt:
        """Where a place is known most surely."""
        return min(self.everywhere, key=lambda one: one.half95_mm)

    @property
    def worst(self) -> Doubt:
        """Where a place is known least surely."""
        return max(self.everywhere, key=lambda one: one.half95_mm)

    @property
    def bar_mm(self) -> float:
        """A round length for a scale bar: no more than a quarter of the view's width."""
        return round_step(self.width_mm / 4, up=False)

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of the view in its pixels."""
        return (
            max(1, round(self.width_mm * self.px_per_m / 1000)),
            max(1, round(self.height_mm * self.px_per_m / 1000)),
        )
