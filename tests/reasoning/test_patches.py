"""Patches that touch, checked against a grid of sampled points."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from archive.reasoning.patches import inside, overlap

corner = st.tuples(st.integers(0, 20), st.integers(0, 20))
box = st.tuples(corner, st.integers(1, 10), st.integers(1, 10)).map(
    lambda b: [
        b[0],
        (b[0][0] + b[1], b[0][1]),
        (b[0][0] + b[1], b[0][1] + b[2]),
        (b[0][0], b[0][1] + b[2]),
    ]
)


@given(box, box)
def test_boxes_overlap_as_intervals_do(one, other):
    apart = (
        one[1][0] < other[0][0]
        or other[1][0] < one[0][0]
        or one[2][1] < other[0][1]
        or other[2][1] < one[0][1]
    )
    assert overlap(one, other) is not apart
    assert overlap(other, one) is not apart


def test_a_box_inside_a_box():
    outer = [(0, 0), (9, 0), (9, 9), (0, 9)]
    inner = [(3, 3), (4, 3), (4, 4)]
    assert overlap(outer, inner) and overlap(inner, outer)
    assert inside((3, 3), outer) and not inside((30, 3), outer)
