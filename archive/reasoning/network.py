"""A simple temporal network: how far apart moments can be, once every bound has been followed up.

A bound says that one moment comes no more than so many units after another. Following bounds up is
finding shortest paths (Dechter, Meiri & Pearl, Artificial Intelligence 49:61, 1991): the closure
gives the tightest bound between every two moments, and the path tells which statements it rests
on. A circle of bounds that sums below nothing is a contradiction.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

FAR = 1 << 60
"""Stands for "no bound"; whatever is at least half of it bounds nothing."""


class Bound(NamedTuple):
    """`end` comes no more than `most` after `start`, because of the statements so numbered."""

    start: int
    end: int
    most: int
    because: tuple[int, ...]


class Contradiction(Exception):
    """Bounds that can't all hold: `because` are the statements of one circle that sums below 0."""

    def __init__(self, because: tuple[int, ...]) -> None:
        super().__init__(because)
        self.because = because


class Closure:
    """The minimal network of a few moments, numbered from 0, and the path behind each bound."""

    def __init__(self, size: int, bounds: Iterable[Bound]) -> None:
        """By Floyd and Warshall's method (Comm. ACM 5:345, 1962), in about `size` cubed steps.

        Raises `Contradiction`.
        """
        bounds = list(bounds)
        most = [[FAR] * size for _ in range(size)]
        last: list[list[Bound | None]] = [[None] * size for _ in range(size)]
        for i in range(size):
            most[i][i] = 0
        for bound in bounds:
            if bound.most < most[bound.start][bound.end]:
                most[bound.start][bound.end] = bound.most
                last[bound.start][bound.end] = bound
        for k in range(size):
            onward, steps = most[k], last[k]
            reach = [j for j in range(size) if onward[j] < FAR]
            for i in range(size):
                row, before = most[i], last[i]
                first = row[k]
                if first == FAR or i == k:
                    continue
                for j in reach:
                    if first + onward[j] < row[j]:
                        row[j] = first + onward[j]
                        before[j] = steps[j]
            if any(most[i][i] < 0 for i in range(size)):
                raise Contradiction(circle(size, bounds))
        self.most = most
        self._last = last

    def path(self, start: int, end: int) -> tuple[Bound, ...]:
        """The bounds that give `most[start][end]`, from start to end."""
        found: list[Bound] = []
        while end != start:
            bound = self._last[start][end]
            assert bound is not None, "there is no bound between these"
            found.append(bound)
            end = bound.start
        return tuple(reversed(found))


def circle(size: int, bounds: Sequence[Bound]) -> tuple[int, ...]:
    """The statements of a circle of bounds that sums below 0; () where there is none.

    By Bellman and Ford's method: what can still be shortened after `size` rounds hangs on a circle.
    """
    most = [0] * size
    last: list[Bound | None] = [None] * size
    moved = -1
    for _ in range(size if bounds else 0):
        moved = -1
        for bound in bounds:
            if most[bound.start] + bound.most < most[bound.end]:
                most[bound.end] = most[bound.start] + bound.most
                last[bound.end] = bound
                moved = bound.end
        if moved < 0:
            break
    if moved < 0:
        return ()
    on_it = moved
    for _ in range(size):
        step = last[on_it]
        assert step is not None
        on_it = step.start
    found: list[Bound] = []
    here = on_it
    while not found or here != on_it:
        step = last[here]
        assert step is not None
        found.append(step)
        here = step.start
    return statements(reversed(found))


def circle_among(bounds: Sequence[Bound]) -> tuple[int, ...]:
    """The same for some bounds of a larger network, whatever the numbers of their moments."""
    names = {name: i for i, name in enumerate(sorted({n for b in bounds for n in b[:2]}))}
    local = [b._replace(start=names[b.start], end=names[b.end]) for b in bounds]
    return circle(len(names), local)


class Spread:
    """The shortest ways from one fixed moment to the moments of one piece of a network, or back.

    Only bounds within the piece are followed: no way passes through another fixed moment.
    """

    def __init__(
        self, start: int, bounds: Sequence[Bound], inside: frozenset[int], *, back: bool = False
    ) -> None:
        """`inside` are the moments of the piece. Raises `Contradiction`."""
        most: dict[int, int] = {}
        last: dict[int, Bound] = {}
        leading_on = {start: 0}
        for rounds in range(len(inside) + 2):
            moved = False
            for bound in bounds:
                near, beyond, far, _ = bound
                if back:
                    near, beyond = beyond, near
                so_far = leading_on.get(near)
                if so_far is not None and so_far + far < most.get(beyond, FAR):
                    most[beyond] = so_far + far
                    last[beyond] = bound
                    if beyond in inside:
                        leading_on[beyond] = so_far + far
                        moved = True
            if not moved:
                break
            if rounds > len(inside):
                raise Contradiction(circle_among(bounds))
        if most.get(start, 0) < 0:
            raise Contradiction(circle_among(bounds))
        self.most = most
        self._start, self._last, self._back = start, last, back

    def path(self, moment: int) -> tuple[Bound, ...]:
        """The bounds between the fixed moment and this one, in the order of the network."""
        found: list[Bound] = []
        while moment != self._start:
            bound = self._last[moment]
            found.append(bound)
            moment = bound.end if self._back else bound.start
        return tuple(found if self._back else reversed(found))


def statements(bounds: Iterable[Bound]) -> tuple[int, ...]:
    """The statements behind a path, each once, in its order."""
    return tuple(dict.fromkeys(number for bound in bounds for number in bound.because))
