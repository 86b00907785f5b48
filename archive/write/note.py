"""The text of a new record's file: fields between two lines of `---`, then prose."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from archive.core.arrivals import NewNote

_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9 ,/.-]*[A-Za-z0-9.]\Z|[A-Za-z]\Z|\d{4}(-\d{2}){0,2}\Z")
_FLOW = re.compile(r"[A-Za-z][A-Za-z0-9 /.-]*[A-Za-z0-9.]\Z|[A-Za-z]\Z|\d{4}(-\d{2}){0,2}\Z")
_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})
LONGEST = 100


def text_of(note: NewNote) -> str:
    """The file's text; it reads as exactly the fields and the prose that `note` has.

    A group that doesn't fit on a line of `LONGEST` characters is set as lines of its own.
    """
    prose = note.prose.strip("\n")
    return f"---\n{_group(note.fields, '')}---\n" + (f"{prose}\n" if prose else "")


def _group(fields: Mapping[str, Any], indent: str) -> str:
    return "".join(_field(word, value, indent) for word, value in fields.items())


def _field(word: str, value: Any, indent: str) -> str:
    line = f"{indent}{word}: {_plain(value, _PLAIN)}"
    if isinstance(value, Mapping) and len(line) > LONGEST:
        return f"{indent}{word}:\n{_group(value, indent + '  ')}"
    return f"{line}\n"


def _plain(value: Any, bare: re.Pattern[str]) -> str:
    """A value on one line; text is quoted where YAML, or a reader, might take it for more."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        pairs = (f"{word}: {_plain(inner, _FLOW)}" for word, inner in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_plain(inner, _FLOW) for inner in value) + "]"
    text = str(value)
    if isinstance(value, int | float) or (bare.match(text) and text.lower() not in _WORDS):
        return text
    return _quoted(text)


def _quoted(text: str) -> str:
    """The text in quotation marks, with what can't be seen written as YAML writes it."""
    marked = json.dumps(text, ensure_ascii=False)
    return "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in marked)
