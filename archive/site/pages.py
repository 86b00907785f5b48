"""Every page of a site, one after the other, cheap to build; rendering is apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from archive.audience.view import View
from archive.core.images import Overlay, PictureSet, RectifiedPicture
from archive.site import (
    aircraft,
    bench,
    card,
    cards,
    changes,
    chronology,
    decision,
    editions,
    estimates,
    everything,
    holding,
    home,
    lists,
    manual,
    measurement,
    part,
    photo,
    question,
    rights,
    search_page,
    source,
    story,
    survey,
    zone,
)
from archive.site.context import Context
from archive.site.page import Page, Site
from archive.site.visitors.pages import visitor_pages


def pages(
    view: View,
    pictures: Mapping[str, PictureSet],
    overlays: Mapping[tuple[str, str], Overlay] = MappingProxyType({}),
    rectified: Mapping[str, RectifiedPicture] = MappingProxyType({}),
) -> Iterator[Page]:
    """All pages of the workshop's site. `pictures` are by photograph id, `overlays`
    by pair of REFs, `rectified` by REF of the measurement."""
    top = Context(view, pictures, site_of(view), overlays=overlays, rectified=rectified)
    deep = top.deep()
    shows = shown_on(view)
    yield from home.pages(top)
    yield from lists.pages(top)
    yield from aircraft.pages(top)
    yield from chronology.pages(top)
    yield from estimates.pages(top)
    yield from everything.pages(top)
    yield from holding.pages(top)
    yield from changes.pages(top)
    yield from cards.pages(top)
    yield from rights.pages(top)
    yield from editions.pages(top)
    yield from search_page.pages(top)
    yield from bench.pages(top)
    yield from manual.pages(deep)
    yield from zone.pages(deep, shows)
    yield from part.pages(deep, shows)
    for kind in (photo, source, decision, question, measurement, survey, story, card):
        yield from kind.pages(deep)


def site_pages(
    view: View,
    pictures: Mapping[str, PictureSet],
    overlays: Mapping[tuple[str, str], Overlay] = MappingProxyType({}),
    rectified: Mapping[str, RectifiedPicture] = MappingProxyType({}),
) -> Iterator[Page]:
    """The pages of the site of this audience: the visitors' edition for the public."""
    if view.audience == "public":
        return visitor_pages(view, pictures, site_of(view))
    return pages(view, pictures, overlays, rectified)


def site_of(view: View) -> Site:
    """What all pages share."""
    craft = view.library.aircraft
    return Site(
        name=(craft.name if craft else None) or "The aircraft",
        mark=(craft.mark if craft else None) or "",
        language=(craft.language if craft else None) or "en-GB",
        audience=view.audience,
        rights=bool(view.rights),
        editions=bool(view.published),
    )


def shown_on(view: View) -> dict[str, list[tuple[str, str]]]:
    """Part's REF → (photograph id, region's name) of each region that shows it."""
    found: dict[str, list[tuple[str, str]]] = {}
    for one in view.library.photos.values():
        for region in one.regions:
            named = region.ruled.part if region.ruled else region.part
            if named:
                found.setdefault(named.partition("#")[0], []).append((one.id, region.id))
    return found
