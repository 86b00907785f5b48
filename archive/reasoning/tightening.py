"""Statements about moments, followed up to the tightest bounds that they give together.

The calendar and the aircraft's own events are few, and everything hangs on them: they are fixed
moments with a closure of their own. Photographs and sources hang together in small pieces that
touch each other at fixed moments only. Each piece is followed up by itself, what it says of the
fixed moments goes into their closure, and any bound is the shortest way through both. That is
exact, and takes time in proportion to the records.

Statements that clash are set aside, the weakest of them first, so that the rest still bounds
something. A statement with several ways to be true bounds nothing until all but one are closed.
"""

from __future__ import annotations

import hashlib
import marshal
from collections.abc import Iterable, Sequence
from copy import copy
from heapq import heappop, heappush
from typing import Any

from archive.reasoning.clashing import Clashing, clashing, consistent, reduced
from archive.reasoning.network import FAR, Bound, Closure, Contradiction, Spread, circle_among
from archive.reasoning.network import statements as behind
from archive.reasoning.said import ABSENCES, WRITTEN, Statement


class Piece:
    """Moments that hang together without passing a fixed one, and what they say of the fixed."""

    def __init__(self, moments: frozenset[int], members: tuple[int, ...]) -> None:
        self.moments = moments
        self.members = members
        self.into: dict[int, Spread] = {}
        self.between: tuple[Bound, ...] = ()
        self._bounds: list[Bound] = []
        self._out: dict[int, Spread] | None = None

    def follow(self, bounds: Sequence[Bound]) -> None:
        """Follow up the bounds of this piece. Raises `Contradiction`.

        Bounds at fixed moments come first: of two equal ways the plainer one is kept.
        """
        outer: list[Bound] = []
        inner: list[Bound] = []
        fixed: set[int] = set()
        for bound in bounds:
            start, end = bound.start in self.moments, bound.end in self.moments
            (inner if start and end else outer).append(bound)
            if not start or not end:
                fixed.add(bound.end if start else bound.start)
        if any(b.most < 0 for b in inner) and (round_ := circle_among(inner)):
            raise Contradiction(round_)
        bounds, touched = [*outer, *inner], sorted(fixed)
        self.into = {n: Spread(n, bounds, self.moments) for n in touched}
        self._bounds, self._out = bounds, None
        self.between = tuple(
            Bound(start, end, spread.most[end], behind(spread.path(end)))
            for start, spread in self.into.items()
            for end in touched
            if end != start and end in spread.most
        )

    @property
    def out(self) -> dict[int, Spread]:
        """The ways from the moments of this piece to each fixed one, by its number.

        They are followed when first asked for: nothing else rests on them.
        """
        if self._out is None:
            self._out = {n: Spread(n, self._bounds, self.moments, back=True) for n in self.into}
        return self._out


