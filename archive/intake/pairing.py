"""Which row of a sheet is about which file, and what a row may not say."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from archive.core.problems import Problem, Where
from archive.intake.captions import Captions, Row
from archive.intake.columns import FILE, Column, columns
from archive.intake.files import Incoming
from archive.read.sheet import shown
from archive.records.library import Library
from archive.records.source import Source
from archive.records.spec import Judged, Node, fields_of, key_of

Said = dict[tuple[str, str], tuple[Any, int]]
"""(source's id, column) → what the first row that says it says, and the row's number."""


def pair(
    files: list[Incoming], captions: Captions, library: Library, source: str
) -> tuple[dict[Path, Row], list[Problem]]:
    """Each file's row, and the problems: rows without a file, files that two rows are about,
    people that nobody knows, and fields of a source that is there already.

    `source` is the id that the run was told for all. A row with a mistake is paired too, and no
    longer `sound`: its picture waits.
    """
    problems: list[Problem] = []
    found: dict[Path, Row] = {}
    names = _names(files)
    said: Said = {}
    for row in captions.rows:
        if not row.file:
            continue
        there = _files_of(row.file, names)
        if len(there) != 1:
            problems.append(_unpaired(row, there, files))
            continue
        mistakes = [*_people(row, library), *_of_source(row, library, source, said)]
        problems += mistakes
        sound = row.sound and all(problem.advice for problem in mistakes)
        found.setdefault(there[0].path, replace(row, sound=sound))
    for one in files:
        if one.path not in found:
            says = "No row of the sheet is about this file."
            hint = f"Give it a row in {captions.path}, if it should have one."
            problems.append(Problem(Where(one.told), "sheet-file", says, hint, advice=True))
    return found, problems


def _name(name: str) -> str:
    return unicodedata.normalize("NFC", name.replace("\\", "/")).casefold().removeprefix("./")


def _names(files: list[Incoming]) -> dict[str, list[Incoming]]:
    """Every name that a sheet may call a file by → the files: path, bare name, either unended."""
    found: dict[str, list[Incoming]] = {}
    for one in files:
        path = _name(one.name)
        bare = path.rpartition("/")[2]
        for name in {path, bare, path.rpartition(".")[0], bare.rpartition(".")[0]} - {""}:
            found.setdefault(name, []).append(one)
    return found


def _files_of(written: str, names: Mapping[str, list[Incoming]]) -> list[Incoming]:
    name = _name(written)
    return names.get(name) or names.get(name.rpartition("/")[2]) or []


def _unpaired(row: Row, there: list[Incoming], files: list[Incoming]) -> Problem:
    if there:
        says = f"“{shown(row.file)}” may be any of {len(there)} files."
        hint = f"Write {' or '.join(one.name for one in there[:3])}."
    else:
        says = f"“{shown(row.file)}” isn't among the files that were named."
        near = get_close_matches(_name(row.file), [_name(one.name) for one in files], 1, 0.7)
        hint = f"Perhaps {near[0]} is meant." if near else "Name the file, or its folder, as well."
    return Problem(row.place[FILE], "sheet-file", says, hint)


def _people(row: Row, library: Library) -> list[Problem]:
    found = []
    for name, where in row.place.items():
        value = row.value(name) if columns()[name].spec.type == "person" else None
        if isinstance(value, str) and library.person(value) is None:
            says = f"Nobody called {shown(value)} stands in people.yaml."
            found.append(Problem(where, "person-unknown", says, "Add the person there first."))
    return found


def source_named(row: Row | None) -> str:
    """The id of the source that a row names, or nothing."""
    return str(row.fields.get("source") or "").partition("/")[2] if row else ""


def _of_source(row: Row, library: Library, all_of: str, said: Said) -> list[Problem]:
    """What the row says of its source that can't be: another row says otherwise, or it is there.

    A source that is there is not changed: that is advice, once, where the two differ.
    """
    id_ = source_named(row) or all_of
    if not id_ or not row.source:
        return []
    held = library.sources.get(id_)
    found = []
    for name, where in row.place.items():
        column = columns()[name]
        value = row.value(name) if column.of_source else None
        if value is None:
            continue
        first, number = said.setdefault((id_, name), (value, row.number))
        if first != value:
            says = f"Row {number} gives another {name} for sources/{id_}: {shown(str(first))}."
            hint = "Correct one of them; of one source all rows say the same."
            found.append(Problem(where, "sheet-source", says, hint))
        elif held is not None and number == row.number and not _has(held, column, value):
            says = f"sources/{id_} is there already, and its {name} isn't changed by a sheet."
            hint = f"If the sheet is right, correct {held.path}."
            found.append(Problem(where, "sheet-source", says, hint, advice=True))
    return found


def _has(record: Source, column: Column, value: object) -> bool:
    """Whether a record has what a cell says, in the same words."""
    there: object = record
    for word in column.words:
        if not isinstance(there, Node):
            return False
        fields = fields_of(type(there))
        name = next(n for n, spec in fields.items() if key_of(n, spec) == word)
        there = getattr(there, name)
    if isinstance(there, Judged):
        there = there.says
    if isinstance(there, tuple):
        return list(there) == (value if isinstance(value, list) else [value])
    return there == value or str(getattr(there, "text", there)) == str(value)
