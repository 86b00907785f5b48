"""The search page beside minisearch with a prebuilt index, and building beside plain Whoosh.

    python tests/benchmarks/search.py [DOCUMENTS]

Needs node, npm (which fetches minisearch into a temporary folder) and Chromium. Both pages are
opened from files in the same browser and show title and address of a hit. "Ready" runs from the
page's start until it can take a query; "cold" is the first query of a page just opened; "warm" is
the same on a page that has run them all. Figures of one run compare with each other; those of two
days don't. Exits 1 where the reach is missed.
"""

from __future__ import annotations

import itertools
import json
import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from archive.search.documents import Document
from archive.search.find import find
from archive.search.index import open_index
from archive.search.shards import export

ROOT = Path(__file__).parents[2]
SCRIPTS = ROOT / "themes" / "workshop" / "scripts"
VERSION = "7.2.0"
REACH = {"bytes": 0.4, "ready": 0.2, "cold p95": 50.0, "warm p95": 10.0}

OURS = """<!doctype html><meta charset="utf-8"><title>ours</title>
<script src="search-words.js"></script><script src="search-index.js"></script>
<script>
RecordSearch.open("find/").then(function () { window.ready = performance.now(); });
window.ask = function (line) { return RecordSearch.search(line, {}, 10); };
</script>"""

THEIRS = """<!doctype html><meta charset="utf-8"><title>theirs</title>
<script src="minisearch.js"></script><script src="index.js"></script>
<script>
const options = {fields: ["title", "text"], storeFields: ["title", "url"]};
const mini = MiniSearch.loadJS(INDEX, options);
window.ready = performance.now();
window.ask = async function (line) {
  const prefix = line.endsWith("*");
  return mini.search(line.replace("*", ""), {prefix: prefix, combineWith: "AND"}).slice(0, 10);
};
</script>"""

BUILD = """
const MiniSearch = require("minisearch"), fs = require("fs");
const documents = JSON.parse(fs.readFileSync("documents.json", "utf-8"));
const mini = new MiniSearch(
  {fields: ["title", "text"], storeFields: ["title", "url"]});
mini.addAll(documents);
fs.writeFileSync("index.js", "var INDEX = " + JSON.stringify(mini) + ";");
"""


def corpus(count: int) -> tuple[list[str], list[Document]]:
    """Documents of 40 to 160 words out of 30 000, the k-th word as often as 1 / k^1.07."""
    chance = random.Random(1)
    syllables = [
        "ba",
        "ke",
        "li",
        "mo",
        "nu",
        "ra",
        "se",
        "ti",
        "vo",
        "wu",
        "an",
        "er",
        "in",
        "os",
        "ul",
        "st",
        "tr",
        "ing",
        "ed",
        "ly",
        "pan",
        "rib",
    ]
    words: dict[str, None] = {}
    while len(words) < 30_000:
        words["".join(chance.choice(syllables) for _ in range(chance.randint(2, 5)))] = None
    listed = list(words)
    weights = list(itertools.accumulate(1 / rank**1.07 for rank in range(1, len(listed) + 1)))
    made = []
    for number in range(count):
        title = chance.choices(listed, cum_weights=weights, k=5)
        text = chance.choices(listed, cum_weights=weights, k=chance.randint(40, 160))
        made.append(
            Document(
                ref=f"parts/record-{number:05d}",
                kind="part",
                title=" ".join(title),
                text=" ".join(text),
                url=f"parts/record-{number:05d}.html",
            )
        )
    return listed, made


def queries(words: list[str], documents: list[Document], each: int) -> dict[str, list[str]]:
    """Words of middling rank, pairs that share a document, words in a row, four-letter prefixes."""
    chance = random.Random(2)
    middling = words[60:6000]
    usual = set(middling)
    pairs, rows = [], []
    while len(pairs) < each:
        parts = chance.choice(documents).text.split()
        pairs.append(" ".join(chance.sample([part for part in parts if part in usual], 2)))
        beside = [pair for pair in itertools.pairwise(parts) if usual.issuperset(pair)]
        rows.append(f'"{" ".join(chance.choice(beside))}"')
    long = [word for word in middling if len(word) > 5]
    return {
        "one word": chance.sample(middling, each),
        "two words": pairs,
        "words in a row": rows,
        "prefix": [f"{word[:4]}*" for word in chance.sample(long, each)],
        "misspelt": [f"{word[:3]}q{word[4:]}" for word in chance.sample(long, each)],
    }


def timed(work: Callable[[], object]) -> float:
    """CPU seconds of a piece of work."""
    start = time.process_time()
    work()
    return time.process_time() - start


def plain_whoosh(documents: list[Document], folder: Path) -> None:
    """What one would write first: title and text, the library's own analysis."""
    from whoosh.fields import ID, TEXT, Schema
    from whoosh.index import create_in

    folder.mkdir()
    made = create_in(folder, Schema(ref=ID(stored=True), title=TEXT, text=TEXT))
    writer = made.writer()
    for document in documents:
        writer.add_document(ref=document.ref, title=document.title, text=document.text)
    writer.commit()


