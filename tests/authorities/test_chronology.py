"""The temporal network against a published example and a general library of graphs."""

from __future__ import annotations

import networkx
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from archive.reasoning.network import FAR, Bound, Closure, Contradiction

# Dechter, Meiri & Pearl, "Temporal constraint networks", Artificial Intelligence 49 (1991) 61-95,
# example 1.1, minutes after 7:00, John by car and Fred in a carpool: John leaves (1) and arrives
# (2), Fred leaves (3) and arrives (4). The d-graph and the minimal network are those that the paper
# prints for it.
STORY = [(0, 1, 10, 20), (1, 2, 30, 40), (3, 2, 10, 20), (3, 4, 40, 50), (0, 4, 60, 70)]
D_GRAPH = [
    [0, 20, 50, 30, 70],
    [-10, 0, 40, 20, 60],
    [-40, -30, 0, -10, 30],
    [-20, -10, 20, 0, 50],
    [-60, -50, -20, -40, 0],
]
MINIMAL = {
    (0, 1): (10, 20),
    (0, 2): (40, 50),
    (0, 3): (20, 30),
    (0, 4): (60, 70),
    (1, 2): (30, 40),
    (1, 3): (10, 20),
    (1, 4): (50, 60),
    (2, 3): (-20, -10),
    (2, 4): (20, 30),
    (3, 4): (40, 50),
}


def bounds(story: list[tuple[int, int, int, int]]) -> list[Bound]:
    """Each (from, to, least, most) as two bounds that share the number of their statement."""
    found = []
    for number, (start, end, least, most) in enumerate(story):
        found += [Bound(start, end, most, (number,)), Bound(end, start, -least, (number,))]
    return found


def test_the_published_network():
    assert Closure(5, bounds(STORY)).most == D_GRAPH


def test_the_published_minimal_intervals():
    most = Closure(5, bounds(STORY)).most
    assert {pair: (-most[pair[1]][pair[0]], most[pair[0]][pair[1]]) for pair in MINIMAL} == MINIMAL


def test_each_bound_is_the_sum_of_its_path():
    closure = Closure(5, bounds(STORY))
    for start in range(5):
        for end in range(5):
            path = closure.path(start, end)
            assert sum(bound.most for bound in path) == closure.most[start][end]
            assert [b.start for b in path[1:]] == [b.end for b in path[:-1]]


def test_an_inconsistent_variant_names_its_circle():
    """Fred arrives no later than 7:55: then he can't have left before John was nearly there."""
    story = [*STORY[:4], (0, 4, 50, 55)]
    with pytest.raises(Contradiction) as found:
        Closure(5, bounds(story))
    circle = sorted(found.value.because)
    assert circle == [0, 1, 2, 3, 4]
    for number in circle:
        Closure(5, bounds([one for n, one in enumerate(story) if n != number]))


arcs = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(-6, 25)), min_size=1, max_size=24
)


@given(arcs)
@settings(deadline=None, max_examples=200)
def test_as_networkx_finds_it(drawn):
    """NetworkX (a general graph library): the same distances, or a negative circle in both."""
    drawn = [(a, b, most) for a, b, most in drawn if a != b]
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(7))
    for start, end, most in drawn:
        if most < graph.get_edge_data(start, end, {"weight": FAR})["weight"]:
            graph.add_edge(start, end, weight=most)
    made = [Bound(a, b, most, (i,)) for i, (a, b, most) in enumerate(drawn)]
    if networkx.negative_edge_cycle(graph):
        with pytest.raises(Contradiction) as found:
            Closure(7, made)
        on_it = [made[n] for n in found.value.because]
        assert sum(bound.most for bound in on_it) < 0
        assert [b.end for b in on_it] == [*(b.start for b in on_it[1:]), on_it[0].start]
        return
    theirs = dict(networkx.all_pairs_bellman_ford_path_length(graph))
    ours = Closure(7, made).most
    for start in range(7):
        for end in range(7):
            assert ours[start][end] == theirs[start].get(end, FAR)


@given(arcs, st.data())
@settings(deadline=None)
def test_what_tightening_promises(drawn, data):
    """The minimal network (ibid., section 3): it lies within what was put in, is its own
    minimal network, an implied bound changes nothing, and leaving one out can only widen it.
    """
    made = [Bound(a, b, most, (i,)) for i, (a, b, most) in enumerate(drawn) if a != b]
    try:
        most = Closure(7, made).most
    except Contradiction:
        assume(False)
    assert all(most[b.start][b.end] <= b.most for b in made)
    tight = [
        Bound(i, j, most[i][j], ())
        for i in range(7)
        for j in range(7)
        if i != j and most[i][j] < FAR
    ]
    assert Closure(7, tight).most == most
    if tight:
        one = data.draw(st.sampled_from(tight))
        slack = data.draw(st.integers(0, 9))
        assert Closure(7, [*made, one._replace(most=one.most + slack)]).most == most
    if made:
        left = data.draw(st.sampled_from(made))
        wider = Closure(7, [bound for bound in made if bound is not left]).most
        assert all(wider[i][j] >= most[i][j] for i in range(7) for j in range(7))
