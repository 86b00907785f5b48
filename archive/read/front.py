"""A file's bytes as text, split into the fields at its head and the prose below, by lines."""

from __future__ import annotations

import codecs
import re
from collections.abc import Collection
from dataclasses import dataclass

from archive.core.problems import Problem, Where

MAX_BYTES = 1 << 20
"""The largest file that is read as a record: 1 MiB."""

MAX_BRACKETS = 60
MAX_QUOTES = 30
MAX_INDENT = 200
"""Nesting beyond which prose is refused: renderers take minutes over it, and nobody writes it."""

_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff]")
_NESTED = re.compile(rf"\[(?:[^\[\]]*\[){{{MAX_BRACKETS}}}")
_DEEP = re.compile(
    rf"^(?:[ \t]*>){{{MAX_QUOTES}}}|^[ \t]{{{MAX_INDENT}}}|^(?:[-+*][ \t]+){{40}}", re.M
)


@dataclass(frozen=True, slots=True)
class Front:
    """The two halves of a file. Lines count from 1 in the file; `prose_line` is 0 without prose."""

    fields: str
    fields_line: int
    prose: str
    prose_line: int


def text_of(path: str, data: bytes, problems: list[Problem]) -> str:
    """The text of a file, with `\\n` for every line end and no byte-order mark.

    What isn't UTF-8, or is a control character, is reported and replaced by U+FFFD, so that all
    else in the file can still be read.
    """
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        says = "The file is in UTF-16; records are UTF-8."
        problems.append(Problem(Where(path), "not-utf-8", says, "Save it anew as UTF-8."))
        return data.decode("utf-16", "replace").replace("\r\n", "\n").replace("\0", "\ufffd")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        start = before.rfind(b"\n") + 1
        column = len(before[start:].decode("utf-8", "replace")) + 1
        says = f"The byte 0x{data[error.start]:02x} here isn't UTF-8."
        hint = "Save the file anew as UTF-8; letters with accents are what usually goes wrong."
        problems.append(Problem(Where(path, line, column), "not-utf-8", says, hint))
        text = data.decode("utf-8", "replace").removeprefix("\ufeff")
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    found = _CONTROL.search(text)
    if found:
        line, column = _place(text, found.start())
        says = f"The character U+{ord(found[0]):04X} here is a control character, not text."
        hint = "Delete it; it can't be seen, but most editors can show it."
        problems.append(Problem(Where(path, line, column), "control-character", says, hint))
        text = _CONTROL.sub("\ufffd", text)
    return text


def split(path: str, text: str, problems: list[Problem]) -> Front:
    """The fields between the two `---` lines at the head of a note, and the prose after them."""
    if not text.strip():
        says = "The file is empty."
        hint = "Write its fields between two lines of ---, or delete the file."
        problems.append(Problem(Where(path), "file-empty", says, hint))
        return Front("", 1, "", 0)
    head, _, rest = text.partition("\n")
    if head.rstrip() != "---":
        says = "The file doesn't begin with a line of ---, so it has no fields."
        hint = "Put the fields first, between two lines of ---, and the prose below them."
        problems.append(Problem(Where(path, 1, 1), "fields-missing", says, hint))
        return Front("", 1, text, 1)
    lines = rest.split("\n")
    end = next(
        (i for i, line in enumerate(lines) if line[:3] == "---" and line.rstrip() == "---"), -1
    )
    if end < 0:
        says = "The fields that begin here are never closed: the closing --- is missing."
        hint = "Put a line of --- after the last field, before the prose."
        problems.append(Problem(Where(path, 1, 1), "fields-open", says, hint))
        return Front(rest, 2, "", 0)
    prose = "\n".join(lines[end + 1 :])
    return Front("\n".join(lines[:end]), 2, prose, end + 3 if prose.strip() else 0)


_LIKE_FIELDS = re.compile(r"[\w-]+\s*:(?:\s|$)|[ \t]|-(?:\s|$)|#(?!#)|[\]}]")


def prose_taken_for_fields(text: str, front: Front, words: Collection[str]) -> Front | None:
    """The halves as they were meant, where prose stands among the fields that can't be read.

    That is so where a blank line is followed by one that is nothing like a field, and no field
    named by one of `words` comes after it: the closing `---` was forgotten. None where it isn't so.
    """
    lines = front.fields.split("\n")
    for at in range(1, len(lines)):
        line = lines[at]
        if not line.strip() or lines[at - 1].strip() or _LIKE_FIELDS.match(line):
            continue
        if any(later.partition(":")[0] in words for later in lines[at:]):
            return None
        whole = text.split("\n")
        above = front.fields_line - 1 + at
        return Front("\n".join(lines[:at]), front.fields_line, "\n".join(whole[above:]), above + 1)
    return None


def guard_prose(path: str, front: Front, problems: list[Problem]) -> str:
    """The prose, or nothing where it is nested so deep that rendering it would never end."""
    prose = front.prose
    if not front.prose_line:
        return ""
    found = _DEEP.search(prose)
    if found is None and prose.count("[") >= MAX_BRACKETS:
        found = _NESTED.search(prose)
    if found is None:
        return prose
    line, column = _place(prose, found.start())
    says = "The prose is nested too deep here to be set as a page; it is left out."
    hint = "Take out the repeated brackets, quotation marks or blanks."
    where = Where(path, line + front.prose_line - 1, column)
    problems.append(Problem(where, "prose-nested", says, hint))
    return ""


def _place(text: str, at: int) -> tuple[int, int]:
    """Line and column, from 1, of an offset."""
    return text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
