"""One build at a time: the loser names the winner, and a dead process blocks nobody."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from archive.publish.lock import lock_path, locked
from archive.publish.refusal import Refused
from archive.publish.stage import Stage
from tests.benchmarks.kill_points import ROOT, command, tree_hash

HOLD = (
    "import sys, time\n"
    "sys.path.insert(0, sys.argv[1])\n"
    "from pathlib import Path\n"
    "from archive.publish.lock import locked\n"
    "with locked(Path(sys.argv[2])):\n"
    "    print('held', flush=True)\n"
    "    time.sleep(60)\n"
)


def hold(out: Path) -> subprocess.Popen[str]:
    line = [sys.executable, "-I", "-S", "-c", HOLD, str(ROOT), str(out)]
    process = subprocess.Popen(line, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None and process.stdout.readline() == "held\n"
    return process


def end(process: subprocess.Popen[str], how: signal.Signals) -> None:
    process.send_signal(how)
    process.communicate()


def test_the_lock_comes_and_goes(tmp_path: Path) -> None:
    with locked(tmp_path / "crew"):
        assert [path.name for path in tmp_path.iterdir()] == [".crew.lock"]
    assert list(tmp_path.iterdir()) == []


def test_the_loser_ends_at_once_and_names_the_winner(tmp_path: Path) -> None:
    winner = hold(tmp_path / "crew")
    started = time.monotonic()
    with pytest.raises(Refused) as caught, locked(tmp_path / "crew"):
        pytest.fail("two hold it")
    assert time.monotonic() - started < 1
    end(winner, signal.SIGKILL)
    assert caught.value.code == "build-running"
    assert f"process {winner.pid} on {socket.gethostname()}, started 2" in caught.value.says


def test_nor_twice_in_one_process(tmp_path: Path) -> None:
    with locked(tmp_path / "crew"), pytest.raises(Refused), locked(tmp_path / "crew"):
        pytest.fail("two hold it")
    with locked(tmp_path / "public"), locked(tmp_path / "crew"):
        pass


def test_a_dead_process_is_followed_without_a_word(tmp_path: Path) -> None:
    end(hold(tmp_path / "crew"), signal.SIGKILL)
    assert lock_path(tmp_path / "crew").exists()
    with locked(tmp_path / "crew"):
        assert json.loads(lock_path(tmp_path / "crew").read_text())["pid"] == os.getpid()
    assert list(tmp_path.iterdir()) == []


def test_another_machines_lock_is_never_taken(tmp_path: Path) -> None:
    lock = lock_path(tmp_path / "crew")
    text = json.dumps({"host": "museum-pc", "pid": 7, "started": "2027-01-02 03:04:05"})
    lock.write_text(text)
    with (
        pytest.raises(Refused, match="process 7 on museum-pc") as caught,
        locked(tmp_path / "crew"),
    ):
        pytest.fail("it was stolen")
    assert str(lock) in caught.value.hint
    assert lock.read_text() == text


@pytest.mark.parametrize("text", ["", "{", "[]", '{"host": 1}', "\0" * 5000])
def test_a_torn_lock_file_is_nobodys(tmp_path: Path, text: str) -> None:
    lock_path(tmp_path / "crew").write_text(text)
    with locked(tmp_path / "crew"):
        pass


def race(out: Path, content: Path, rounds: int) -> None:
    for version in ("old", "new"):
        subprocess.run(command(out, content, version), check=True)
    sums = {}
    for version in ("old", "new"):
        subprocess.run(command(out, content, version), check=True)
        sums[tree_hash(out)] = version
    for _ in range(rounds):
        pair = [
            subprocess.Popen(command(out, content, version), stderr=subprocess.PIPE, text=True)
            for version in ("old", "new")
        ]
        said = [process.communicate()[1] for process in pair]
        assert tree_hash(out) in sums
        for process, text in zip(pair, said, strict=True):
            assert process.returncode == 0 or "Another build is writing" in text
        assert 0 in [process.returncode for process in pair]
        assert [path.name for path in out.parent.iterdir()] == ["crew"]


def test_two_builds_race(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    race(tmp_path / "build" / "crew", tmp_path / "content", rounds=5)


@pytest.mark.full
def test_two_builds_race_fifty_times(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    race(tmp_path / "build" / "crew", tmp_path / "content", rounds=50)


def test_a_second_build_of_the_same_folder_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    out = tmp_path / "build" / "crew"
    with Stage(out, tmp_path / "content") as stage:
        stage.write("index.html", b"first")
        with pytest.raises(Refused), Stage(out, tmp_path / "content"):
            pytest.fail("two build at once")
        stage.finish()
    assert (out / "index.html").read_bytes() == b"first"
