"""Which documents meet a query, and in what order: BM25 for each field, added up with its weight.

score = sum over clauses and fields of  weight * idf * tf (K1 + 1) / (tf + K1 (1 - B + B l / L))
with idf = ln(N / (df + 1)) + 1; tf how often the clause is met in the field of the document, df in
how many documents' field, l the field's length in words, L the mean of that, N all documents.
Source: Robertson and Zaragoza, "The Probabilistic Relevance Framework: BM25 and Beyond" (2009),
with the idf that Whoosh takes. Sums are formed in the order written and rounded to a millionth,
ties go by document number, so that the page's script finds the same order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from archive.search.query import Clause, Query, Stemmer, Way, slips_allowed
from archive.search.words import distance

FIELDS = ("title", "text", "marks")
MARKS = FIELDS.index("marks")
WEIGHTS = (3.0, 1.0, 5.0)
K1 = 1.2
B = 0.75
MICRO = 1_000_000


class Postings(Protocol):
    """What ranking asks of an index. Documents are numbered in the order of their REFs."""

    @property
    def count(self) -> int:
        """All documents."""

    def average(self, field: int) -> float:
        """The mean length of a field in words."""

    def length(self, field: int, document: int) -> int:
        """The length of a document's field, in the coarse steps that ranking uses."""

    def postings(self, field: int, term: str) -> Mapping[int, Sequence[int]]:
        """The documents that have a term (a stem, or a mark's form), with its places in each."""

    def words(self, start: str) -> Iterable[str]:
        """Every word as written, folded, that starts with `start`."""

    def facet(self, name: str, document: int) -> str:
        """The document's kind, zone or grade, in the form that is compared."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The documents found, best first, each with its score in millionths.

    `corrected` gives for a misspelt word those that were looked for instead; `missing` are the
    words that nothing has.
    """

    found: tuple[tuple[int, int], ...] = ()
    corrected: tuple[tuple[str, tuple[str, ...]], ...] = ()
    missing: tuple[str, ...] = field(default=())


def answer(query: Query, index: Postings, stem: Stemmer) -> Answer:
    """Every document that meets all clauses and facets; without clauses, all in the facets."""
    corrected: list[tuple[str, tuple[str, ...]]] = []
    missing: list[str] = []
    scores: dict[int, float] | None = None
    for clause in query.clauses:
        met = _occurrences(_settled(clause, index, stem), index)
        if not any(met):
            near = _near(clause.word, index)
            met = _occurrences(replace(clause, ways=_any_of(near, stem)), index)
            if any(met):
                corrected.append((clause.typed, tuple(near)))
            else:
                missing.append(clause.typed)
        part = _part(met, index)
        scores = (
            part
            if scores is None
            else {number: scores[number] + part[number] for number in scores if number in part}
        )
    if scores is None:
        scores = dict.fromkeys(range(index.count), 0.0) if query.kept else {}
    found = [
        (-math.floor(score * MICRO + 0.5), number)
        for number, score in scores.items()
        if all(index.facet(name, number) in values for name, values in query.kept)
    ]
    return Answer(
        tuple((number, -score) for score, number in sorted(found)),
        tuple(corrected),
        tuple(missing),
    )


def _any_of(words: Iterable[str], stem: Stemmer) -> tuple[Way, ...]:
    """Ways that are met by any of the words: its stem in title and text, itself as a mark.

    A stem that several words share is looked for once.
    """
    stems = dict.fromkeys(stem(word) for word in words)
    return (*(Way((one,)) for one in stems), *(Way((), word) for word in words))


def _settled(clause: Clause, index: Postings, stem: Stemmer) -> Clause:
    """The clause with the ways that hold for this index: see `Clause`."""
    if clause.prefix:
        return replace(clause, ways=_any_of(sorted(index.words(clause.prefix)), stem))
    if clause.whole and index.postings(MARKS, clause.whole):
        return replace(clause, ways=tuple(w for w in clause.ways if w.mark in ("", clause.whole)))
    return clause


def _near(word: str, index: Postings) -> list[str]:
    """The words of letters alone with the fewest slips from `word`, if few enough; sorted."""
    letters = set(word)
    for limit in range(1, slips_allowed(word) + 1):
        near = [
            other
            for other in index.words("")
            if abs(len(other) - len(word)) <= limit
            and len(letters.symmetric_difference(other)) <= 2 * limit
            and other.isalpha()
            and distance(word, other, limit) <= limit
        ]
        if near:
            return sorted(near)
    return []


def _occurrences(clause: Clause, index: Postings) -> list[dict[int, float]]:
    """For each field, how often the clause is met in each document that meets it."""
    return [_in_field(clause.ways, place, index) for place in range(len(FIELDS))]


def _in_field(ways: Sequence[Way], place: int, index: Postings) -> dict[int, float]:
    """How often any of the ways is met in one field.

    Single words add up. Where a row of words is among the ways, ways that start at the same word
    count once, by the heaviest.
    """
    rows = place != MARKS and any(len(way.stems) > 1 for way in ways)
    times: dict[int, float] = {}
    starts: dict[int, dict[int, float]] = {}
    for way in ways:
        terms = ((way.mark,) if way.mark else ()) if place == MARKS else way.stems
        if not terms:
            continue
        for document, places in _in_a_row(terms, place, index).items():
            if rows:
                seen = starts.setdefault(document, {})
                for start in places:
                    seen[start] = max(seen.get(start, 0.0), way.weight)
            else:
                times[document] = times.get(document, 0.0) + way.weight * len(places)
    return {document: sum(seen.values()) for document, seen in starts.items()} if rows else times


def _in_a_row(terms: Sequence[str], place: int, index: Postings) -> Mapping[int, Sequence[int]]:
    """Where the terms stand one after another: the places of the first."""
    found = index.postings(place, terms[0])
    for step, term in enumerate(terms[1:], 1):
        after = index.postings(place, term)
        found = {
            document: kept
            for document, places in found.items()
            if document in after
            and (kept := [at for at in places if at + step in set(after[document])])
        }
    return found


def _part(met: Sequence[Mapping[int, float]], index: Postings) -> dict[int, float]:
    """What one clause adds to each document's score."""
    part: dict[int, float] = {}
    for place, times in enumerate(met):
        if not times:
            continue
        idf = math.log(index.count / (len(times) + 1)) + 1
        score = bm25(idf, index.average(place), place)
        for document, tf in times.items():
            part[document] = part.get(document, 0.0) + score(tf, index.length(place, document))
    return part


def bm25(idf: float, average: float, place: int) -> Callable[[float, int], float]:
    """The score of a field, as a function of how often and of the field's length in words."""
    weight = WEIGHTS[place]
    mean = average or 1.0

    def score(tf: float, length: int) -> float:
        return weight * (idf * ((tf * (K1 + 1)) / (tf + K1 * ((1 - B) + B * length / mean))))

    return score
