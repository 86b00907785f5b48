"""Statements that can't all be true, reduced until dropping any one of them resolves it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

from archive.reasoning.network import Bound, circle
from archive.reasoning.said import Statement


class Clashing(NamedTuple):
    """An irreducible clash by the numbers of its statements, and those of them set aside."""

    members: tuple[int, ...]
    aside: tuple[int, ...]


def consistent(said: Sequence[Statement], numbers: Sequence[int]) -> bool:
    """Can these statements all be true, each in one of its ways?"""
    names: dict[str, int] = {}
    for number in numbers:
        for way in said[number].ways:
            for order in way:
                names.setdefault(order.start, len(names))
                names.setdefault(order.end, len(names))
    for ways in product(*(said[number].ways for number in numbers)):
        bounds = [
            Bound(names[order.start], names[order.end], order.most, (number,))
            for number, way in zip(numbers, ways, strict=True)
            for order in way
        ]
        if not circle(len(names), bounds):
            return True
    return False


def reduced(said: Sequence[Statement], numbers: Sequence[int]) -> tuple[int, ...]:
    """An irreducible part of statements that clash: without any one of it, the rest can be true."""
    kept = sorted(set(numbers))
    for number in list(kept):
        fewer = [other for other in kept if other != number]
        if not consistent(said, fewer):
            kept = fewer
    return tuple(kept)


def clashing(said: Sequence[Statement], numbers: Sequence[int]) -> Clashing:
    """Statements that clash, reduced, and those that give way: the ones that stand weakest."""
    members = reduced(said, numbers)
    weakest = min(said[number].stands for number in members)
    return Clashing(members, tuple(n for n in members if said[n].stands == weakest))
