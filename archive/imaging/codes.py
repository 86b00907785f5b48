"""Short codes of a picture's points, by which related pictures are looked up among thousands.

A code is a word (two halves of 9 bits) and 64 signs, both taken from the principal components of
the marks; `codebook.npz` holds components and words, trained once by
`tests/benchmarks/codebook.py`. Components and words are closed under turning a picture over and
under reversing its tones: either only flips the signs of known components and two bits of each half
of the word. So one set of codes serves all four ways, and two pictures score alike whichever is
asked about. (Product codes: H. Jégou, M. Douze, C. Schmid, "Product quantization for nearest
neighbor search", 2011; signs and the vote on turn and scale: the same, "Hamming embedding and weak
geometric consistency", 2008.)
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from archive.imaging.fitting import WAYS, Sight

DATA = Path(__file__).with_name("codebook.npz")
WORDS = 512  # of each half: 128 in each of four ways
HALF = 16  # components of each half
SIGNS = 64
TURNS = 238  # steps of a whole turn: 14 bins of 17, an odd number, so that a bin is its own mirror
TURN_BIN = 17
SCALES_AN_OCTAVE = 6
SCALE_BIN = 3
MOST_ALIKE = 6
"""A word that a picture holds more often is its grass: it is left out."""


@dataclass(frozen=True, eq=False)
class Codebook:
    """`mean` (128,), `components` (128, 64), `signs` (4, 64) of each way in the order of WAYS, and
    the `words` (2, 512, 16): the way is the two lowest bits of a word's number."""

    mean: Any
    components: Any
    signs: Any
    words: Any

    @property
    def masks(self) -> Any:
        """For each way the signs that it flips, as bits (4,)."""
        bits = (self.signs < 0).astype(np.uint64)
        weights = np.uint64(1) << np.arange(SIGNS, dtype=np.uint64)
        return (bits * weights).sum(1, dtype=np.uint64)


@cache
def codebook() -> Codebook:
    """The words that come with the program."""
    with np.load(DATA) as kept:
        base = kept["base"]
        signs = kept["signs"]
        words = np.stack(
            [
                (base[half][:, None, :] * signs[None, :, half : 2 * HALF : 2]).reshape(WORDS, HALF)
                for half in (0, 1)
            ]
        )
        return Codebook(kept["mean"], kept["components"], signs, words)


@dataclass(frozen=True, eq=False)
class Codes:
    """One picture's codes (n,): `words` as int32, `signs` as uint64, `turns` and `scales` as int16
    steps of the points' angles and sizes."""

    words: Any
    signs: Any
    turns: Any
    scales: Any


NO_CODES = Codes(
    np.zeros(0, np.int32), np.zeros(0, np.uint64), np.zeros(0, np.int16), np.zeros(0, np.int16)
)


def codes_of(sight: Sight) -> Codes:
    """The codes of a picture's points; those of words that it repeats left out."""
    book = codebook()
    flat = (sight.exact - book.mean) @ book.components
    words = np.zeros(len(flat), np.int32)
    for half in (0, 1):
        values = flat[:, half : 2 * HALF : 2]
        near = (book.words[half] ** 2).sum(1) - 2 * values @ book.words[half].T
        words = words * WORDS + near.argmin(1).astype(np.int32)
    weights = np.uint64(1) << np.arange(SIGNS, dtype=np.uint64)
    signs = ((flat > 0).astype(np.uint64) * weights).sum(1, dtype=np.uint64)
    turns = np.round(sight.points[:, 3] * TURNS / 360).astype(np.int16) % TURNS
    level = np.log2(np.maximum(sight.points[:, 2], 1e-3) / sight.long_px)
    scales = np.round(SCALES_AN_OCTAVE * level).astype(np.int16)
    _, place, times = np.unique(words, return_inverse=True, return_counts=True)
    rare = times[place] <= MOST_ALIKE
    return Codes(words[rare], signs[rare], turns[rare], scales[rare])


def in_way(words: Any, way: int) -> Any:
    """The words of the same points in a picture that lies in another way."""
    return words ^ (way * WORDS + way)


assert [2 * negative + mirrored for mirrored, negative in WAYS] == [0, 1, 2, 3]
