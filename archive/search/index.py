"""The one module that touches Whoosh: its stemmer, and the index on disk that `find` reads.

Whoosh 2.7.4 ranks wrongly where a search is given a limit, so it is asked for postings alone and
`ranking` puts them in order. Its files hold pickles: they are opened from a `Vault` only.
"""

from __future__ import annotations

import importlib
import shutil
import sys
import tempfile
import warnings
import weakref
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache, cached_property, lru_cache
from itertools import islice, takewhile
from pathlib import Path
from typing import Any

from archive.search.documents import FACETS, Document, digest, numbered
from archive.search.query import facet_value
from archive.search.ranking import FIELDS
from archive.search.vault import Vault
from archive.search.words import compact, mark_tokens, tokens

_MODULES = ("analysis", "index", "codec.whoosh3", "matching.wrappers", "writing", "reading")
"""What Whoosh would import by itself later on; "analysis" first, or its imports run in a circle."""


@cache
def _whoosh(module: str) -> Any:
    """A module of Whoosh, imported late; its first compilation warns of old escapes, to no end."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        warnings.simplefilter("ignore", SyntaxWarning)
        for name in (*_MODULES, module):
            importlib.import_module(f"whoosh.{name}")
    return sys.modules[f"whoosh.{module}"]


@cache
def _porter() -> Callable[[str], str]:
    stemmer: Callable[[str], str] = _whoosh("lang.porter").stem
    return stemmer


@lru_cache(maxsize=200_000)
def stem(word: str) -> str:
    """The stem of a folded word as Whoosh's Porter stemmer has it; words not wholly a-z stay."""
    return _porter()(word) if word.isascii() and word.isalpha() else word


@lru_cache(maxsize=10_000)
def scored_length(words: int) -> int:
    """A field's length in the coarse steps in which Whoosh keeps it (one byte a field)."""
    numeric = _whoosh("util.numeric")
    return int(numeric.byte_to_length(numeric.length_to_byte(words)))


def terms_of(document: Document) -> tuple[list[tuple[str, int]], ...]:
    """The terms of title, text and marks, each with its place."""
    return (
        _stemmed(document.title),
        _stemmed(document.text),
        [(form, place) for place, form in enumerate(mark_tokens(document.marks))],
    )


def words_of(document: Document) -> set[str]:
    """The words of a document as written, folded, and the bare form of its marks."""
    written = {word for text in (document.title, document.text) for word, _ in tokens(text)}
    return written | {bare for mark in mark_tokens(document.marks) if (bare := compact(mark))}


class _Token:
    """A term with its place, in the shape that Whoosh's formats read."""

    __slots__ = ("boost", "pos", "stopped", "text")

    def __init__(self, text: str, pos: int) -> None:
        self.text = text
        self.pos = pos
        self.boost = 1.0
        self.stopped = False


class _Analyser:
    """Whoosh's view of one of the functions below, kept by name since Whoosh pickles its schema."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __call__(self, value: str, **_: object) -> Iterator[_Token]:
        for text, place in _ANALYSES[self._name](value):
            yield _Token(text, place)


def _stemmed(text: str) -> list[tuple[str, int]]:
    return [(stem(word), place) for word, place in tokens(text)]


def _listed(words: str) -> list[tuple[str, int]]:
    """Terms that were worked out beforehand, one a line."""
    return [(word, place) for place, word in enumerate(words.split("\n"))]


_ANALYSES = {"text": _stemmed, "list": _listed}


def _schema() -> Any:
    fields = _whoosh("fields")
    return fields.Schema(
        ref=fields.ID(unique=True, stored=True),
        digest=fields.STORED(),
        lengths=fields.STORED(),
        title=fields.TEXT(analyzer=_Analyser("text")),
        text=fields.TEXT(analyzer=_Analyser("text")),
        marks=fields.TEXT(analyzer=_Analyser("list")),
        words=fields.STORED(),
    )


def _add(writer: Any, document: Document, fingerprint: str) -> None:
    title, text, marks = terms_of(document)
    writer.add_document(
        ref=document.ref,
        digest=fingerprint,
        lengths=[len(title), len(text), len(marks)],
        title=document.title,
        text=document.text,
        marks="\n".join(form for form, _ in marks) or None,
        words="\n".join(sorted(words_of(document))),
    )


class Index:
    """The documents, their postings read from Whoosh, in the form that `ranking` asks for."""

    def __init__(
        self, documents: Sequence[Document], reader: Any, room: Path | None = None
    ) -> None:
        self.documents = documents
        self._reader = reader
        self.close = weakref.finalize(self, _let_go, reader, room)
        """Let go of the files, and remove them where they lie in a temporary `room`."""
        number = {document.ref: place for place, document in enumerate(documents)}
        self._number: dict[int, int] = {}
        self._written: list[str] = []
        self._lengths: list[list[int]] = [[0] * len(FIELDS)] * len(documents)
        for within, stored in reader.iter_docs():
            self._number[within] = number[stored["ref"]]
            self._lengths[number[stored["ref"]]] = stored["lengths"]
            self._written.append(stored["words"])
        self._totals = [sum(lengths[at] for lengths in self._lengths) for at in range(len(FIELDS))]

    @property
    def count(self) -> int:
        """All documents."""
        return len(self.documents)

    def average(self, field: int) -> float:
        """The mean length of a field in words."""
        return self._totals[field] / self.count if self.count else 0.0

    def length(self, field: int, document: int) -> int:
        """The length of a document's field, in Whoosh's coarse steps."""
        return scored_length(self._lengths[document][field])

    def postings(self, field: int, term: str) -> Mapping[int, Sequence[int]]:
        """The documents that have a term, with its places in each."""
        if (FIELDS[field], term) not in self._reader:
            return {}
        found: dict[int, Sequence[int]] = {}
        matcher = self._reader.postings(FIELDS[field], term)
        while matcher.is_active():
            found[self._number[matcher.id()]] = matcher.value_as("positions")
            matcher.next()
        return found

    def words(self, start: str) -> Sequence[str]:
        """Every word as written, folded, that starts with `start`, in order."""
        if not start:
            return self._words
        low = bisect_left(self._words, start)
        return list(takewhile(lambda word: word.startswith(start), islice(self._words, low, None)))

    @cached_property
    def _words(self) -> list[str]:
        return sorted({word for lines in self._written for word in lines.split("\n") if word})

    def facet(self, name: str, document: int) -> str:
        """The document's kind, zone or grade, in the form that is compared."""
        if name not in FACETS:
            raise ValueError(f"{name} is not one of {', '.join(FACETS)}")
        return facet_value(getattr(self.documents[document], name))


