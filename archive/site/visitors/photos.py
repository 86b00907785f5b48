"""A photograph's page: the whole picture, its words, its day, its credit, and what it tells of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.records.citation import render as cited
from archive.records.photo import Photo
from archive.site.page import Link, Page
from archive.site.visitors.edition import Edition, Picture, Said
from archive.site.visitors.parts import THEME


@dataclass(frozen=True, slots=True)
class RegionShown:
    """A place on the picture: its outline in pixels of the original, and what it shows."""

    id: str
    points: str
    name: Said
    link: Link | None


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """All that a photograph's page says."""

    picture: Picture
    width: int
    height: int
    regions: tuple[RegionShown, ...]
    when: str
    kind: str
    citation: str
    paper: Link | None
    statement: str
    tells_of: tuple[Link, ...]
    more: str


@dataclass(frozen=True, slots=True)
class PhotosShown:
    """All photographs that may be shown, by kind."""

    kinds: tuple[tuple[str, tuple[Picture, ...]], ...]


def pages(edition: Edition) -> Iterator[Page]:
    """All photographs, then the page of each."""
    kinds = []
    for kind in ("period", "as-found", "mock-up", "document"):
        found = [photo for photo in edition.library.photos.values() if photo.shows_what == kind]
        pictures = [one for photo in found if (one := edition.picture(photo.id, 320))]
        if pictures:
            kinds.append((edition.t(f"pictures.{kind}"), tuple(pictures)))
    frame = edition.frame(
        "photographs.html", edition.t("pictures.title"), edition.site.name, "photographs"
    )
    yield Page(
        edition.path("photographs.html"), "photographs", frame, PhotosShown(tuple(kinds)), THEME
    )
    deep = edition.deep()
    for photo in deep.library.photos.values():
        shown = _photo(deep, photo)
        if shown is not None:
            page = f"photos/{photo.id}.html"
            title = deep.text(photo, "title").text
            frame = deep.frame(page, title, deep.t("pictures.label"), "photographs")
            yield Page(deep.path(page), "photo", frame, shown, THEME)


def _photo(edition: Edition, photo: Photo) -> PhotoShown | None:
    picture = edition.picture(photo.id, 960)
    if picture is None:
        return None
    made = edition.pictures[photo.id]
    source = edition.library.sources.get((photo.source or "").partition("/")[2])
    dated = edition.view.findings.dates.get(photo.ref)
    terms = edition.view.terms[photo.id]
    claims = edition.view.findings.leaning.get(photo.ref, ())
    hidden = dated and (dated.earliest_finding.reasons or dated.latest_finding.reasons)
    return PhotoShown(
        picture=picture,
        width=made.width_px,
        height=made.height_px,
        regions=tuple(
            RegionShown(
                region.id,
                " ".join(f"{x:g},{y:g}" for x, y in region.outline),
                edition.foreign(region.name or region.id.replace("-", " ")),
                edition.link(region.part) if region.part else None,
            )
            for region in photo.regions
            if region.outline
        ),
        when=edition.when(photo.ref),
        kind=edition.t(f"pictures.one.{photo.shows_what}") if photo.shows_what else "",
        citation=cited(source.citation) if source and source.citation else "",
        paper=edition.link(photo.source) if photo.source else None,
        statement=terms.statement,
        tells_of=edition.links(ref.partition("#")[0] for ref in claims),
        more=edition.t("withheld.day") if hidden else "",
    )
