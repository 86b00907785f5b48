"""Fills regions of a picture flat, before anything is scaled; runs in the child only."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import Image, ImageDraw

from archive.imaging.recipes import Point

# A JPEG's pixels lean on their block of 16 x 16 and, in the colours, on the neighbour of that:
# beyond this margin no pixel tells anything of what was covered.
MARGIN_PX = 24
FLAT = 0xC8  # one grey for every picture: an average would tell of what it covers


def fill_flat(image: Image.Image, regions: Sequence[Sequence[Point]]) -> None:
    """Covers each polygon (upright pixels of `image`), and `MARGIN_PX` around it, with one grey.

    An outline that crosses itself is covered with its convex hull: rather too much than a hole.
    Changes `image` in place.
    """
    draw = ImageDraw.Draw(image)
    colour = FLAT if image.mode == "L" else (FLAT, FLAT, FLAT)
    for region in regions:
        outline = _hull(region) if _crosses_itself(region) else list(region)
        if len(outline) >= 3:
            draw.polygon(outline, fill=colour)
        for start, end in zip(outline, [*outline[1:], outline[0]], strict=True):
            draw.line([start, end], fill=colour, width=2 * MARGIN_PX + 1)
        for x, y in outline:
            box = (x - MARGIN_PX, y - MARGIN_PX, x + MARGIN_PX, y + MARGIN_PX)
            draw.ellipse(box, fill=colour)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _crosses_itself(outline: Sequence[Point]) -> bool:
    count = len(outline)
    edges = [(outline[i], outline[(i + 1) % count]) for i in range(count)]
    for i, (a, b) in enumerate(edges):
        for j in range(i + 2, count):
            if i == 0 and j == count - 1:
                continue
            c, d = edges[j]
            if _turn(a, b, c) * _turn(a, b, d) <= 0 and _turn(c, d, a) * _turn(c, d, b) <= 0:
                return True
    return False


def _hull(points: Sequence[Point]) -> list[Point]:
    """The convex hull by Andrew's monotone chain (A. M. Andrew, 1979; from memory)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered

    def chain(along: Sequence[Point]) -> list[Point]:
        kept: list[Point] = []
        for point in along:
            while len(kept) >= 2 and _turn(kept[-2], kept[-1], point) <= 0:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return chain(ordered) + chain(ordered[::-1])
