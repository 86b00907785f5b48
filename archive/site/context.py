"""What every page is built from: the view, the pictures, and how records are named and linked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from archive.audience.view import View
from archive.core.findings import Finding, Reason
from archive.core.images import Overlay, PictureSet, RectifiedPicture
from archive.core.lengths import Length, show_length, show_mm
from archive.core.verdicts import Findings, Graded
from archive.records.library import Library
from archive.records.schema import split_ref
from archive.records.spec import Record
from archive.site.addresses import address, href
from archive.site.manual_tables import RULES
from archive.site.markdown import Prose, prose
from archive.site.page import Cell, Frame, Link, ReasonShown, Site, Thumb
from archive.site.words import day

THUMB_PX = 320
"""The least width in pixels that a small picture is taken from."""


@dataclass(frozen=True)
class Context:
    """A view and its pictures (by photograph id) and overlays (by pair of REFs) and the planes laid
    out at true scale (by REF of their measurement), for all pages that lie equally deep.

    `root` leads from such a page to the site's root.
    """

    view: View
    pictures: Mapping[str, PictureSet]
    site: Site
    root: str = ""
    overlays: Mapping[tuple[str, str], Overlay] = field(default_factory=dict)
    rectified: Mapping[str, RectifiedPicture] = field(default_factory=dict)
    _memo: dict[str, Mapping[str, tuple[str, str]]] = field(default_factory=dict, repr=False)
    _names: dict[str, str] = field(default_factory=dict, repr=False)
    _hrefs: dict[str, str] = field(default_factory=dict, repr=False)

    def deep(self) -> Context:
        """The same, for pages that lie in a folder."""
        return replace(self, root="../", _hrefs={})

    @property
    def library(self) -> Library:
        """The records that this audience may see."""
        return self.view.library

    @property
    def findings(self) -> Findings:
        """What the reasoning concludes."""
        return self.view.findings

    @cached_property
    def units(self) -> str:
        """The units that pages print first: "in" or "mm"."""
        aircraft = self.library.aircraft
        return (aircraft.units if aircraft else None) or "mm"

    def href(self, ref: str) -> str:
        """The relative link to what a REF names, "" where there is nothing."""
        found = self._hrefs.get(ref)
        if found is None:
            target = address(ref) if self.library.get(ref) is not None else ""
            found = self._hrefs[ref] = href(self.root, target) if target else ""
        return found

    def page(self, target: str) -> str:
        """The relative link to a page given from the site's root."""
        return href(self.root, target)

    def name(self, ref: str) -> str:
        """What a REF is called, with the team's number before it."""
        found = self._names.get(ref)
        if found is None:
            found = self._names[ref] = self._name(ref)
        return found

    def _name(self, ref: str) -> str:
        record = self.library.get(ref.partition("#")[0])
        number = getattr(record, "number", None)
        title = self.library.title(ref)
        if split_ref(ref)[0] == "zones":
            return f"Zone {split_ref(ref)[1]}, {title}"
        return f"{number} {title}" if number and not title.startswith(number) else title

    def link(self, ref: str, home: str = "") -> Link:
        """A REF as words that lead to its page; plain words where there is no page.

        A piece of `home`, the record that the words stand on, is called by its own words alone.
        """
        words = self.name(ref)
        if home and ref.startswith(f"{home}#"):
            words = words.removeprefix(f"{self.name(home)}: ")
        return Link(words, self.href(ref))

    def links(self, refs: Iterable[str], home: str = "") -> tuple[Link, ...]:
        """Several REFs as links, once each."""
        return tuple(self.link(ref, home) for ref in dict.fromkeys(refs))

    def prose(self, text: str) -> Prose:
        """A note of a record, to be set on its page."""
        return prose(text, self.href)

    def reasons(self, finding: Finding, home: str = "") -> tuple[ReasonShown, ...]:
        """The numbered reasons of a finding, told on the page of `home`."""
        return self.told(finding.reasons, home)

    def told(self, reasons: Iterable[Reason], home: str = "") -> tuple[ReasonShown, ...]:
        """Reasons by themselves, told on the page of `home`."""
        return tuple(
            ReasonShown(self.rule(reason.rule), reason.says, self.links(reason.rests_on, home))
            for reason in reasons
        )

    def rule(self, number: str) -> Link | None:
        """A rule's number, leading to its words in the manual; None where none was named."""
        if not number:
            return None
        return Link(number, self.page(f"{RULES[number]}#{number}") if number in RULES else "")

    def who(self, written: str | None) -> Link:
        """A person as written in a record: their initials, leading to their name."""
        person = self.library.person(written)
        if person is None:
            return Link(written or "")
        return Link(person.initials or person.id, self.href(f"people/{person.id}"))

    def signed(self, by: str | None, on: Any) -> str:
        """`HB, 12 March 2026`; either may be missing."""
        return ", ".join(filter(None, (self.who(by).text, day(on))))

    def length(self, value: Any) -> str:
        """A length of a record in the aircraft's units, "" for none."""
        return show_length(value, self.units) if isinstance(value, Length) else ""

    def size(self, graded: Graded | None) -> tuple[str, str]:
        """The size held for a claim, in the first units and in the other; "" and "" for none."""
        held = graded.held if graded else None
        if held is None:
            return "", ""
        return self.both(held.value_mm, held.half95_mm)

    def both(self, value_mm: float, half95_mm: float | None) -> tuple[str, str]:
        """A size with its 95 % half-width in the first units and in the other."""
        other = "mm" if self.units == "in" else "in"
        return show_mm(value_mm, half95_mm, self.units), show_mm(value_mm, half95_mm, other)

    def thumb(self, photo_id: str, caption: str = "", piece: str = "") -> Thumb:
        """The small picture of a photograph, or its words where no picture may be shown."""
        photo = self.library.photos[photo_id]
        made = self.pictures.get(photo_id)
        source, width, height = "", 0, 0
        if made is not None and made.sizes:
            chosen = next((s for s in made.sizes if s.width_px >= THUMB_PX), made.sizes[-1])
            source, width, height = href(self.root, chosen.path), chosen.width_px, chosen.height_px
        return Thumb(
            href=self.href(f"photos/{photo_id}" + (f"#{piece}" if piece else "")),
            title=self.name(f"photos/{photo_id}"),
            caption=caption,
            alt=photo.alt or "",
            src=source,
            width=width,
            height=height,
        )

    def frame(
        self,
        record: Record,
        *,
        label: str,
        here: str,
        cells: Iterable[Cell] = (),
        subtitle: str = "",
        up: Link | None = None,
        scripts: tuple[str, ...] = (),
    ) -> Frame:
        """The frame of a record's own page; its neighbours are those of its kind by id."""
        siblings = self._neighbours(record.kind)
        previous, following = siblings.get(record.id, ("", ""))
        number = getattr(record, "number", None) or ""
        return Frame(
            site=self.site,
            root=self.root,
            title=str(getattr(record, "title", None) or record.id),
            label=f"{label} {number}".strip(),
            subtitle=subtitle,
            cells=tuple(cell for cell in cells if cell.text),
            here=here,
            up=up,
            previous=self.link(f"{record.kind}/{previous}") if previous else None,
            next=self.link(f"{record.kind}/{following}") if following else None,
            scripts=scripts,
            ref=record.ref,
        )

    def _neighbours(self, kind: str) -> Mapping[str, tuple[str, str]]:
        """Id → the ids before and after it, "" at the ends. Parts go zone by zone."""
        found = self._memo.get(kind)
        if found is None:
            ids = list(self.library.of_kind(kind))
            if kind == "parts":
                ids.sort(key=lambda id_: (self.library.parts[id_].zone or "", id_))
            found = {
                id_: (before, after)
                for before, id_, after in zip(["", *ids], ids, [*ids[1:], ""], strict=False)
            }
            self._memo[kind] = found
        return found
