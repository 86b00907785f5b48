"""Papers: the words are never commands, the PDF is tagged, and the same values give the same."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from archive.core.theme import theme_dir
from archive.exchange import typeset as module
from archive.exchange.typeset import BOX, typeset

SHEET = """\
#import "paper.typ": *
#let data = json("data.json")
#show: paper.with(data, foot: data.title)
= #data.title
#data.words
#for name in data.at("pictures", default: ()) { image(name, alt: "a square", width: 10mm) }
"""


@pytest.fixture(autouse=True)
def theme(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A theme with one small template, beside the faces and the shared piece of the real one."""
    folder = tmp_path / "theme"
    shutil.copytree(theme_dir() / "print", folder / "print")
    (folder / "print" / "sheet.typ").write_text(SHEET)
    monkeypatch.setattr(module, "theme_dir", lambda: folder)
    return folder


def _set(words: str, **more: object) -> pypdf.PdfReader:
    data = {"title": "A sheet", "language": "en-GB", "words": words, **more}
    return pypdf.PdfReader(io.BytesIO(typeset("sheet", data)))


def test_the_pdf_is_tagged_titled_and_has_a_language() -> None:
    """ISO 14289-1:2014, 7.1 and 7.2: read by pypdf, which has no part in making it."""
    root = _set("Plain words").trailer["/Root"]
    assert root["/Lang"] == "en-GB"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert _set("Plain words").metadata.title == "A sheet"


@pytest.mark.parametrize(
    "words",
    [
        "#panic()",
        '#read("/etc/passwd")',
        "*bold* _it_ $x$ `raw`",
        "= head",
        "@ref <label>",
        "\\\\ ~",
    ],
)
def test_words_are_never_commands(words: str) -> None:
    assert words in _set(words).pages[0].extract_text()


def test_a_letter_that_no_face_has_is_a_box() -> None:
    text = _set("The yard 丂丐 and \x07\0 and →").pages[0].extract_text()
    assert f"The yard {BOX}{BOX} and {BOX}{BOX} and →" in text


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text(max_size=40), st.text(max_size=20))
def test_any_text_can_be_set(words: str, title: str) -> None:
    data = {"title": f"A {title}", "language": "en-GB", "words": words}
    assert typeset("sheet", data).startswith(b"%PDF-")


def test_same_values_same_bytes_and_no_trace_of_the_machine(tmp_path: Path) -> None:
    data = {"title": "A sheet", "language": "en-GB", "words": "Words"}
    made = typeset("sheet", data)
    assert made == typeset("sheet", data)
    assert b"/CreationDate" not in made
    assert b"tmp" not in made and str(tmp_path).encode() not in made


def test_a_mistake_in_the_template_is_told(theme: Path) -> None:
    (theme / "print" / "sheet.typ").write_text('#image("1.png")')
    with pytest.raises(ValueError, match=r"sheet\.typ can't be set"):
        _set("Words")


def test_a_picture_has_a_plain_name() -> None:
    data = {"title": "A sheet", "language": "en-GB", "words": "Words"}
    with pytest.raises(ValueError, match="plain name"):
        typeset("sheet", data, {"../1.png": b""})
