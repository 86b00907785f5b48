"""A site is staged whole and switched in; whatever goes wrong before, the old one stays."""

from __future__ import annotations

import errno
import hashlib
import json
import os
from pathlib import Path

import pytest

from archive.core.atomic import CannotWrite
from archive.publish.manifest import MANIFEST, damage, read_manifest
from archive.publish.refusal import Refused
from archive.publish.stage import Made, Stage
from tests.benchmarks.kill_points import tree_hash

PAGES = {"index.html": b"<h1>QK-41</h1>", "parts/axle.html": b"axle", "a/b/c/d.txt": b""}


@pytest.fixture
def content(tmp_path: Path) -> Path:
    (tmp_path / "content").mkdir()
    return tmp_path / "content"


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "build" / "crew"


def build(out: Path, content: Path, pages: dict[str, bytes] = PAGES) -> Made:
    with Stage(out, content) as stage:
        for path, data in pages.items():
            stage.write(path, data)
        return stage.finish()


def files(out: Path) -> dict[str, bytes]:
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in out.rglob("*") if p.is_file()}


def beside(out: Path) -> list[str]:
    return sorted(path.name for path in out.parent.iterdir())


def test_the_site_is_what_was_written_and_its_list(out: Path, content: Path) -> None:
    made = build(out, content)
    found = files(out)
    data = json.loads(found.pop(MANIFEST))
    assert found == PAGES
    assert data["files"] == {
        path: [hashlib.sha256(page).hexdigest(), len(page)] for path, page in PAGES.items()
    }
    assert data["build"] == made.manifest.build and data["note"].startswith("Written by")
    assert read_manifest(out) == made.manifest
    assert beside(out) == ["crew"]


def test_the_list_is_plain_sums_that_others_can_check(out: Path, content: Path) -> None:
    """The build id is SHA-256 over lines as `sha256sum` (GNU coreutils) prints them, by name."""
    build(out, content)
    lines = "".join(
        f"{hashlib.sha256(page).hexdigest()}  {path}\n" for path, page in sorted(PAGES.items())
    )
    expected = hashlib.sha256(lines.encode()).hexdigest()
    assert json.loads((out / MANIFEST).read_text())["build"] == expected


def test_the_order_of_writing_does_not_show(out: Path, content: Path, tmp_path: Path) -> None:
    build(out, content)
    build(tmp_path / "other", content, dict(reversed(PAGES.items())))
    assert tree_hash(out) == tree_hash(tmp_path / "other")


def test_a_page_that_is_gone_goes_and_a_kept_one_stays(out: Path, content: Path) -> None:
    build(out, content)
    with Stage(out, content) as stage:
        stage.keep("parts/axle.html")
        stage.write("index.html", b"new")
        stage.finish()
    found = files(out)
    assert found.pop(MANIFEST)
    assert found == {"parts/axle.html": b"axle", "index.html": b"new"}
    assert damage(out) == []
    assert (out / "parts" / "axle.html").stat().st_nlink == 1
    assert beside(out) == ["crew"]


def test_keeping_what_was_never_there_is_a_mistake_of_the_caller(out: Path, content: Path) -> None:
    build(out, content)
    with pytest.raises(KeyError), Stage(out, content) as stage:
        stage.keep("no/such.html")
    assert damage(out) == []


