"""Registers as tables: all rows there, figures as numbers, and no cell that a spreadsheet runs."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from archive.core.cells import harmless, restored
from archive.exchange.registers import Register, as_csv, as_workbook, registers

ACTS = "=+-@\t\r\n＝＋－＠"


def test_every_record_has_its_row(view):
    tables = {table.name: table for table in registers(view)}
    library = view.library
    for name, kind in (
        ("photographs", library.photos),
        ("sources", library.sources),
        ("parts", library.parts),
        ("measurements", library.measurements),
        ("decisions", library.decisions),
        ("questions", library.questions),
    ):
        assert [row[0] for row in tables[name].rows] == [record.ref for record in kind.values()]
    assert len(tables["claims"].rows) == len(view.findings.claims)
    assert {row[0] for row in tables["new-parts"].rows} == {
        part.ref for part in library.parts.values() if part.made
    }


def test_a_treatment_that_was_carried_out_says_by_whom_when_and_how(view):
    table = next(one for one in registers(view) if one.name == "treatments")
    rows = [dict(zip(table.columns, row, strict=True)) for row in table.rows]
    treatments = {
        f"{part.ref}#{one.id}": one
        for part in view.library.parts.values()
        for one in part.treatments
    }
    assert [row["ref"] for row in rows] == list(treatments)
    for row in rows:
        done = treatments[row["ref"]].done
        assert (row["stands"] == "done") is (done is not None)
        assert (row["done_by"], row["hours"]) == ((done.by, done.hours) if done else ("", None))


@given(st.text(st.characters(exclude_categories=("Cs",))))
def test_no_cell_is_a_formula_and_every_text_comes_back(text):
    """The characters are those of OWASP's page on CSV injection, and their full-width forms."""
    cell = harmless(text)
    assert not cell.startswith(tuple(ACTS))
    assert restored(cell) == text


def test_csv_reads_back_with_figures_as_figures():
    table = Register("t", ("a", "b"), (("=1+1", -3.5), ("two\r\nlines, “quoted”", None)))
    data = as_csv(table)
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert rows == [["a", "b"], ["'=1+1", "-3.5"], ["two\r\nlines, “quoted”", ""]]


def test_a_workbook_holds_text_as_text(view):
    table = Register("t", ("a",), (("=1+1",), (-3.5,), ("@cmd",)))
    sheet = load_workbook(io.BytesIO(as_workbook([table])))["t"]
    cells = [(cell.value, cell.data_type) for (cell,) in sheet.iter_rows(min_row=2)]
    assert cells == [("=1+1", "s"), (-3.5, "n"), ("@cmd", "s")]


def test_the_same_registers_are_the_same_bytes(view):
    assert as_workbook(registers(view)) == as_workbook(registers(view))


@pytest.mark.parametrize("bad", ["\x00", "\x0b", "\x1f"])
def test_characters_that_a_workbook_cannot_hold_are_left_out(bad):
    sheet = load_workbook(io.BytesIO(as_workbook([Register("t", ("a",), ((f"x{bad}y",),))])))["t"]
    assert sheet["A2"].value == "xy"
