"""What a paper needs that a page doesn't: names for places in it, and notes without their marks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser

from archive.site.context import Context
from archive.site.markdown import rendered

_BLOCKS = frozenset(["p", "li", "pre", "dt", "dd", "h2", "h3", "h4", "h5", "h6", "tr", "caption"])
_CELLS = frozenset(["td", "th"])


@dataclass(frozen=True)
class PaperContext(Context):
    """A context whose links are REFs: a template makes numbers and places of the paper of them."""

    def href(self, ref: str) -> str:
        """The REF of the whole record, "" where there is nothing."""
        return ref.partition("#")[0] if self.library.get(ref) is not None else ""

    def page(self, target: str) -> str:
        """Nothing: a paper leads to no page."""
        return ""


def paragraphs(note: str) -> list[str]:
    """A note of a record as plain paragraphs, its marks carried out and then left off.

    >>> paragraphs("Two *frames* of [a roll](sources/roll).\\n\\n- one\\n- two")
    ['Two frames of a roll.', '– one', '– two']
    """
    reader = _Plain()
    reader.feed(str(rendered(note, lambda _: None)))
    reader.close()
    return list(reader.paragraphs())


class _Plain(HTMLParser):
    """Keeps the words of a note's HTML, block by block."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._found: list[str] = [""]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _BLOCKS:
            self._found.append("– " if tag == "li" else "")
        elif tag in _CELLS and self._found[-1]:
            self._found[-1] += "; "
        elif tag == "br":
            self._found[-1] += " "

    def handle_endtag(self, tag: str) -> None:
        if tag in _BLOCKS:
            self._found.append("")

    def handle_data(self, data: str) -> None:
        self._found[-1] += data

    def paragraphs(self) -> Iterator[str]:
        """The blocks that say something, on one line each."""
        for block in self._found:
            text = re.sub(r"\s+", " ", block).strip()
            if text and text != "–":
                yield text
