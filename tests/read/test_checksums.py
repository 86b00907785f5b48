"""The list of sums: what it says is what `sha256sum` says, and what is wrong with it is told."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.core.fixity import Seen
from archive.read.checksums import LIST, list_text, look, parse_list, read_list

MADE = datetime(2026, 11, 25, 12, tzinfo=UTC)
SUM = "0123456789abcdef" * 4


@given(
    st.dictionaries(
        st.text(st.characters(exclude_characters="\0", exclude_categories=("Cs",)), min_size=1),
        st.integers(0, 10**9),
        max_size=30,
    )
)
def test_a_list_reads_back_what_was_written(sizes):
    files = {path: Seen(hashlib.sha256(path.encode()).hexdigest(), n) for path, n in sizes.items()}
    back = parse_list(list_text(files, MADE))
    assert back.faults == () and back.made == MADE
    assert {path: (line.sha256, line.size) for path, line in back.lines.items()} == {
        path: (seen.sha256, seen.size) for path, seen in files.items()
    }


@given(st.data())
def test_one_flipped_bit_in_the_list_is_a_fault_of_the_list(data):
    text = bytearray(list_text({f"photos/{n}.jpg": Seen(SUM, n) for n in range(5)}, MADE))
    # The last line is the sum itself; its newline carries nothing.
    bit = data.draw(st.integers(0, 8 * len(text) - 9))
    text[bit // 8] ^= 1 << bit % 8
    assert parse_list(bytes(text)).faults


def test_lines_that_are_none_and_lines_twice_are_told_by_number():
    found = parse_list(f"{SUM}  a\nnonsense\n{SUM}  a\n".encode())
    assert found.lines["a"].sha256 == SUM
    assert [fault.split(" ")[1] for fault in found.faults[:2]] == ["2", "3"]


def test_a_folder_without_a_list_has_none(tmp_path):
    assert read_list(tmp_path) is None


@pytest.mark.skipif(os.name == "nt", reason="names that Windows can't hold")
def test_the_list_is_what_gnu_sha256sum_reads(tmp_path):
    """GNU coreutils' own checker, strictly: the list outlives this program."""
    tool = shutil.which("sha256sum")
    assert tool, "sha256sum is part of every Debian"
    for name in ("plain.txt", "with space", "back\\slash", "line\nfeed", "blå.jpg", b"\xff.bin"):
        path = os.path.join(os.fsencode(tmp_path), os.fsencode(name))
        with open(path, "wb") as file:
            file.write(os.fsencode(name) * 3)
    (tmp_path / "empty").write_bytes(b"")
    (tmp_path / LIST).write_bytes(list_text(look(tmp_path), MADE))
    done = subprocess.run([tool, "-c", "--strict", LIST], cwd=tmp_path, capture_output=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count(b": OK") == 7


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_what_is_no_file_of_the_folder_is_not_read(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "outside").write_text("x")
    os.symlink(tmp_path / "outside", tmp_path / "in" / "link")
    os.mkfifo(tmp_path / "in" / "pipe")
    (tmp_path / "in" / ".hidden").write_text("x")
    seen = look(tmp_path / "in")
    assert {path: bool(its.unreadable) for path, its in seen.items()} == {
        "link": True,
        "pipe": True,
    }
