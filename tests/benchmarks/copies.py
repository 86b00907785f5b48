"""How well copies are told from next frames: figures per distortion, and false joins.

    python tests/benchmarks/copies.py [--photographs DIR]... [--drawn DIR]... [--each N] [--write]

Distorts made-up scenes, the demo's period photographs, and photographs and drawn pictures from
packages (searched for picture files; nothing of them is kept), compares each with its source, and
looks it up by its codes; compares unrelated pictures with each other; and frames of one scene: from
the same stand, with people or the camera moved, with a sister's mark. The last third of the scenes
was held out while the rules were set. `--each` is how many distortions each picture of the demo and
of a package gets (all by default). `--write` puts the table into the manual. Progress and figures
are kept in `--work`, so that a run that was stopped goes on.
"""

from __future__ import annotations

import argparse
import itertools
import json
import os
import re
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "kits")]

import numpy as np  # noqa: E402
import plates  # noqa: E402
from PIL import Image  # noqa: E402

from archive.core.likeness import ANOTHER, COPIES, NONE, OPEN  # noqa: E402
from archive.imaging.codes import codes_of  # noqa: E402
from archive.imaging.comparing import judged  # noqa: E402
from archive.imaging.fitting import Sight, fit  # noqa: E402
from archive.imaging.mount import picture_area  # noqa: E402
from archive.imaging.raster import Grey  # noqa: E402
from archive.imaging.shelf import ENOUGH, Shelf  # noqa: E402
from archive.imaging.sight import points_of  # noqa: E402

ANSWERS = (COPIES, OPEN, ANOTHER, NONE)
LONG = 1200
TABLE, END = '[//]: # "figures of copies.py"', '[//]: # "end of figures"'
MANUAL = HERE.parents[1] / "archive" / "manual" / "copies.md"


def seen(tones: Any) -> tuple[Grey, Sight]:
    """The tones as the child holds them, and their points."""
    grey = Grey(np.ascontiguousarray(tones), tones.shape[1], tones.shape[0])
    points, marks = points_of(grey)
    return grey, Sight(*grey.pixels.shape[::-1], np.array(picture_area(grey)), points, marks)


def answer(one: tuple[Grey, Sight], other: tuple[Grey, Sight]) -> str:
    """The answer about two pictures."""
    found = fit(one[1], other[1])
    if found is None:
        return NONE
    areas = (one[1].area, other[1].area)
    return str(judged(one[0], other[0], areas, found.warp, found.negative)["answer"])


def opened(path: str) -> Any:
    """A picture file's tones, its longer side at most LONG."""
    with Image.open(path) as image:
        image.draft("L", (LONG, LONG))
        grey = image.convert("L")
        grey.thumbnail((LONG, LONG), Image.Resampling.LANCZOS)
        return np.asarray(grey)


def source(name: str) -> Any:
    """The tones of a source: `scene:N`, or a file."""
    kind, _, rest = name.partition(":")
    if kind == "scene":
        return plates.negative(plates.scene(int(rest)), int(rest))
    return opened(rest)


def packages(folders: list[Path]) -> list[str]:
    """One picture of each folder's kind: photographs of some size, each once."""
    found: dict[tuple[str, ...], tuple[int, str]] = {}
    for folder in folders:
        for path in sorted(folder.rglob("*")):
            if path.suffix.lower() not in (".jpg", ".jpeg", ".png", ".webp") or path.is_symlink():
                continue
            if not path.is_file() or path.stat().st_size < 40_000:
                continue
            # Wallpapers lie as NAME/contents/images/WIDTHxHEIGHT: one of each.
            same = re.fullmatch(r"\d+x\d+", path.stem)
            key = path.parts[:-1] if same else (re.sub(r"[-_]?\d+x\d+$", "", path.stem),)
            if path.stat().st_size > found.get(key, (0, ""))[0]:
                found[key] = (path.stat().st_size, str(path))
    return [name for _, name in sorted(found.values(), key=lambda item: item[1])]


def distorted(job: tuple[str, list[str], int]) -> list[tuple[str, str, int]]:
    """(distortion, answer, weight by which it is looked up) of one source with each of its
    distortions; 0 where it is not."""
    name, steps, seed = job
    tones = source(name)
    if min(tones.shape) < 300:
        return []
    plain = seen(tones)
    shelf = Shelf()
    shelf.add(name, codes_of(plain[1]))
    found = []
    for step in steps:
        print_ = seen(plates.printed(tones, step, seed))
        maybe = shelf.like(codes_of(print_[1]))
        found.append((step, answer(plain, print_), maybe[0].weight if maybe else 0))
    return found