@pytest.mark.parametrize("links", [True, False])
def test_pictures_come_as_links_or_as_copies(
    out: Path, content: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    (tmp_path / "cached.jpg").write_bytes(b"pixels")
    if not links:

        def refuse(*_: object) -> None:
            raise OSError(errno.EXDEV, "another disk")

        monkeypatch.setattr(os, "link", refuse)
    for _ in range(2):
        with Stage(out, content) as stage:
            if "pictures/a.jpg" in stage.previous.files:
                stage.keep("pictures/a.jpg")
            else:
                stage.link("pictures/a.jpg", tmp_path / "cached.jpg")
            stage.link("pictures/b.jpg", tmp_path / "cached.jpg")
            (stage.writer.site / "tiles" / "7").mkdir(parents=True)
            (stage.writer.site / "tiles" / "7" / "0-0.jpg").write_bytes(b"tile")
            stage.adopt("tiles")
            stage.finish()
        assert damage(out) == []
    assert set(files(out)) == {"pictures/a.jpg", "pictures/b.jpg", "tiles/7/0-0.jpg", MANIFEST}
    assert os.path.samefile(out / "pictures/b.jpg", tmp_path / "cached.jpg") is links


def test_a_link_is_no_picture(out: Path, content: Path, tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("secret")
    (tmp_path / "cached.jpg").symlink_to(tmp_path / "secret")
    with pytest.raises(CannotWrite), Stage(out, content) as stage:
        stage.link("a.jpg", tmp_path / "cached.jpg")
    with pytest.raises(CannotWrite), Stage(out, content) as stage:
        (stage.writer.site / "tiles").mkdir()
        (stage.writer.site / "tiles" / "a.jpg").symlink_to(tmp_path / "secret")
        stage.adopt("tiles")
    assert not out.exists()


@pytest.mark.parametrize("kind", [ValueError, KeyboardInterrupt, SystemExit, MemoryError])
def test_whatever_ends_the_build_leaves_the_old_site(
    out: Path, content: Path, kind: type[BaseException]
) -> None:
    build(out, content)
    before = tree_hash(out, times=True)
    with pytest.raises(kind), Stage(out, content) as stage:
        stage.write("index.html", b"half")
        raise kind
    assert tree_hash(out, times=True) == before
    assert beside(out) == ["crew"]


def test_leaving_without_finishing_changes_nothing(out: Path, content: Path) -> None:
    with Stage(out, content) as stage:
        stage.write("index.html", b"new")
    assert beside(out) == []


@pytest.mark.parametrize("path", ["../up", "CON", "site.json", "Index.html", "index.html"])
def test_a_bad_name_is_refused_and_the_old_site_stays(out: Path, content: Path, path: str) -> None:
    build(out, content)
    before = tree_hash(out.parent)
    with pytest.raises(Refused), Stage(out, content) as stage:
        stage.write("index.html", b"new")
        stage.write(path, b"x")
    assert tree_hash(out.parent) == before


@pytest.mark.parametrize(
    "number", [errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EROFS, errno.EMFILE]
)
@pytest.mark.parametrize("step", ["open", "write", "mkdir", "rename", "link", "fsync", "scandir"])
def test_a_refusal_of_the_disk_at_the_nth_step_is_one_sentence(
    out: Path, content: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int
) -> None:
    """The first call fails, then the second, and so on until a build meets no fault."""
    monkeypatch.setattr("archive.publish.switch.exchange", lambda *_: False)
    build(out, content)
    old = tree_hash(out)
    real = getattr(os, step)
    for nth in range(60):
        calls = 0

        def fail(*words: object, nth: int = nth, **more: object) -> object:
            nonlocal calls
            calls += 1
            if calls == nth + 1:
                raise OSError(number, os.strerror(number))
            return real(*words, **more)

        with monkeypatch.context() as patch:
            patch.setattr(os, step, fail)
            try:
                with Stage(out, content) as stage:
                    stage.keep("index.html")
                    stage.write("parts/new.html", b"new")
                    stage.finish()
            except CannotWrite as refusal:
                assert "can't be written: " in refusal.says and "\n" not in refusal.says
                assert tree_hash(out) == old
            except Refused:
                pytest.fail("the wrong sentence")
        if calls <= nth:
            break
        build(out, content)
    else:
        pytest.fail("the build never came to its end")
    assert "parts/new.html" in files(out)
    assert beside(out) == ["crew"]


def test_a_writer_in_a_worker_does_not_bring_a_cleared_stage_back(out: Path, content: Path) -> None:
    with Stage(out, content) as stage:
        writer = stage.writer
    with pytest.raises(CannotWrite):
        writer.write("parts/late.html", b"x")
    assert beside(out) == []


def test_damage_is_listed_whole(out: Path, content: Path) -> None:
    build(out, content)
    (out / "index.html").write_bytes(b"<h1>QK-4l</h1>")
    (out / "parts" / "axle.html").unlink()
    (out / "extra.html").write_bytes(b"")
    assert damage(out) == [
        "index.html: altered",
        "parts/axle.html: missing",
        "extra.html: not listed",
    ]
    (out / MANIFEST).unlink()
    assert damage(out) == ["site.json: missing or not readable"]
