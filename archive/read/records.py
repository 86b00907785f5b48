"""One file into one record, whatever is wrong with it: what can't be read is left out and told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.core.problems import Problem, Where
from archive.read.fields import read_fields
from archive.read.front import guard_prose, split, text_of
from archive.read.nodes import compose
from archive.read.sheet import Sheet, Suspect
from archive.records.spec import Node, Record, Translation, fields_of, key_of, text

_BROKEN = ("yaml-", "fields-", "file-")
"""Codes of what makes fields go astray before they are read."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What one file gave: its record (or translation), what is wrong, and comments to look into."""

    made: Any
    problems: tuple[Problem, ...]
    suspects: tuple[Suspect, ...] = ()


@dataclass(frozen=True, kw_only=True)
class TranslatedFields(Node):
    """What a translation says of itself: all else stands in the record that it belongs to."""

    title: str | None = text("The title in this language.", required=True)


def read_record(path: str, data: bytes, cls: type[Record], id_: str) -> Entry:
    """The record in a file of the content folder; `path` is relative to it."""
    sheet, prose, prose_line, values, marks = _read(path, data, cls)
    record = cls(id=id_, path=path, prose=prose, prose_line=prose_line, marks=marks, **values)
    return Entry(record, tuple(sheet.problems), tuple(sheet.suspects))


def read_translation(path: str, data: bytes) -> Entry:
    """The translation in a file `ID.LANG.md`."""
    sheet, prose, _, values, _ = _read(path, data, TranslatedFields)
    made = Translation(values.get("title", ""), prose, path)
    return Entry(made, tuple(sheet.problems))


def _read(
    path: str, data: bytes, cls: type[Node]
) -> tuple[Sheet, str, int, dict[str, Any], dict[str, tuple[int, int]]]:
    problems: list[Problem] = []
    whole = text_of(path, data, problems)
    prose, prose_line, fields, line = "", 0, whole, 1
    if path.endswith(".md"):
        front = split(path, whole, problems)
        prose = guard_prose(path, front, problems)
        fields, line = front.fields, front.fields_line
        prose_line = front.prose_line if prose else 0
    composed = compose(path, fields, line, problems)
    broken = any(p.code.startswith(_BROKEN) for p in problems)
    sheet = Sheet(path, line, fields, problems, comments=" #" in fields or "\t#" in fields)
    values, marks = read_fields(sheet, composed.pairs, cls, composed.start)
    if broken:
        # A field that was lost with a broken line isn't missing: that line is what to mend.
        at = Where(path, *composed.start)
        problems[:] = [p for p in problems if p.code != "field-missing" or p.where != at]
        for name, spec in fields_of(cls).items():
            if key_of(name, spec) in composed.lost:
                marks[f"!{name}"] = composed.start
    return sheet, prose, prose_line, values, marks