FRAMES: dict[str, dict[str, Any]] = {
    "stand": {},
    "stand again": {},
    "people moved": {"people": 1},
    "people moved again": {"people": 2},
    "sister's mark": {"mark": "RT-43"},
    "sister's mark, people moved": {"mark": "RT-43", "people": 3},
    "camera moved a little": {"shift": (3.0, 0.5)},
    "camera moved": {"shift": (9.0, 2.0)},
    "camera moved far": {"shift": (26.0, 4.0)},
    "camera moved far, people moved": {"shift": (-30.0, 6.0), "people": 4},
}


def frames(station: int) -> list[tuple[str, str]]:
    """(what the two frames are, answer) of every pair of frames of one scene; every second frame
    is a worn print."""
    held = []
    for number, (name, made) in enumerate(FRAMES.items()):
        tones = plates.negative(plates.scene(station, **made), 100 * station + number)
        if number % 2:
            chance = np.random.default_rng((station, number))
            for step in (plates.toned, plates.turned, plates.bordered, plates.saved)[: station % 5]:
                tones = step(tones, chance)
        held.append((name, made.get("shift", (0.0, 0.0)), seen(tones)))
    found = []
    for (name, shift, one), (other_name, other_shift, other) in itertools.combinations(held, 2):
        apart = float(np.hypot(shift[0] - other_shift[0], shift[1] - other_shift[1]))
        kind = "same stand" if apart == 0 else "camera 3 to 12 px" if apart < 13 else "camera far"
        if apart == 0 and ("mark" in name) != ("mark" in other_name):
            kind = "same stand, sister"
        elif apart == 0 and "people" in name + other_name:
            kind = "same stand, people moved"
        found.append((kind, answer(one, other)))
    return found


def look(name: str) -> Sight:
    """The points of a source, without its tones."""
    return seen(source(name))[1]


def strangers(job: tuple[list[str], int, int]) -> list[tuple[str, str, int]]:
    """Unrelated pairs (one of every `of`, from `start`) whose points fit."""
    names, start, of = job
    sights = _sights(tuple(names))
    found = []
    for index in range(start, len(names), of):
        for other in range(index):
            fitted = fit(sights[index], sights[other])
            if fitted:
                verdict = answer(seen(source(names[index])), seen(source(names[other])))
                found.append((f"{names[index]} {names[other]} {verdict}", verdict, fitted.matches))
    return found


_kept: dict[tuple[str, ...], list[Sight]] = {}


def _sights(names: tuple[str, ...]) -> list[Sight]:
    if names not in _kept:
        _kept[names] = [look(name) for name in names]
    return _kept[names]


class Work:
    """Figures by job, kept in a file after each, so that a run goes on where it was stopped."""

    def __init__(self, folder: Path, processes: int) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._file = folder / "figures.json"
        self.done: dict[str, Any] = (
            json.loads(self._file.read_text("utf-8")) if self._file.exists() else {}
        )
        self._processes = processes

    def run(self, what: str, function: Any, jobs: list[Any]) -> list[Any]:
        """The answers to all jobs, those at hand taken from before."""
        keys = [f"{what} {json.dumps(job)}" for job in jobs]
        left = [(k, j) for k, j in zip(keys, jobs, strict=True) if k not in self.done]
        start = saved = time.time()
        with ProcessPoolExecutor(self._processes) as pool:
            answers = pool.map(function, [job for _, job in left])
            for number, ((key, _), found) in enumerate(zip(left, answers, strict=True), 1):
                self.done[key] = found
                if time.time() - saved > 10 or number == len(left):
                    saved = time.time()
                    self._file.write_text(json.dumps(self.done), "utf-8")
                    print(f"{what}: {number} of {len(left)}, {time.time() - start:.0f} s", file=sys.stderr)  # noqa: E501  # fmt: skip
        return [self.done[key] for key in keys]


def shares(found: list[str]) -> str:
    """How often: copies, can't be told, another, none."""
    return " / ".join(str(found.count(word)) for word in ANSWERS) if found else "–"


def per_cent(found: list[bool]) -> str:
    """The part that holds."""
    return f"{100 * sum(found) / len(found):.1f} %" if found else "–"


