"""One item more in a list of a record's fields, with every other byte of the file left as it is."""

from __future__ import annotations

import codecs
import dataclasses
import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import yaml

from archive.core.atomic import CannotWrite, write_file
from archive.core.problems import Problem
from archive.read.front import split, text_of
from archive.read.nodes import compose
from archive.read.records import read_record
from archive.records.spec import Record

_PLAIN = re.compile(
    r"[A-Za-z][A-Za-z0-9 /.-]*[A-Za-z0-9]\Z|[A-Za-z]\Z|\d{4}-\d{2}-\d{2}\Z|\d{1,9}\Z"
)
_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})


def add_item(
    folder: Path,
    record: Record,
    field: str,
    item: dict[str, str] | str,
    then: Callable[[Any], Record],
) -> None:
    """Add `item` at the end of the list `field` of a record's file, and write it in one step.

    A dictionary is written in one line; a text is the item's own lines as they are to stand.

    `then` makes, of the record as it was read, the record that must be read afterwards: where the
    edited text reads as anything else, nothing is written. Comments, order, line ends and every
    other line stay. Raises `CannotWrite`, with the line to add by hand in the hint.
    """
    path = folder / record.path
    lines = item if isinstance(item, str) else flow(item)
    by_hand = f"Add it by hand under {field}: - {lines}"
    try:
        data = path.read_bytes()
    except OSError as error:
        raise CannotWrite(path, f"{path} can't be read: {error.strerror or error}.") from error
    cls = type(record)
    before = read_record(record.path, data, cls, record.id).made
    if _told(before) != _told(record):
        raise CannotWrite(path, f"{path} has been changed meanwhile.", "Run the command again.")
    edited = with_item(record.path, data, field, lines)
    after = read_record(record.path, edited, cls, record.id).made if edited else None
    if edited is None or after is None or _told(after) != _told(then(before)):
        says = f"{path} is written in a way that the program doesn't edit."
        raise CannotWrite(path, says, by_hand)
    write_file(path, edited)


def _told(record: Record) -> Record:
    """All that a record's own file tells, apart from the line that its prose begins on."""
    return dataclasses.replace(record, translations={}, prose_line=0)


def with_item(path: str, data: bytes, field: str, item: str) -> bytes | None:
    """The bytes of a file with one item more in the list `field`; None where it can't be placed."""
    problems: list[Problem] = []
    text = text_of(path, data, problems)
    first, fields = 0, text
    if path.endswith(".md"):
        front = split(path, text, problems)
        first, fields = front.fields_line - 1, front.fields
    pairs = compose(path, fields, first + 1, problems).pairs
    if problems:
        return None
    end = b"\r\n" if b"\r\n" in data else b"\n"
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    lines = text.split("\n")
    found = [p for p in pairs if isinstance(p[0], yaml.ScalarNode) and p[0].value == field]
    last = first + fields.rstrip("\n").count("\n")
    if not found:
        lines[last + 1 : last + 1] = [f"{field}:", _indented(item, 2)]
    elif not _into(lines, first, found[0], item):
        return None
    return mark + "\n".join(lines).encode().replace(b"\n", end)


def _into(lines: list[str], first: int, pair: tuple[Any, Any], item: str) -> bool:
    """Put an item's text into the list of a field; False where that can't be done in one place."""
    key, value = pair
    if isinstance(value, yaml.SequenceNode) and value.flow_style:
        at = first + value.end_mark.line
        column = value.end_mark.column - 1
        line = lines[at]
        if line[column : column + 1] != "]":
            return False
        before = line[:column].rstrip()
        comma = "" if not value.value or before.endswith(",") else ", "
        lines[at] = f"{before}{comma}{item}{line[column:]}"
        return True
    if isinstance(value, yaml.SequenceNode):
        at = first + _last_line(value.value[-1]) + 1
        lines.insert(at, _indented(item, value.start_mark.column))
        return True
    if isinstance(value, yaml.ScalarNode) and not value.value:
        lines.insert(first + key.end_mark.line + 1, _indented(item, 2))
        return True
    return False


def _indented(item: str, column: int) -> str:
    """An item of a list that stands at a column, all its lines below its first letter."""
    blank = " " * column
    return f"{blank}- " + item.replace("\n", f"\n{blank}  ")


def _last_line(node: Any) -> int:
    """The last line that a node's own text stands on, comments after it apart."""
    if isinstance(node, yaml.MappingNode) and not node.flow_style and node.value:
        return max(_last_line(node.value[-1][1]), int(node.value[-1][0].end_mark.line))
    if isinstance(node, yaml.SequenceNode) and not node.flow_style and node.value:
        return _last_line(node.value[-1])
    line: int = node.end_mark.line
    # A block of text ends where the next thing begins.
    return line - 1 if node.end_mark.column == 0 and line > node.start_mark.line else line


def flow(item: Mapping[str, str]) -> str:
    """Fields in one line: `{by: HB, on: 2026-11-25, role: lead}`; quoted where YAML needs it."""
    return "{" + ", ".join(f"{name}: {_scalar(text)}" for name, text in item.items()) + "}"


def _scalar(text: str) -> str:
    if _PLAIN.match(text) and text.lower() not in _WORDS:
        return text
    return json.dumps(text, ensure_ascii=False)
