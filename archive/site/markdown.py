"""Markdown into safe HTML: what people write in a note can't run, fetch or leave without a word.

The allow-list works on the final HTML, whatever the Markdown reader made of it. Links to records
become links to their pages; links to what isn't there become plain text; a picture of elsewhere is
dropped, so that a page opened from a stick asks nothing of any network.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from html import escape

import nh3
from markdown import Markdown
from markupsafe import Markup

from archive.records.schema import canonical_ref

LONGEST = 1024 * 1024
"""Bytes of a note that are rendered; a longer one is shown as its plain beginning."""

DEEPEST = 60
"""How deep marks may nest before a note is shown as plain text."""

BRACKETS, BRACKETS_A_BLOCK = 3000, 300
"""Opening brackets in a note, and in one paragraph of it, before it is shown as plain text: the
Markdown reader looks for the end of each one through all that follows, so that time grows with
their square (Python-Markdown issue 798)."""

_ALLOWED = """
a abbr b blockquote br caption code dd del dl dt em h2 h3 h4 h5 h6 hr i ins kbd li ol p pre q s
small strong sub sup table tbody td tfoot th thead tr u ul var
"""
_TAGS = frozenset(_ALLOWED.split())
_ATTRIBUTES = {
    "a": {"href", "title"},
    "abbr": {"title"},
    "ol": {"start"},
    "td": {"colspan", "rowspan"},
    "th": {"colspan", "rowspan", "scope"},
}
_ANCHOR = re.compile(r'<a(?: href="([^"]*)")?([^>]*)>(.*?)</a>', re.DOTALL)
_DEEP = re.compile(rf"(?:[\[(>*_`]\s?){{{DEEPEST},}}")
_FIRST_LEVEL = re.compile(r"<(/?)h1\b")
_TARGET = re.compile(r"[\w./-]*/[\w.-]+(?:#[\w-]+)?")
_LEAVES = re.compile(r"(?:https?|mailto):", re.IGNORECASE)

Resolve = Callable[[str], str | None]
"""From a canonical REF to the href of its page, None where there is nothing to link to."""


@dataclass(frozen=True, slots=True)
class Prose:
    """A note as it was written, with where its links lead; it becomes HTML on its page.

    A page holds this rather than the HTML, so that a note is set only when its page is made.
    """

    text: str
    hrefs: tuple[tuple[str, str], ...]

    def __bool__(self) -> bool:
        return bool(self.text.strip())

    def __html__(self) -> str:
        return rendered(self.text, dict(self.hrefs).get)


def prose(text: str, resolve: Callable[[str], str]) -> Prose:
    """A note and the pages that its links lead to; `resolve` gives "" where there is none."""
    found: dict[str, str] = {}
    if "/" in text:
        for token in _TARGET.findall(text):
            ref = canonical_ref(_tidy(token))
            if ref and ref not in found and (href := resolve(ref)):
                found[ref] = href
    return Prose(text, tuple(sorted(found.items())))


def rendered(
    text: str, resolve: Resolve, root: str = "", pages: frozenset[str] = frozenset()
) -> Markup:
    """A note as HTML that is safe to put on a page.

    `resolve` turns the REF of a link into its page; `pages` are names of Markdown files beside this
    one, whose links are turned to `.html`. A heading of the note is never above the second level.
    """
    if not text.strip():
        return Markup("")
    if len(text.encode("utf-8", "replace")) > LONGEST:
        return _plain(text[:20_000], "This note is too long for a page; its file holds the rest.")
    if _too_deep(text):
        return _plain(text, "This note nests too deep to be set; here it is as written.")
    try:
        html = _reader().reset().convert(text)
    except RecursionError:
        return _plain(text, "This note nests too deep to be set; here it is as written.")
    clean = nh3.clean(
        # A page has one first-level heading, its title: a note's own begin below it.
        _FIRST_LEVEL.sub(r"<\1h2", html),
        tags=set(_TAGS),
        attributes={tag: set(names) for tag, names in _ATTRIBUTES.items()},
        url_schemes={"http", "https", "mailto"},
        link_rel=None,
        strip_comments=True,
    )
    return Markup(_ANCHOR.sub(lambda match: _anchor(match, resolve, pages), clean))


@cache
def _reader() -> Markdown:
    return Markdown(extensions=["tables", "sane_lists"], output_format="html")


def _too_deep(text: str) -> bool:
    """Whether a note would keep the reader busy for longer than any page is worth."""
    if _DEEP.search(text) or text.count("[") > BRACKETS:
        return True
    return any(block.count("[") > BRACKETS_A_BLOCK for block in text.split("\n\n"))


def _plain(text: str, why: str) -> Markup:
    return Markup("<p>{}</p><pre>{}</pre>").format(why, text)


def _anchor(match: re.Match[str], resolve: Resolve, pages: frozenset[str]) -> str:
    target, _, words = match.group(1) or "", match.group(2), match.group(3)
    if _LEAVES.match(target):
        return f'<a class="leaves" rel="noopener noreferrer" href="{target}">{words}</a>'
    page, hash_, anchor = target.partition("#")
    if not page and anchor:
        return f'<a href="#{anchor}">{words}</a>'
    if page in pages:
        return f'<a href="{page.removesuffix(".md")}.html{hash_}{anchor}">{words}</a>'
    ref = canonical_ref(_tidy(target))
    found = resolve(ref) if ref else None
    return f'<a href="{escape(found)}">{words}</a>' if found else words


def _tidy(target: str) -> str:
    """A link as people write it, `../parts/x.md#y` or `parts/x#y`, as a REF."""
    page, hash_, anchor = target.removeprefix("./").removeprefix("../").partition("#")
    return page.removesuffix(".md").removesuffix(".html") + hash_ + anchor
