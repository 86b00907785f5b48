"""Judging a made-up archive of as many photographs as claims: time, memory, growth, changes.

    python tests/benchmarks/reasoning.py [CLAIMS]

One process on one core for each figure, CLAIMS (10,000) and a tenth of it. Reading is apart; the
pictures are none. Beside it, in the same run, networkx does its nearest equivalent on the same
statements and links: shortest paths from the calendar and back, and connected pieces. It prints a
table with the reach that was set for each, and exits 1 where one is passed over.
"""

from __future__ import annotations

import json
import math
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path[:0] = [str(TOP), str(TOP / "tests" / "kits")]

from judged import judged_archive, write  # noqa: E402

from archive.core.collecting import paused  # noqa: E402
from archive.core.verdicts import Findings  # noqa: E402
from archive.pipeline import FINDINGS  # noqa: E402
from archive.read.load import Loaded, load  # noqa: E402
from archive.reasoning.chronology import chronology  # noqa: E402
from archive.reasoning.foresee import foresee  # noqa: E402
from archive.reasoning.memo import Memo, Memory  # noqa: E402
from archive.reasoning.weigh import weigh  # noqa: E402
from archive.records.library import Library  # noqa: E402

MOST_SECONDS, MOST_MB, MOST_EXPONENT, MOST_CHANGED = 10.0, 1024, 1.15, 1.0

CHANGES = {
    "a claim's reading": ("parts/part-5.md", "#patch, value", "#patch, reading: possible, value"),
    "a part's tolerance": ("parts/part-5.md", "tolerance: 2 mm", "tolerance: 1 mm"),
    "a photograph's date": (
        "photos/p-16.md",
        "regions:",
        "date: {argued: {is: 1932-07, by: AA, on: 2026-01-02, because: the log}}\nregions:",
    ),
    "a source discredited": (
        "sources/n-10.md",
        "title: ",
        "discredited: {is: yes, by: AA, on: 2026-01-02, because: a fake}\ntitle: ",
    ),
    "a source that much leans on discredited": (
        "sources/l-0.md",
        "title: ",
        "discredited: {is: yes, by: AA, on: 2026-01-02, because: a fake}\ntitle: ",
    ),
    "the policy": (
        "policy.yaml",
        "",
        "overrides: [{rule: C4, says: half of the tolerance, because: it must fit, by: AA, "
        "on: 2026-01-02}]\n",
    ),
}
"""What is changed: the file, some words in it ("" for a new file), and what stands for them."""


def seconds(work) -> tuple[float, object]:
    """The CPU seconds that a piece of work takes, and what it gives."""
    with paused():
        begun = time.process_time()
        found = work()
        return time.process_time() - begun, found


def judge(folder: Path) -> dict[str, float]:
    """What judging one archive takes, in this process."""
    library = load(folder).library
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    dated, times = seconds(lambda: chronology(library))
    weighed, findings = seconds(lambda: weigh(library, times=times))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    changed = changes(folder)
    foreseen, _ = seconds(lambda: foresee(library, findings, times=times))
    return {
        "claims": len(findings.claims),
        "photographs": len(library.photos),
        "dates": dated,
        "grades and clearances": weighed,
        "what falls and lifts": foreseen,
        "held by the records, MB": held,
        "peak, MB": peak,
        **changed,
        **beside(library, times),
    }


def changes(folder: Path) -> dict[str, float]:
    """What judging takes once one record was changed, with what was found before in memory, and
    what reading that memory and keeping it takes; checks that it gives the same as judging anew.
    """
    took: dict[str, float] = {}
    loaded = load(folder)
    took["judged first, with all kept"], (memo, _) = seconds(lambda: again(loaded, None))
    with tempfile.TemporaryDirectory() as private:
        took["keeping it"], _ = seconds(lambda: FINDINGS.keep(Path(private), memo.after))
        took["fetching it"], before = seconds(lambda: FINDINGS.fetch(Path(private)))
    for name, (path, old, new) in CHANGES.items():
        file = folder / path
        text = file.read_text() if file.exists() else ""
        assert old in text, name
        file.write_text(text.replace(old, new, 1) if old else new)
        loaded = load(folder)
        took[f"changed: {name}"], (_, found) = seconds(lambda: again(loaded, before))  # noqa: B023
        assert found == weigh(loaded.library), f"{name}: not as made anew"
        if text:
            file.write_text(text)
        else:
            file.unlink()
    return took