class Tightened:
    """The tightest bounds that statements give together, and the statements behind each.

    `clashes` are the irreducible clashes that were met; `off` the numbers of the statements that
    bound nothing: set aside in a clash, or `contradicted`, which tells by which statements.
    """

    def __init__(self, fixed: Sequence[str], said: Sequence[Statement]) -> None:
        """`fixed` are the fixed moments; `said` the statements, in an order that doesn't depend on
        how the files lie.
        """
        self.said = said
        self.fixed = tuple(fixed)
        self.clashes: list[Clashing] = []
        self.contradicted: dict[int, tuple[int, ...]] = {}
        written = {i for i, statement in enumerate(said) if statement.stands == WRITTEN}
        self.off = set(written)
        self._chosen: dict[int, tuple[int, tuple[int, ...]]] = {}
        self._number = {name: i for i, name in enumerate(fixed)}
        self._fixed = len(self._number)
        self._closure = Closure(self._fixed, ())
        self._cut()
        self._settle()
        for number in sorted(written):
            against = self._against(number, 0) or self._aside(number)
            if against:
                self.contradicted[number] = against
            else:
                self._turn(number, on=True)
        self._settle()

    def most(self, start: str, end: str) -> int | None:
        """How many instants `end` can come after `start` at most; None where nothing bounds it.

        One of the two must be a fixed moment.
        """
        found = self._shortest(start, end)
        return found[0] if found[0] < FAR // 2 else None

    def because(self, start: str, end: str) -> tuple[int, ...]:
        """The numbers of the statements behind `most`, in order from start to end; () for none."""
        _, one, through, other = self._shortest(start, end)
        if one == other:
            return ()
        if one < self._fixed and other < self._fixed:
            return behind(self._closure.path(one, other))
        if one < self._fixed:
            piece = self._piece(other)
            way = (*self._closure.path(one, through), *piece.into[through].path(other))
        else:
            piece = self._piece(one)
            way = (*piece.out[through].path(one), *self._closure.path(through, other))
        return behind(way)

    def beside(self, numbers: Iterable[int]) -> list[str]:
        """The moments that hang together with those that statements are about, fixed ones apart."""
        pieces = {self._of[number] for number in numbers if number in self._of}
        inside = {moment for index in pieces for moment in self._pieces[index].moments}
        return [self._names[moment] for moment in sorted(inside)]

    def without(self, numbers: Iterable[int]) -> Tightened | None:
        """The same without some statements; None where that takes working everything out anew.

        It is had cheaply where the statements moved nothing outside of their own pieces, and those
        met no clash and no choice.
        """
        numbers = set(numbers)
        gone = numbers - self.off
        if any(numbers.intersection(clash.members) for clash in self.clashes):
            return None
        if any(number not in self._of for number in gone):
            return None
        pieces = {self._of[number] for number in gone}
        inside = {number for index in pieces for number in self._pieces[index].members}
        if inside & (set(self._chosen) | self.off):
            return None
        again = copy(self)
        again.off = self.off | gone
        again._pieces = list(self._pieces)
        for index in pieces:
            old = self._pieces[index]
            new = Piece(old.moments, old.members)
            new.follow([bound for n in new.members for bound in again._bounds(n)])
            left = {(bound.start, bound.end): bound.most for bound in new.between}
            for bound in old.between:
                most = self._closure.most[bound.start][bound.end]
                if bound.most == most and left.get((bound.start, bound.end)) != most:
                    return None
            again._pieces[index] = new
        return again

    def marks(self) -> dict[object, bytes]:
        """Marks for all that a bound rests on: while they are the same, so is it, and why.

        Each moment has one by its name, each way between two fixed moments by the two names, and
        the row of the fixed moments by "".
        """
        found: dict[object, bytes] = {"": _mark(self.fixed)}
        for piece in self._pieces:
            mark = _mark([self._told(number) for number in piece.members])
            for moment in piece.moments:
                found[self._names[moment]] = mark
        for one in range(self._fixed):
            for other in range(self._fixed):
                far = self._closure.most[one][other]
                way = behind(self._closure.path(one, other)) if far < FAR else ()
                pair = (self._names[one], self._names[other])
                found[pair] = _mark([far, [self._reason(number) for number in way]])
        return found

    # The work

    def _told(self, number: int) -> tuple[object, ...]:
        """All of a statement that can bound a moment, as plain values."""
        reason, ways = self.said[number][:2]
        plain = (reason.rule, reason.says, reason.rests_on, number in self.off)
        if len(ways) == 1:
            return (plain, *map(tuple, ways[0]))
        way, closing = self._chosen.get(number, (-1, ()))
        every = [list(map(tuple, orders)) for orders in ways]
        return (plain, every, way, [self._reason(n) for n in closing])

    def _reason(self, number: int) -> tuple[object, ...]:
        reason = self.said[number].reason
        return (reason.rule, reason.says, reason.rests_on)

    def _cut(self) -> None:
        """Number the moments, and cut them into pieces that touch at fixed moments only."""
        top: list[int] = list(range(self._fixed))
        reach: list[int] = []
        self._ways: list[list[list[Bound]]] = []
        for index, statement in enumerate(self.said):
            mine = -1
            ways = []
            for way in statement.ways:
                bounds = []
                for order in way:
                    ends = []
                    for name in order[:2]:
                        number = self._number.setdefault(name, len(top))
                        ends.append(number)
                        if number == len(top):
                            top.append(number)
                        if number < self._fixed:
                            continue
                        if mine < 0:
                            mine = number
                        elif mine != number:
                            top[_root(top, number)] = _root(top, mine)
                    bounds.append(Bound(ends[0], ends[1], order.most, (index,)))
                ways.append(bounds)
            self._ways.append(ways)
            reach.append(mine)
        moments: dict[int, set[int]] = {}
        for number in range(self._fixed, len(top)):
            moments.setdefault(_root(top, number), set()).add(number)
        members: dict[int, list[int]] = {root: [] for root in moments}
        self._own: list[int] = []
        for number, mine in enumerate(reach):
            (members[_root(top, mine)] if mine >= 0 else self._own).append(number)
        self._names = {number: name for name, number in self._number.items()}
        self._pieces = [Piece(frozenset(moments[r]), tuple(members[r])) for r in moments]
        self._home = {n: i for i, piece in enumerate(self._pieces) for n in piece.moments}
        self._of = {n: i for i, piece in enumerate(self._pieces) for n in piece.members}
        self._stale = list(range(len(self._pieces)))
        self._base: Closure | None = None

    def _settle(self) -> None:
        """Follow everything up, set clashes aside and close ways, until nothing changes."""
        while True:
            try:
                self._follow()
                if not self._choose():
                    return
            except Contradiction as found:
                clash = clashing(self.said, found.because)
                self.clashes.append(clash)
                for number in clash.aside:
                    self._turn(number, on=False)

    def _follow(self) -> None:
        own = [bound for number in self._own for bound in self._bounds(number)]
        if self._base is None:
            self._base = Closure(self._fixed, own)
        while self._stale:
            piece = self._pieces[self._stale[0]]
            piece.follow([bound for n in piece.members for bound in self._bounds(n)])
            for bound in piece.between:
                if self._base.most[bound.end][bound.start] + bound.most < 0:
                    back = behind(self._base.path(bound.end, bound.start))
                    raise Contradiction((*bound.because, *back))
            index = heappop(self._stale)
            while self._stale and self._stale[0] == index:
                heappop(self._stale)
        best: dict[tuple[int, int], Bound] = {}
        for bound in (*own, *(bound for piece in self._pieces for bound in piece.between)):
            pair = (bound.start, bound.end)
            if pair not in best or bound.most < best[pair].most:
                best[pair] = bound
        self._closure = Closure(self._fixed, best.values())

    def _choose(self) -> bool:
        """Choose for every statement with several ways the one that is left open; was there any?"""
        found: list[tuple[int, int, tuple[int, ...]]] = []
        for number, statement in enumerate(self.said):
            if len(statement.ways) < 2 or number in self.off or number in self._chosen:
                continue
            against = [self._against(number, way) for way in range(len(statement.ways))]
            left = [way for way, closed in enumerate(against) if not closed]
            closing = tuple(dict.fromkeys(n for closed in against for n in closed))
            if not left:
                raise Contradiction((number, *closing))
            if len(left) == 1:
                found.append((number, left[0], closing))
        for number, way, closing in found:
            self._chosen[number] = (way, closing)
            self._spoil(number)
        return bool(found)

    def _against(self, number: int, way: int) -> tuple[int, ...]:
        """The statements that close one way of a statement; () where it is open."""
        for order in self.said[number].ways[way]:
            back = self.most(order.end, order.start)
            if back is not None and back + order.most < 0:
                return self.because(order.end, order.start)
        return ()

    def _aside(self, number: int) -> tuple[int, ...]:
        """The statements that a written date can't be true with, where one of them was set aside in
        a clash that is open; () where it can. Nobody knows yet which of those was wrong.
        """
        home = self._of.get(number)
        for clash in self.clashes:
            for other in clash.aside:
                if self.said[other].stands <= ABSENCES or self._of.get(other) != home:
                    continue
                beside = [
                    n
                    for n in (*(self._pieces[home].members if home is not None else ()), *self._own)
                    if n not in self.off and len(self.said[n].ways) == 1
                ]
                every = [*beside, other, number]
                if not consistent(self.said, every):
                    return tuple(n for n in reduced(self.said, every) if n != number)
        return ()

    def _turn(self, number: int, *, on: bool) -> None:
        """Let a statement count, or set it aside with the choices that rest on it."""
        self._spoil(number)
        if on:
            self.off.discard(number)
            return
        self.off.add(number)
        for other, (_, closing) in list(self._chosen.items()):
            if other == number or number in closing:
                del self._chosen[other]
                self._spoil(other)

    def _spoil(self, number: int) -> None:
        if number in self._of:
            heappush(self._stale, self._of[number])
        else:
            self._base = None

    def _bounds(self, number: int) -> Sequence[Bound]:
        ways = self._ways[number]
        if number in self.off:
            return ()
        if len(ways) == 1:
            return ways[0]
        if number not in self._chosen:
            return ()
        way, closing = self._chosen[number]
        return [bound._replace(because=(number, *closing)) for bound in ways[way]]

    def _piece(self, moment: int) -> Piece:
        return self._pieces[self._home[moment]]

    def _shortest(self, start: str, end: str) -> tuple[int, int, int, int]:
        """(how far, start, the fixed moment passed last or first, end), by number."""
        one, other = self._number.get(start, -1), self._number.get(end, -1)
        if one < 0 or other < 0:
            return FAR, one, one, one
        if one < self._fixed and other < self._fixed:
            far, through = self._closure.most[one][other], one
        elif one < self._fixed:
            row = self._closure.most[one]
            into = self._piece(other).into
            far, through = min(
                ((row[n] + spread.most.get(other, FAR), n) for n, spread in into.items()),
                default=(FAR, one),
            )
        else:
            assert other < self._fixed, "one of the two must be a fixed moment"
            most, out = self._closure.most, self._piece(one).out
            far, through = min(
                ((spread.most.get(one, FAR) + most[n][other], n) for n, spread in out.items()),
                default=(FAR, other),
            )
        return (far, one, through, other) if far < FAR // 2 else (FAR, one, one, one)


def _mark(plain: Any) -> bytes:
    # Version 2 of the format writes equal values as equal bytes, whichever objects hold them.
    return hashlib.blake2b(marshal.dumps(plain, 2), digest_size=16).digest()


def _root(top: list[int], number: int) -> int:
    while top[number] != number:
        top[number] = top[top[number]]
        number = top[number]
    return number