def tables(work: Work, args: argparse.Namespace) -> str:
    """All figures as Markdown."""
    scenes = [f"scene:{n}" for n in range(args.scenes)]
    demo = sorted(
        f"file:{path}"
        for path in (HERE.parents[1] / "content" / "photos").iterdir()
        if path.suffix in (".jpg", ".png", ".webp")
        and "kind: period" in path.with_suffix(".md").read_text("utf-8")
    )
    photographs = [f"file:{name}" for name in packages(args.photographs)]
    drawn = [f"file:{name}" for name in packages(args.drawn)]
    steps = list(plates.STEPS)

    def some(names: list[str], seed: int) -> list[Any]:
        """Each name with as many distortions as asked, all of them in turn."""
        return [
            (name, [steps[(number * args.each + k) % len(steps)] for k in range(args.each)], seed)
            for number, name in enumerate(names)
        ]

    def drawn_by_lot(names: list[str], seed: int) -> list[Any]:
        return [(name, [plates.AT_RANDOM], seed + k) for k, name in enumerate(names)]

    sets = {
        f"made-up scenes ({len(scenes)})": [
            *((name, steps, 1) for name in scenes),
            *drawn_by_lot(scenes, 100),
        ],
        f"the demo ({len(demo)})": [*some(demo, 2), *drawn_by_lot(demo[::4], 200)],
        f"photographs ({len(photographs)})": [
            *some(photographs, 3),
            *drawn_by_lot(photographs[::4], 300),
        ],
        f"drawn ({len(drawn)})": [*some(drawn, 4), *drawn_by_lot(drawn[::4], 400)],
    }
    columns: dict[str, list[tuple[str, str, int]]] = {}
    for title, jobs in sets.items():
        columns[title] = [
            (step, found, weight)
            for one in work.run("distorted", distorted, jobs)
            for step, found, weight in one
        ]
    lines = [
        "| distortion | " + " | ".join(columns) + " |",
        "|---" * (1 + len(columns)) + "|",
    ]
    for step in (*steps, plates.AT_RANDOM):
        cells = [shares([a for s, a, _ in found if s == step]) for found in columns.values()]
        lines.append(f"| {step} | " + " | ".join(cells) + " |")
    sums = {
        "pairs": [str(len(found)) for found in columns.values()],
        "found as related": [
            per_cent([a != NONE for _, a, _ in found]) for found in columns.values()
        ],
        "and looked up by codes": [
            per_cent([a != NONE and weight >= ENOUGH for _, a, weight in found])
            for found in columns.values()
        ],
        "called another negative": [
            per_cent([a == ANOTHER for _, a, _ in found]) for found in columns.values()
        ],
    }
    lines += [f"| **{what}** | " + " | ".join(cells) + " |" for what, cells in sums.items()]
    stations = list(range(1000, 1000 + args.stations))
    hard = list(zip(stations, work.run("frames", frames, stations), strict=True))
    lines += [
        "",
        "| frames of one scene | pairs | answers | held out: pairs | answers |",
        "|---|---|---|---|---|",
    ]
    border = 1000 + args.stations * 2 // 3
    for kind in sorted({kind for _, found in hard for kind, _ in found}):
        cells = []
        for part in (False, True):
            mine = [a for s, found in hard if (s >= border) == part for k, a in found if k == kind]
            cells += [str(len(mine)), shares(mine)]
        lines.append(f"| {kind} | " + " | ".join(cells) + " |")
    every = photographs + drawn[::4] + demo[:1] + scenes[:1]
    parts = work.run("strangers", strangers, [(every, start, 32) for start in range(32)])
    told = [one for part in parts for one in part]
    pairs = len(every) * (len(every) - 1) // 2
    joined = ", ".join(f"{sum(one[1] == word for one in told)} {word}" for word in ANSWERS)
    says = f"Unrelated: {pairs} pairs of {len(every)} pictures; points fitted in {len(told)}"
    lines += ["", f"{says}: {joined}."]
    for one in told:
        print("fitted:", *one, file=sys.stderr)
    return "\n".join(lines)


def main() -> None:
    """Makes the figures and prints them."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--photographs", type=Path, action="append", default=[])
    ask.add_argument("--drawn", type=Path, action="append", default=[])
    ask.add_argument("--each", type=int, default=len(plates.STEPS))
    ask.add_argument("--scenes", type=int, default=24)
    ask.add_argument("--stations", type=int, default=48)
    ask.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    ask.add_argument("--work", type=Path, default=Path("copies-figures"))
    ask.add_argument("--write", action="store_true")
    args = ask.parse_args()
    made = tables(Work(args.work, args.processes), args)
    print(made)
    if args.write:
        text = MANUAL.read_text("utf-8")
        head, mark, rest = text.partition(TABLE)
        _, end, tail = rest.partition(END)
        assert mark and end
        MANUAL.write_text(f"{head}{TABLE}\n\n{made}\n\n{END}{tail}", "utf-8")


if __name__ == "__main__":
    main()
