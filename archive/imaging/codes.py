"""Short codes of a picture's points, by which related pictures are looked up among thousands.

A code is a word (two halves of 9 bits) and 64 signs, both taken from the principal components of
the marks, with the point's place, turn and size; `codebook.npz` holds components, words and how
rare each word is, learnt once by `tests/benchmarks/codebook.py`. Components and words are closed
under turning a picture over and under reversing its tones: either only flips the signs of known
components and two bits of each half of the word. So one set of codes serves all four ways, and two
pictures score alike whichever is asked about. (Product codes: H. Jégou, M. Douze, C. Schmid,
"Product quantization for nearest neighbor search", 2011; signs: the same, "Hamming embedding and
weak geometric consistency", 2008; rare words weigh more: K. Spärck Jones, "A statistical
interpretation of term specificity and its application in retrieval", 1972.)
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
ACROSS = 8192
"""Steps of a place in the longer side of a picture."""
RAREST = 20
"""The weight of a word that no picture held of those which the codebook was learnt from."""
MOST_ALIKE = 6
"""A word that a picture holds more often is its grass: it is left out."""


@dataclass(frozen=True, eq=False)
class Codebook:
    """`mean` (128,), `components` (128, 64), `signs` (4, 64) of each way in the order of WAYS, and
    the `words` (2, 512, 16): the way is the two lowest bits of a word's number. `rarity` (2^18,)
    is the weight of each word, 0 to RAREST."""

    mean: Any
    components: Any
    signs: Any
    words: Any
    rarity: Any

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
        rarity = kept["rarity"].astype(np.int64)[folded(np.arange(WORDS * WORDS))]
        return Codebook(kept["mean"], kept["components"], signs, words, rarity)


@dataclass(frozen=True, eq=False)
class Codes:
    """One picture's codes (n,): `words` as int32, `signs` as uint64, `turns` and `scales` as int16
    steps of the points' angles and sizes, `places` (n, 2) as int16 steps from the picture's
    middle."""

    words: Any
    signs: Any
    turns: Any
    scales: Any
    places: Any


COLUMNS = (
    ("words", "<i4", ()),
    ("signs", "<u8", ()),
    ("turns", "<i2", ()),
    ("scales", "<i2", ()),
    ("places", "<i2", (2,)),
)
"""Name, kind and shape of each column of the codes."""

NO_CODES = Codes(*(np.zeros((0, *shape), kind) for _, kind, shape in COLUMNS))


def codes_of(sight: Sight) -> Codes:
    """The codes of a picture's points; those of words that it repeats left out."""
    if not len(sight.points):
        return NO_CODES
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
    middle = (sight.width_px / 2, sight.height_px / 2)
    places = np.round((sight.points[:, :2] - middle) * (ACROSS / sight.long_px)).astype(np.int16)
    _, place, times = np.unique(words, return_inverse=True, return_counts=True)
    rare = times[place] <= MOST_ALIKE
    return Codes(words[rare], signs[rare], turns[rare], scales[rare], places[rare])


def in_way(words: Any, way: int) -> Any:
    """The words of the same points in a picture that lies in another way."""
    return words ^ (way * WORDS + way)


def straight(words: Any) -> Any:
    """The words as in the first of the four ways: one number for a word and its reflections."""
    return in_way(words, words // WORDS & 3)


def folded(words: Any) -> Any:
    """`straight` words without the two bits that are always 0: a place in the list of rarities."""
    upright = straight(words)
    return upright // WORDS // 4 * WORDS + upright % WORDS


assert [2 * negative + mirrored for mirrored, negative in WAYS] == [0, 1, 2, 3]
