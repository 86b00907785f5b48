"""Which row of a sheet is about which file, and what a row may not say."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path

from archive.core.problems import Problem, Where
from archive.intake.captions import Captions, Row
from archive.intake.columns import FILE, columns
from archive.intake.files import Incoming
from archive.read.sheet import shown
from archive.records.library import Library


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
    new: dict[str, Row] = {}
    for row in captions.rows:
        if not row.file:
            continue
        there = _files_of(row.file, names)
        if len(there) != 1:
            problems.append(_unpaired(row, there, files))
            continue
        mistakes = [*_people(row, library), *_of_source(row, library, source, new)]
        problems += mistakes
        found.setdefault(there[0].path, replace(row, sound=row.sound and not mistakes))
    for one in files:
        if one.path not in found:
            says = "No row of the sheet is about this file; it comes in without one."
            hint = f"Give it a row in {captions.path}, if it should have one."
            problems.append(Problem(Where(one.told), "sheet-file", says, hint, advice=True))
    return found, problems


def _plain(name: str) -> str:
    return unicodedata.normalize("NFC", name.replace("\\", "/")).casefold().removeprefix("./")


def _names(files: list[Incoming]) -> dict[str, list[Incoming]]:
    """Every name that a sheet may call a file by → the files: path, bare name, either unended."""
    found: dict[str, list[Incoming]] = {}
    for one in files:
        path = _plain(one.name)
        bare = path.rpartition("/")[2]
        for name in {path, bare, path.rpartition(".")[0], bare.rpartition(".")[0]} - {""}:
            found.setdefault(name, []).append(one)
    return found


def _files_of(written: str, names: Mapping[str, list[Incoming]]) -> list[Incoming]:
    name = _plain(written)
    return names.get(name) or names.get(name.rpartition("/")[2]) or []


def _unpaired(row: Row, there: list[Incoming], files: list[Incoming]) -> Problem:
    if there:
        says = f"“{shown(row.file)}” may be any of {len(there)} files."
        hint = f"Write {' or '.join(one.name for one in there[:3])}."
    else:
        says = f"“{shown(row.file)}” isn't among the files that were named."
        near = get_close_matches(_plain(row.file), [_plain(one.name) for one in files], 1, 0.7)
        hint = f"Perhaps {near[0]} is meant." if near else "Name the file, or its folder, as well."
    return Problem(row.place[FILE], "sheet-file", says, hint)


def _people(row: Row, library: Library) -> list[Problem]:
    found = []
    for name, where in row.place.items():
        column = columns()[name]
        if column.spec.type != "person":
            continue
        value: object = row.source if column.of_source else row.fields
        for word in column.words:
            value = value.get(word) if isinstance(value, Mapping) else None
        if isinstance(value, str) and library.person(value) is None:
            says = f"Nobody called {shown(value)} stands in people.yaml."
            found.append(Problem(where, "person-unknown", says, "Add the person there first."))
    return found


def _of_source(row: Row, library: Library, all_of: str, new: dict[str, Row]) -> list[Problem]:
    """What the row says of its source may be said: it is new, and no other row says otherwise."""
    id_ = str(row.fields.get("source") or "").partition("/")[2] or all_of
    if not id_ or not row.source:
        return []
    where = next(where for name, where in row.place.items() if columns()[name].of_source)
    if id_ in library.sources:
        says = f"sources/{id_} is there already, and isn't changed by a sheet."
        hint = "Change it in its own file, and take the source's fields out of this row."
        return [Problem(where, "sheet-source", says, hint)]
    other = new.setdefault(id_, row)
    if dict(other.source) != dict(row.source):
        says = f"Row {other.number} says something else of sources/{id_}."
        hint = "Say it once, in the first of its rows, and leave it out of the others."
        return [Problem(where, "sheet-source", says, hint)]
    return []
