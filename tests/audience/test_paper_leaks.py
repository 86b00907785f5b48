"""What is withheld is nowhere in the public's papers: the report, and the record of an edition."""

from __future__ import annotations

import io
import random
import shutil
from datetime import date
from pathlib import Path

import pypdf
import pytest
from canaries import Words, words_in, write

from archive.audience.public import public_view
from archive.audience.recalled import carried_by
from archive.audience.view import View
from archive.core.publications import Publication
from archive.pipeline import originality, weigh
from archive.publish.report import set_report
from archive.site.report.document import report
from archive.write.publications import text_of

DAY = date(2027, 1, 1)


def _view(folder: Path) -> View:
    weighed = weigh(folder, compare=0)
    return public_view(weighed.library, weighed.findings, weighed.images, DAY, originality(weighed))


def _papers(folder: Path, cache: Path) -> tuple[bytes, str]:
    """The report's bytes, and the text of what `build --publish` would write."""
    view = _view(folder)
    out = Publication("2027-01-01-1", DAY, "public", "0" * 64, (), carried_by(view))
    pictures = {"shown": folder / "photos" / "shown.jpg"}
    return set_report(view, pictures, {}, cache), text_of(out)


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Words, Path, bytes, str]:
    top = tmp_path_factory.mktemp("papers")
    words = Words(1)
    write(top / "content", words)
    return words, top / "content", *_papers(top / "content", top / "cache")


def test_no_secret_word_is_in_them(made):
    words, content, paper, edition = made
    view = _view(content)
    told = repr(report(view, view.images, {})) + edition
    reader = pypdf.PdfReader(io.BytesIO(paper))
    text = "\n".join(page.extract_text() for page in reader.pages) + repr(reader.metadata)
    found = words_in(told.encode()) | words_in(text.encode())
    assert {words.places[word] for word in found} == set()
    assert "It also rests on evidence that may not be shown here." in told
    assert "The Museum, by kind leave" in " ".join(text.split())


def _differing(made, tmp_path, seeds) -> list[int]:
    _, content, *before = made
    found = []
    for seed in seeds:
        place = tmp_path / "content"
        shutil.rmtree(place, ignore_errors=True)
        hidden = f"zq{seed:010x}" if seed % 2 else next((content / "measurements").iterdir()).stem
        write(place, Words(1000 + seed), hidden, random.Random(seed))
        shutil.copy(content / "photos" / "shown.jpg", place / "photos" / "shown.jpg")
        if [*_papers(place, tmp_path / "cache")] != before:
            found.append(seed)
    return found


def test_changing_only_what_is_withheld_changes_no_byte(made, tmp_path):
    assert _differing(made, tmp_path, range(4)) == []


@pytest.mark.full
def test_changing_only_what_is_withheld_changes_no_byte_in_fifty_ways(made, tmp_path):
    assert _differing(made, tmp_path, range(50)) == []


def test_changing_what_is_shown_does_change_them(made, tmp_path):
    """The comparison can fail: one word of a shown record is enough."""
    _, content, paper, _ = made
    shutil.copytree(content, tmp_path / "content")
    part = tmp_path / "content" / "parts" / "chine.md"
    part.write_text(part.read_text("utf-8").replace("ran along", "went along"), "utf-8")
    assert _papers(tmp_path / "content", tmp_path / "cache")[0] != paper
