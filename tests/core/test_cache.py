"""The cache lies where the user's system keeps caches, private, and never inside the content."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from archive.core.atomic import CannotWrite
from archive.core.cache import ENVIRONMENT, cache_dir, cache_root


def test_the_environment_names_it_outright(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(ENVIRONMENT, str(tmp_path / "mine"))
    assert cache_root() == tmp_path / "mine"


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="XDG is the custom elsewhere")
def test_xdg_base_directory_specification(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification 0.8: relative paths are to be ignored."""
    monkeypatch.delenv(ENVIRONMENT, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert cache_root() == tmp_path / "xdg" / "witnessmark"
    for value in ("", "relative/cache"):
        monkeypatch.setenv("XDG_CACHE_HOME", value)
        assert cache_root() == tmp_path / ".cache" / "witnessmark"


def test_each_content_has_its_own_and_it_is_private(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(ENVIRONMENT, str(tmp_path / "cache"))
    (tmp_path / "a" / "content").mkdir(parents=True)
    (tmp_path / "b" / "content").mkdir(parents=True)
    one, other = cache_dir(tmp_path / "a" / "content"), cache_dir(tmp_path / "b" / "content")
    assert one != other and one == cache_dir(tmp_path / "a" / "." / "content")
    assert stat.S_IMODE(one.stat().st_mode) == 0o700
    one.chmod(0o777)
    assert stat.S_IMODE(cache_dir(tmp_path / "a" / "content").stat().st_mode) == 0o700


def test_never_inside_the_content(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    content = tmp_path / "content"
    content.mkdir()
    (tmp_path / "link").symlink_to(content)
    for place in (content, content / "cache", tmp_path / "link" / "cache"):
        monkeypatch.setenv(ENVIRONMENT, str(place))
        with pytest.raises(CannotWrite, match="inside the content folder"):
            cache_dir(content)
    assert list(content.iterdir()) == []


def test_a_link_planted_in_its_place_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(ENVIRONMENT, str(tmp_path / "cache"))
    folder = cache_dir(tmp_path / "content")
    os.rmdir(folder)
    (tmp_path / "theirs").mkdir()
    folder.symlink_to(tmp_path / "theirs")
    with pytest.raises(CannotWrite, match="belongs to another user"):
        cache_dir(tmp_path / "content")


def test_a_file_in_the_way_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "cache").write_text("")
    monkeypatch.setenv(ENVIRONMENT, str(tmp_path / "cache"))
    with pytest.raises(CannotWrite, match="can't be written"):
        cache_dir(tmp_path / "content")