def building(documents: list[Document], work: Path) -> None:
    """Print what building costs."""
    changed = list(documents)
    middle = len(changed) // 2
    changed[middle] = replace(changed[middle], text=f"lengthened {changed[middle].text}")
    rows = {
        "plain Whoosh index": timed(lambda: plain_whoosh(documents, work / "plain")),
        "page's files": timed(lambda: export(documents, work / "cache")),
        "page's files, nothing changed": timed(lambda: export(documents, work / "cache")),
        "page's files, one changed": timed(lambda: export(changed, work / "cache")),
        "page's files, one gone": timed(lambda: export(changed[1:], work / "cache")),
        "command's index": timed(lambda: open_index(documents, work / "cache").close()),
        "command's index, one changed": timed(lambda: open_index(changed, work / "cache").close()),
        "opened, and one search": timed(
            lambda: find(open_index(changed, work / "cache"), documents[0].title.split()[0])
        ),
    }
    print(f"{'building, CPU seconds':34}")
    for name, seconds in rows.items():
        print(f"  {name:32}{seconds:8.2f}")


def timing(page: Page, address: str, asked: list[str]) -> dict[str, list[float]]:
    """Ready, cold and warm times in milliseconds of one page."""
    ask = """async line => {
        const start = performance.now();
        await window.ask(line);
        return performance.now() - start;
    }"""
    times: dict[str, list[float]] = {"ready": [], "cold": [], "warm": []}
    for line in asked:
        page.goto(address)
        page.wait_for_function("window.ready !== undefined")
        times["ready"].append(page.evaluate("window.ready"))
        times["cold"].append(page.evaluate(ask, line))
    for line in asked:
        page.evaluate(ask, line)
    times["warm"] = [page.evaluate(ask, line) for line in asked]
    return times


def p95(values: list[float]) -> float:
    return sorted(values)[int(len(values) * 0.95)]


def searching(words: list[str], documents: list[Document], work: Path) -> dict[str, float]:
    """Print what the two pages take, and give the figures that the reach speaks of."""
    subprocess.run(
        ["npm", "install", "--silent", "--no-audit", "--no-fund", f"minisearch@{VERSION}"],
        cwd=work,
        check=True,
    )
    plain: list[dict[str, Any]] = [
        {"id": one.ref, **{name: getattr(one, name) for name in ("title", "text", "url")}}
        for one in documents
    ]
    (work / "documents.json").write_text(json.dumps(plain))
    subprocess.run(["node", "-e", BUILD], cwd=work, check=True)
    shutil.copy(work / "node_modules/minisearch/dist/umd/index.js", work / "minisearch.js")
    (work / "find").mkdir()
    files = export(documents)
    for name, content in files.items():
        (work / "find" / name).write_bytes(content)
    for script in SCRIPTS.glob("search-*.js"):
        shutil.copy(script, work)
    (work / "ours.html").write_text(OURS)
    (work / "theirs.html").write_text(THEIRS)
    size = {"ours": sum(map(len, files.values())), "theirs": (work / "index.js").stat().st_size}

    asked = queries(words, documents, 40)
    ready: dict[str, list[float]] = {"ours": [], "theirs": []}
    worst = {"cold": 0.0, "warm": 0.0}
    print(f"\n{'searching, ms':20}{'':8}{'cold p50':>10}{'p95':>8}{'warm p50':>10}{'p95':>8}")
    with sync_playwright() as started:
        browser = started.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        page = browser.new_page()
        for kind, lines in asked.items():
            for which in ("ours", "theirs"):
                if which == "theirs" and kind in ("words in a row", "misspelt"):
                    continue
                few = lines if which == "ours" else lines[:8]
                times = timing(page, (work / f"{which}.html").as_uri(), few)
                ready[which] += times["ready"]
                cold, warm = times["cold"], times["warm"]
                print(
                    f"  {kind:18}{which:8}{statistics.median(cold):10.1f}{p95(cold):8.1f}"
                    f"{statistics.median(warm):10.1f}{p95(warm):8.1f}"
                )
                if which == "ours" and kind != "misspelt":
                    worst = {name: max(worst[name], p95(times[name])) for name in worst}
        browser.close()
    middle = {which: statistics.median(times) for which, times in ready.items()}
    for which in ("ours", "theirs"):
        print(f"  {which:8}{size[which] / 1024:10.0f} KiB, ready in {middle[which]:.0f} ms")
    return {
        "bytes": size["ours"] / size["theirs"],
        "ready": middle["ours"] / middle["theirs"],
        "cold p95": worst["cold"],
        "warm p95": worst["warm"],
    }


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    words, documents = corpus(count)
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        building(documents, work)
        figures = searching(words, documents, work)
    load = os.getloadavg()[0]
    print(f"\n{os.cpu_count()} processors, load {load:.1f} at the end (more is noise)")
    print(f"{'':12}{'figure':>8}{'reach':>8}")
    for name, figure in figures.items():
        print(
            f"{name:12}{figure:8.2f}{REACH[name]:8.2f}{'' if figure <= REACH[name] else '  missed'}"
        )
    return int(any(figure > REACH[name] for name, figure in figures.items()))


if __name__ == "__main__":
    sys.exit(main())
