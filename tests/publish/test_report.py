"""The restoration report: whole, tagged, the same again, and no word in it can act."""

from __future__ import annotations

import dataclasses
import io
import json
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdf
import pytest
from click.testing import CliRunner
from hostile import spoilt_library
from site_sample import AS_OF, written

from archive.audience.public import public_view
from archive.audience.record import record_view
from archive.audience.view import View
from archive.cli.main import main
from archive.pipeline import Weighed, foresee, originality, weigh
from archive.publish.report import set_report
from archive.site.report.document import report
from archive.site.report.paper import paragraphs

DEMO = Path(__file__).parents[2] / "content"
SUMS = {"photos/slipway.jpg": "0" * 64, "parts/strut.md": "f" * 64}
ACTS = (
    '#panic() #read("/etc/passwd") *bold* _it_ $x$ `raw` <label> @ref \\ ~ // '
    "</script><script>alert(1)</script>\n= head\n+ one\n"
)


def _record(weighed: Weighed, day: date) -> View:
    return record_view(
        weighed.library,
        weighed.findings,
        weighed.problems,
        weighed.images,
        day,
        foresee(weighed),
        originality(weighed),
    )


@pytest.fixture(scope="module")
def weighed(tmp_path_factory) -> Weighed:
    return weigh(written(tmp_path_factory.mktemp("report")))


@pytest.fixture(scope="module")
def view(weighed) -> View:
    return _record(weighed, AS_OF)


@pytest.fixture(scope="module")
def cache(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def made(weighed, view, cache) -> bytes:
    return set_report(view, weighed.pictures, SUMS, cache)


@pytest.fixture(scope="module")
def demo() -> Weighed:
    return weigh(DEMO, compare=0)


def _elements(node: Any) -> Iterator[tuple[str, Any]]:
    """(name, element) of every element of the structure tree, in reading order."""
    node = node.get_object()
    if isinstance(node, list):
        for one in node:
            yield from _elements(one)
    elif isinstance(node, dict):
        if "/S" in node:
            yield str(node["/S"]), node
        if "/K" in node:
            yield from _elements(node["/K"])


def _tree(data: bytes) -> list[tuple[str, Any]]:
    return list(_elements(pypdf.PdfReader(io.BytesIO(data)).trailer["/Root"]["/StructTreeRoot"]))


def _words(data: bytes) -> str:
    """All words of the pages, in one line."""
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_it_is_a_tagged_pdf_by_the_rules_of_pdf_ua(made):
    """ISO 14289-1:2014: 5 (marker), 7.1 (tagged, title shown), 7.2 (language), 7.3 (words for every
    figure), 7.4.2 (heading levels without jumps); read by pypdf, which has no part in making it."""
    reader = pypdf.PdfReader(io.BytesIO(made))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title == "Restoration report: Lund & Aske Type 6 QK-41"
    assert b"pdfuaid:part>1<" in root["/Metadata"].get_object().get_data()
    tree = _tree(made)
    figures = [element for name, element in tree if name == "/Figure"]
    assert len(figures) == 2 and all(str(element.get("/Alt", "")).strip() for element in figures)
    levels = [int(name[2:]) for name, _ in tree if name[1:2] == "H" and name[2:].isdigit()]
    assert levels[0] == 1 and len(levels) > 15
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert any(name == "/TH" for name, _ in tree)


def test_same_content_and_day_same_bytes_and_no_trace_of_the_machine(
    weighed, view, made, tmp_path, cache
):
    assert made == set_report(view, weighed.pictures, SUMS, cache)
    assert b"/CreationDate" not in made and str(tmp_path.parent).encode() not in made


def test_it_says_what_the_record_says(made):
    text = _words(made)
    for words in (
        "Display only",
        "The strut is 58 1/2 in long between its pins",
        "It stands against another claim",
        "OW dissents (2 April 2026): I would wait for a measurement.",
        "It burns in seconds",
        "Card trial",
        "A photograph square to the port wing.",
        "Credit: District Archive",
        "f" * 64,
    ):
        assert words in text, words
    assert "%" not in text.replace("95 %", "")


def test_no_word_of_a_record_acts(weighed, view, cache):
    """Every field of every record hostile: set as it stands, and no heading or link more."""
    hostile = dataclasses.replace(view, library=spoilt_library(view.library, ACTS))
    spoilt = set_report(hostile, weighed.pictures, SUMS, cache)
    text = _words(spoilt)
    assert text.count('#panic() #read("/etc/passwd") *bold* _it_ $x$ `raw` <label> @ref') > 100
    assert "root:" not in text
    calm = dataclasses.replace(view, library=spoilt_library(view.library, "calm"))
    plain = set_report(calm, weighed.pictures, SUMS, cache)
    count = [[name for name, _ in _tree(one) if name[1:2] in "HF"] for one in (spoilt, plain)]
    assert count[0] == count[1]


def test_every_claim_and_decision_of_the_demo_is_in_its_values(demo):
    view = _record(demo, date(2026, 11, 25))
    data = report(view, view.images, {})
    text = json.dumps(data, ensure_ascii=False)
    told = [claim["says"] for zone in data["zones"] for part in zone["parts"]
            for aspect in part["aspects"] for claim in aspect["claims"]]  # fmt: skip
    assert sorted(told) == sorted(claim.says for _, claim in view.library.claims())
    assert {one["ref"] for one in data["decisions"]} == {
        one.ref for one in view.library.decisions.values()
    }
    for decision in view.library.decisions.values():
        for option in decision.options:
            assert json.dumps(option.says, ensure_ascii=False) in text
        for dissent in decision.dissent:
            assert json.dumps(dissent.says, ensure_ascii=False) in text
    done = [one.done for part in view.library.parts.values() for one in part.treatments if one.done]
    assert done
    for one in done:
        for words in (one.says, one.deviations, *one.materials):
            assert json.dumps(words, ensure_ascii=False)[1:-1] in text
    numbers = sorted(data["numbers"].values())
    assert numbers == list(range(1, len(view.library.sources) + 1))
    assert len(data["figures"]) == len(view.images)
    assert len(data["cards"]) == len(view.library.cards) > 0


def test_the_public_gets_what_may_be_shown(demo):
    day = date(2026, 11, 25)
    view = public_view(demo.library, demo.findings, demo.images, day, originality(demo))
    data = report(view, view.images, {})
    text = json.dumps(data, ensure_ascii=False)
    hidden = [ref for ref in (one.ref for one in demo.library.sources.values())
              if view.library.get(ref) is None]  # fmt: skip
    assert hidden
    for ref in hidden:
        assert f'"{ref}"' not in text
        assert demo.library.sources[ref.partition("/")[2]].title not in text
    assert data["files"] == data["measurements"] == data["cards"] == []


def test_the_command_writes_over_nothing(tmp_path, monkeypatch):
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    folder = written(tmp_path / "content")
    words = ["report", str(folder), "--for", "record", "--as-of", "2026-11-24", "--out"]
    done = CliRunner().invoke(main, [*words, str(tmp_path / "report.pdf")])
    assert done.exit_code == 0, done.output
    first = (tmp_path / "report.pdf").read_bytes()
    assert first.startswith(b"%PDF-") and "report.pdf" in done.output
    again = CliRunner().invoke(main, [*words, str(tmp_path / "report.pdf")])
    assert again.exit_code == 2 and "not written over" in again.output
    assert (tmp_path / "report.pdf").read_bytes() == first


def test_a_notes_marks_are_left_off():
    assert paragraphs("See [the *letter*](sources/x) <script>bad()</script>\n\n1. one\n2. two") == [
        "See the letter",
        "– one",
        "– two",
    ]
