"""Which photographs share an exposure, and what was made from what: who dates whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from archive.core.likeness import COPIES, Related
from archive.reasoning.lives import Life
from archive.reasoning.trust import fallen
from archive.records.library import Library
from archive.records.photo import Photo
from archive.records.source import Source

PICTURES = frozenset(
    {
        "negative",
        "vintage-print",
        "later-print",
        "copy-negative",
        "copy-print",
        "halftone",
        "photocopy",
        "scan",
    }
)
"""Generations of one picture: what is pictured was exposed when its negative was."""
SINGLE = frozenset(
    {
        "negative",
        "vintage-print",
        "later-print",
        "copy-negative",
        "copy-print",
    }
)
"""Of these, what holds a single picture by its nature: a page may hold several halftones."""
PUBLISHED = frozenset(
    {
        "article-journal",
        "article-magazine",
        "article-newspaper",
        "book",
        "chapter",
        "pamphlet",
        "patent",
        "periodical",
        "report",
        "standard",
    }
)
"""Types of citation whose date of issue is printed on the thing."""


class Exposures:
    """How photographs and sources hang together in time; `photos` are those that have a moment.

    A photograph of a paper has none of its own: the paper has.
    """

    def __init__(
        self, library: Library, sums: Mapping[str, str], related: Iterable[Related] = ()
    ) -> None:
        """`sums` gives the checksum of each photograph's file, by id, as far as known; `related`
        are the photographs whose pictures are."""
        self.photos: Mapping[str, Photo] = {
            photo.ref: photo
            for photo in library.photos.values()
            if photo.shows_what in ("period", "as-found", "mock-up")
        }
        self._library = library
        self._sources = {source.ref: source for source in library.sources.values()}
        self._fallen = fallen(library)
        self._twins: dict[str, str] = {}
        first: dict[str, str] = {}
        for photo in self.photos.values():
            held = first.setdefault(sums.get(photo.id) or photo.ref, photo.ref)
            if held != photo.ref:
                self._twins[photo.ref] = held
        self._proved: dict[str, tuple[str, ...]] = {}
        for pair in related:
            if pair.found.answer == COPIES and pair.ruled != "different":
                self._proved[pair.one] = (*self._proved.get(pair.one, ()), pair.other)
        self._same: dict[str, str] = {}
        of_root: dict[str, list[Photo]] = {}
        for photo in self.photos.values():
            root = self._root(photo)
            if root:
                of_root.setdefault(root, []).append(photo)
        self._argued: set[str] = set()
        for root, photos in of_root.items():
            negative = self._negative(root)
            for photo in photos:
                if negative:
                    self._same[photo.ref] = root
                elif photo is not photos[0]:
                    self._same[photo.ref] = photos[0].ref
            source = self._source(root)
            dated = bool(source and negative and source.dated is not None)
            if dated or any(photo.date and photo.date.argued is not None for photo in photos):
                self._argued.update(photo.ref for photo in photos)
        self.sources = self._hanging_on()

    def same_as(self, photo: Photo) -> str:
        """The negative, or another photograph, that was exposed in the same moment; "" for none."""
        return self._same.get(photo.ref, "")

    def made_as(self, photo: Photo) -> str:
        """The source that a photograph is a picture of, where it was made as one thing."""
        ref = photo.source or ""
        source = self._source(ref)
        return ref if source and not _collection(source) else ""

    def made_from(self, source: Source) -> tuple[str, ...]:
        """What a source was made from, as far as that has a moment, in the order of its file."""
        found = (ref.partition("#")[0] for ref in source.derived_from)
        return tuple(
            ref
            for ref in found
            if (ref in self.photos or ref in self.sources) and ref != source.ref
        )

    def published_in(self, source: Source) -> str:
        """The published thing that a source came out in; "" where there is none."""
        outer = self._source(source.within or "")
        published = outer and outer.citation and outer.citation.type in PUBLISHED
        return outer.ref if outer and published and outer.ref in self.sources else ""

    def argued(self, photo: Photo) -> bool:
        """Has somebody argued a date for this exposure, by whichever print?"""
        own = photo.date is not None and photo.date.argued is not None
        return own or photo.ref in self._argued

    def generation(self, photo: Photo) -> str:
        """The generation of what a photograph is a picture of; "" where nobody says."""
        source = self._source(photo.source or "")
        return (source.generation or "") if source else ""

    def same_file(self, photo: Photo) -> str:
        """An earlier photograph whose picture is the same file; "" for none."""
        return self._twins.get(photo.ref, "")

    def proved(self, photo: Photo) -> tuple[str, ...]:
        """Photographs that share grain or dust with this one; each pair is named by one of them."""
        return tuple(
            ref
            for ref in self._proved.get(photo.ref, ())
            if ref in self.photos and photo.ref in self.photos
        )

    def trusted(self, item: str) -> bool:
        """May an item's own date be believed: not discredited, nor its consent taken back?"""
        return item not in self._fallen

    def life_of(self, lives: tuple[Life, ...], photo: Photo) -> Life | None:
        """The life that a period photograph is a moment of; None where nobody says whose it is."""
        if photo.shows_what != "period":
            return None
        whose = getattr(photo.airframe, "says", photo.airframe)
        if whose == "this":
            return lives[0]
        if whose == "sister" and photo.sister:
            return next((life for life in lives if life.sister == photo.sister), None)
        return None

    def _source(self, ref: str) -> Source | None:
        return self._sources.get(ref) or self._sources.get(ref.partition("#")[0])

    def _negative(self, ref: str) -> bool:
        source = self._source(ref)
        return ref in self.photos or bool(source and source.generation == "negative")

    def _root(self, photo: Photo) -> str:
        """The first picture that a photograph comes down from without a break; "" for none.

        It is a negative, a single print, or another photograph that a copy was made from.
        """
        found, seen = "", set[str]()
        source = self._source(photo.source or "")
        while source and source.ref not in seen and source.generation in PICTURES:
            if _collection(source):
                break
            seen.add(source.ref)
            if source.generation in SINGLE:
                found = source.ref
            parents = [ref.partition("#")[0] for ref in source.derived_from]
            if len(parents) != 1:
                break
            if parents[0] in self.photos and parents[0] != photo.ref:
                return parents[0]
            source = self._source(parents[0])
        return found

    def _hanging_on(self) -> Mapping[str, Source]:
        """The sources that a photograph comes from, or that were made from what one comes from."""
        made: dict[str, list[str]] = {}
        for one in self._sources.values():
            for ref in one.derived_from:
                made.setdefault(ref.partition("#")[0], []).append(one.ref)
        found: dict[str, Source] = {}
        todo: list[str] = [ref for p in self.photos.values() for ref in (p.ref, p.source or "")]
        while todo:
            ref = todo.pop()
            source = self._source(ref)
            if source and ref not in found:
                found[ref] = source
                todo += [name.partition("#")[0] for name in source.derived_from]
                outer = self._source(source.within or "")
                if outer and outer.citation and outer.citation.type in PUBLISHED:
                    todo.append(outer.ref)
            elif source:
                continue
            todo += made.pop(ref, ())
        return dict(sorted(found.items()))


def _collection(source: Source) -> bool:
    return bool(source.citation and source.citation.type == "collection")