def again(loaded: Loaded, before: Memory | None) -> tuple[Memo, Findings]:
    """Judge a library with what was found before."""
    memo = Memo(loaded.library, loaded.marks(), before)
    times = chronology(loaded.library, memo=memo)
    return memo, weigh(loaded.library, times=times, memo=memo)


def beside(library: Library, times) -> dict[str, float]:
    """networkx on the same statements and the same links; {} where it isn't installed."""
    try:
        import networkx
    except ImportError:
        return {}
    from archive.reasoning.said import CALENDAR

    tightened = times.tightened
    graph = networkx.DiGraph()
    for number, statement in enumerate(tightened.said):
        if number in tightened.off or len(statement.ways) > 1:
            continue
        for order in statement.ways[0]:
            old = graph.get_edge_data(order.start, order.end, {"weight": math.inf})["weight"]
            graph.add_edge(order.start, order.end, weight=min(old, order.most))
    back = graph.reverse()

    def paths() -> None:
        for one in (graph, back):
            networkx.single_source_bellman_ford_path_length(one, CALENDAR)

    links = networkx.Graph()
    links.add_nodes_from([*library.photos, *library.sources])
    links.add_edges_from((photo.ref, photo.source) for photo in library.photos.values())
    links.add_edges_from((s.ref, r) for s in library.sources.values() for r in s.derived_from)
    shortest, _ = seconds(paths)
    pieces, _ = seconds(lambda: list(networkx.connected_components(links)))
    return {"networkx, shortest paths": shortest, "networkx, connected pieces": pieces}


def apart(folder: Path) -> dict[str, float]:
    """The same in a process of its own, with one thread."""
    env = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(TOP)}
    words = [sys.executable, __file__, "--judge", str(folder)]
    found: dict[str, float] = json.loads(
        subprocess.run(words, env=env, check=True, stdout=-1).stdout
    )
    return found


def main() -> int:
    """Measure, print the tables, and say whether every reach was met."""
    if sys.argv[1:2] == ["--judge"]:
        print(json.dumps(judge(Path(sys.argv[2]))))
        return 0
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    figures = {}
    with tempfile.TemporaryDirectory(prefix="reasoning-") as room:
        for claims in (most // 10, most):
            folder = Path(room) / str(claims)
            write(folder, judged_archive(claims))
            figures[claims] = apart(folder)
    small, large = figures[most // 10], figures[most]
    print("| what (CPU s on one core) | " + " | ".join(f"{n:,}" for n in figures) + " | growth |")
    print("|---|---|---|---|")
    for name in large:
        growth = math.log(large[name] / small[name], 10) if small[name] > 0 else math.nan
        cells = (f"{f[name]:.0f}" if f[name] >= 100 else f"{f[name]:.3f}" for f in figures.values())
        print(f"| {name} | {' | '.join(cells)} | {growth:.2f} |")
    judged = {n: f["dates"] + f["grades and clearances"] for n, f in figures.items()}
    rows = [
        ("grades, dates and clearances, s", judged[most], MOST_SECONDS),
        ("peak memory, MB", large["peak, MB"], MOST_MB),
        *((n, large[n], MOST_CHANGED) for n in large if n.startswith("changed: ")),
        ("growth exponent", math.log(judged[most] / judged[most // 10], 10), MOST_EXPONENT),
    ]
    print("\n| what | measured | to reach |\n|---|---|---|")
    for name, value, reach in rows:
        print(f"| {name} | {value:.2f} | {reach} |{'' if value <= reach else ' not reached'}")
    return int(any(value > reach for _, value, reach in rows))


if __name__ == "__main__":
    sys.exit(main())
