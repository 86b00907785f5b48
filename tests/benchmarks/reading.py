"""Reading beside the plain C loader of PyYAML on the same text, in one run: CPU, three rounds.

    python tests/benchmarks/reading.py [RECORDS]

Prints the ratios for a first reading and for one from the cache, and exits 1 where they pass
3.0 and 0.3.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import yaml

FIRST, CACHED = 3.0, 0.3

PART = """\
---
title: Chine rail {n}
number: P-{n:05}
by: HB
on: 2026-05-{day:02}
purpose: as found on the slip
zone: 510
system: 5320
side: port
station: 4010.5 mm
tag: "{n:04}"
shelf: bay 2, rack C
mates: [rail-{before}]
survives: fragment
claims:
  - id: rivet-pitch
    aspect: size
    says: Rivets stand at an even pitch
    tolerance: 1/32 in
    evidence:
      - {{part: rail-{before}, quote: "eleven holes, ends included", value: 22.3 mm +/- 0.2 mm}}
      - {{part: rail-{n}, reading: clear, value: 7/8 in +/- 1/16 in limit}}
hazards: [lead-paint, sharp-edges]
custody: [the operator, a yard, the museum]
extent: {{area_m2: 0.25, count: 11}}
---
A length of rail with eleven holes.
"""


def write(folder: Path, count: int) -> None:
    """A content folder of `count` parts of 25 lines each."""
    (folder / "parts").mkdir(parents=True)
    (folder / "aircraft.yaml").write_text(
        "name: A\nunits: mm\ndatum: {station_zero: x}\ntarget: a\n"
        "configurations: [{id: a, name: A}]\n"
    )
    (folder / "zones.yaml").write_text("zones: [{id: 510, name: Wing}]\n")
    (folder / "people.yaml").write_text("people: [{id: hb, initials: HB, name: H B}]\n")
    for n in range(count):
        body = PART.format(n=n, before=max(0, n - 1), day=n % 28 + 1)
        (folder / "parts" / f"rail-{n}.md").write_text(body)


def plain(folder: Path) -> float:
    """CPU seconds of finding the front matter of each file and loading it with CSafeLoader."""
    start = time.process_time()
    for path in sorted((folder / "parts").iterdir()):
        yaml.load(path.read_text("utf-8").split("---\n", 2)[1], Loader=yaml.CSafeLoader)
    return time.process_time() - start


def ours(folder: Path, cache: Path | None) -> float:
    """CPU seconds of one reading in a process of its own, imports left out."""
    code = (
        "import sys, time\nfrom pathlib import Path\nfrom archive.read.load import load\n"
        "start = time.process_time()\n"
        f"load(Path({str(folder)!r}), {f'Path({str(cache)!r})' if cache else None})\n"
        "print(time.process_time() - start)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    return float(done.stdout)


def main() -> int:
    """Three rounds; the medians are compared."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    with tempfile.TemporaryDirectory() as made:
        folder, cache = Path(made) / "content", Path(made) / "cache"
        write(folder, count)
        ours(folder, cache)
        rounds = [(plain(folder), ours(folder, None), ours(folder, cache)) for _ in range(3)]
    base, first, cached = (statistics.median(column) for column in zip(*rounds, strict=True))
    print(f"{count} records; CSafeLoader {base:.2f} s")
    print(f"first time {first:.2f} s = {first / base:.2f} x (at most {FIRST})")
    print(f"from cache {cached:.2f} s = {cached / base:.2f} x (at most {CACHED})")
    return 0 if first <= FIRST * base and cached <= CACHED * base else 1


if __name__ == "__main__":
    sys.exit(main())
