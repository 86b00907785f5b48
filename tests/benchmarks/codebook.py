"""Trains the words that pictures are looked up by, and writes them beside the program.

    python tests/benchmarks/codebook.py PICTURES…

Every second of the picture files under the folders given, of the demo and of made-up scenes is
learnt from. Run it again only with a new version of `archive.imaging.answers`: other words are
other candidates.
"""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "kits")]

import numpy as np  # noqa: E402
from copies import look, packages  # noqa: E402

from archive.imaging.codes import (  # noqa: E402
    DATA,
    HALF,
    RAREST,
    SIGNS,
    WORDS,
    codebook,
    codes_of,
    folded,
)
from archive.imaging.fitting import ORDERS, WAYS, Sight  # noqa: E402

ROUNDS = 18


def components(marks: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Components (128, 64), each of one sign in every way, and those signs (4, 64)."""
    swaps = {way: np.eye(128)[ORDERS[way]] for way in WAYS}
    found = []
    cover = np.cov(marks.T)
    cover = sum(swap @ cover @ swap.T for swap in swaps.values()) / 4
    for first in (1, -1):
        for second in (1, -1):
            keep = (np.eye(128) + first * swaps[True, False]) @ (
                np.eye(128) + second * swaps[False, True]
            )
            values, vectors = np.linalg.eigh(keep @ cover @ keep.T / 16)
            rank = round(float(np.trace(keep)) / 4)
            for index in range(1, rank + 1):
                signs = (1, first, second, first * second)
                found.append((float(values[-index]), vectors[:, -index], signs))
    found.sort(key=lambda item: -item[0])
    best = found[:SIGNS]
    return np.stack([v for _, v, _ in best], 1), np.array([s for _, _, s in best]).T


def words(values: np.ndarray, signs: np.ndarray, chance: np.random.Generator) -> np.ndarray:
    """Middles (128, 16) which, in all four ways, lie nearest to the values."""
    base = values[chance.choice(len(values), WORDS // 4, replace=False)]
    for _ in range(ROUNDS):
        every = (base[:, None] * signs[None]).reshape(WORDS, HALF)
        nearest = ((every**2).sum(1) - 2 * values @ every.T).argmin(1)
        # Back into the first way, so that all four teach one word.
        straight = values * signs[nearest % 4]
        for word in range(WORDS // 4):
            mine = straight[nearest // 4 == word]
            base[word] = mine.mean(0) if len(mine) else values[chance.integers(len(values))]
    return base


def rarity(sights: list[Sight]) -> np.ndarray:
    """How rare each word is, its reflections with it: RAREST where no picture holds it, 0 where all
    do."""
    held = np.zeros(WORDS * WORDS // 4, int)
    for sight in sights:
        held[np.unique(folded(codes_of(sight).words))] += 1
    total = len(sights) + 1
    return np.round(RAREST * np.log(total / (1 + held)) / np.log(total)).astype(np.uint8)


def main() -> None:
    """Learns and writes, first without rarities: they are counted by the words."""
    demo = sorted((HERE.parents[1] / "content" / "photos").glob("*.jpg"))
    names = [f"file:{name}" for name in packages([Path(word) for word in sys.argv[1:]])]
    names += [f"file:{path}" for path in demo] + [f"scene:{n}" for n in range(2000, 2016)]
    sights = [look(name) for name in names[::2]]
    marks = np.concatenate([sight.exact for sight in sights])
    mean = np.mean([marks[:, order].mean(0) for order in ORDERS.values()], 0)
    parts, signs = components(marks)
    chance = np.random.default_rng(1)
    flat = (marks - mean) @ parts
    flat = flat[chance.choice(len(flat), min(len(flat), 60_000), replace=False)]
    base = [words(flat[:, h : 2 * HALF : 2], signs[:, h : 2 * HALF : 2], chance) for h in (0, 1)]
    learnt = {"mean": mean, "components": parts, "signs": signs, "base": np.array(base)}
    kept = {name: array.astype(np.float32) for name, array in learnt.items()}
    np.savez_compressed(DATA, **kept, rarity=np.zeros(WORDS * WORDS // 4, np.uint8))
    codebook.cache_clear()
    np.savez_compressed(DATA, **kept, rarity=rarity(sights))
    print(f"{len(marks)} points of {len(names[::2])} pictures; {DATA.stat().st_size} bytes")


if __name__ == "__main__":
    main()
