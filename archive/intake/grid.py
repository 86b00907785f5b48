"""A sheet's cells as text, from a CSV file or a workbook: nothing in them is worked out or run."""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

from archive.core.problems import Problem, Where

MAX_BYTES = 32 << 20
MAX_ROWS = 20_000
MAX_COLUMNS = 200
MAX_UNPACKED = 256 << 20
"""A sheet of captions is far smaller; what isn't, is no sheet of captions."""

SEPARATORS = ",;\t"


@dataclass(slots=True)
class Grid:
    """The cells of a sheet: (row number from 1, cells) of each row with anything in it."""

    path: str
    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def refuse(self, says: str, hint: str) -> None:
        """Reports the sheet as a whole, and forgets what was read of it."""
        self.problems.append(Problem(Where(self.path), "sheet-unreadable", says, hint))
        self.rows = []


def read_grid(sheet: Path, path: str, known: Callable[[str], bool]) -> Grid:
    """The cells of the file `sheet`, called `path` in problems.

    `known` tells a heading that means a column: of the signs that may part a CSV file's cells,
    the one is taken that gives the most of them.
    """
    grid = Grid(path)
    try:
        with open(sheet, "rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        grid.refuse(f"The sheet can't be read: {error.strerror or error}.", "Check its name.")
        return grid
    if len(data) > MAX_BYTES:
        grid.refuse("The sheet is larger than 32 MiB.", "Keep pictures out of it.")
    elif data.startswith(b"PK\x03\x04"):
        _workbook(grid, data)
    elif data.startswith(b"\xd0\xcf\x11\xe0"):
        grid.refuse("This is a workbook of the old kind, .xls.", "Save it as .xlsx or as CSV.")
    else:
        _csv(grid, data, known)
    if not grid.rows and not grid.problems:
        grid.refuse("The sheet is empty.", "Give it a row of headings, one of them `file`.")
    return grid


def _csv(grid: Grid, data: bytes, known: Callable[[str], bool]) -> None:
    text = _text(grid, data)
    first = text.lstrip("\r\n").partition("\n")[0]
    if "\0" in text:
        grid.refuse("The sheet holds bytes that aren't text.", "Save it as CSV or as .xlsx.")
        return

    def headings(separator: str) -> tuple[int, int]:
        cells = next(csv.reader([first], delimiter=separator), [])
        return sum(known(cell) for cell in cells), len(cells)

    separator = max(SEPARATORS, key=headings)
    try:
        lines = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        _keep(grid, enumerate(lines, 1))
    except csv.Error as error:
        grid.refuse(f"The sheet breaks off: {error}.", "A quotation mark is missing, perhaps.")


def _text(grid: Grid, data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        says = "The sheet isn't UTF-8, and was read as Windows-1252."
        hint = "Look whether letters with accents are right; if not, save it as CSV UTF-8."
        grid.problems.append(Problem(Where(grid.path, row, 1), "sheet-encoding", says, hint, True))
        return data.decode("cp1252", "replace")


def _workbook(grid: Grid, data: bytes) -> None:
    import openpyxl

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            unpacked = sum(entry.file_size for entry in packed.infolist())
        if unpacked > MAX_UNPACKED:
            grid.refuse("The workbook swells to more than 256 MiB.", "Keep the table alone in it.")
            return
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            # Not data_only: that would give what another program once worked out.
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
            table = book.worksheets[0]
            cells = table.iter_rows(max_row=MAX_ROWS + 1, max_col=MAX_COLUMNS)
            _keep(grid, enumerate((_cells(grid, n, row) for n, row in enumerate(cells, 1)), 1))
    except MemoryError:
        raise
    except Exception as error:  # a damaged workbook raises whatever its parsers please
        grid.refuse(f"The workbook can't be read ({type(error).__name__}).", "Save it as CSV.")


def _cells(grid: Grid, number: int, row: Any) -> list[str]:
    return [_cell(grid, number, column, cell) for column, cell in enumerate(row, 1)]


def _cell(grid: Grid, number: int, column: int, cell: Any) -> str:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        formula = getattr(value, "text", None) or str(value)
        says = "This cell holds a formula; it is taken as the text that it is."
        hint = "Put the value there (copy, then paste values only)."
        where = Where(grid.path, number, column)
        grid.problems.append(Problem(where, "sheet-formula", says, hint, True))
        return str(formula)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)


def _keep(grid: Grid, rows: Iterator[tuple[int, list[str]]]) -> None:
    for number, cells in rows:
        if number > MAX_ROWS:
            hint = "Divide it, and add the pictures in several runs."
            grid.refuse(f"The sheet has more than {MAX_ROWS:,} rows.", hint)
            return
        trimmed = [cell.strip() for cell in cells]
        while trimmed and not trimmed[-1]:
            trimmed.pop()
        if trimmed:
            grid.rows.append((number, trimmed))
