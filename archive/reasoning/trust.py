"""What takes an item out of every grade: discredit, consent taken back, an unreadable record.

Each goes down from an item to everything that was made from it.
"""

from __future__ import annotations

from archive.reasoning.ground import Ground
from archive.reasoning.independence import ancestry
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import Photo
from archive.records.source import Source
from archive.records.spec import fields_of

PHOTO_FIELDS, SOURCE_FIELDS, PART_FIELDS = (
    frozenset(fields_of(cls)) for cls in (Photo, Source, Part)
)
MATTERS = frozenset(
    [
        "shows_what",
        "source",
        "airframe",
        "flipped",
        "retouched",
        "regions",
        "configurations",
        "date",
        "shows",
        "same_negative",
        "monochrome",
        "derived_from",
        "sitting",
        "generation",
        "discredited",
        "first_hand",
        "dated",
        "consent",
        "citation",
    ]
)
"""Fields of a photograph or a source on which a grade can turn (G25)."""
METAL_MATTERS = frozenset(
    "survives airframe origin status fitted replaces assembly members opposite mates".split()  # noqa: SIM905
)
"""Fields of a part on which its worth as evidence can turn (G25)."""


def discredited(library: Library, item: str) -> str:
    """The REF of the discredited source that an item is or was made from; "" where none is."""
    return next((s.ref for s in _sources(library, item) if is_discredited(s)), "")


def taken_back(library: Library, item: str) -> str:
    """The REF of the source whose consent was taken back for all use; "" where none is."""
    return next((s.ref for s in _sources(library, item) if is_taken_back(s)), "")


def is_discredited(source: Source) -> bool:
    """Has somebody found that a source isn't what it says?"""
    return source.discredited is not None and source.discredited.says is True


def is_taken_back(source: Source) -> bool:
    """Was the consent to a source taken back for all use?"""
    withdrawn = source.consent.withdrawn if source.consent else None
    return bool(withdrawn and withdrawn.extent in ("all-use", "return-or-destroy"))


def fallen(library: Library) -> frozenset[str]:
    """REFs of all that is discredited or taken back, and of all that was made from it."""
    todo = [s.ref for s in library.sources.values() if is_discredited(s) or is_taken_back(s)]
    if not todo:
        return frozenset()
    made: dict[str, list[str]] = {}
    for source in library.sources.values():
        for ref in source.derived_from:
            made.setdefault(ref.partition("#")[0], []).append(source.ref)
    for photo in library.photos.values():
        made.setdefault(photo.source or "", []).append(photo.ref)
    found: set[str] = set()
    while todo:
        ref = todo.pop()
        if ref not in found:
            found.add(ref)
            todo += made.get(ref, ())
    return frozenset(found)


def unreliable(ground: Ground, item: str) -> str:
    """Why an item's record, or that of what it was made from, can't be relied on; "" if it can."""
    for ref in ancestry(ground.library, item.partition("#")[0]):
        broken = ground.broken.get(ref)
        known = PHOTO_FIELDS if ref.startswith("photos/") else SOURCE_FIELDS
        if broken and broken.where_it_matters(MATTERS, known):
            return f"in {ref} {broken.says}"
    return ""


def unreliable_part(ground: Ground, part: Part) -> str:
    """Why a part's record can't be relied on as evidence for another; "" if it can."""
    broken = ground.broken.get(part.ref)
    if broken and broken.where_it_matters(METAL_MATTERS, PART_FIELDS):
        return f"in {part.ref} {broken.says}"
    return ""


def _sources(library: Library, item: str) -> list[Source]:
    found = (library.get(ref) for ref in ancestry(library, item.partition("#")[0]))
    return [record for record in found if isinstance(record, Source)]
