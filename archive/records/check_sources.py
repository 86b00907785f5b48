"""Sources: citations that can be followed, judgements with a reason, consent in order."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.records.check_names import at
from archive.records.library import Library
from archive.records.source import Source
from archive.records.spec import Record

# What a reader needs to find the item again, by CSL type; `a|b` is satisfied by either.
# Common practice, no source.
_NEEDS = {
    "article-journal": ("title", "container_title", "issued"),
    "article-magazine": ("container_title", "issued"),
    "article-newspaper": ("container_title", "issued"),
    "book": ("title",),
    "chapter": ("title", "container_title"),
    "interview": ("author", "issued"),
    "manuscript": ("title|genre|medium",),
    "pamphlet": ("title",),
    "patent": ("title", "issued"),
    "periodical": ("title",),
    "personal_communication": ("author|recipient", "issued"),
    "report": ("title",),
    "standard": ("title",),
    "webpage": ("title", "url"),
}


def citations(library: Library) -> Iterator[Problem]:
    """A citation has what its type needs."""
    for source in library.sources.values():
        citation = source.citation
        if citation is None or citation.type is None:
            continue
        for need in _NEEDS.get(citation.type, ()):
            fields = need.split("|")
            if any(getattr(citation, field) or field in citation.lost for field in fields):
                continue
            words = " or ".join("URL" if f == "url" else f.replace("_", "-") for f in fields)
            says = f"A citation of type {citation.type} without {words} is hard to follow."
            hint = f"Add {words}:, as far as it is known."
            yield Problem(at(source, citation, "type"), "citation-thin", says, hint, advice=True)


def judgements(library: Library) -> Iterator[Problem]:
    """What takes a source out of the grades, or turns a print round, gives its reason."""
    judged: list[tuple[Record, str]] = [(s, "discredited") for s in library.sources.values()]
    judged += [(photo, "flipped") for photo in library.photos.values()]
    for record, field in judged:
        judgement = getattr(record, field)
        if judgement is not None and judgement.says is True and not judgement.because:
            says = f"Nothing says why this is judged {field}."
            where = at(record, judgement)
            yield Problem(where, "because-missing", says, "Add because: with the reason.")


def consents(library: Library) -> Iterator[Problem]:
    """Consent is given before it is withdrawn, and what was to be destroyed is."""
    for source in library.sources.values():
        consent = source.consent
        if consent is None or consent.withdrawn is None:
            continue
        if consent.withdrawn.extent == "return-or-destroy":
            yield from _still_here(library, source)
        given, withdrawn = consent.given, consent.withdrawn.on
        if given and withdrawn and withdrawn < given:
            says = f"Consent is withdrawn on {withdrawn}, before it was given on {given}."
            where = at(source, consent.withdrawn, "on")
            yield Problem(where, "consent-order", says, "Correct one of the two days.")


def _still_here(library: Library, source: Source) -> Iterator[Problem]:
    """What of an item is to be gone, and isn't: its words, and the pictures of it."""
    hint = "Keep the note with its id and its days; take the words and the files out."
    if source.transcript:
        says = "It is to be returned or destroyed, and its words still stand here."
        yield Problem(at(source, source, "transcript"), "not-destroyed", says, hint)
    for photo in library.photos.values():
        if photo.source == source.ref:
            says = f"It is a picture of {source.ref}, which is to be returned or destroyed."
            yield Problem(at(photo, photo, "source"), "not-destroyed", says, hint)
