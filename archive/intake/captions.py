"""A sheet's rows into fields of photographs and sources, each mistake told by row and column."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import yaml

from archive.core.problems import Problem, Where
from archive.intake.columns import ALSO, CAPTION, FILE, ID, Column, columns, meant
from archive.intake.grid import read_grid
from archive.read.sheet import Sheet, shown
from archive.read.values import NAME, READERS, plain_name

Fields = dict[str, Any]


_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Row:
    """What a row says of one picture: its file, the record's id if given, and the fields.

    `fields` are the photograph's and `source` those of its source, by the words of the record.
    `place` gives the row and column of a column's cell, by its whole name. `sound` is false where
    a cell couldn't be read: the picture then waits until that is mended.
    """

    number: int
    file: str
    id: str
    caption: str
    fields: Mapping[str, Any]
    source: Mapping[str, Any]
    place: Mapping[str, Where]
    sound: bool

    def value(self, name: str) -> Any:
        """What the row says in the column of that whole name; None where it says nothing."""
        column = columns()[name]
        value: Any = self.source if column.of_source else self.fields
        for word in column.words:
            value = value.get(word) if isinstance(value, Mapping) else None
        return value


@dataclass(slots=True)
class Captions:
    """A sheet as read. `usable` is false where its headings are wrong: then no row is believed."""

    path: str
    rows: list[Row] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    usable: bool = True


def read_captions(sheet: Path, path: str) -> Captions:
    """The rows of a sheet, called `path` in problems; never raises on what a person wrote."""
    grid = read_grid(sheet, path, lambda heading: len(meant(heading)) == 1)
    found = Captions(path, problems=grid.problems)
    if not grid.rows:
        found.usable = False
        return found
    number, headings = grid.rows[0]
    placed = _headings(found, number, headings)
    if found.usable:
        found.rows = [_row(found, placed, len(headings), *row) for row in grid.rows[1:]]
        _twice(found)
    return found


def _headings(found: Captions, number: int, headings: list[str]) -> dict[int, Column]:
    """Position → column; a heading that means none makes the sheet unusable."""
    placed: dict[int, Column] = {}
    first: dict[str, str] = {}
    for at, heading in enumerate(headings):
        if not heading or heading.startswith("#"):
            continue
        where = Where(found.path, number, at + 1)
        names = meant(heading)
        if len(names) != 1:
            says = f"“{shown(heading)}” is no column."
            hint = _perhaps(heading)
            if names:
                says, hint = f"“{shown(heading)}” may mean several.", f"Write {_or(names)}."
            found.problems.append(Problem(where, "sheet-column", says, hint))
            found.usable = False
        elif names[0] in first:
            says = f"“{shown(heading)}” is the same column as “{shown(first[names[0]])}”."
            found.problems.append(Problem(where, "sheet-column", says, "Keep one of them."))
            found.usable = False
        else:
            first[names[0]] = heading
            placed[at] = columns()[names[0]]
    if found.usable and FILE not in first:
        says = "No column says which file a row is about."
        hint = "Head one of them `file`, with the names of the picture files below it."
        found.problems.append(Problem(Where(found.path, number, 1), "sheet-column", says, hint))
        found.usable = False
    return placed


def _perhaps(heading: str) -> str:
    leave = "Or put # before it, to have the column left alone."
    lasts = {name.rpartition(".")[2] for name in columns()} | set(ALSO)
    near = get_close_matches(heading.lower().replace(" ", "_"), sorted(lasts), 1, 0.6)
    if near:
        return f"Perhaps {near[0]} is meant. {leave}"
    return f"Columns are called as the fields of a photograph, or source.… of its source. {leave}"


def _or(names: tuple[str, ...]) -> str:
    return " or ".join((", ".join(names[:-1]), names[-1]))


def _row(
    found: Captions, placed: Mapping[int, Column], width: int, number: int, cells: list[str]
) -> Row:
    before = len(found.problems)
    own: dict[str, str] = {FILE: "", ID: "", CAPTION: ""}
    fields: Fields = {}
    source: Fields = {}
    place = {column.name: Where(found.path, number, at + 1) for at, column in placed.items()}
    for at, cell in enumerate(cells):
        if not cell:
            continue
        column = placed.get(at)
        if column is None:
            if at >= width:
                says = f"“{shown(cell)}” stands under no heading."
                hint = "Give the column a heading, or take the cell out; is a separator too many?"
                where = Where(found.path, number, at + 1)
                found.problems.append(Problem(where, "sheet-cell", says, hint))
        elif column.name in own:
            own[column.name] = cell
        elif unseen := _CONTROL.search(cell):
            says = f"The character U+{ord(unseen[0]):04X} here is a control character, not text."
            hint = "Type the cell anew; the character can't be seen."
            found.problems.append(Problem(place[column.name], "control-character", says, hint))
        else:
            value = _value(found, column, place[column.name], cell)
            if value is not None:
                _put(source if column.of_source else fields, column.words, value)
    where = place[FILE]
    if not own[FILE]:
        says = "This row names no file."
        found.problems.append(Problem(where, "sheet-file", says, "Write the picture's file name."))
    if own[ID] and not NAME.match(own[ID]):
        says = f"“{shown(own[ID])}” can't be the name of a record."
        hint = f"Write it as {plain_name(own[ID])}."
        found.problems.append(Problem(place[ID], "name-unreadable", says, hint))
    sound = not any(not problem.advice for problem in found.problems[before:])
    return Row(number, own[FILE], own[ID], own[CAPTION], fields, source, place, sound)


def _value(found: Captions, column: Column, where: Where, cell: str) -> Any:
    """A cell as the value that its field takes, read as the record's own reader would read it."""
    spec = column.spec
    sheet = Sheet(where.path, where.line, "")
    pieces = [cell]
    if spec.many:
        pieces = [piece.strip() for piece in cell.split(";") if piece.strip()]
    values: list[Any] = []
    for piece in pieces:
        mark = yaml.Mark("", 0, 0, where.column - 1, None, 0)
        node = yaml.ScalarNode("?", piece, mark, mark, "|" if "\n" in piece else None)
        value = READERS[spec.type](sheet, node, spec)
        values.append(value if spec.type in ("yesno", "whole", "number", "ref") else piece)
    found.problems += [
        Problem(where, one.code, f"In {column.name}: {one.says}", one.hint)
        for one in sheet.problems
    ]
    if sheet.problems:
        return None
    alone = len(values) == 1 and (spec.one_or_many or not spec.many)
    return values[0] if alone else values


def _put(fields: Fields, words: tuple[str, ...], value: Any) -> None:
    for word in words[:-1]:
        fields = fields.setdefault(word, {})
    fields[words[-1]] = value


def _twice(found: Captions) -> None:
    """Two rows of one file: the first is believed, and the second told."""
    first: dict[str, Row] = {}
    for row in list(found.rows):
        other = first.setdefault(row.file.casefold(), row)
        if row.file and other is not row:
            says = f"Row {other.number} is about {shown(row.file)} already."
            where = row.place[FILE]
            found.problems.append(Problem(where, "sheet-file", says, "Keep one of the rows."))
            found.rows.remove(row)
