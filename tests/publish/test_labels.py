"""Label sheets: a tagged PDF with every label, its count and its wording, in each language."""

from __future__ import annotations

import dataclasses
import io
from datetime import date
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner
from hostile import spoilt_library
from site_sample import written

from archive.audience.public import public_view
from archive.audience.view import View
from archive.cli.main import main
from archive.pipeline import originality, weigh
from archive.publish.labels import set_labels
from archive.publish.refusal import Refused

DEMO = Path(__file__).parents[2] / "content"


@pytest.fixture(scope="module")
def view() -> View:
    found = weigh(DEMO, compare=0)
    return public_view(
        found.library, found.findings, found.images, date(2026, 11, 25), originality(found)
    )


def _words(data: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_every_label_stands_there_with_its_count_and_its_wording(view):
    data, number = set_labels(view)
    text = _words(data)
    labelled = [part for part in view.library.parts.values() if part.label]
    assert number == len(labelled) > 3
    for part in labelled:
        assert " ".join(part.label.split()) in text
        assert f"{len(part.label.split())} words. The grade allows:" in text
    root = pypdf.PdfReader(io.BytesIO(data)).trailer["/Root"]
    assert root["/Lang"] == "en-GB" and root["/MarkInfo"]["/Marked"]
    assert data == set_labels(view)[0]


def test_another_language_is_set_in_its_own_words(view):
    data, _ = set_labels(view, "de")
    assert pypdf.PdfReader(io.BytesIO(data)).trailer["/Root"]["/Lang"] == "de"
    part = view.library.parts["fin-emblem"]
    assert " ".join(part.translations["de"].texts["label"].split()) in _words(data)
    with pytest.raises(Refused, match="fr"):
        set_labels(view, "fr")


def test_no_word_of_a_label_acts(view):
    acts = '#panic() *bold* $x$ <label> @ref \\ "</svg>"'
    hostile = dataclasses.replace(view, library=spoilt_library(view.library, acts))
    text = _words(set_labels(hostile)[0])
    assert text.count("#panic() *bold* $x$ <label> @ref") > 3


def test_without_labels_nothing_is_written(tmp_path, monkeypatch):
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    folder, out = written(tmp_path / "content"), tmp_path / "labels.pdf"
    done = CliRunner().invoke(main, ["labels", str(folder), "--out", str(out)])
    assert done.exit_code == 2 and "No part that may be shown has a label." in done.output
    assert not out.exists()
