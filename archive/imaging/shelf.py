"""All held pictures by their codes: which of them may be related to a new one, in one look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from archive.imaging.codes import (
    SCALE_BIN,
    TURN_BIN,
    TURNS,
    WORDS,
    Codes,
    codebook,
    in_way,
)

ENOUGH = 6
"""Votes for one turn and one scale from which a pair is looked at closely."""
NEAR = 20
"""Signs that two points of one word may differ in."""
_TURN_BINS = TURNS // TURN_BIN
_SCALE_BINS = 17
_BYTES = np.array([bin(value).count("1") for value in range(256)], np.uint8)


class Shelf:
    """Pictures and their codes, one after the other; the score of a pair hangs on these two alone.

    Votes are counted for each way, turn and scale, each bin with its neighbours.
    """

    def __init__(self) -> None:
        self._names: list[str] = []
        self._loose: list[tuple[Any, ...]] = []
        self._packed: tuple[Any, ...] = (
            np.zeros(0, np.int32),
            np.zeros(0, np.uint64),
            np.zeros(0, np.int16),
            np.zeros(0, np.int16),
            np.zeros(0, np.int32),
        )

    def add(self, name: str, codes: Codes) -> None:
        """Puts a picture on the shelf."""
        owner = np.full(len(codes.words), len(self._names), np.int32)
        self._names.append(name)
        self._loose.append((codes.words, codes.signs, codes.turns, codes.scales, owner))

    def like(self, codes: Codes) -> dict[str, int]:
        """Names of the pictures that may be related to one with these codes → the votes."""
        self._pack()
        words, signs, turns, scales, owners = self._packed
        found: dict[int, int] = {}
        masks = codebook().masks
        asked = np.zeros(WORDS * WORDS, bool)
        for way in range(4):
            asked[in_way(codes.words, way)] = True
        some = np.flatnonzero(asked[words])
        words, signs, turns, scales, owners = (
            column[some] for column in (words, signs, turns, scales, owners)
        )
        for way in range(4):
            mine = in_way(codes.words, way)
            order = np.argsort(mine, kind="stable")
            low = np.searchsorted(mine[order], words, "left")
            count = np.searchsorted(mine[order], words, "right") - low
            theirs = np.repeat(np.arange(len(words)), count)
            step = np.arange(len(theirs)) - np.repeat(np.cumsum(count) - count, count)
            ours = order[np.repeat(low, count) + step]
            apart = codes.signs[ours] ^ masks[way] ^ signs[theirs]
            near = _BYTES[apart.view(np.uint8)].reshape(-1, 8).sum(1) <= NEAR
            ours, theirs = ours[near], theirs[near]
            sense = 1 if way & 1 else -1
            turn = codes.turns[ours].astype(int) + sense * turns[theirs]
            turn = (turn + TURN_BIN // 2) // TURN_BIN % _TURN_BINS
            scale = codes.scales[ours].astype(int) - scales[theirs]
            scale = np.clip((scale + SCALE_BIN // 2) // SCALE_BIN, -8, 8) + 8
            for owner, votes in _most(owners[theirs], turn, scale, ours, some[theirs]):
                found[owner] = max(found.get(owner, 0), votes)
        return {self._names[owner]: votes for owner, votes in sorted(found.items())}

    def _pack(self) -> None:
        if self._loose:
            columns = zip(self._packed, *self._loose, strict=True)
            self._packed = tuple(np.concatenate(column) for column in columns)
            self._loose = []


def _most(
    owners: Any, turns: Any, scales: Any, ours: Any, theirs: Any
) -> Sequence[tuple[int, int]]:
    """(owner, votes) of every owner that has enough votes in a bin and its neighbours.

    A point that meets many has one vote in each bin: of both pictures the fewer points count.
    """
    total = np.bincount(owners) if len(owners) else np.zeros(0, int)
    able = np.flatnonzero(total >= ENOUGH)
    if not len(able):
        return []
    place = np.full(len(total), -1)
    place[able] = np.arange(len(able))
    mine = place[owners]
    kept = mine >= 0
    cell = (mine[kept] * _TURN_BINS + turns[kept]) * _SCALE_BINS + scales[kept]
    most = np.minimum(
        _votes(cell, ours[kept], len(able)), _votes(cell, theirs[kept], len(able))
    ).max((1, 2))
    enough = most >= ENOUGH
    return [(int(o), int(v)) for o, v in zip(able[enough], most[enough], strict=True)]


def _votes(cell: Any, points: Any, count: int) -> Any:
    """How many different points vote in each bin and its neighbours: (owners, turns, scales)."""
    once = np.unique(cell.astype(np.int64) << 32 | points) >> 32 if len(cell) else cell
    votes = np.bincount(once, minlength=count * _TURN_BINS * _SCALE_BINS)
    votes = votes.reshape(count, _TURN_BINS, _SCALE_BINS)
    votes = votes + np.roll(votes, 1, 1) + np.roll(votes, -1, 1)
    wide = np.pad(votes, ((0, 0), (0, 0), (1, 1)))
    return wide[:, :, :-2] + wide[:, :, 1:-1] + wide[:, :, 2:]
