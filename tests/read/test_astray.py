"""Records in the wrong place are problems, each told once and with the place to move it to."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from archive.read.load import NotContent, load

Content = Callable[..., Path]

PART = "---\ntitle: A\nzone: 510\nsurvives: whole\nmates: [b]\n---\n"
PHOTO = "---\ntitle: A\nkind: period\nalt: A\nfront: A\n---\n"


def told(folder: Path) -> list[tuple[str, str, str, bool]]:
    return [(p.where.path, p.code, p.hint, p.advice) for p in load(folder).problems]


@pytest.mark.parametrize(
    ("path", "text", "where", "hint"),
    [
        ("chine.md", PART, "chine.md", "Move it to parts/chine.md."),
        ("loose.txt", PHOTO, "loose.txt", "Move it to photos/loose.md."),
        ("odds/deep/chine.md", PART, "odds", "Move it to parts/."),
        ("parts/chine.txt", PART, "parts/chine.txt", "Name it parts/chine.md."),
        ("parts/chine", PHOTO, "parts/chine", "Move it to photos/chine.md."),
    ],
)
def test_a_record_where_none_is_read(
    content: Content, path: str, text: str, where: str, hint: str
) -> None:
    assert told(content(f"== {path} ==\n{text}")) == [(where, "record-astray", hint, False)]


def test_a_stray_that_is_no_record_stays_advice(content: Content) -> None:
    found = told(content("== odds/a.md ==\nA\n---\n== list.txt ==\nA\n"))
    assert [(path, code, advice) for path, code, _, advice in found] == [
        ("list.txt", "file-stray", True),
        ("odds", "folder-unknown", True),
    ]


def test_a_note_in_the_folder_of_another_kind_is_one_problem(content: Content) -> None:
    folder = content(f"== parts/slip.md ==\n{PHOTO}")
    assert told(folder) == [("parts/slip.md", "folder-wrong", "Move it to photos/.", False)]


def test_a_part_with_mistakes_is_still_a_part(content: Content) -> None:
    text = PART.replace("mates", "mate").replace("survives", "survive")
    codes = [code for _, code, _, _ in told(content(f"== parts/a.md ==\n{text}"))]
    assert codes == ["field-missing", "field-unknown", "field-unknown"]


def test_a_closing_line_that_is_missing_is_named_and_the_prose_kept(content: Content) -> None:
    fields = PART.removesuffix("---\n")
    prose = "The rail lay under the port float.\n\nIt has: eleven holes.\n---\nMore.\n"
    loaded = load(content(f"== parts/a.md ==\n{fields}\n{prose}== parts/b.md ==\n{PART}"))
    (problem,) = loaded.problems
    assert (str(problem.where), problem.code) == ("parts/a.md:7:1", "fields-open")
    assert "closing ---" in problem.says
    part = loaded.library.parts["a"]
    assert (part.title, part.prose, part.prose_line) == ("A", prose, 7)


def test_a_fault_among_the_fields_is_not_taken_for_prose(content: Content) -> None:
    text = PART.replace("zone", "\nThis is odd\nzone")
    codes = [code for _, code, _, _ in told(content(f"== parts/a.md ==\n{text}"))]
    assert "fields-open" not in codes and "yaml-syntax" in codes


def test_files_that_must_be_there_are_shown_by_an_example(content: Content) -> None:
    folder = content("== aircraft.yaml ==\nname: A\n", bare=True)
    hints = {path: hint for path, code, hint, _ in told(folder) if code == "file-missing"}
    assert "\npeople:\n  - {id: " in hints["people.yaml"]
    assert "\nzones:\n  - {id: " in hints["zones.yaml"]


def test_a_folder_of_which_the_aircraft_cannot_be_read_is_refused(content: Content) -> None:
    folder = content()
    (folder / "aircraft.yaml").write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe: [")
    with pytest.raises(NotContent, match=r"aircraft\.yaml can be read"):
        load(folder)
