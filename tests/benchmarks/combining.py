"""How often figures taken together hold the truth, a fit is a fit, a stock size is right.

    python tests/benchmarks/combining.py [--write | CASES]

Seeded; 4,000 cases a line unless given. Prints a Markdown table; `--write` puts it into the manual.
"""

from __future__ import annotations

import math
import os
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "kits")]

from figures_made_up import FITS, MEANS, STOCKS  # noqa: E402

MANUAL = Path(__file__).parents[2] / "archive" / "manual" / "estimates.md"
HEADS = "what is drawn", "cases", "right, %", "said, %"


def main() -> None:
    """Print the table, or write it."""
    words = sys.argv[1:]
    write = "--write" in words
    cases = int(words[0]) if words and not write else 4000
    rows = [f"| {' | '.join(HEADS)} |", "|---" * len(HEADS) + "|"]
    for name, draw in (MEANS | FITS | STOCKS).items():
        rows.append(study(name, draw, cases))
        print(rows[-1], flush=True)
    if write:
        text = MANUAL.read_text("utf-8")
        start, end = text.index(rows[0]), text.index("\n\n", text.index(rows[0]))
        MANUAL.write_text(text[:start] + "\n".join(rows) + text[end:], "utf-8")


def study(name: str, draw: Callable, cases: int) -> str:
    """One line: how often it was right, and how often it said it would be, in per cent."""
    right, said, counted = right_and_said(name, draw, cases)
    return f"| {name} | {counted} | {100 * right:.1f} | {100 * said:.1f} |"


def right_and_said(name: str, draw: Callable, cases: int) -> tuple[float, float, int]:
    """The share that was right, the mean chance that was stated, and how many cases spoke."""
    import numpy as np

    chance = np.random.default_rng(zlib.crc32(name.encode()))
    told = [outcome for _ in range(cases) if (outcome := draw(chance)) is not None]
    right = math.fsum(good for good, _ in told) / max(1, len(told))
    said = math.fsum(stated for _, stated in told) / max(1, len(told))
    return right, said, len(told)


if __name__ == "__main__":
    main()
