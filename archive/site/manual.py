"""The manual's pages, from the Markdown files that come with the program."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from markupsafe import Markup

from archive.site.aircraft import override_shown
from archive.site.context import Context
from archive.site.manual_tables import grid, table
from archive.site.markdown import rendered
from archive.site.page import Frame, Link, Page

_TABLE = re.compile(r"^\{table ([a-z-]+)\}$", re.MULTILINE)
_TITLE = re.compile(r"\A\s*# (.+)\n?")


@dataclass(frozen=True, slots=True)
class ManualShown:
    """A page of the manual, and the others."""

    prose: Markup
    others: tuple[Link, ...]
    here: str


@dataclass(frozen=True, slots=True)
class ManualText:
    """A file of the manual: its name without ending, its title, and the rest."""

    name: str
    title: str
    text: str


@cache
def manual() -> tuple[ManualText, ...]:
    """The files of the manual by name, `index` first where there is one."""
    folder = Path(__file__).parents[1] / "manual"
    found = []
    for file in sorted(folder.glob("*.md")):
        text = file.read_text(encoding="utf-8")
        title = _TITLE.match(text)
        found.append(
            ManualText(
                file.stem,
                title[1].strip() if title else file.stem.replace("-", " ").capitalize(),
                text[title.end() :] if title else text,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.name != "index", one.name)))


def pages(context: Context) -> Iterator[Page]:
    """The manual, page by page; a plain list of them where it has no first page of its own."""
    texts = manual()
    names = frozenset(f"{one.name}.md" for one in texts)
    links = tuple(Link(one.title, f"{one.name}.html") for one in texts)
    if not any(one.name == "index" for one in texts):
        texts = (ManualText("index", "How this works", ""), *texts)
        links = (Link("How this works", "index.html"), *links)
    for place, one in enumerate(texts):
        frame = Frame(
            site=context.site,
            root=context.root,
            title=one.title,
            label="How this works",
            here="how",
            up=Link("How this works", "index.html") if one.name != "index" else None,
            previous=links[place - 1] if place else None,
            next=links[place + 1] if place + 1 < len(links) else None,
        )
        prose = _set(context, one.text, names)
        yield Page(f"how/{one.name}.html", "manual", frame, ManualShown(prose, links, one.name))


def _policy(context: Context) -> Markup:
    """What this team's policy changes in the rules, and who said why."""
    policy = context.library.policy
    shown = [override_shown(context, one) for one in (policy.overrides if policy else ())]
    if not shown:
        return Markup("<p>This team changes none of them.</p>")
    return grid(
        ("Rule", "What holds instead", "Why", "Who"),
        Markup("").join(
            Markup(
                '<tr><th scope="row"><a href="#{0}">{0}</a></th><td data-label="Instead">{1}</td>'
                '<td data-label="Why">{2}</td><td data-label="Who">{3}</td></tr>'
            ).format(
                one.rule,
                f"{one.says} Not applied: {one.idle}" if one.idle else one.says,
                one.because,
                one.signed,
            )
            for one in shown
        ),
    )


def _set(context: Context, text: str, names: frozenset[str]) -> Markup:
    """A page of the manual as HTML, its `{table NAME}` lines filled from the code."""
    pieces = _TABLE.split(text)
    told = []
    for place, piece in enumerate(pieces):
        made = None
        if place % 2:
            made = _policy(context) if piece == "policy" else table(piece)
        told.append(made or rendered(piece, lambda ref: context.href(ref) or None, pages=names))
    return Markup("").join(told)
