"""What was worked out for each document and term, kept so that only what changed is done again.

A small SQLite file of plain text, in a `Vault`, so that a flipped bit counts as nothing kept.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from archive.search.documents import Document
from archive.search.index import terms_of, words_of

Places = dict[str, list[int]]

_TABLES = """
create table documents (ref text primary key, digest text, lengths text, analysed text)
    without rowid;
create table terms (term text primary key, entry text) without rowid;
create table words (word text primary key, documents integer) without rowid;
"""


@dataclass(frozen=True, slots=True)
class Analysed:
    """A document taken apart: for each field its terms with their places, and its words."""

    fields: tuple[Places, ...]
    words: frozenset[str]

    @property
    def lengths(self) -> tuple[int, ...]:
        """How many terms each field has."""
        return tuple(sum(map(len, places.values())) for places in self.fields)


def analyse(document: Document) -> Analysed:
    """Take a document apart with the analysis that the index uses."""
    fields = []
    for terms in terms_of(document):
        places: Places = {}
        for term, place in terms:
            places.setdefault(term, []).append(place)
        fields.append(places)
    return Analysed(tuple(fields), frozenset(words_of(document)))


class Ledger:
    """The kept analyses, in the file `ledger.db` of a folder; made if the folder is empty."""

    def __init__(self, folder: Path | None) -> None:
        path = folder / "ledger.db" if folder else None
        fresh = not (path and path.exists())
        self._file = sqlite3.connect(str(path or ":memory:"), isolation_level=None)
        # The folder is a draft: if the program dies, nothing of it is used.
        self._file.execute("pragma journal_mode = off")
        self._file.execute("pragma synchronous = off")
        if fresh:
            self._file.executescript(_TABLES)
        self._file.execute("begin")

    def digests(self) -> dict[str, str]:
        """The fingerprint of each document held."""
        return dict(self._file.execute("select ref, digest from documents"))

    def lengths(self) -> Iterator[list[int]]:
        """The lengths of each document's fields, in the order of the REFs."""
        for (lengths,) in self._file.execute("select lengths from documents order by ref"):
            yield json.loads(lengths)

    def analysed(self, ref: str) -> Analysed:
        """What was worked out for a document. Raises KeyError if it isn't held."""
        row = self._file.execute("select analysed from documents where ref = ?", (ref,)).fetchone()
        if row is None:
            raise KeyError(ref)
        kept = json.loads(row[0])
        return Analysed(tuple(kept["fields"]), frozenset(kept["words"]))

    def put(self, ref: str, fingerprint: str, analysed: Analysed) -> None:
        """Keep what was worked out for a document."""
        content = {"fields": analysed.fields, "words": sorted(analysed.words)}
        self._file.execute(
            "insert or replace into documents values (?, ?, ?, ?)",
            (
                ref,
                fingerprint,
                json.dumps(analysed.lengths),
                json.dumps(content, ensure_ascii=False, separators=(",", ":")),
            ),
        )

    def remove(self, refs: Iterable[str]) -> None:
        """Forget documents."""
        self._file.executemany("delete from documents where ref = ?", ((ref,) for ref in refs))

    def entries(self) -> list[tuple[str, str]]:
        """Every term with its entry, in the order of the terms."""
        return self._file.execute("select term, entry from terms order by term").fetchall()

    def entry(self, term: str) -> str:
        """The entry of a term, or an empty text."""
        row = self._file.execute("select entry from terms where term = ?", (term,)).fetchone()
        return str(row[0]) if row else ""

    def words(self) -> list[str]:
        """Every word as written, in order."""
        return [word for (word,) in self._file.execute("select word from words order by word")]

    def replace_all(self, entries: Mapping[str, str], words: Mapping[str, int]) -> None:
        """Put these terms and words in place of all that are held."""
        self._file.execute("delete from terms")
        self._file.execute("delete from words")
        self._file.executemany("insert into terms values (?, ?)", sorted(entries.items()))
        self._file.executemany("insert into words values (?, ?)", sorted(words.items()))

    def patch(self, entries: Mapping[str, str], words: Mapping[str, int]) -> None:
        """Change these terms' entries (an empty one goes) and these words' counts by so many."""
        self._file.executemany(
            "insert or replace into terms values (?, ?)",
            [(term, entry) for term, entry in entries.items() if entry],
        )
        self._file.executemany(
            "delete from terms where term = ?",
            [(term,) for term, entry in entries.items() if not entry],
        )
        self._file.executemany(
            "insert into words values (?, ?) on conflict (word) do update "
            "set documents = documents + excluded.documents",
            words.items(),
        )
        self._file.execute("delete from words where documents <= 0")

    def close(self) -> None:
        """Write out and let go of the file."""
        self._file.execute("commit")
        self._file.close()
