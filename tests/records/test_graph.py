"""Circles in a graph: found where there are any, shortest first, and none where there are none."""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from archive.records.graph import circles


def test_each_knot_gives_one_shortest_chain() -> None:
    edges = {"a": ["b", "c"], "b": ["c"], "c": ["a"], "d": ["d"], "e": ["a"], "x": ["y"]}
    assert circles(edges) == [("a", "c", "a"), ("d", "d")]


def test_a_long_chain_needs_no_recursion() -> None:
    edges = {f"{n:06}": [f"{n + 1:06}"] for n in range(5_000)}
    assert circles(edges) == []
    edges["005000"] = ["000000"]
    assert len(circles(edges)[0]) == 5_002


_GRAPH = st.dictionaries(st.sampled_from("abcdefgh"), st.sets(st.sampled_from("abcdefgh")))


@given(_GRAPH)
def test_it_agrees_with_the_sorter_of_the_standard_library(edges: dict[str, set[str]]) -> None:
    """Outside check: graphlib.TopologicalSorter of CPython."""
    found = circles(edges)
    try:
        TopologicalSorter(edges).prepare()
    except CycleError:
        assert found
    else:
        assert found == []
    for chain in found:
        assert chain[0] == chain[-1] == min(chain)
        assert all(b in edges[a] for a, b in pairwise(chain))
