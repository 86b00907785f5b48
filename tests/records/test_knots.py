"""Knots are found beside a plain reachability check, and a long chain overruns nothing."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from archive.records.graph import knots

NAMES = [str(n) for n in range(8)]


@given(st.dictionaries(st.sampled_from(NAMES), st.lists(st.sampled_from(NAMES), max_size=4)))
def test_the_nodes_that_reach_themselves(graph):
    def reach(start):
        seen, todo = set(), list(graph.get(start, ()))
        while todo:
            node = todo.pop()
            if node not in seen:
                seen.add(node)
                todo.extend(graph.get(node, ()))
        return seen

    tied = frozenset().union(*knots(graph))
    assert tied == {node for node in graph if node in reach(node)}


def test_a_chain_of_ten_thousand():
    graph = {str(n): (str(n + 1),) for n in range(10_000)}
    assert knots(graph) == []
    graph["10000"] = ("0",)
    assert len(knots(graph)[0]) == 10_001
