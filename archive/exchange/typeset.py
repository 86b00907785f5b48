"""Papers to hold in the hand: plain values and a template of the theme, set as a tagged PDF.

The values reach the template as data (JSON), never as markup, so that no word of a record can act
as a command. The PDF is held to PDF/UA-1 (ISO 14289-1): tagged, titled, with a language and words
for every picture; a template that breaks it can't be set at all. Nothing of this machine goes into
the file, neither a path nor the hour, and the same values give the same bytes.
"""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path

import typst

from archive.core.theme import theme_dir

FOLDER = "print"
"""The folder of the theme that holds the templates, `NAME.typ`, and the faces they are set in."""

BOX = "\N{WHITE SQUARE}"
"""What stands for a letter that no face has: a paper says openly that something is missing."""

_TRIES = 4
_NO_GLYPH = re.compile(
    r'the text `"((?:[^"\\]|\\.)+)"` could not be displayed'
    r'|disallowed codepoint `"((?:[^"\\]|\\.)+)"`'
)
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}|\\(.)", re.S)
_PLAIN_ESCAPES = {"n": "\n", "r": "\r", "t": "\t", "0": "\0"}


def typeset(
    name: str, data: Mapping[str, object], pictures: Mapping[str, bytes] | None = None
) -> bytes:
    """The PDF that the template `print/NAME.typ` makes of `data`.

    `data` holds plain values as JSON knows them, with `title` and `language` (`en-GB`) at least; a
    template reads it with `json("data.json")`. `pictures` are JPEG, PNG or SVG by the plain name
    that the data calls them by, such as `1.jpg`; the template finds them beside the data. Letters
    that no face has are set as `BOX`.

    Raises ValueError where the template can't be set with these values: that is a mistake of the
    program, for what people write can't bring it about.
    """
    base = theme_dir() / FOLDER
    text = json.dumps(data, ensure_ascii=False)
    with tempfile.TemporaryDirectory(prefix="witnessmark-") as folder:
        place = Path(folder)
        for template in base.glob("*.typ"):
            (place / template.name).write_bytes(template.read_bytes())
        for called, picture in (pictures or {}).items():
            if Path(called).name != called:
                raise ValueError(f"{called!r} is no plain name of a picture")
            (place / called).write_bytes(picture)
        for left in reversed(range(_TRIES)):
            (place / "data.json").write_bytes(text.encode("utf-8", "replace"))
            try:
                return _compiled(place, name, base / "fonts")
            except typst.TypstError as error:
                missing = _without_glyph(error.diagnostic)
                if not missing or not left:
                    says = "; ".join([error.message, *error.hints])
                    raise ValueError(f"{name}.typ can't be set: {says}") from error
                text = json.dumps(_boxed(json.loads(text), missing), ensure_ascii=False)
    raise AssertionError("every try returns or raises")


def _compiled(place: Path, name: str, fonts: Path) -> bytes:
    made = typst.compile(
        place / f"{name}.typ",
        root=place,
        font_paths=[fonts],
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards=["ua-1"],
        package_path=place,
        package_cache_path=place,
        timestamp=0,
    )
    assert isinstance(made, bytes)
    return made


def _without_glyph(diagnostic: str) -> list[str]:
    """The pieces of text that the typesetter's message says it can't set."""
    return [_unescaped(one or other) for one, other in _NO_GLYPH.findall(diagnostic)]


def _unescaped(text: str) -> str:
    def one(match: re.Match[str]) -> str:
        if match[1]:
            return chr(int(match[1], 16))
        return _PLAIN_ESCAPES.get(match[2], match[2])

    return _ESCAPED.sub(one, text)


def _boxed(value: object, missing: list[str]) -> object:
    """The value with every letter that has no glyph replaced."""
    if isinstance(value, str):
        for piece in missing:
            value = value.replace(piece, BOX)
        return value
    if isinstance(value, list):
        return [_boxed(item, missing) for item in value]
    if isinstance(value, dict):
        return {key: _boxed(item, missing) for key, item in value.items()}
    return value