def _let_go(reader: Any, room: Path | None) -> None:
    reader.close()
    if room:
        shutil.rmtree(room, ignore_errors=True)


def open_index(documents: Iterable[Document], cache: Path | None = None) -> Index:
    """An index of exactly these documents.

    `cache` is a private folder of this program's (made if missing) in which the index is kept and
    brought up to date with what changed; without it, it is built in a temporary folder. An index
    that is damaged, foreign or of another version is built anew. Raises ValueError where two
    documents share a REF.
    """
    ordered = numbered(documents)
    prints = {document.ref: digest(document) for document in ordered}
    if cache is not None:
        try:
            return _kept(Vault(cache, "index"), ordered, prints)
        except OSError:
            pass  # A full disk or a cache that can't be written: the search goes on without it.
    room = Path(tempfile.mkdtemp(prefix="search-"))
    return Index(ordered, _written(room, ordered, prints), room)


def _kept(vault: Vault, ordered: Sequence[Document], prints: Mapping[str, str]) -> Index:
    if folder := vault.intact():
        try:
            return _current(vault, folder, ordered, prints)
        except Exception:  # Whoosh raises anything on what it can't read
            pass
    return Index(ordered, _new_generation(vault, None, ordered, prints))


def _new_generation(
    vault: Vault,
    start: Path | None,
    fresh: Iterable[Document],
    prints: Mapping[str, str],
    gone: Iterable[str] = (),
) -> Any:
    """Write, seal and open a further generation of the index, from a copy of `start` if given."""
    draft = vault.draft(start)
    try:
        reader = _written(draft, fresh, prints, gone)
        vault.keep(draft)
    except BaseException:
        vault.discard(draft)
        raise
    return reader


def _current(
    vault: Vault, folder: Path, ordered: Sequence[Document], prints: Mapping[str, str]
) -> Index:
    """The kept index, with what changed written into a copy of it."""
    reader = _opened(folder).reader()
    held = {stored["ref"]: stored["digest"] for _, stored in reader.iter_docs()}
    gone = [ref for ref, fingerprint in held.items() if prints.get(ref) != fingerprint]
    fresh = [one for one in ordered if held.get(one.ref) != prints[one.ref]]
    if not gone and not fresh:
        return Index(ordered, reader)
    # Dead documents weigh on an index, so after much change it is as well to start again.
    much = len(gone) + len(fresh) > len(ordered) // 2 + 1 or reader.doc_count_all() > 2 * len(held)
    reader.close()
    if much:
        return Index(ordered, _new_generation(vault, None, ordered, prints))
    return Index(ordered, _new_generation(vault, folder, fresh, prints, gone))


def _opened(folder: Path) -> Any:
    return _whoosh("index").open_dir(str(folder), schema=_schema(), readonly=True)


def _written(
    folder: Path, fresh: Iterable[Document], prints: Mapping[str, str], gone: Iterable[str] = ()
) -> Any:
    """Write documents into the folder's index, new if the folder is empty; a reader of it."""
    whoosh = _whoosh("index")
    empty = not any(folder.iterdir())
    made = (
        whoosh.create_in(str(folder), _schema())
        if empty
        else whoosh.open_dir(str(folder), schema=_schema())
    )
    writer = made.writer()
    for ref in gone:
        writer.delete_by_term("ref", ref)
    for document in fresh:
        _add(writer, document, prints[document.ref])
    writer.commit()
    return made.reader()
