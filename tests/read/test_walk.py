"""Which files are read, and which are refused by name without being opened."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from archive.read.load import load
from archive.read.walk import walk

Content = Callable[..., Path]

PART = "---\ntitle: A\nzone: 510\nsurvives: whole\n---\n"


def told(folder: Path) -> list[str]:
    return [f"{p.where.path} {p.code}" for p in sorted(walk(folder).problems)]


def test_subfolders_do_not_count_and_order_is_that_of_the_paths(content: Content) -> None:
    folder = content(f"== parts/b.md ==\n{PART}== parts/deep/er/a.md ==\n{PART}")
    assert list(load(folder).library.parts) == ["a", "b"]
    assert told(folder) == []


def test_pictures_and_notes_find_each_other(content: Content) -> None:
    note = "---\ntitle: A\nkind: period\nalt: A\n---\n"
    folder = content(
        f"== photos/a.md ==\n{note}== photos/a.JPG ==\nx== photos/sub/b.tiff ==\nx"
        f"== photos/b.md ==\n{note}== photos/c.md ==\n{note}== photos/d.png ==\nx"
    )
    # No heading can follow text without a line end, so these are written apart.
    for name in ("a.JPG", "sub/b.tiff", "d.png"):
        (folder / "photos" / name).parent.mkdir(exist_ok=True)
        (folder / "photos" / name).write_bytes(b"x")
    loaded = load(folder)
    assert (set(loaded.pictures), set(loaded.alone)) == ({"a"}, {"b", "d"})
    codes = {f"{p.where.path} {p.code}" for p in loaded.problems}
    assert {"photos/d.png note-missing", "photos/c.md picture-missing"} <= codes
    assert not any("photos/a" in code or "photos/b" in code for code in codes)


def test_a_picture_that_was_removed_on_purpose_is_not_missed(content: Content) -> None:
    folder = content(
        "== photos/a.md ==\n---\ntitle: A\nkind: period\nalt: A\n---\n"
        "== removed.yaml ==\nremoved:\n"
        "  - {path: photos/a.jpg, on: 2027-05-03, by: HB, because: consent withdrawn}\n"
    )
    assert load(folder).problems == ()


@pytest.mark.parametrize(
    "name",
    [
        "Nose",
        "nose bowl",
        "næse",
        "-nose",
        "nose_bowl",
        "nose.bowl.x",
        "con",
        "lpt1",
        "a" * 101,
        "nose ",
        "a\u202eb",
        "a\nb",
        "$(id)",
        "<script>",
        "..x",
    ],
)
def test_names_that_are_no_ids_are_refused_with_a_name_to_take(content: Content, name: str) -> None:
    folder = content()
    (folder / "parts").mkdir()
    (folder / "parts" / f"{name}.md").write_text(PART)
    problems = walk(folder).problems
    if name.startswith("."):
        assert problems == []  # hidden files are left alone
        return
    assert [p.code for p in problems] == ["file-name"]
    assert problems[0].where.path.isprintable() and problems[0].hint
    assert load(folder).library.parts == {}


def test_a_name_that_is_not_utf_8_is_refused_in_print(content: Content) -> None:
    folder = content()
    (folder / "parts").mkdir()
    try:
        (folder / "parts" / os.fsdecode(b"n\xe6se.md")).write_text(PART)
    except OSError:
        pytest.skip("this disk takes no such name")
    assert told(folder) == ["parts/n\\xe6se.md file-name"]


def test_names_that_differ_in_capitals_collide(content: Content) -> None:
    folder = content(f"== parts/a.md ==\n{PART}")
    (folder / "parts" / "a.MD").write_text(PART)
    if len(list((folder / "parts").iterdir())) < 2:
        pytest.skip("this disk holds only one of them")
    assert told(folder) == ["parts/a.md names-collide"]


def test_an_id_twice_is_told_and_the_first_is_read(content: Content) -> None:
    other = PART.replace("title: A", "title: B")
    folder = content(f"== parts/a.md ==\n{PART}== parts/sub/a.md ==\n{other}")
    loaded = load(folder)
    assert loaded.library.parts["a"].title == "A"
    assert told(folder) == ["parts/sub/a.md id-twice"]


def test_links_out_of_the_folder_and_devices_are_refused_unopened(content: Content) -> None:
    folder = content(f"== parts/a.md ==\n{PART}")
    outside = folder.parent / "secret.md"
    outside.write_text(PART.replace("title: A", "title: SECRET"))
    (folder / "parts" / "b.md").symlink_to(outside)
    (folder / "parts" / "c.md").symlink_to("/dev/zero")
    (folder / "parts" / "d.md").symlink_to("nowhere")
    (folder / "parts" / "e").symlink_to(folder.parent, target_is_directory=True)
    (folder / "parts" / "loop").symlink_to(folder, target_is_directory=True)
    os.mkfifo(folder / "parts" / "f.md")
    assert told(folder) == [
        "parts/b.md link-refused",
        "parts/c.md link-refused",
        "parts/d.md link-refused",
        "parts/e link-refused",
        "parts/f.md not-a-file",
        "parts/loop link-refused",
    ]
    loaded = load(folder)
    assert list(loaded.library.parts) == ["a"]
    assert "SECRET" not in repr(loaded.library)


def test_a_link_within_the_folder_is_followed(content: Content) -> None:
    folder = content(f"== parts/a.md ==\n{PART}")
    (folder / "parts" / "b.md").symlink_to("a.md")
    assert list(load(folder).library.parts) == ["a", "b"]


def test_what_the_program_keeps_and_what_is_hidden_is_left_alone(content: Content) -> None:
    folder = content(
        "== README.md ==\nHello\n== checksums.txt ==\nx\n== cards/0001.yaml ==\nx\n"
        "== .git/config ==\nx\n== parts/.a.md.swp ==\nx\n== states/a.yaml ==\nx\n"
    )
    assert told(folder) == []


def test_strays_are_advice(content: Content) -> None:
    folder = content("== notes.txt ==\nx\n== fotos/a.md ==\nx\n== parts/a.txt ==\nx\n")
    assert told(folder) == [
        "fotos folder-unknown",
        "notes.txt file-stray",
        "parts/a.txt file-stray",
    ]
    assert all(problem.advice for problem in walk(folder).problems)


def test_a_folder_or_file_that_is_nearly_one_of_ours_is_a_problem(content: Content) -> None:
    folder = content("== part/a.md ==\nx\n== Photos/a.md ==\nx\n== policy.yml ==\nx\n")
    problems = sorted(walk(folder).problems)
    assert [(p.where.path, p.code, p.advice) for p in problems] == [
        ("Photos", "folder-unknown", False),
        ("part", "folder-unknown", False),
        ("policy.yml", "ending-wrong", False),
    ]
    assert "parts/" in problems[1].hint and problems[2].hint == "Name it policy.yaml."


def test_pictures_that_cannot_be_opened_are_told_which_can(content: Content) -> None:
    folder = content("== photos/a.heic ==\nx\n")
    (problem,) = walk(folder).problems
    assert (problem.code, problem.advice) == ("picture-format", False)
    assert "JPEG, PNG, TIFF or WebP" in problem.hint and "photos/a.jpg" in problem.hint


def test_two_pictures_of_one_name_are_told_which_is_used(content: Content) -> None:
    folder = content("== photos/a.jpg ==\nx\n== photos/a.tif ==\nx\n")
    problem = next(p for p in walk(folder).problems if p.code == "pictures-share-note")
    assert problem.where.path == "photos/a.tif" and "photos/a.jpg" in problem.says
    assert problem.hint.startswith("Rename both")


def test_a_name_with_accents_is_given_without_them(content: Content) -> None:
    folder = content("== parts/tür.md ==\nx\n")
    assert [p.hint for p in walk(folder).problems] == ["Rename it, perhaps to tur."]


def test_a_folder_nested_without_end_is_cut_off(content: Content) -> None:
    folder = content()
    deep = folder / "parts"
    for _ in range(30):
        deep = deep / "a"
    deep.mkdir(parents=True)
    assert [p.code for p in walk(folder).problems] == ["folder-deep"]
