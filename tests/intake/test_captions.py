"""Sheets of captions: forgiving in headings, strict in cells, each mistake at its place."""

from __future__ import annotations

import csv
import io
from datetime import date, datetime

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.intake.captions import read_captions
from archive.intake.columns import columns, meant

HEAD = "File,Title,Date,Photographer,Source,Holder\n"


@pytest.fixture
def sheet(tmp_path):
    def read(data: str | bytes, name: str = "box.csv"):
        path = tmp_path / name
        path.write_bytes(data if isinstance(data, bytes) else data.encode())
        return read_captions(path, name)

    return read


def told(found):
    return [f"{p.where} {p.code}" for p in found.problems]


def test_a_row_is_sorted_into_photograph_and_source(sheet):
    found = sheet(HEAD + 'a.jpg,At the slip,1932-06,"Holm, Ada",holm-1,Holm family\n')
    (row,) = found.rows
    assert (row.file, row.number, row.sound) == ("a.jpg", 2, True)
    assert row.fields == {
        "title": "At the slip", "date": {"stated": "1932-06"}, "source": "sources/holm-1",
    }  # fmt: skip
    assert row.source == {"citation": {"author": "Holm, Ada"}, "holder": "Holm family"}


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_separators_and_codes(sheet, separator, code):
    text = separator.join(["FILE", "title", "caption"]) + "\r\n"
    text += separator.join(["a.jpg", "Tür am See", '"one; two, three\r\nand four"']) + "\r\n"
    found = sheet(text.encode(code))
    (row,) = found.rows
    assert row.fields == {"title": "Tür am See"}
    assert row.caption == "one; two, three\r\nand four"
    assert told(found) == (["box.csv:2:1 sheet-encoding"] if code == "cp1252" else [])


def test_each_mistake_is_told_by_row_and_column(sheet):
    found = sheet(
        "file,title,date,dpi,frame,large,airframe\n"
        "a.jpg,fine,1932-13,six,halved,perhaps,this\n"
        ",no file,1932,600,whole,no,sister\n"
        "c.jpg,fine,1932,600,whole,no,this,astray\n"
        "A.jpg,again,,,,,\n"
    )
    assert told(found) == [
        "box.csv:2:3 date-impossible",
        "box.csv:2:4 whole-expected",
        "box.csv:2:5 word-unknown",
        "box.csv:2:6 yes-or-no",
        "box.csv:3:1 sheet-file",
        "box.csv:4:8 sheet-cell",
        "box.csv:5:1 sheet-file",
    ]
    assert [row.sound for row in found.rows] == [False, False, False]


def test_a_character_that_cannot_be_seen_is_told(sheet):
    found = sheet("file,title\na.jpg,Sl\x07ip\nb.jpg,Sl\u00a0ip\n")
    assert told(found) == ["box.csv:2:2 control-character"]


@pytest.mark.parametrize(
    ("heading", "says"),
    [
        ("file,titel", "“titel” is no column."),
        ("file,title,Title", "“Title” is the same column as “title”."),
        ("title,date", "No column says which file a row is about."),
    ],
)
def test_a_wrong_heading_makes_the_sheet_unusable(sheet, heading, says):
    found = sheet(f"{heading}\na,b,c\n")
    assert not found.usable and not found.rows
    assert found.problems[0].says == says
    assert found.problems[0].hint


def test_several_values_in_one_cell_are_parted(sheet):
    (row,) = sheet('file,author\na.jpg,"Holm, Ada; Nes, Per"\n').rows
    assert row.source == {"citation": {"author": ["Holm, Ada", "Nes, Per"]}}


def test_a_column_of_ones_own_is_left_alone(sheet):
    found = sheet("file,#drawer,title\na.jpg,12,b\n")
    assert not found.problems
    assert found.rows[0].fields == {"title": "b"}


def test_every_field_of_the_schema_is_a_column_by_its_whole_name():
    for name in columns():
        assert meant(name) == (name,)
        assert meant(f" {name.upper().replace('_', ' ')} ") == (name,)
    assert meant("") == meant("colour") == ()


def workbook(*rows: tuple[object, ...]) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def test_a_workbook_is_read_as_it_is_seen(sheet):
    data = workbook(
        ("file", "title", "date", "dpi", "rule", "scan.on"),
        ("a.jpg", "Slip", 1932, 600.0, True, datetime(2026, 3, 1, 12)),
        ("b.jpg", '=HYPERLINK("http://example.org","x")', None, None, False, date(2026, 3, 2)),
    )
    found = sheet(data, "box.xlsx")
    first, second = found.rows
    assert first.fields == {
        "title": "Slip", "date": {"stated": "1932"},
        "scan": {"dpi": 600, "rule": True, "on": "2026-03-01"},
    }  # fmt: skip
    assert second.fields["title"] == '=HYPERLINK("http://example.org","x")'
    assert told(found) == ["box.xlsx:3:2 sheet-formula"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n\n",
        b"PK\x03\x04 no zip",
        b"\xd0\xcf\x11\xe0 old",
        b"file,title\n\0\0",
        b'file,title\n"' + b"x" * 200_000,
    ],
)
def test_what_is_no_sheet_is_one_problem(sheet, data):
    found = sheet(data)
    assert not found.usable
    assert [p.code for p in found.problems] == ["sheet-unreadable"]


def test_a_workbook_that_names_a_far_cell_ends_soon(sheet):
    book = openpyxl.Workbook()
    book.active.append(("file", "title"))
    book.active["XFD1048576"] = "far"
    buffer = io.BytesIO()
    book.save(buffer)
    assert [p.code for p in sheet(buffer.getvalue()).problems] == ["sheet-unreadable"]


cells = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=20)


@given(st.lists(st.lists(cells, max_size=6), max_size=6), st.sampled_from(",;\t"))
@settings(deadline=None, max_examples=150)
def test_whatever_is_written_is_read_or_told(tmp_path_factory, rows, separator):
    path = tmp_path_factory.mktemp("sheets") / "box.csv"
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, delimiter=separator)
    writer.writerow(["file", "title", "date", "dpi", "by"])
    writer.writerows(rows)
    path.write_bytes(buffer.getvalue().encode())
    found = read_captions(path, "box.csv")
    assert found.usable
    for problem in found.problems:
        assert problem.where.line >= 2 and problem.where.column >= 1
        assert problem.says.endswith((".", "?", "!", "…")), problem
    for row in found.rows:
        assert row.sound or any(p.where.line == row.number for p in found.problems)
