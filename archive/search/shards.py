"""The search page's files: postings, words and titles in small scripts, each loaded when needed.

Files are classic scripts that hand one value to the page's own script, so that the page works from
a stick, where a browser lets a page load scripts but nothing else. Where one file ends and the next
begins depends on the entries near the edge, so that a change in one record changes few files.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from archive.search.codec import PLACE, SEPARATOR, STEP, numbers
from archive.search.documents import FACETS, Document, numbered
from archive.search.index import scored_length
from archive.search.ledger import Ledger
from archive.search.postings import bring_up_to_date
from archive.search.query import (
    LONGEST_TERM,
    SHORTEST_PREFIX,
    SYNONYM_WEIGHT,
    facet_value,
)
from archive.search.ranking import FIELDS, K1, MICRO, WEIGHTS, B
from archive.search.synonyms import SYNONYMS
from archive.search.vault import Vault
from archive.search.words import LETTERS, STOP

LARGEST = 48 * 1024
"""Bytes that a file of postings, words or titles stays below (one over-long entry stands alone)."""

HAND = "RecordSearch"
"""The page's global, whose `take(name, value)` every file calls."""

MANIFEST = "manifest.js"


def export(documents: Iterable[Document], cache: Path | None = None) -> dict[str, bytes]:
    """The files of the search page by name, for the folder that the page names.

    `cache` is a private folder of this program's in which analyses are kept: files are the same
    with and without it. Raises ValueError where two documents share a REF.
    """
    ordered = numbered(documents)
    if cache is not None:
        try:
            return _with_ledger(Vault(cache, "ledger"), ordered)
        except OSError:
            pass  # A full disk or a cache that can't be written: the build goes on without it.
    return _files(ordered, Ledger(None))


def _with_ledger(vault: Vault, documents: Sequence[Document]) -> dict[str, bytes]:
    draft = vault.draft(start=vault.intact())
    try:
        ledger = Ledger(draft)
        files = _files(documents, ledger)
        ledger.close()
        vault.keep(draft)
    except BaseException:
        vault.discard(draft)
        raise
    return files


def _files(documents: Sequence[Document], ledger: Ledger) -> dict[str, bytes]:
    bring_up_to_date(ledger, documents)
    files: dict[str, bytes] = {}

    def laid(shards: Iterable[tuple[str | int, object]], kind: str) -> list[list[str | int]]:
        """Add files; give the first key and the name of each."""
        table: list[list[str | int]] = []
        for first, value in shards:
            body = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
            name = f"{kind}-{hashlib.sha256(body.encode()).hexdigest()[:10]}"
            files[f"{name}.js"] = f'{HAND}.take("{name}",{body});\n'.encode()
            table.append([first, name])
        return table

    manifest = {
        **_rules(),
        **_columns(documents, list(ledger.lengths())),
        "terms": laid(_terms(ledger.entries()), "t"),
        "words": laid(_words(ledger.words()), "w"),
        "titles": laid(_titles(documents), "d"),
    }
    body = json.dumps(manifest, ensure_ascii=True, separators=(",", ":"))
    files[MANIFEST] = f'{HAND}.take("manifest",{body});\n'.encode()
    return files


def _rules() -> dict[str, object]:
    """The tables and figures that the page's script shares with `words`, `query` and `ranking`."""
    return {
        "letters": LETTERS,
        "stop": sorted(STOP),
        "synonyms": SYNONYMS,
        "synonymWeight": SYNONYM_WEIGHT,
        "shortestPrefix": SHORTEST_PREFIX,
        "longestTerm": LONGEST_TERM,
        "facetNames": FACETS,
        "weights": WEIGHTS,
        "k1": K1,
        "b": B,
        "micro": MICRO,
        "shortStep": STEP,
        "shortPlace": PLACE,
    }


def _columns(documents: Sequence[Document], lengths: Sequence[Sequence[int]]) -> dict[str, object]:
    """What ranking must know of every document: lengths of fields, and kind, zone and grade."""
    shown: dict[tuple[str, ...], int] = {}
    facets = [tuple(str(getattr(one, name)) for name in FACETS) for one in documents]
    for values in sorted(set(facets)):
        shown[values] = len(shown)
    return {
        "count": len(documents),
        "totals": [sum(one[field] for one in lengths) for field in range(len(FIELDS))],
        "lengths": [
            numbers((scored_length(one[field]) for one in lengths), PLACE)
            for field in range(len(FIELDS))
        ],
        "facets": [[values, [facet_value(value) for value in values]] for values in shown],
        "facet": numbers((shown[values] for values in facets), PLACE),
    }


def _terms(entries: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Runs of terms with their entries, each term told by what it adds to the last.

    A term ends with "`", or with the "!" at the start of an entry that has nothing for the title.
    """
    texts = [entry if entry.startswith(SEPARATOR) else f"`{entry}" for _, entry in entries]
    terms = [term for term, _ in entries]
    told = map("".join, zip(front_coded(terms), texts, strict=True))
    at = 0
    for run in cut(list(zip(terms, told, strict=True)), 10_000, 32):
        end = at + len(run)
        whole = map("".join, zip(front_coded(terms[at:end]), texts[at:end], strict=True))
        yield run[0][0], " ".join(whole)
        at = end


def _words(words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Runs of words, each told by what it adds to the last, without anything between."""
    for run in cut(list(zip(words, front_coded(words), strict=True)), 24_000, 256):
        yield run[0][0], "".join(front_coded([word for word, _ in run]))


def _titles(documents: Sequence[Document]) -> Iterator[tuple[int, list[str]]]:
    """Runs of what is shown of a hit: ref, title, url, summary, ref, title, …

    A ref is told by what it adds to the last, a url by what it adds to its ref.
    """
    rows = [[one.ref, one.title, one.url, one.summary] for one in documents]
    first = 0
    for run in cut([(row[0], json.dumps(row)) for row in rows], 16_000, 16):
        told: list[str] = []
        last = ""
        for ref, title, url, summary in rows[first : first + len(run)]:
            told += [_added(last, ref), title, _added(ref, url), summary]
            last = ref
        yield first, told
        first += len(run)


def _added(last: str, text: str) -> str:
    """`text` told as how many characters it shares with the start of `last`, and the rest.

    How many is one character: "A" for none, "B" for one, and on to "Z".
    """
    shared = 0
    most = min(len(text), len(last), ord("Z") - ord("A"))
    while shared < most and text[shared] == last[shared]:
        shared += 1
    return chr(ord("A") + shared) + text[shared:]


def front_coded(words: Sequence[str]) -> list[str]:
    """Each word told by what it adds to the one before."""
    return [_added(last, word) for last, word in zip(["", *words], words, strict=False)]


def cut(
    items: Sequence[tuple[str, str]],
    least: int,
    every: int,
) -> Iterator[list[tuple[str, str]]]:
    """Cut (key, text) pairs into runs of less than `LARGEST` bytes of text.

    A run ends after `least` bytes, before the next key whose check sum is a multiple of `every`:
    an edge thus depends on what is near it, and a change moves no edge far away.
    """
    limit = LARGEST - 1024
    run: list[tuple[str, str]] = []
    size = 0
    for key, text in items:
        # Every character beyond ASCII is written as six, a quote or backslash as two.
        weight = len(text) if text.isascii() else len(json.dumps(text))
        full = size + weight + 1 > limit
        if run and (full or (size >= least and zlib.crc32(key.encode()) % every == 0)):
            yield run
            run, size = [], 0
        run.append((key, text))
        size += weight + 1
    if run:
        yield run
