"""Combining figures: values worked out by other means, what is shared, and what must never be."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.metrology.agreement import en_limit, en_scores
from archive.metrology.chances import chance_within
from archive.metrology.combine import combine, combine_things
from archive.metrology.stock import likely

X, U = [1532.0, 1547.0, 1538.0, 1561.0], [8.0, 10.0, 6.0, 12.0]
OWN = [((f"own|{i}|", u),) for i, u in enumerate(U)]


def sharing(*places: int):
    """The errors with a known length of relative u 0.4 % in those places."""
    errors = list(OWN)
    for i in places:
        shared = 0.004 * X[i]
        errors[i] = (("known|k|", shared), (f"own|{i}|", math.sqrt(U[i] ** 2 - shared**2)))
    return errors


def test_four_figures_that_share_nothing():
    found = combine(X, OWN)
    assert found.value == pytest.approx(1540.585, abs=1e-3)
    assert found.u / found.scaled == pytest.approx(4.071, abs=1e-3)
    assert (found.chi2, found.dof) == (pytest.approx(4.643, abs=1e-3), 3)
    assert found.chance == pytest.approx(0.1999, abs=1e-4)
    assert found.u == pytest.approx(5.064, abs=1e-3)


def test_two_that_share_a_known_length():
    found = combine(X, sharing(0, 1))
    assert found.value == pytest.approx(1540.514, abs=1e-3)
    assert found.u / found.scaled == pytest.approx(4.365, abs=1e-3)
    assert found.scaled == pytest.approx(1.4068, abs=1e-4)
    assert found.weights == pytest.approx((0.2384, 0.1001, 0.5292, 0.1323), abs=1e-4)


def test_what_all_share_is_a_floor():
    x, u = [1540.0] * 4, 0.004 * 1540
    errors = [(("known|k|", u), (f"own|{i}|", math.sqrt(s * s - min(s * s, u * u)) + 1))
              for i, s in enumerate(U)]  # fmt: skip
    found = combine(x, errors, frozenset({"known|k|"}))
    assert found.u >= u


def test_a_shared_proportion_can_not_pull_the_mean_out_of_the_data():
    errors = [(("tape|t|", 0.2), ("a||", 0.1)), (("tape|t|", 0.3), ("b||", 0.15))]
    found = combine([1.0, 1.5], errors, frozenset({"tape|t|"}))
    assert found.value == pytest.approx(1.154, abs=5e-4)


def test_widening_does_not_nest():
    """A sub-group that was widened first gives another answer: so it is always from the leaves."""
    x, u = [10.0, 30.0, 21.0], [4.0, 5.0, 3.0]
    at_once = combine(x, [((f"o{i}||", s),) for i, s in enumerate(u)])
    first = combine(x[:2], [((f"o{i}||", s),) for i, s in enumerate(u[:2])])
    nested = combine([first.value, x[2]], [first.errors, (("o2||", u[2]),)])
    assert abs(nested.value - at_once.value) > 0.5


def test_nothing_to_combine():
    with pytest.raises(ValueError, match="nothing"):
        combine([], [])


figures = st.lists(
    st.tuples(st.floats(900, 1100), st.floats(0.5, 30), st.floats(0.0, 0.9)), min_size=1, max_size=6
)


@settings(max_examples=150, deadline=None)
@given(figures)
def test_the_mean_lies_among_the_figures_and_is_no_looser_than_the_best(data):
    x = [value for value, _, _ in data]
    errors = [
        (("tape||", u * part), (f"own|{i}|", u * math.sqrt(1 - part * part)))
        for i, (_, u, part) in enumerate(data)
    ]
    found = combine(x, errors, frozenset({"tape||"}))
    assert min(x) - 1e-6 <= found.value <= max(x) + 1e-6
    assert min(found.weights) >= 0
    assert sum(found.weights) == pytest.approx(1)
    assert found.u / found.scaled <= min(u for _, u, _ in data) * 1.25
    assert found.scaled >= 1
    assert math.hypot(*(e for _, e in found.errors)) == pytest.approx(found.u, rel=1e-6)


@settings(max_examples=100, deadline=None)
@given(figures, st.randoms())
def test_the_order_of_figures_changes_nothing(data, chance):
    mixed = list(enumerate(data))
    chance.shuffle(mixed)
    one = combine([d[0] for d in data], [((f"o{i}||", d[1]),) for i, d in enumerate(data)])
    other = combine([d[0] for _, d in mixed], [((f"o{i}||", d[1]),) for i, d in mixed])
    assert one.value == pytest.approx(other.value, rel=1e-9)
    assert one.u == pytest.approx(other.u, rel=1e-9)


def test_pieces_without_a_spread_are_one_thing():
    found = combine_things([10.0, 10.1, 9.9], [((f"o{i}||", 1.0),) for i in range(3)])
    assert (found.spread, found.freedom) == (0.0, None)
    assert found.u == pytest.approx(1 / math.sqrt(3))


def test_few_pieces_may_hide_a_spread_by_luck():
    """χ² 1.5 with 2 degrees of freedom shows no spread, yet t √(χ²/ν) = 3.73 is more than 1.96."""
    off = math.sqrt(0.75)
    found = combine_things([10.0 - off, 10.0, 10.0 + off], [((f"o{i}||", 1.0),) for i in range(3)])
    assert (found.spread, found.freedom) == (0.0, 2)
    assert found.u == pytest.approx(math.sqrt(0.75) / math.sqrt(3))


def test_what_two_share_can_not_explain_their_difference():
    shared = [(("tape||", 5.0), ("a||", 1.0)), (("tape||", 5.0), ("b||", 1.0))]
    ((_, _, score),) = en_scores([100.0, 105.0], shared)
    assert score == pytest.approx(5 / (1.96 * math.sqrt(2)))


def test_among_many_pairs_one_stands_out_by_chance():
    """Once in twenty, whatever the number of pairs."""
    for pairs in (1, 3, 10):
        z = en_limit(pairs) * 1.95996
        each = 2 * (1 - NormalDist().cdf(z))
        assert 1 - (1 - each) ** pairs == pytest.approx(0.05, abs=1e-4)


def test_the_chance_of_a_fit_by_the_normal_distribution():
    normal = NormalDist()
    for off, tolerance, u in ((0, 2, 1), (1, 2, 1), (3, 2, 1), (-3, 2, 1), (0, 0, 1)):
        expected = normal.cdf((off + tolerance) / u) - normal.cdf((off - tolerance) / u)
        assert chance_within(off, tolerance, u) == pytest.approx(expected, abs=1e-12)
    assert (chance_within(1, 2, 0), chance_within(3, 2, 0)) == (1.0, 0.0)


EIGHTHS = [3.175 * k for k in range(3, 17)]


@pytest.mark.parametrize(
    ("value", "u", "size", "chance", "none"),
    [(31.2, 0.6, 31.75, 0.926, 0.074), (31.2, 1.2, 31.75, 0.813, 0.095), (33.4, 0.5, 0, 0, 0.728)],
)
def test_the_nearest_tube(value, u, size, chance, none):
    *sizes, nothing = likely(value, u, EIGHTHS, 0.1)
    assert nothing == pytest.approx(none, abs=2e-3)
    if size:
        assert sizes[EIGHTHS.index(size)] == pytest.approx(chance, abs=2e-3)
    assert math.fsum(sizes) + nothing == pytest.approx(1)
