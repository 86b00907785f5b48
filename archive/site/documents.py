"""What a search can find: one document for each record, claim, region and page of the manual."""

from __future__ import annotations

from collections.abc import Iterator

from archive.audience.view import View
from archive.records.card import printed
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import Photo
from archive.records.source import Source
from archive.records.spec import Node, fields_of
from archive.search.documents import Document
from archive.site.addresses import address
from archive.site.manual import manual
from archive.site.source import citation

KINDS = {
    "parts": "part",
    "claims": "claim",
    "photos": "photograph",
    "sources": "source",
    "decisions": "decision",
    "questions": "question",
    "zones": "zone",
    "measurements": "measurement",
    "surveys": "survey",
    "stories": "story",
    "cards": "card",
    "people": "person",
    "events": "event",
    "configurations": "state",
    "sisters": "sister",
    "how": "manual",
}
"""Kind of record → its word in a search."""

_SKIPPED = frozenset({"title", "number", "claims", "id", "sealed", "sha256"})
SUMMARY = 180


def documents(view: View) -> Iterator[Document]:
    """Everything that this audience can find, in no promised order."""
    library = view.library
    yield from _parts(view)
    yield from _photos(library)
    for source in library.sources.values():
        yield _record(library, source.ref, source, _source_marks(source), citation(source))
    for kind, field in (
        ("decisions", "because"),
        ("questions", "question"),
        ("stories", "summary"),
        ("measurements", "says"),
        ("surveys", "instrument"),
    ):
        for record in library.of_kind(kind).values():
            yield _record(library, record.ref, record, (), str(getattr(record, field) or ""))
    for card in library.cards.values():
        codes = tuple(printed(card, issue) for issue in card.issues)
        marks = (card.id, *codes, *(issue.code or "" for issue in card.issues))
        summary = library.title(card.part) if card.part else ""
        yield _record(library, card.ref, card, marks, summary)
    for kind in ("zones", "people", "events", "configurations", "sisters"):
        for id_, record in library.of_kind(kind).items():
            yield _inner(view, kind, id_, record)
    for page in manual():
        yield Document(
            ref=f"how/{page.name}",
            kind=KINDS["how"],
            title=page.title,
            text=page.text,
            url=f"how/{page.name}.html",
        )


def _parts(view: View) -> Iterator[Document]:
    library = view.library
    for part in library.parts.values():
        known = view.findings.parts.get(part.ref)
        lead = view.findings.claims.get(known.lead) if known else None
        members = tuple(member.tag for member in part.members if member.tag)
        marks = tuple(filter(None, (part.number, part.tag, part.system, *members)))
        zone = _zone(part)
        yield _record(
            library, part.ref, part, marks, part.summary or "", zone, lead.grade if lead else ""
        )
        for claim in part.claims:
            yield _claim(view, part, claim, zone)


def _claim(view: View, part: Part, claim: Claim, zone: str) -> Document:
    ref = f"{part.ref}#{claim.id}"
    graded = view.findings.claims.get(ref)
    return Document(
        ref=ref,
        kind=KINDS["claims"],
        title=claim.says or claim.id,
        text=" ".join(words_in(claim)),
        marks=(part.number,) if part.number else (),
        zone=zone,
        grade=graded.grade if graded else "",
        url=address(ref),
        summary=f"{part.title or part.id}, {claim.aspect or ''}",
    )


def _photos(library: Library) -> Iterator[Document]:
    for photo in library.photos.values():
        zones = sorted({zone for zone in _zones_shown(library, photo) if zone})
        marks = (photo.number,) if photo.number else ()
        yield _record(
            library, photo.ref, photo, marks, photo.alt or "", zones[0] if len(zones) == 1 else ""
        )


def _zones_shown(library: Library, photo: Photo) -> Iterator[str]:
    for region in photo.regions:
        part = library.parts.get((region.part or "").partition("/")[2].partition("#")[0])
        if part is not None:
            yield _zone(part)


def _zone(part: Part) -> str:
    return (part.zone or "").partition("/")[2]


def _source_marks(source: Source) -> tuple[str, ...]:
    call = source.citation.call_number if source.citation else None
    return tuple(filter(None, (source.number, source.negative, source.box, source.folder, call)))


def _record(
    library: Library,
    ref: str,
    record: Node,
    marks: tuple[str, ...],
    summary: str,
    zone: str = "",
    grade: str = "",
) -> Document:
    prose = getattr(record, "prose", "")
    told = " ".join(one.prose for one in getattr(record, "translations", {}).values())
    return Document(
        ref=ref,
        kind=KINDS[ref.partition("/")[0]],
        title=library.title(ref),
        text=" ".join(filter(None, (*words_in(record), prose, told))),
        marks=marks,
        zone=zone,
        grade=grade,
        url=address(ref),
        summary=summary if len(summary) <= SUMMARY else summary[: SUMMARY - 1] + "…",
    )


def _inner(view: View, kind: str, id_: str, record: Node) -> Document:
    ref = f"{kind}/{id_}"
    known = view.findings.zones.get(id_) if kind == "zones" else None
    marks = tuple(
        str(value)
        for value in (getattr(record, "mark", None), getattr(record, "initials", None))
        if isinstance(value, str)
    )
    return Document(
        ref=ref,
        kind=KINDS[kind],
        title=view.library.title(ref),
        text=" ".join(words_in(record)),
        marks=(id_,) if kind == "zones" else marks,
        zone=id_ if kind == "zones" else "",
        grade=known.grade if known else "",
        url=address(ref),
    )


def words_in(node: Node) -> Iterator[str]:
    """Every text that a record or group of fields holds, in the order of its fields."""
    for name, spec in fields_of(type(node)).items():
        value = getattr(node, name)
        if value is None or name in _SKIPPED:
            continue
        values = value if spec.many and isinstance(value, tuple) else (value,)
        for one in values:
            if isinstance(one, Node):
                yield from words_in(one)
            elif isinstance(one, str) and spec.type == "text":
                yield one
