"""A whole site: the same bytes whatever the machine, and the same whether made anew or mended."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image
from small_records import BASE, part, photo, source

TOP = Path(__file__).parents[2]
TEXT = (
    BASE
    + source("negative")
    + source("print-a", "derived_from: sources/negative")
    + photo("one", "print-a")
    + photo("two")
    + part(
        "  - {id: it, aspect: shape, says: So, evidence: [{photo: one#chine}, {photo: two#chine}]}"
    )
    + part("  - {id: it, aspect: shape, says: Otherwise}", id_="other")
)


@pytest.fixture
def folder(content) -> Path:
    made = content(TEXT)
    for seed, name in enumerate(("one", "two")):
        picture = Image.effect_noise((900, 600), 50 + seed)
        picture.paste(seed * 40, (100, 100, 400, 300))
        picture.save(made / "photos" / f"{name}.jpg", quality=80)
    return made


def build(folder: Path, out: Path, cache: Path, **env: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "archive", "build", folder, "--out", out, "--as-of", "2026-11-25"],
        cwd=env.pop("cwd", TOP),
        env={**os.environ, "PYTHONPATH": str(TOP), "WITNESSMARK_CACHE": str(cache), **env},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_same_bytes_on_another_machine(folder, tmp_path):
    build(folder, tmp_path / "a", tmp_path / "cache-a", TZ="UTC", PYTHONHASHSEED="1")
    moved = tmp_path / "elsewhere" / "papers"
    names = sorted(path for path in folder.rglob("*") if path.is_file())
    random.Random(7).shuffle(names)
    for path in names:
        target = moved / path.relative_to(folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, target)
    build(
        moved,
        tmp_path / "b",
        tmp_path / "cache-b",
        TZ="Pacific/Kiritimati",
        PYTHONHASHSEED="2",
        LC_ALL="C",
        USER="somebody",
        cwd=str(tmp_path),
    )
    assert tree(tmp_path / "a") == tree(tmp_path / "b")


def test_mended_is_as_made_anew(folder, tmp_path):
    """A seeded walk of edits: after each, the mended site equals one made from nothing."""
    out, cache = tmp_path / "site", tmp_path / "cache"
    build(folder, out, cache)
    chine, other = folder / "parts" / "chine.md", folder / "parts" / "other.md"
    print_a = folder / "sources" / "print-a.md"

    def swap(path: Path, old: str, new: str):
        def edit() -> None:
            text = path.read_text("utf-8")
            assert old in text
            path.write_text(text.replace(old, new), "utf-8")

        return edit

    edits = [
        swap(chine, "says: So", "says: So it is"),
        swap(print_a, "Source print-a", "A better name"),
        swap(folder / "photos" / "two.md", "is: this", "is: sister"),
        swap(other, "zone: zones/700", "zone: zones/500"),
        lambda: other.rename(folder / "parts" / "renamed.md"),
        lambda: (folder / "parts" / "renamed.md").unlink(),
    ]
    for number, edit in enumerate(edits):
        edit()
        build(folder, out, cache)
        fresh = tmp_path / f"fresh-{number}"
        build(folder, fresh, tmp_path / f"cache-{number}")
        assert tree(out) == tree(fresh), number


def test_building_writes_nothing_into_the_content(folder, tmp_path):
    def stamps() -> dict[str, tuple[int, int]]:
        return {
            str(path): (path.stat().st_size, path.stat().st_mtime_ns) for path in folder.rglob("*")
        }

    before = stamps()
    build(folder, tmp_path / "site", tmp_path / "cache")
    assert stamps() == before


def test_a_broken_picture_is_one_problem_and_the_rest_is_there(folder, tmp_path):
    (folder / "photos" / "two.jpg").write_bytes(b"\xff\xd8\xff\xe0 no more")
    done = subprocess.run(
        [sys.executable, "-m", "archive", "build", folder, "--out", tmp_path / "site"],
        cwd=TOP,
        env={**os.environ, "WITNESSMARK_CACHE": str(tmp_path / "cache")},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 1
    assert "photos/two.jpg: problem[image-" in done.stderr
    assert "Traceback" not in done.stderr
    names = set(tree(tmp_path / "site"))
    assert {"photos/one.html", "photos/two.html", "parts/chine.html"} <= names
