"""Rows of stock sizes of the period: tube, sheet and wire by gauge, rivet pitch, plain fractions.

A claim names the row that its maker would have bought or set out from (`stock:`); nothing in this
program guesses one. Sources: the gauges as in `core.gauges`; the rest as said beside each row.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from archive.core.gauges import SYSTEMS, shown_number, thickness_in
from archive.core.rounding import MM_PER_IN, show_mm

SHEET_MM = 0.03
TUBE_MM = 0.1
SET_OUT_MM = 0.25
"""How true stock is to its size, one standard deviation: rolled sheet and wire, drawn tube, and
what was marked out with rule and dividers (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StockRow:
    """A row of stock sizes: its name, its sizes in mm (n, rising) with what each is called, and
    how true they are, one standard deviation in mm.
    """

    title: str
    sizes_mm: tuple[float, ...]
    names: tuple[str, ...]
    true_mm: float


GAUGES = {"gauge-bs": "B&S", "gauge-bwg": "BWG", "gauge-uss": "USS", "gauge-swg": "SWG"}
GAUGE_NUMBERS = range(0, 31)
"""Sheet, tube walls and wire from 8 mm down to a third of a millimetre."""

# Inches in parts: (title, how many parts to the inch, first and last part, how true).
_INCHES: Mapping[str, tuple[str, int, range, float]] = MappingProxyType(
    {
        # Round tube: by sixteenths below half an inch, then by eighths (the usual series, from
        # memory; MIL-T-6736 refers to AND10102, which was not seen).
        "tube-in": (
            "inch tube, outside",
            16,
            range(0),
            TUBE_MM,
        ),
        "rivet-pitch-in": ("rivet pitch by eighths", 8, range(3, 33), SET_OUT_MM),
        "eighths-in": ("eighths of an inch", 8, range(1, 8 * 240 + 1), SET_OUT_MM),
        "sixteenths-in": ("sixteenths of an inch", 16, range(1, 16 * 96 + 1), SET_OUT_MM),
        "thirty-seconds-in": ("thirty-seconds of an inch", 32, range(1, 32 * 24 + 1), TUBE_MM),
    }
)
_TUBE_PARTS = (*range(4, 8), *range(8, 34, 2))
# Metric tube as drawn in Europe between the wars, and whole millimetres (common practice, no
# source); preferred sizes: the rounded series R″20 (ISO 497, from memory).
_METRIC_TUBE = (
    *(6, 8, 10, 12, 14, 15, 16, 18, 20, 22, 24, 25, 26, 28, 30, 32, 35, 38, 40, 42, 45),
    *(48, 50, 55, 60),
)
_PREFERRED = (10, 11, 12, 14, 16, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 55, 60, 70, 80, 90)
_MILLIMETRES: Mapping[str, tuple[str, tuple[float, ...], float]] = MappingProxyType(
    {
        "tube-mm": ("metric tube, outside", tuple(map(float, _METRIC_TUBE)), TUBE_MM),
        "whole-mm": ("whole millimetres", tuple(map(float, range(1, 2001))), SET_OUT_MM),
        "preferred-mm": (
            "preferred metric sizes",
            tuple(p * power for power in (0.1, 1.0, 10.0) for p in _PREFERRED),
            TUBE_MM,
        ),
    }
)

STOCK = (*_INCHES, *GAUGES, *_MILLIMETRES)
"""The names of all rows, as a claim gives them in `stock:`."""


@cache
def stock_row(name: str) -> StockRow:
    """A row by one of the names in STOCK; raises KeyError for another."""
    if name in GAUGES:
        return _by_gauge(GAUGES[name])
    if name in _MILLIMETRES:
        title, sizes, true_mm = _MILLIMETRES[name]
        return StockRow(title, sizes, tuple(f"{size:g} mm" for size in sizes), true_mm)
    title, parts, numbers, true_mm = _INCHES[name]
    found = [part * MM_PER_IN / parts for part in numbers or _TUBE_PARTS]
    return StockRow(title, tuple(found), tuple(show_mm(s, None, "in") for s in found), true_mm)


def _by_gauge(system: str) -> StockRow:
    numbers = sorted(GAUGE_NUMBERS, reverse=True)
    return StockRow(
        f"sheet, tube wall and wire by {system}",
        tuple(thickness_in(system, number) * MM_PER_IN for number in numbers),
        tuple(f"No. {shown_number(number)} {system}" for number in numbers),
        SHEET_MM,
    )


assert set(GAUGES.values()) == set(SYSTEMS)
