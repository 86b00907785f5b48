"""One file is written whole or not at all, and a refusal of the disk is one sentence."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from archive.core import atomic
from archive.core.atomic import CannotWrite, write_file

ROOT = Path(__file__).resolve().parents[2]


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_text_and_bytes_replace_what_was_there(tmp_path: Path) -> None:
    record = tmp_path / "axle.md"
    write_file(record, "Ø 38 mm\n")
    assert record.read_bytes() == "Ø 38 mm\n".encode()
    write_file(record, b"")
    assert record.read_bytes() == b""
    assert names(tmp_path) == ["axle.md"]


def test_permissions_stay_and_a_private_file_is_private(tmp_path: Path) -> None:
    record = tmp_path / "axle.md"
    record.write_text("old")
    record.chmod(0o640)
    write_file(record, "new")
    assert stat.S_IMODE(record.stat().st_mode) == 0o640
    write_file(tmp_path / "memory.json", "{}", private=True)
    assert stat.S_IMODE((tmp_path / "memory.json").stat().st_mode) == 0o600


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "axle.md").write_text("old")
    (tmp_path / "axle.md").symlink_to("kept/axle.md")
    write_file(tmp_path / "axle.md", "new")
    assert (tmp_path / "axle.md").is_symlink()
    assert (tmp_path / "kept" / "axle.md").read_text() == "new"


@pytest.mark.parametrize("step", ["write", "fsync", "replace", "open"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS])
def test_a_refusal_at_any_step_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int
) -> None:
    record = tmp_path / "axle.md"
    record.write_text("old")

    def refuse(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, step, refuse)
    with pytest.raises(CannotWrite) as caught:
        write_file(record, "new")
    monkeypatch.undo()
    assert record.read_text() == "old"
    assert names(tmp_path) == ["axle.md"]
    assert str(caught.value).startswith(f"{record} can't be written: ")
    assert "\n" not in caught.value.says


def test_a_full_disk_says_how_much_is_wanted(tmp_path: Path) -> None:
    refusal = CannotWrite.because(tmp_path / "x", OSError(errno.ENOSPC, "no space"), 123_456)
    assert "the disk is full; at least 123,456 bytes are needed, and " in refusal.says
    assert refusal.says.endswith(" bytes are free.")
    assert refusal.hint


def test_a_missing_folder_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match="a folder on the way to it is missing"):
        write_file(tmp_path / "nowhere" / "axle.md", "x")


def test_what_killed_writers_left_is_swept(tmp_path: Path) -> None:
    left = tmp_path / ".axle.md.0123456789ab.part"
    recent = tmp_path / ".axle.md.ba9876543210.part"
    other = tmp_path / ".hub.md.0123456789ab.part"
    for path in (left, recent, other):
        path.write_text("half a rec")
    for path in (left, other):
        os.utime(path, (1e9, 1e9))
    write_file(tmp_path / "axle.md", "x")
    assert names(tmp_path) == sorted([recent.name, other.name, "axle.md"])


@pytest.mark.parametrize("count", range(1, 12))
def test_a_killed_writer_leaves_the_old_text_or_the_new(tmp_path: Path, count: int) -> None:
    """Killed ahead of the Nth thing it does to the disk; the last counts lie past its end."""
    record = tmp_path / "axle.md"
    record.write_text("old\n")
    program = (
        "import os, signal, sys\n"
        "sys.path.insert(0, sys.argv[1])\n"
        "from archive.core.atomic import write_file\n"
        "from pathlib import Path\n"
        "import secrets; secrets.token_hex(6)\n"
        "seen = 0\n"
        "def hook(event, details):\n"
        "    global seen\n"
        "    seen += event.startswith(('open', 'os.'))\n"
        "    if seen == int(sys.argv[3]): os.kill(os.getpid(), signal.SIGKILL)\n"
        "sys.addaudithook(hook)\n"
        "write_file(Path(sys.argv[2]), 'new\\n')\n"
    )
    line = [sys.executable, "-I", "-S", "-c", program, str(ROOT), str(record), str(count)]
    code = subprocess.run(line, check=False).returncode
    assert record.read_text() in ("old\n", "new\n")
    if count == 1:
        assert code != 0 and record.read_text() == "old\n"
    if code == 0:
        assert record.read_text() == "new\n"


def test_the_order_is_bytes_then_step_then_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps: list[str] = []
    flush, replace = atomic.flush, os.replace

    def note_flush(handle: int) -> None:
        steps.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "bytes")
        flush(handle)

    def note_replace(one: Path, other: Path) -> None:
        steps.append("step")
        replace(one, other)

    monkeypatch.setattr(atomic, "flush", note_flush)
    monkeypatch.setattr(os, "replace", note_replace)
    write_file(tmp_path / "axle.md", "x")
    assert steps == ["bytes", "step", "folder"]
