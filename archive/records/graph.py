"""Circles in what should have none: one chain for each knot of a graph."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping


def circles(edges: Mapping[str, Iterable[str]]) -> list[tuple[str, ...]]:
    """A shortest circle through each knot (strongly connected component with a circle in it).

    `edges` is node → the nodes that it leads to; targets needn't be keys. Each circle begins and
    ends with its smallest node; the circles are in order of it. Takes time in proportion to the
    edges of the graph (Tarjan 1972 for the knots), and no recursion.
    """
    found = []
    for knot in knots(edges):
        start = min(knot)
        found.append(_circle(edges, start, knot))
    return sorted(found)


def _circle(
    edges: Mapping[str, Iterable[str]], start: str, knot: frozenset[str]
) -> tuple[str, ...]:
    """The shortest way from `start` back to it, inside its knot, by breadth."""
    came: dict[str, str] = {}
    todo = deque([start])
    while todo:
        node = todo.popleft()
        for target in sorted(edges.get(node, ())):
            if target == start:
                chain = [start, node]
                while node != start:
                    node = came[node]
                    chain.append(node)
                return (*reversed(chain[1:]), start)
            if target in knot and target not in came:
                came[target] = node
                todo.append(target)
    raise ValueError(f"{start} is in no circle")


def knots(edges: Mapping[str, Iterable[str]]) -> list[frozenset[str]]:
    """Strongly connected components of more than one node, or of one that leads to itself."""
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    found: list[frozenset[str]] = []
    for root in sorted(edges):
        if root in number:
            continue
        work = [(root, iter(sorted(edges[root])))]
        number[root] = low[root] = len(number)
        stack.append(root)
        on_stack.add(root)
        while work:
            node, targets = work[-1]
            target = next(targets, None)
            if target is None:
                work.pop()
                if work:
                    above = work[-1][0]
                    low[above] = min(low[above], low[node])
                if low[node] == number[node]:
                    knot = _pop(stack, on_stack, node)
                    if len(knot) > 1 or node in edges.get(node, ()):
                        found.append(knot)
            elif target not in number:
                number[target] = low[target] = len(number)
                stack.append(target)
                on_stack.add(target)
                work.append((target, iter(sorted(edges.get(target, ())))))
            elif target in on_stack:
                low[node] = min(low[node], number[target])
    return found


def _pop(stack: list[str], on_stack: set[str], node: str) -> frozenset[str]:
    at = stack.index(node)
    knot = frozenset(stack[at:])
    del stack[at:]
    on_stack -= knot
    return knot
