"""Label sheets: the label of each part with its word count and a QR code that leads to its page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.page import Page
from archive.site.square import square
from archive.site.visitors.edition import Edition, Said
from archive.site.visitors.knowing import wording
from archive.site.visitors.parts import THEME


@dataclass(frozen=True, slots=True)
class LabelShown:
    """A label: its title, its words, how many, what its grade allows it to say, and its code.

    `code` is the path of a QR symbol on a square of `modules`, "" where the edition's address on
    the web isn't known.
    """

    title: Said
    text: Said
    words: str
    allows: str
    address: str
    code: str
    modules: int


@dataclass(frozen=True, slots=True)
class LabelsShown:
    """All labels, part by part."""

    labels: tuple[LabelShown, ...]


def pages(edition: Edition) -> Iterator[Page]:
    """The sheet of labels; none where no part has one."""
    aircraft = edition.library.aircraft
    base = ((aircraft.web if aircraft else None) or "").rstrip("/")
    found = []
    for part in edition.library.parts.values():
        text = edition.text(part, "label")
        if not text:
            continue
        known = edition.view.findings.parts.get(part.ref)
        graded = edition.view.findings.claims.get(known.lead) if known else None
        address = f"{base}/{edition.here.folder}parts/{part.id}.html" if base else ""
        code, modules = square(address) if address else ("", 0)
        count = edition.t.many("labels.words", len(text.text.split()))
        title = edition.text(part, "title")
        allows = wording(edition, graded)
        found.append(LabelShown(title, text, count, allows, address, code, modules))
    if found:
        frame = edition.frame("labels.html", edition.t("labels.title"), edition.site.name)
        yield Page(edition.path("labels.html"), "labels", frame, LabelsShown(tuple(found)), THEME)
