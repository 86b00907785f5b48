"""Circles of support: claims that lean on each other, found so that they lend no grade."""

from __future__ import annotations

from archive.records.graph import knots
from archive.records.library import Library
from archive.records.support import leanings


def in_circles(library: Library) -> frozenset[str]:
    """REFs of the claims and measurements that are, by whatever way, their own support."""
    edges: dict[str, list[str]] = {}
    for source, target, *_ in leanings(library):
        edges.setdefault(source, []).append(target)
    return frozenset().union(*knots(edges))
