"""What each visitors' page is built from: the view in one language, and how records are named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from archive.audience.view import View
from archive.core.dates import Dating
from archive.core.images import PictureSet
from archive.core.verdicts import Dated, Graded
from archive.records.library import Library
from archive.records.spec import Record
from archive.site.addresses import href, root_of
from archive.site.context import Context
from archive.site.markdown import Prose, prose
from archive.site.page import Frame, Link, Site
from archive.site.visitors.addresses import visitor_address
from archive.site.visitors.catalogue import Words
from archive.site.visitors.days import bounds_in, day_in


@dataclass(frozen=True, slots=True)
class Tongue:
    """A language of the edition: its tag, its own name, the folder of its pages ("" at the root),
    and where this page is in it."""

    language: str
    name: str
    folder: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """A text with the language that it is in, where that isn't the page's own."""

    text: str
    language: str = ""

    def __bool__(self) -> bool:
        return bool(self.text)


@dataclass(frozen=True, slots=True)
class VisitorFrame(Frame):
    """What surrounds a visitors' page: besides a frame's own, the languages and the site's root.

    `root` leads to the root of the page's language, `site_root` to that of the whole site.
    """

    language: str = ""
    site_root: str = ""
    tongues: tuple[Tongue, ...] = ()
    address: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as a page sets it: never cropped, with its words for those who can't see it.

    `srcset` names its sizes; `credit` is the line that its holder asks for.
    """

    href: str
    src: str
    srcset: str
    width: int
    height: int
    alt: Said
    title: Said
    when: str
    credit: str


@dataclass(frozen=True)
class Edition:
    """The view in one language, for all pages that lie equally deep."""

    view: View
    pictures: Mapping[str, PictureSet]
    site: Site
    t: Words
    tongues: tuple[Tongue, ...]
    here: Tongue
    root: str = ""

    def deep(self) -> Edition:
        """The same, for pages that lie in a folder."""
        return replace(self, root="../")

    @property
    def library(self) -> Library:
        """The records that the public may see."""
        return self.view.library

    @property
    def site_root(self) -> str:
        """The way from a page to the root of the whole site."""
        return self.root + ("../" if self.here.folder else "")

    def path(self, page: str) -> str:
        """A page's path from the site's root."""
        return self.here.folder + page

    def href(self, ref: str) -> str:
        """The link to what a REF names, "" where there is nothing or no page."""
        kind, _, id_ = ref.partition("#")[0].partition("/")
        if kind == "people" or self.library.of_kind(kind).get(id_) is None:
            return ""
        # A piece of which the public gets nothing (a treatment) is reached at its record.
        target = visitor_address(ref if self.library.get(ref) else f"{kind}/{id_}")
        return href(self.root, target) if target else ""

    def page(self, target: str) -> str:
        """The link to a page given from the language's root."""
        return href(self.root, target)

    def text(self, record: Record | None, field: str) -> Said:
        """A field of text in this language, else as it stands in the record."""
        if record is None:
            return Said("")
        own = str(getattr(record, field, None) or "")
        other = record.translations.get(self.here.language)
        if other is not None:
            said = other.title if field == "title" else other.texts.get(field, "")
            if said:
                return Said(said)
        return self.foreign(own)

    def foreign(self, text: str) -> Said:
        """A text of the records, marked with their language where the page has another."""
        return Said(text, "" if self.here.language == self.site.language else self.site.language)

    def prose(self, record: Record) -> tuple[Prose, str]:
        """A record's prose and the language it is in ("" for the page's own)."""
        other = record.translations.get(self.here.language)
        if other is not None and other.prose.strip():
            return prose(other.prose, self.href), ""
        return prose(record.prose, self.href), self.foreign(record.prose).language

    def name(self, ref: str) -> Said:
        """What a REF is called."""
        kind, _, id_ = ref.partition("#")[0].partition("/")
        record = self.library.of_kind(kind).get(id_)
        if isinstance(record, Record):
            return self.text(record, "title")
        return self.foreign(self.library.title(ref))

    def link(self, ref: str) -> Link:
        """A REF as words that lead to its page."""
        return Link(self.name(ref).text, self.href(ref))

    def links(self, refs: Iterable[str]) -> tuple[Link, ...]:
        """Several REFs that are there, as links, once each."""
        return tuple(self.link(ref) for ref in dict.fromkeys(refs) if self.href(ref))

    def when(self, ref: str) -> str:
        """When something happened or was taken, in this language; "" where nothing is known."""
        dated: Dated | None = self.view.findings.dates.get(ref)
        return bounds_in(self.t, dated.earliest, dated.latest) if dated else ""

    def dated(self, value: Any) -> str:
        """A date of a record in this language."""
        return bounds_in(self.t, value.earliest, value.latest) if isinstance(value, Dating) else ""

    def day(self) -> str:
        """The day that the pages speak of."""
        return day_in(self.t, self.view.as_of)

    def size(self, graded: Graded | None) -> tuple[str, str]:
        """The size held for a claim with its error, in the first units and in the other."""
        return Context(self.view, self.pictures, self.site).size(graded)

    def picture(self, id_: str, least: int = 0) -> Picture | None:
        """A photograph's picture, at least `least` pixels wide where there is one; None without."""
        photo = self.library.photos.get(id_)
        made = self.pictures.get(id_)
        if photo is None or made is None or not made.sizes:
            return None
        chosen = next((s for s in made.sizes if s.width_px >= least), made.sizes[-1])
        terms = self.view.terms.get(id_)
        return Picture(
            href=self.href(photo.ref),
            src=href(self.site_root, chosen.path),
            srcset=", ".join(
                f"{href(self.site_root, size.path)} {size.width_px}w" for size in made.sizes
            ),
            width=chosen.width_px,
            height=chosen.height_px,
            alt=self.text(photo, "alt"),
            title=self.text(photo, "title"),
            when=self.when(photo.ref),
            credit=terms.credit if terms else "",
        )

    def frame(self, page: str, title: str, label: str, here: str = "") -> VisitorFrame:
        """The frame of a page, given by its path from the language's root."""
        depth = root_of(self.here.folder + page)
        tongues = tuple(replace(one, href=href(depth, one.folder + page)) for one in self.tongues)
        return VisitorFrame(
            site=self.site,
            root=self.root,
            title=title,
            label=label,
            here=here,
            language=self.here.language,
            site_root=self.site_root,
            tongues=tongues if len(tongues) > 1 else (),
        )
