"""How often the 95 % interval holds the truth, for each way of measuring: the manual's two tables.

    python tests/benchmarks/coverage.py [--write | CASES [PART-OF-A-NAME]]

Seeded; 2,000 cases a row unless given. Prints Markdown tables: every method inside its limits, then
what happens where the record says what isn't so. `--write` puts them into the manual.
"""

from __future__ import annotations

import os
import sys
import time
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "kits")]

import numpy as np  # noqa: E402
from scenes import METHODS, STRAINED, Case, Chance  # noqa: E402

from archive.core.allowances import MOST_DOUBT  # noqa: E402
from archive.metrology.outcome import NoEstimate  # noqa: E402


def study(name: str, make: Callable[[Chance], Case], cases: int) -> str:
    """One row: cases, refused, coverage, median error and median u (% of length), time a case."""
    chance = np.random.default_rng(zlib.crc32(name.encode()))
    covered, errors, stated, refused = 0, [], [], 0
    begun = time.perf_counter()
    for _ in range(cases):
        outcome, truth = make(chance)
        if isinstance(outcome, NoEstimate) or not outcome.u < MOST_DOUBT * outcome.value:
            refused += 1
            continue
        off = abs(outcome.value - truth)
        covered += off <= 1.96 * outcome.u
        errors.append(off / truth)
        stated.append(outcome.u / truth)
    each = (time.perf_counter() - begun) / cases
    if not errors:
        return f"| {name} | {cases} | {refused} | | | | | {1000 * each:.1f} |"
    rms = float(np.sqrt(np.mean(np.square(errors))))
    return (
        f"| {name} | {cases} | {refused} | {100 * covered / len(errors):.1f} "
        f"| {100 * float(np.median(errors)):.2f} | {100 * rms:.2f} "
        f"| {100 * float(np.median(stated)):.2f} | {1000 * each:.1f} |"
    )


HEADS = "cases", "refused", "holds, %", "error, median %", "rms %", "u, median %", "ms"
TABLES: Mapping[str, Mapping[str, Callable[[Chance], Case]]] = {
    "method": METHODS,
    "what was said isn't so": STRAINED,
}
MANUAL = Path(__file__).parents[2] / "archive" / "manual" / "measuring.md"


def main() -> None:
    """Print the tables, or write them."""
    words = sys.argv[1:]
    write = "--write" in words
    cases = int(words[0]) if words and not write else 2000
    wanted = words[1] if len(words) > 1 else ""
    for head, makers in TABLES.items():
        rows = [f"| {' | '.join((head, *HEADS))} |", "|---" * (len(HEADS) + 1) + "|"]
        print(*rows, sep="\n")
        for name, make in makers.items():
            if wanted in name:
                rows.append(study(name, make, cases))
                print(rows[-1], flush=True)
        print()
        if write:
            text = MANUAL.read_text("utf-8")
            start = text.index(rows[0])
            end = text.index("\n\n", start)
            MANUAL.write_text(text[:start] + "\n".join(rows) + text[end:], "utf-8")


if __name__ == "__main__":
    main()
