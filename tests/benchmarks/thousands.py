"""How long it takes to compare thousands of pictures, and one more with all of them.

    python tests/benchmarks/thousands.py FOLDER... [--at 500 1000 2000] [--work DIR] [--write]

The picture files under the folders are cut into tiles; each tile is written once as it is and once
as a print of it, distorted in one of the ways of `plates.STEPS`. So many of these files as `--at`
says are compared step by step as `build` compares them, files and limited children and cache
included; then one more print, in a process of its own. Times are processor seconds of all
processes. What is done is kept in `--work`: a run that was stopped, or killed, goes on. `--write`
puts the figures into the manual.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "kits")]

import numpy as np  # noqa: E402
import plates  # noqa: E402
from PIL import Image  # noqa: E402

from archive.core.images import ImageFacts  # noqa: E402
from archive.imaging.catalogue import facts_of  # noqa: E402
from archive.imaging.likenesses import likenesses_among, related_to  # noqa: E402

TILE = (440, 330)
PLAIN = 6.0  # grey levels: a tile of less is blank
TABLE, END = '[//]: # "figures of thousands.py"', '[//]: # "end of figures"'
MANUAL = HERE.parents[1] / "archive" / "manual" / "copies.md"


def tones_of(path: Path) -> Any:
    """All of a picture, in grey."""
    with Image.open(path) as image:
        return np.asarray(image.convert("L"))


def tiles(folders: list[Path]) -> list[tuple[Path, int, int]]:
    """Every tile (file, left, top) that is not blank, strewn by chance that is always the same."""
    found = []
    for folder in folders:
        for path in sorted(folder.rglob("*")):
            if path.suffix.lower() not in (".jpg", ".jpeg", ".png", ".webp") or path.is_symlink():
                continue
            tones = tones_of(path)
            for left in range(0, tones.shape[1] - TILE[0] + 1, TILE[0]):
                for top in range(0, tones.shape[0] - TILE[1] + 1, TILE[1]):
                    if tones[top : top + TILE[1], left : left + TILE[0]].std() >= PLAIN:
                        found.append((path, left, top))
    chance = np.random.default_rng(8)
    return [found[place] for place in chance.permutation(len(found))]


def make(folders: list[Path], out: Path, count: int) -> list[Path]:
    """So many picture files: of each tile itself (a) and a print of it (b), next to each other."""
    paths = [out / f"{number // 2:05}-{'ab'[number % 2]}.jpg" for number in range(count)]
    if all(path.exists() for path in paths):
        return paths
    out.mkdir(parents=True, exist_ok=True)
    every = tiles(folders)[: count // 2]
    if len(every) < count // 2:
        raise SystemExit(f"Only {2 * len(every)} files can be made of these pictures.")
    steps = sorted(plates.STEPS)
    where: dict[Path, list[int]] = {}
    for number, (path, _, _) in enumerate(every):
        where.setdefault(path, []).append(number)
    for path, numbers in where.items():
        whole = tones_of(path)
        for number in numbers:
            _, left, top = every[number]
            tile = np.ascontiguousarray(whole[top : top + TILE[1], left : left + TILE[0]])
            print_ = plates.printed(tile, steps[number % len(steps)], number)
            for name, tones in (("a", tile), ("b", print_)):
                Image.fromarray(tones).save(out / f"{number:05}-{name}.jpg", quality=92)
    return paths


def spent() -> float:
    """Processor seconds of this process and of all its children that have ended."""
    both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in both)


def memory_mib() -> tuple[float, float]:
    """The most that this process has held, and the largest of its children."""
    return tuple(  # type: ignore[return-value]
        resource.getrusage(who).ru_maxrss / 1024
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )


def good(paths: list[Path], cache: Path) -> dict[Path, ImageFacts]:
    """The facts of files that can be opened, which are all."""
    facts = facts_of(paths, cache / "images.json", workers=1)
    return {path: one for path, one in facts.items() if isinstance(one, ImageFacts)}


def compared(paths: list[Path], cache: Path) -> dict[str, float]:
    """What comparing these with each other cost, beyond what was done before."""
    facts = good(paths, cache)
    begun, wall = spent(), time.monotonic()

    def progress(done: int, of: int) -> None:
        print(f"{len(paths)}: {done} of {of}, {spent() - begun:.0f} s", file=sys.stderr, flush=True)

    found = likenesses_among(facts, cache, progress=progress, workers=1).likenesses
    stem = {one.sha256: path.stem for path, one in facts.items()}
    family = {frozenset((stem[one.one], stem[one.other])) for one in found}
    pairs = [frozenset((path.stem, f"{path.stem[:-1]}b")) for path in paths if path.stem[-1] == "a"]
    own, child = memory_mib()
    return {
        "seconds": spent() - begun,
        "wall": time.monotonic() - wall,
        "related": len(family),
        "own": sum(pair in family for pair in pairs) / len(pairs),
        "own_mib": own,
        "child_mib": child,
    }


def one_more(paths: list[Path], new: Path, cache: Path) -> dict[str, float]:
    """What it takes to compare one new picture with all that are held: children's start and the
    reading of the cache included."""
    held, fresh = good(paths, cache), good([new], cache)
    begun, wall = spent(), time.monotonic()
    found = related_to(fresh, held, cache, workers=1)[new]
    return {
        "seconds": spent() - begun,
        "wall": time.monotonic() - wall,
        "own": float(any(one.path.stem == "00000-a" for one in found)),
        "own_mib": memory_mib()[0],
    }


def lines(done: dict[str, dict[str, float]]) -> str:
    """The figures as Markdown."""
    made = [
        "| pictures held | processor s in all | s for each | for one more: processor s | wall s | "
        "memory, MiB | prints found |",
        "|---|---|---|---|---|---|---|",
    ]
    total, before = 0.0, 0
    for count in sorted(int(key) for key in done if key.isdigit()):
        step, more = done[str(count)], done[f"more {count}"]
        total += step["seconds"]
        made.append(
            f"| {count:,} | {total:.0f} | {step['seconds'] / (count - before):.2f} | "
            f"{more['seconds']:.2f} | {more['wall']:.2f} | "
            f"{step['own_mib'] + step['child_mib']:.0f} | {100 * step['own']:.0f} % |"
        )
        before = count
    return "\n".join(made)


def main() -> None:
    """Makes the files, compares them step by step, and prints the figures."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("folders", type=Path, nargs="*")
    ask.add_argument("--at", type=int, nargs="+", default=[500, 1000, 2000])
    ask.add_argument("--work", type=Path, default=Path("thousands"))
    ask.add_argument("--one", type=int, help=argparse.SUPPRESS)
    ask.add_argument("--write", action="store_true")
    args = ask.parse_args()
    cache, kept = args.work / "cache", args.work / "figures.json"
    paths = make(args.folders, args.work / "pictures", args.one or max(args.at))
    if args.one:
        plate = np.asarray(Image.open(paths[0]))
        new = args.work / f"one-more-{args.one}.jpg"
        Image.fromarray(plates.printed(plate, "mirrored negative", args.one)).save(new, quality=90)
        print(json.dumps(one_more(paths[: args.one], new, cache)))
        return
    done: dict[str, dict[str, float]] = json.loads(kept.read_text("utf-8")) if kept.exists() else {}
    for count in args.at:
        if str(count) not in done:
            done[str(count)] = compared(paths[:count], cache)
        if f"more {count}" not in done:
            command = [sys.executable, __file__, "--one", str(count), "--work", str(args.work)]
            answer = subprocess.run(command, stdout=subprocess.PIPE, check=True, env=os.environ)
            done[f"more {count}"] = json.loads(answer.stdout)
        kept.write_text(json.dumps(done), "utf-8")
    print(lines(done))
    if args.write:
        text = MANUAL.read_text("utf-8")
        head, mark, rest = text.partition(TABLE)
        _, end, tail = rest.partition(END)
        assert mark and end
        MANUAL.write_text(f"{head}{TABLE}\n\n{lines(done)}\n\n{END}{tail}", "utf-8")


if __name__ == "__main__":
    main()
