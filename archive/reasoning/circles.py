"""Circles of support: claims that lean on each other, found so that they lend no grade."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from archive.records.library import Library


def leans_on(library: Library) -> dict[str, tuple[str, ...]]:
    """REF of each claim and measurement → the claims and measurements that it leans on."""
    graph: dict[str, tuple[str, ...]] = {}
    for part, claim in library.claims():
        names = [e.part for e in claim.evidence if e.part and "#" in e.part]
        names += [e.measured for e in claim.evidence if e.measured]
        graph[f"{part.ref}#{claim.id}"] = tuple(names)
    for measurement in library.measurements.values():
        known = [r.known for r in measurement.references if r.known and "#" in r.known]
        graph[measurement.ref] = tuple(known)
    return graph


def in_circles(graph: Mapping[str, Sequence[str]]) -> frozenset[str]:
    """The nodes of a graph that can reach themselves.

    Strongly connected components by Tarjan's method (SIAM J. Comput. 1:146, 1972), without
    recursion, so that a long chain can't overrun the stack.
    """
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    found: set[str] = set()
    for start in graph:
        if start in index:
            continue
        work: list[tuple[str, int]] = [(start, 0)]
        while work:
            node, step = work.pop()
            if step == 0:
                index[node] = low[node] = len(index)
                stack.append(node)
                on_stack.add(node)
            edges = graph.get(node, ())
            for position in range(step, len(edges)):
                other = edges[position]
                if other not in index:
                    if other in graph:
                        work.append((node, position + 1))
                        work.append((other, 0))
                        break
                elif other in on_stack:
                    low[node] = min(low[node], index[other])
            else:
                _close(node, edges, index, low, stack, on_stack, found)
                if work:
                    parent = work[-1][0]
                    low[parent] = min(low[parent], low[node])
    return frozenset(found)


def _close(
    node: str,
    edges: Sequence[str],
    index: Mapping[str, int],
    low: Mapping[str, int],
    stack: list[str],
    on_stack: set[str],
    found: set[str],
) -> None:
    if low[node] != index[node]:
        return
    component = []
    while True:
        top = stack.pop()
        on_stack.discard(top)
        component.append(top)
        if top == node:
            break
    if len(component) > 1 or node in edges:
        found.update(component)
