"""Pages into bytes: the theme's templates, compiled once for each process."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from archive.core.theme import WORKSHOP, theme_dir
from archive.site.addresses import THEME
from archive.site.page import Page
from archive.site.visitors.catalogue import words_in

SHARED = ("styles/settings.css", "styles/base.css", "styles/pictures.css")
"""Styles of the workshop's theme that every theme carries: measures, plain elements, drawings."""

_SHIPPED = frozenset({".css", ".js", ".woff2", ".txt"})
_GROUPS = re.compile(
    r"(?<![\w/.])(?:(?P<whole>\d+) )?(?P<top>\d{1,2})/(?P<under>2|4|8|16|32|64|128)(?![\w/])"
    r"(?P<unit> (?:in|ft|mm|m|cm)\b)?"
    r"|(?<![\w-])(?P<mark>[A-Z]{1,4}-\d+[a-z]?)(?![\w-])"
    r"|(?P<pm>± ?)(?=\d)"
)


def theme_files(theme: str = WORKSHOP) -> Iterator[tuple[str, Path]]:
    """The files of a theme that its sites carry: path from the site's root, and file."""
    yield from _files_in(theme_dir(theme), ("fonts", "scripts", "styles"), _SHIPPED)
    if theme != WORKSHOP:  # lettering and drawing conventions are the drawing office's
        yield from _files_in(theme_dir(), ("fonts",), _SHIPPED)
        yield from ((f"{THEME}/{name}", theme_dir() / name) for name in SHARED)


def _files_in(
    base: Path, folders: tuple[str, ...], endings: frozenset[str]
) -> Iterator[tuple[str, Path]]:
    for folder in folders:
        for file in sorted((base / folder).rglob("*")):
            if file.is_file() and file.suffix in endings:
                yield f"{THEME}/{file.relative_to(base).as_posix()}", file


def render(page: Page) -> bytes:
    """The HTML of a page. The same page gives the same bytes."""
    template = _environment(page.theme).get_template(f"pages/{page.template}.html")
    words = theme_dir(page.theme) / "words"
    language = getattr(page.frame, "language", "")
    t = words_in(words, language) if language else None
    return template.render(p=page.data, f=page.frame, t=t).encode()


@cache
def _environment(theme: str) -> Environment:
    environment = Environment(
        loader=FileSystemLoader([theme_dir(theme), theme_dir()]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        cache_size=-1,
    )
    environment.filters["shop"] = shop
    return environment


def shop(text: object) -> Markup:
    """Text with its fractions set as one group, and marks and ± that no line end parts.

    >>> print(shop("7 1/4 in on QK-41"))
    <span class="nb">7 <span class="fr">1/4</span> in</span> on <span class="nb">QK-41</span>
    """
    if isinstance(text, Markup):
        return text
    return Markup(_GROUPS.sub(_group, str(escape(text))))


def _group(match: re.Match[str]) -> str:
    if match["mark"]:
        return f'<span class="nb">{match["mark"]}</span>'
    if match["pm"]:
        return "±\N{NO-BREAK SPACE}"
    whole = f"{match['whole']} " if match["whole"] else ""
    fraction = (
        f'{whole}<span class="fr">{match["top"]}/{match["under"]}</span>{match["unit"] or ""}'
    )
    return f'<span class="nb">{fraction}</span>'
