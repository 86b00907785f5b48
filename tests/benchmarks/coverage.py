"""How often the 95 % interval holds the truth, for each way of measuring: the manual's table.

    python tests/benchmarks/coverage.py [--write | CASES [PART-OF-A-NAME]]

Seeded; 2,000 cases a method unless given. Prints a Markdown table; `--write` puts it into
the manual.
"""

from __future__ import annotations

import os
import sys
import time
import zlib
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "kits")]

import numpy as np  # noqa: E402
from scenes import METHODS  # noqa: E402

from archive.metrology.outcome import NoEstimate  # noqa: E402

MOST_DOUBT = 0.15


def study(name: str, cases: int) -> str:
    """One row: cases, refused, coverage, median error and median u (% of length), time a case."""
    chance = np.random.default_rng(zlib.crc32(name.encode()))
    covered, errors, stated, refused = 0, [], [], 0
    begun = time.perf_counter()
    for _ in range(cases):
        outcome, truth = METHODS[name](chance)
        if isinstance(outcome, NoEstimate) or outcome.u > MOST_DOUBT * outcome.value:
            refused += 1
            continue
        off = abs(outcome.value - truth)
        covered += off <= 1.96 * outcome.u
        errors.append(off / truth)
        stated.append(outcome.u / truth)
    each = (time.perf_counter() - begun) / cases
    rms = float(np.sqrt(np.mean(np.square(errors))))
    return (
        f"| {name} | {cases} | {refused} | {100 * covered / (cases - refused):.1f} "
        f"| {100 * float(np.median(errors)):.2f} | {100 * rms:.2f} "
        f"| {100 * float(np.median(stated)):.2f} | {1000 * each:.1f} |"
    )


HEADS = "method", "cases", "refused", "holds, %", "error, median %", "rms %", "u, median %", "ms"
MANUAL = Path(__file__).parents[2] / "archive" / "manual" / "measuring.md"


def main() -> None:
    """Print the table, or write it."""
    words = sys.argv[1:]
    write = "--write" in words
    cases = int(words[0]) if words and not write else 2000
    wanted = words[1] if len(words) > 1 else ""
    rows = [f"| {' | '.join(HEADS)} |", "|---" * len(HEADS) + "|"]
    print(*rows, sep="\n")
    for name in METHODS:
        if wanted in name:
            rows.append(study(name, cases))
            print(rows[-1], flush=True)
    if write:
        text = MANUAL.read_text("utf-8")
        start = text.index(rows[0])
        end = text.index("\n\n", start)
        MANUAL.write_text(text[:start] + "\n".join(rows) + text[end:], "utf-8")


if __name__ == "__main__":
    main()
