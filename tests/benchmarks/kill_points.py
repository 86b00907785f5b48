"""Kill a build at every kind of moment, and look whether the old site or the new one is whole.

    python tests/benchmarks/kill_points.py [--points 300] [--seed 1]

runs a small builder that uses the real staging and switching, under strace, and kills it at the
Nth call of one system call after another: `inject=CALL:signal=KILL:when=N` for each N that the
build itself makes (the interpreter's own start is counted first and left out), a seeded sample of
them if there are more than --points. After each kill the output must equal the old site or the new
one byte for byte, and the next build must succeed with no manual step and leave nothing over.
SIGKILL keeps what the kernel has in memory, so this shows atomicity; that a power cut does no harm
rests on the order of flushes, which `order` reads from a trace.

The same file is the builder: `python -I -S kill_points.py build OUT CONTENT old|new`; with
`--kill-at N` it kills itself ahead of the Nth thing that it does to the disk, with `--say` it says
in one line what the disk refused.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CALLS = (
    "openat",
    "write",
    "mkdir",
    "link",
    "linkat",
    "unlink",
    "unlinkat",
    "rmdir",
    "rename",
    "renameat2",
    "fsync",
    "syncfs",
    "flock",
    "ftruncate",
    "close",
)
DISK_EVENTS = ("open", "os.", "shutil.", "ctypes.call_function", "fcntl.")


def pages(version: str) -> dict[str, bytes]:
    """The small site: 20 pages that all builds share, 16 that differ, and one only of its own."""
    shared = {f"parts/rib-{n}.html": f"<h1>Rib {n}</h1>".encode() * 50 for n in range(20)}
    own = {f"claims/{n // 4}/c{n}.html": f"{version} {n}\n".encode() * 400 for n in range(16)}
    return shared | own | {f"only-{version}.html": version.encode(), "index.html": b"Index"}


def build(out: Path, content: Path, version: str) -> None:
    """Build the small site of one version, keeping from the previous one what is unchanged."""
    from archive.publish.stage import Stage

    with Stage(out, content) as stage:
        for path, data in pages(version).items():
            earlier = stage.previous.files.get(path)
            if earlier and earlier.sha256 == hashlib.sha256(data).hexdigest():
                stage.keep(path)
            else:
                stage.write(path, data)
        stage.finish()


def tree_hash(folder: Path, *, times: bool = False) -> str:
    """One sum over every name, kind and byte below `folder`; with `times`, over mtimes as well."""
    total = hashlib.sha256()
    for path in sorted(folder.rglob("*")) if folder.is_dir() else []:
        facts = path.lstat()
        kind = "link" if path.is_symlink() else "folder" if path.is_dir() else "file"
        total.update(
            f"{kind} {path.relative_to(folder).as_posix()}\n".encode("utf-8", "surrogateescape")
        )
        if times:
            total.update(f"{facts.st_mtime_ns}\n".encode())
        if kind == "file":
            total.update(hashlib.sha256(path.read_bytes()).digest())
        elif kind == "link":
            total.update(os.readlink(path).encode("utf-8", "surrogateescape"))
    return total.hexdigest()


def command(out: Path, content: Path, version: str, *more: str) -> list[str]:
    """The command line that builds `version` into `out` with as little start-up as there can be."""
    here = str(Path(__file__).resolve())
    return [sys.executable, "-I", "-S", here, "build", str(out), str(content), version, *more]


@dataclass
class Tally:
    """What came of the kills: how many died, which site stood there after, and what was wrong."""

    points: int = 0
    killed: int = 0
    after: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


class Bench:
    """A folder with an output folder that holds the old site, and both sites to compare with."""

    def __init__(self, folder: Path) -> None:
        self.content = folder / "content"
        self.content.mkdir()
        self.out = folder / "build" / "crew"
        self.sums = {}
        for version in ("new", "old"):
            self.run(version)
            self.sums[tree_hash(self.out)] = version
            shutil.copytree(self.out, folder / version)
        self.tally = Tally()

    def run(self, version: str, *more: str, under: tuple[str, ...] = ()) -> int:
        """Run one build to its end, or to its death; its exit code as subprocess gives it."""
        line = [*under, *command(self.out, self.content, version, *more)]
        done = subprocess.run(line, capture_output=True, text=True, check=False)
        if done.returncode not in (0, -signal.SIGKILL, 128 + signal.SIGKILL):
            self.tally.faults.append(f"{' '.join(line[-6:])}: {done.returncode} {done.stderr}")
        return done.returncode

    def events(self) -> int:
        """How many things a build of the new site over the old one does to the disk."""
        self.run("old")
        line = command(self.out, self.content, "new", "--kill-at", "0")
        count = int(subprocess.run(line, capture_output=True, check=True).stdout)
        self.run("old")
        return count

    def kill(self, label: str, *more: str, under: tuple[str, ...] = ()) -> None:
        """Build the new site over the old one, killed; then look, build again, and look again."""
        tally = self.tally
        tally.points += 1
        tally.killed += self.run("new", *more, under=under) != 0
        found = self.sums.get(tree_hash(self.out), "neither")
        tally.after[found] += 1
        if found == "neither":
            tally.faults.append(f"{label}: the site is neither the old one nor the new one")
        # Alternate, so that the next build is sometimes the same site and sometimes another.
        self.run("new" if tally.points % 2 else "old")
        self.run("old")
        if self.sums.get(tree_hash(self.out)) != "old":
            tally.faults.append(f"{label}: the build after it did not succeed")
        left = sorted(path.name for path in self.out.parent.iterdir() if path != self.out)
        if left:
            tally.faults.append(f"{label}: the build after it left {left}")


def _trace(bench: Bench, *line: str) -> list[str]:
    with tempfile.NamedTemporaryFile(suffix=".trace") as trace:
        subprocess.run(
            [
                "strace",
                "-f",
                "-qq",
                "-y",
                "-o",
                trace.name,
                "-e",
                f"trace={','.join(CALLS)}",
                *line,
            ],
            check=True,
            capture_output=True,
        )
        return Path(trace.name).read_text().splitlines()


def _counts(lines: list[str]) -> Counter[str]:
    return Counter(match[1] for line in lines if (match := re.match(r"\d+\s+(\w+)\(", line)))


def sweep(bench: Bench, points: int, seed: int) -> Tally:
    """Kill at `points` system calls of the build (all of them if there are no more)."""
    build_line = command(bench.out, bench.content, "new")
    # The same interpreter, importing the same modules, stopped before it touches the disk.
    base = _counts(_trace(bench, *build_line, "--imports-only"))
    whole = _counts(_trace(bench, *build_line))
    bench.run("old")
    every = [(call, n) for call in CALLS for n in range(base[call] + 1, whole[call] + 1)]
    random.Random(seed).shuffle(every)
    for call, n in every[:points]:
        under = (
            *("strace", "-f", "-qq", "-o", os.devnull, "-e", f"trace={call}"),
            *("-e", f"inject={call}:signal=KILL:when={n}"),
        )
        bench.kill(f"{call} no. {n}", under=under)
    return bench.tally


def order(bench: Bench) -> list[str]:
    """The flushes and renames of one build in order, as `flush NAME`, `rename`, `exchange`."""
    steps = []
    for line in _trace(bench, *command(bench.out, bench.content, "new")):
        match = re.match(r"\d+\s+(\w+)\((.*)", line)
        if match and match[1] in ("fsync", "syncfs"):
            steps.append("flush " + match[2].partition("<")[2].partition(">")[0])
        elif match and match[1] == "renameat2":
            steps.append("exchange")
        elif match and match[1] == "rename":
            steps.append("rename " + match[2].split('"')[3])
        elif match and match[1] in ("unlink", "unlinkat"):
            steps.append("remove " + match[2].split('"')[1])
    return steps


def _kill_self_at(count: int) -> Callable[[], int]:
    """Count what is done to the disk from now on; the number so far is what the result gives."""
    seen = 0

    def hook(event: str, _: object) -> None:
        nonlocal seen
        if event.startswith(DISK_EVENTS):
            seen += 1
            if seen == count:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(hook)
    return lambda: seen


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--points", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    choice = parser.parse_args()
    if shutil.which("strace") is None:
        print("strace is needed: apt-get install strace", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder:
        tally = sweep(Bench(Path(folder)), choice.points, choice.seed)
    print(json.dumps({"points": tally.points, "killed": tally.killed, **tally.after}))
    print("\n".join(tally.faults) or "no fault", file=sys.stderr)
    return 1 if tally.faults else 0


def _build_main(words: list[str]) -> int:
    sys.path.insert(0, str(ROOT))
    import archive.publish.stage  # noqa: F401  (what the builder imports is start-up)
    from archive.core.atomic import CannotWrite

    out, content, version, *more = words
    if more == ["--imports-only"]:
        return 0
    done = _kill_self_at(int(more[1])) if more[:1] == ["--kill-at"] else None
    try:
        build(Path(out), Path(content), version)
    except CannotWrite as refusal:
        if more != ["--say"]:
            raise
        print(refusal.says, file=sys.stderr)
        return 1
    if done is not None:
        print(done())
    return 0


if __name__ == "__main__":
    if sys.argv[1:2] == ["build"]:
        sys.exit(_build_main(sys.argv[2:]))
    sys.exit(main())
