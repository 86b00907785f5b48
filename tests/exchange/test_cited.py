"""Citations for other programs, read back by general libraries that never heard of this one."""

from __future__ import annotations

import json

import bibtexparser
import pytest
import rispy

from archive.core.dates import parse_edtf
from archive.exchange.cited import bibtex, csl_date, csl_item, csl_json, ris
from archive.records.citation import CSL_TYPES, Citation
from archive.records.source import Source


def source(**fields) -> Source:
    citation = Citation(**fields)
    return Source(path="sources/one.md", id="one", title="Our title", citation=citation)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("1932", {"date-parts": [[1932]]}),
        ("1932-06", {"date-parts": [[1932, 6]]}),
        ("1932-06-11", {"date-parts": [[1932, 6, 11]]}),
        ("1932-06/1933-08", {"date-parts": [[1932, 6], [1933, 8]]}),
        ("1931~", {"date-parts": [[1931]], "circa": True}),
        ("1932-21", {"literal": "spring 1932"}),
    ],
)
def test_a_date_keeps_its_precision(text, wanted):
    """CSL 1.0.2, Appendix on date variables: `date-parts`, `circa` and `literal`."""
    assert csl_date(parse_edtf(text)) == wanted


def test_names_are_persons_or_bodies():
    item = csl_item(source(type="book", author=("Holm, Ada", "{Lund, Aske & Co.}", "The Survey")))
    assert item["author"] == [
        {"family": "Holm", "given": "Ada"},
        {"literal": "Lund, Aske & Co."},
        {"literal": "The Survey"},
    ]


def test_an_untitled_item_takes_the_records_title():
    assert csl_item(source(type="graphic"))["title"] == "Our title"


def test_every_source_of_the_demo_is_an_item(view):
    items = json.loads(csl_json(view))
    assert [item["id"] for item in items] == list(view.library.sources)
    assert all(item["type"] in CSL_TYPES and item["title"] for item in items)


def test_ris_reads_back_with_rispy(view):
    entries = rispy.loads(ris(view))
    assert [entry["id"] for entry in entries] == list(view.library.sources)
    brochure = next(entry for entry in entries if entry["id"] == "brochure-1932")
    assert brochure["type_of_reference"] == "PAMP" and brochure["authors"] == ["Lund & Aske"]
    assert brochure["date"] == "1932///", "a month that nobody knows is not invented"


def test_bibtex_reads_back_with_bibtexparser(view):
    library = bibtexparser.parse_string(bibtex(view))
    assert not library.failed_blocks
    assert [entry.key for entry in library.entries] == list(view.library.sources)
    brochure = next(entry for entry in library.entries if entry.key == "brochure-1932")
    assert brochure["title"] == r"The Lund \& Aske Type 6: Survey Biplane"


@pytest.mark.parametrize(
    "hostile", ["}", "{", "\\input{x}", "50 % of $2 & #1_~^", "a\nER  - \nTY  - BOOK"]
)
def test_no_text_ends_its_record_early(view, hostile, monkeypatch):
    one = source(type="graphic", title=f"before {hostile} after", note=hostile)
    monkeypatch.setattr("archive.exchange.cited._cited", lambda _: [one])
    assert len(rispy.loads(ris(view))) == 1
    library = bibtexparser.parse_string(bibtex(view))
    assert len(library.entries) == 1 and not library.failed_blocks
