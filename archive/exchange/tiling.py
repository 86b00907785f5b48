"""How a view at true scale is cut into sheets of paper that overlap, so that they join again."""

from __future__ import annotations

import math
from dataclasses import dataclass

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height of a sheet held upright, mm: ISO 216, and ANSI/ASME Y14.1 size A."""

EDGE_MM, HEAD_MM, FOOT_MM = 10.0, 9.0, 20.0
"""What is kept free all round for printers that can't reach the edge, and the strips that a sheet's
name stands in above, and its check line below."""
SIDE_MM = 6.0
"""The strip at the left for the upright check line."""
OVERLAP_MM = 10.0
ROUND_MM = 10.0
"""Windows are made a whole number of these wide and high."""
MOST_SHEETS = 300
"""More than this nobody joins by hand."""


@dataclass(frozen=True, slots=True)
class Box:
    """A part of a view: its left and upper edge, width and height, in mm of the view."""

    left: float
    top: float
    width: float
    height: float

    def within(self, width: float, height: float) -> Box:
        """The same part as far as it lies in a view of that size; may be empty."""
        left, top = max(0.0, self.left), max(0.0, self.top)
        right = min(width, self.left + self.width)
        bottom = min(height, self.top + self.height)
        return Box(left, top, max(0.0, right - left), max(0.0, bottom - top))


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet: its name (row by letter, column by number), and where its window lies."""

    name: str
    row: int
    column: int
    window: Box


@dataclass(frozen=True, slots=True)
class Tiling:
    """A view cut into sheets of `paper`, held upright or, where `lying`, on the long side.

    All windows are `window` mm wide and high, and neighbours share `OVERLAP_MM`.
    """

    paper: str
    lying: bool
    window: tuple[float, float]
    rows: int
    columns: int
    tiles: tuple[Tile, ...]


def window_of(paper: str, lying: bool) -> tuple[float, float]:
    """Width and height of what a sheet shows, mm.

    >>> window_of("a4", False), window_of("letter", False)
    ((180.0, 240.0), (180.0, 230.0))
    """
    wide, high = PAPERS[paper][::-1] if lying else PAPERS[paper]
    room = (wide - 2 * EDGE_MM - SIDE_MM, high - 2 * EDGE_MM - HEAD_MM - FOOT_MM)
    across, down = (math.floor(side / ROUND_MM) * ROUND_MM for side in room)
    return across, down


def tiled(area: Box, paper: str) -> Tiling:
    """The sheets that `area` takes, the way of holding them that takes fewer; upright where equal.

    The windows together are set evenly about the area.
    """
    found = [_tiled(area, paper, lying) for lying in (False, True)]
    return min(found, key=lambda one: len(one.tiles))


def _tiled(area: Box, paper: str, lying: bool) -> Tiling:
    window = window_of(paper, lying)
    counts = [
        max(1, math.ceil((length - OVERLAP_MM - 1e-6) / (room - OVERLAP_MM)))
        for length, room in zip((area.width, area.height), window, strict=True)
    ]
    columns, rows = counts
    spans = [
        count * (room - OVERLAP_MM) + OVERLAP_MM for count, room in zip(counts, window, strict=True)
    ]
    left = area.left - (spans[0] - area.width) / 2
    top = area.top - (spans[1] - area.height) / 2
    tiles = tuple(
        Tile(
            f"{row_name(row)}{column + 1}",
            row,
            column,
            Box(
                left + column * (window[0] - OVERLAP_MM),
                top + row * (window[1] - OVERLAP_MM),
                *window,
            ),
        )
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling(paper, lying, window, rows, columns, tiles)


def row_name(number: int) -> str:
    """A, B, … Z, AA, AB, …

    >>> row_name(0), row_name(25), row_name(26)
    ('A', 'Z', 'AA')
    """
    name = ""
    number += 1
    while number:
        number, letter = divmod(number - 1, 26)
        name = chr(ord("A") + letter) + name
    return name
