"""All held pictures by their codes: which of them may be related to a new one, in one look.

First those that share enough rare words at one turn and one scale; of these, whose points also lie
to each other as in the new picture. Both hang on the two pictures alone, whichever is asked about.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from archive.imaging.codes import (
    ACROSS,
    COLUMNS,
    RAREST,
    SCALE_BIN,
    SCALES_AN_OCTAVE,
    TURN_BIN,
    TURNS,
    WORDS,
    Codes,
    codebook,
    in_way,
    straight,
)
from archive.imaging.fitting import WAYS

ENOUGH = RAREST + 4
"""The weight of the shared words from which a pair is looked at closely."""
CLOSER = 400
"""So many, by the words that they share at one turn and scale, are weighed by their places too."""
MOST = 20
"""Of all that may be related to a picture, so many of the likeliest are looked at closely."""
NEAR = 20
"""Signs that two points of one word may differ in."""
BESIDE = 0.15
"""Of the longer side of the larger picture: how far a point may lie from where another says."""
_TURN_BINS = TURNS // TURN_BIN
_SCALE_BINS = 17
_MEETINGS = 1200  # most that are laid to each other: of words that repeat, the rarest
_BYTES = np.array([bin(value).count("1") for value in range(256)], np.uint8)


@dataclass(frozen=True, slots=True)
class Maybe:
    """A picture that may be related: the weight of what the two share, and in which of the ways
    (mirrored, negative) there is enough."""

    name: str
    weight: int
    ways: tuple[tuple[bool, bool], ...]


@dataclass(frozen=True, slots=True)
class _Meetings:
    """Points of the new picture that meet points of held ones, in one way: whose they are, words,
    turn and scale from the held to the new, and both places."""

    owners: Any
    words: Any
    turns: Any
    scales: Any
    here: Any
    there: Any

    def some(self, chosen: Any) -> _Meetings:
        return _Meetings(
            self.owners[chosen],
            self.words[chosen],
            self.turns[chosen],
            self.scales[chosen],
            self.here[chosen],
            self.there[chosen],
        )


class Shelf:
    """Pictures and their codes, one after the other."""

    def __init__(self) -> None:
        self._names: list[str] = []
        self._count = 0
        self._held = {
            name: np.zeros((0, *shape), kind)
            for name, kind, shape in (*COLUMNS, ("owners", "<i4", ()))
        }

    def add(self, name: str, codes: Codes) -> None:
        """Puts a picture on the shelf."""
        size = self._count + len(codes.words)
        if size > len(self._held["words"]):
            for column, held in self._held.items():
                wider = np.zeros((size + size // 2 + 1024, *held.shape[1:]), held.dtype)
                wider[: self._count] = held[: self._count]
                self._held[column] = wider
        for column, _, _ in COLUMNS:
            self._held[column][self._count : size] = getattr(codes, column)
        self._held["owners"][self._count : size] = len(self._names)
        self._names.append(name)
        self._count = size

    def like(self, codes: Codes) -> tuple[Maybe, ...]:
        """The pictures that may be related to one with these codes, the likeliest first, at most
        MOST of them."""
        asked = np.zeros(WORDS * WORDS, bool)
        for way in range(4):
            asked[in_way(codes.words, way)] = True
        some = np.flatnonzero(asked[self._held["words"][: self._count]])
        theirs = {column: held[some] for column, held in self._held.items()}
        order = np.argsort(codes.words, kind="stable")
        first = np.searchsorted(codes.words[order], np.arange(WORDS * WORDS + 1)).astype(np.int32)
        met = [_meetings(codes, theirs, order, first, way) for way in range(4)]
        most = [_at_one_turn(meetings) for meetings in met]
        every = np.sort(np.concatenate(most))[::-1]
        least = max(ENOUGH, int(every[CLOSER - 1]) if len(every) >= CLOSER else 0)
        weights: dict[int, dict[int, int]] = {}
        for way in range(4):
            for owner, weight in _weighed(met[way], most[way] >= least):
                weights.setdefault(owner, {})[way] = weight
        found = [
            Maybe(self._names[owner], max(mine.values()), tuple(WAYS[way] for way in mine))
            for owner, mine in weights.items()
        ]
        found.sort(key=lambda maybe: (-maybe.weight, maybe.name))
        return tuple(found[:MOST])


def _meetings(codes: Codes, theirs: Any, order: Any, first: Any, way: int) -> _Meetings:
    """All points of one word whose signs are alike; `order` sorts the new picture's words, `first`
    says where each begins in that order."""
    asked = in_way(theirs["words"], way)
    low = first[asked]
    count = first[asked + 1] - low
    there = np.repeat(np.arange(len(asked)), count)
    step = np.arange(len(there)) - np.repeat(np.cumsum(count) - count, count)
    here = order[np.repeat(low, count) + step]
    apart = codes.signs[here] ^ codebook().masks[way] ^ theirs["signs"][there]
    near = _BYTES[apart.view(np.uint8)].reshape(-1, 8).sum(1) <= NEAR
    here, there = here[near], there[near]
    mirrored, negative = WAYS[way]
    turn = theirs["turns"][there].astype(int) + (TURNS // 2 if negative else 0)
    return _Meetings(
        theirs["owners"][there],
        straight(codes.words[here]),
        (codes.turns[here] + (turn if mirrored else -turn)) % TURNS,
        codes.scales[here].astype(int) - theirs["scales"][there],
        codes.places[here].astype(float),
        theirs["places"][there].astype(float) * ([1, -1] if mirrored else [1, 1]),
    )


def _at_one_turn(meetings: _Meetings) -> Any:
    """For each owner the weight of the words shared at one turn and scale, in one bin and its
    neighbours; 0 where all that it shares is not enough. Places can only make it less."""
    turns = (meetings.turns + TURN_BIN // 2) // TURN_BIN % _TURN_BINS
    scales = np.clip((meetings.scales + SCALE_BIN // 2) // SCALE_BIN, -8, 8) + 8
    rarity = codebook().rarity
    total = np.bincount(meetings.owners, rarity[meetings.words]).astype(int)
    able = np.flatnonzero(total >= ENOUGH)
    place = np.full(len(total), -1)
    place[able] = np.arange(len(able))
    mine = place[meetings.owners]
    kept = mine >= 0
    cell = (mine[kept] * _TURN_BINS + turns[kept]) * _SCALE_BINS + scales[kept]
    once = np.unique(cell << 18 | meetings.words[kept])  # a word counts once in each bin
    bins = np.bincount(
        once >> 18, rarity[once & (1 << 18) - 1], len(able) * _TURN_BINS * _SCALE_BINS
    ).reshape(len(able), _TURN_BINS, _SCALE_BINS)
    bins = bins + np.roll(bins, 1, 1) + np.roll(bins, -1, 1)
    wide = np.pad(bins, ((0, 0), (0, 0), (1, 1)))
    most = np.zeros(len(total), int)
    most[able] = (wide[:, :, :-2] + wide[:, :, 1:-1] + wide[:, :, 2:]).max((1, 2), initial=0)
    return most


def _weighed(meetings: _Meetings, chosen: Any) -> list[tuple[int, int]]:
    """(owner, weight) of every owner of those `chosen` (by number) that shares enough words."""
    mine = np.flatnonzero(chosen[meetings.owners])
    meetings = meetings.some(mine[np.argsort(meetings.owners[mine], kind="stable")])
    owners, start, count = np.unique(meetings.owners, return_index=True, return_counts=True)
    found = []
    for owner, low, high in zip(owners, start, start + count, strict=True):
        weight = _weight(meetings.some(slice(low, high)))
        if weight >= ENOUGH:
            found.append((int(owner), weight))
    return found


def _weight(mine: _Meetings) -> int:
    """The weight of the words that meet as one of the meetings says, for the best of them.

    Two meetings agree where turn and scale do, and where the step from one point to the other in
    the held picture, so turned and scaled, is their step in the new one.
    """
    rarity = codebook().rarity
    if len(mine.words) > _MEETINGS:
        mine = mine.some(_rarest(mine.words, rarity))
    words, place = np.unique(mine.words, return_inverse=True)
    shared = np.zeros((len(mine.words), len(words)), bool)
    turn = (mine.turns[None] - mine.turns[:, None] + TURNS // 2) % TURNS - TURNS // 2
    scale = mine.scales[None] - mine.scales[:, None]
    agree = (np.abs(turn) <= TURN_BIN) & (np.abs(scale) <= SCALE_BIN)
    one, other = np.nonzero(agree)
    angle = (mine.turns[one] + turn[one, other] / 2) * (2 * np.pi / TURNS)
    size = 2.0 ** ((mine.scales[one] + mine.scales[other]) / (2 * SCALES_AN_OCTAVE))
    step, there = mine.here[other] - mine.here[one], mine.there[other] - mine.there[one]
    cos, sin = size * np.cos(angle), size * np.sin(angle)
    off_x = step[:, 0] - cos * there[:, 0] + sin * there[:, 1]
    off_y = step[:, 1] - sin * there[:, 0] - cos * there[:, 1]
    near = off_x**2 + off_y**2 < (BESIDE * ACROSS * np.maximum(1.0, size)) ** 2
    shared[one[near], place[other[near]]] = True
    return int((shared @ rarity[words]).max())


def _rarest(words: Any, rarity: Any) -> Any:
    """The meetings of the rarest words, as many as are laid to each other; whole words."""
    kinds, place, count = np.unique(words, return_inverse=True, return_counts=True)
    order = np.lexsort((kinds, -rarity[kinds]))
    kept = np.zeros(len(kinds), bool)
    kept[order[np.cumsum(count[order]) <= _MEETINGS]] = True
    return np.flatnonzero(kept[place])
