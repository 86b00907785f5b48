"""Whether two patches of a picture touch."""

from __future__ import annotations

from collections.abc import Sequence

Point = Sequence[float]


def overlap(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Do two closed outlines (points [x, y] in pixels) share any area or touch?

    Either a corner of one lies in the other, or two of their sides cross.

    >>> overlap([[0, 0], [4, 0], [4, 4]], [[3, 1], [9, 1], [9, 9]])
    True
    >>> overlap([[0, 0], [4, 0], [4, 4]], [[5, 5], [9, 5], [9, 9]])
    False
    """
    if inside(one[0], other) or inside(other[0], one):
        return True
    return any(
        _cross(one[i - 1], one[i], other[j - 1], other[j])
        for i in range(len(one))
        for j in range(len(other))
    )


def inside(point: Point, outline: Sequence[Point]) -> bool:
    """Does a point lie within a closed outline (even-odd rule)?"""
    x, y = point[0], point[1]
    found = False
    for i in range(len(outline)):
        (ax, ay), (bx, by) = outline[i - 1], outline[i]
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            found = not found
    return found


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return (
        min(a[0], b[0]) <= max(c[0], d[0])
        and min(c[0], d[0]) <= max(a[0], b[0])
        and min(a[1], b[1]) <= max(c[1], d[1])
        and min(c[1], d[1]) <= max(a[1], b[1])
        and _turn(a, b, c) * _turn(a, b, d) <= 0
        and _turn(c, d, a) * _turn(c, d, b) <= 0
    )
