"""The entry of every term: brought up to date from what changed, or worked out from all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from archive.search.codec import SEPARATOR, STEP, number, places, put_places
from archive.search.documents import Document, digest
from archive.search.ledger import Ledger, analyse
from archive.search.ranking import FIELDS


def bring_up_to_date(ledger: Ledger, documents: Sequence[Document]) -> None:
    """Make the ledger hold exactly these documents (in the order of their REFs).

    Where the same REFs are there and few changed, only the terms of those are written again; the
    outcome is the same either way.
    """
    held = ledger.digests()
    prints = {document.ref: digest(document) for document in documents}
    changed = [place for place, one in enumerate(documents) if held.get(one.ref) != prints[one.ref]]
    if held.keys() == prints.keys() and len(changed) <= max(20, len(documents) // 50):
        _patch(ledger, documents, changed, prints)
        return
    ledger.remove(held.keys() - prints.keys())
    _rewrite(ledger, documents, frozenset(changed), prints)


def _rewrite(
    ledger: Ledger,
    documents: Sequence[Document],
    changed: frozenset[int],
    prints: Mapping[str, str],
) -> None:
    parts: tuple[dict[str, list[str]], ...] = tuple({} for _ in FIELDS)
    last: tuple[dict[str, int], ...] = tuple({} for _ in FIELDS)
    words: Counter[str] = Counter()
    for place, document in enumerate(documents):
        if place in changed:
            analysed = analyse(document)
            ledger.put(document.ref, prints[document.ref], analysed)
        else:
            analysed = ledger.analysed(document.ref)
        words.update(analysed.words)
        for terms, texts, before in zip(analysed.fields, parts, last, strict=True):
            for term, positions in terms.items():
                text = number(place - before.get(term, 0), STEP) + places(positions)
                texts.setdefault(term, []).append(text)
                before[term] = place
    entries = {
        term: _entry(["".join(texts.get(term, ())) for texts in parts])
        for term in set().union(*parts)
    }
    ledger.replace_all(entries, words)


def _patch(
    ledger: Ledger,
    documents: Sequence[Document],
    changed: Sequence[int],
    prints: Mapping[str, str],
) -> None:
    words: Counter[str] = Counter()
    moves: dict[str, list[tuple[int, int, Sequence[int]]]] = {}
    for place in changed:
        document = documents[place]
        old, new = ledger.analysed(document.ref), analyse(document)
        ledger.put(document.ref, prints[document.ref], new)
        words.update(new.words - old.words)
        words.subtract(old.words - new.words)
        for field, (before, after) in enumerate(zip(old.fields, new.fields, strict=True)):
            for term in before.keys() | after.keys():
                if before.get(term) != after.get(term):
                    moves.setdefault(term, []).append((field, place, after.get(term, ())))
    entries = {term: _moved(ledger.entry(term), steps) for term, steps in moves.items()}
    ledger.patch(entries, words)


def _moved(entry: str, steps: Sequence[tuple[int, int, Sequence[int]]]) -> str:
    """An entry after each (field, document, places) was put in; without places it is taken out."""
    fields = entry.split(SEPARATOR)
    fields += [""] * (len(FIELDS) - len(fields))
    for field, document, positions in steps:
        fields[field] = put_places(fields[field], document, positions)
    return _entry(fields)


def _entry(fields: Sequence[str]) -> str:
    """The postings of a term's fields in one text, those at the end left out if they are empty."""
    return SEPARATOR.join(fields).rstrip(SEPARATOR)
