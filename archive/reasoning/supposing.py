"""Records as they would read if something were found out about one of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from archive.core.dates import parse_edtf, show_dating
from archive.core.problems import Unreadable
from archive.core.rules import SUPPOSITIONS
from archive.reasoning.layered import laid_over
from archive.records.library import Library
from archive.records.photo import Photo, PhotoDate, SameNegative
from archive.records.source import Consent, Source, Withdrawn
from archive.records.spec import Judged, Record


class CannotSuppose(ValueError):
    """A supposition that makes no sense of this record; `says` and `hint` are sentences."""

    def __init__(self, says: str, hint: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.hint = hint


_STOOD_ON = "{} is a file that the other records stand on: it can't be taken out."
_SUPPOSE_ELSE = "Suppose something of a photograph, a source, a part or another record."


@dataclass(frozen=True, slots=True)
class Supposed:
    """The changed records, what was supposed in a sentence, and the REFs that were changed."""

    library: Library
    says: str
    changed: tuple[str, ...]


def default_for(library: Library, ref: str) -> str:
    """What is supposed where nothing is said: discredited, or gone where that makes no sense."""
    return "discredited" if _behind(library, ref) else "gone"


def suppose(library: Library, ref: str, what: str, other: str = "") -> Supposed:
    """The library as it would be if `what` (one of SUPPOSITIONS) held of the record `ref`.

    `other` is the REF that a record is `same-as`, or the date (EDTF) to which it is `redated`.
    Raises `CannotSuppose` where the record isn't there, or where this can't be supposed of its
    kind.
    """
    kind, _, id_ = ref.partition("#")[0].partition("/")
    record = library.of_kind(kind).get(id_)
    if record is not None and not isinstance(record, Record):
        raise CannotSuppose(_STOOD_ON.format(f"What {ref} stands in"), _SUPPOSE_ELSE)
    if record is None or what not in SUPPOSITIONS:
        raise CannotSuppose(f"There is no {ref}." if record is None else f"“{what}” is unknown.")
    if what == "gone":
        return _gone(library, record, kind)
    if not isinstance(record, Photo | Source):
        raise CannotSuppose(
            f"“{what}” can be supposed of a photograph or a source only.",
            "Of any other record suppose that it is gone: --if gone",
        )
    if what == "same-as":
        return _same(library, record, other)
    if what == "redated":
        return _redated(library, record, other)
    if what == "rights-revoked":
        return Supposed(library, SUPPOSITIONS[what], (record.ref,))
    if what in ("discredited", "consent-withdrawn"):
        return _source_falls(library, record, what)
    return _misread(library, record, what)


def _gone(library: Library, record: Record, kind: str) -> Supposed:
    left: Any = {key: one for key, one in library.of_kind(kind).items() if key != record.id}
    if record is library.policy:
        left = None
    elif record is getattr(library, kind):
        raise CannotSuppose(_STOOD_ON.format(record.path), _SUPPOSE_ELSE)
    changes: dict[str, Any] = {kind: left}
    return Supposed(replace(library, **changes), SUPPOSITIONS["gone"], (record.ref,))


def _behind(library: Library, ref: str) -> Source | None:
    """The source that a REF is, or that a photograph is a picture of."""
    kind, _, id_ = ref.partition("#")[0].partition("/")
    if kind == "photos":
        photo = library.photos.get(id_)
        kind, _, id_ = ((photo.source if photo else None) or "").partition("/")
    return library.sources.get(id_) if kind == "sources" else None


def _source_falls(library: Library, record: Photo | Source, what: str) -> Supposed:
    source = _behind(library, record.ref)
    if source is None:
        raise CannotSuppose(
            f"{record.ref} names no source of which that could be supposed.",
            "Suppose that it is gone: --if gone",
        )
    says = SUPPOSITIONS[what]
    if source.ref != record.ref:
        says = f"{says[:-1]}: what it is a picture of, {source.ref}."
    if what == "discredited":
        changed = replace(source, discredited=Judged(says=True))
    else:
        consent = source.consent or Consent()
        withdrawn = replace(consent.withdrawn or Withdrawn(), extent="all-use")
        changed = replace(source, consent=replace(consent, withdrawn=withdrawn))
    return Supposed(with_source(library, changed), says, (source.ref,))


def _misread(library: Library, record: Photo | Source, what: str) -> Supposed:
    """A print that is flipped, or of another aircraft: of a source, all pictures of it too."""
    photos = (
        [record]
        if isinstance(record, Photo)
        else [photo for photo in library.photos.values() if photo.source == record.ref]
    )
    if what == "flipped":
        if not photos:
            raise CannotSuppose(f"There is no picture of {record.ref} that could be flipped.")
        fields: dict[str, Any] = {"flipped": Judged(says=True)}
    else:
        fields = {"airframe": Judged(says="sister" if what == "sister" else "unknown")}
    for photo in photos:
        library = with_photo(library, replace(photo, **fields))
    changed = [photo.ref for photo in photos]
    if isinstance(record, Source) and what != "flipped":
        library = with_source(library, replace(record, **fields))
        changed.append(record.ref)
    return Supposed(library, SUPPOSITIONS[what], tuple(sorted(changed)))


def _same(library: Library, record: Photo | Source, other: str) -> Supposed:
    twin = library.get(other.partition("#")[0]) if other else None
    if not isinstance(twin, Photo | Source) or twin.ref == record.ref:
        raise CannotSuppose(
            f"{other or 'Nothing'} is no other photograph or source.",
            "Write it as --if same-as=photos/ID",
        )
    says = f"It is found to come from one negative with {twin.ref}."
    if isinstance(record, Photo):
        ruling = SameNegative(photo=twin.ref, is_same="same", because="supposed")
        photo = replace(record, same_negative=(*record.same_negative, ruling))
        return Supposed(with_photo(library, photo), says, (record.ref, twin.ref))
    source = replace(record, derived_from=(*record.derived_from, twin.ref))
    return Supposed(with_source(library, source), says, (record.ref, twin.ref))


def _redated(library: Library, record: Photo | Source, written: str) -> Supposed:
    try:
        dating = parse_edtf(written)
    except Unreadable as error:
        hint = error.hint or "Write it as --if redated=1933-05"
        raise CannotSuppose(error.says, hint) from None
    argued = Judged(says=dating, because="supposed")
    says = f"It is dated {show_dating(dating)}."
    if isinstance(record, Photo):
        # Supposed of the photograph: what its own record says of its day and state is then wrong.
        dated = replace(record.date or PhotoDate(), argued=argued)
        photo = replace(record, date=dated, configurations=())
        return Supposed(with_photo(library, photo), says, (record.ref,))
    return Supposed(with_source(library, replace(record, dated=argued)), says, (record.ref,))


def with_photo(library: Library, photo: Photo) -> Library:
    """The library with one photograph changed or added."""
    return replace(library, photos=laid_over(library.photos, photo.id, photo))


def with_source(library: Library, source: Source) -> Library:
    """The library with one source changed or added."""
    return replace(library, sources=laid_over(library.sources, source.id, source))
