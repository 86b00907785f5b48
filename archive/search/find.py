"""`find`: the hits for a line of words, as the command prints them and the page lists them."""

from __future__ import annotations

from dataclasses import dataclass

from archive.search.index import Index, stem
from archive.search.query import parse
from archive.search.ranking import MICRO, answer


@dataclass(frozen=True, slots=True)
class Hit:
    """One document found; `score` compares hits of one search and means nothing beyond that."""

    ref: str
    title: str
    kind: str
    score: float
    url: str
    summary: str
    zone: str = ""
    grade: str = ""

    def as_json(self) -> dict[str, object]:
        """The hit as plain values, for `--json`."""
        return {name: getattr(self, name) for name in self.__slots__}


@dataclass(frozen=True, slots=True)
class Found:
    """The first hits, how many there are in all, and what was made of words that nothing has.

    `corrected` pairs a misspelt word with those looked for instead; `missing` are words that
    neither stand anywhere nor come near one that does.
    """

    hits: tuple[Hit, ...]
    total: int
    corrected: tuple[tuple[str, tuple[str, ...]], ...] = ()
    missing: tuple[str, ...] = ()


def look(
    index: Index,
    words: str,
    *,
    kind: str | None = None,
    zone: str | None = None,
    grade: str | None = None,
    limit: int = 20,
) -> Found:
    """Search, and say also how many hits there are and which words were put right.

    `words` is a line as `query.parse` reads it; `kind`, `zone` and `grade` narrow it further.
    """
    chosen = [("kind", kind or ""), ("zone", zone or ""), ("grade", grade or "")]
    found = answer(parse(words, stem, chosen), index, stem)
    hits = []
    for number, score in found.found[: max(limit, 0)]:
        one = index.documents[number]
        hits.append(
            Hit(
                ref=one.ref,
                title=one.title,
                kind=one.kind,
                score=score / MICRO,
                url=one.url,
                summary=one.summary,
                zone=one.zone,
                grade=one.grade,
            )
        )
    return Found(tuple(hits), len(found.found), found.corrected, found.missing)


def find(
    index: Index,
    words: str,
    *,
    kind: str | None = None,
    zone: str | None = None,
    grade: str | None = None,
    limit: int = 20,
) -> list[Hit]:
    """The first `limit` hits, best first: the same, in the same order, as on the search page."""
    return list(look(index, words, kind=kind, zone=zone, grade=grade, limit=limit).hits)
