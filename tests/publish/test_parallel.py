"""Two processes give what one would, in the same order; their troubles come back as themselves."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest

from archive.core.problems import Unreadable
from archive.publish.manifest import damage
from archive.publish.parallel import chunked, run
from archive.publish.refusal import Refused
from archive.publish.stage import Stage, Writer, Written
from tests.benchmarks.kill_points import ROOT, tree_hash


def squares(shared: int, chunk: Sequence[int]) -> list[int]:
    return [shared + n * n for n in chunk]


def where(shared: object, chunk: object) -> int:
    time.sleep(0.05)
    return os.getpid()


def fail(shared: Exception, chunk: Sequence[int]) -> None:
    if 7 in chunk:
        raise shared


def die(shared: object, chunk: Sequence[int]) -> None:
    if 7 in chunk:
        os.kill(os.getpid(), signal.SIGKILL)


def pages(writer: Writer, chunk: Sequence[int]) -> list[Written]:
    return [writer.write(f"parts/{n}.html", f"part {n}".encode()) for n in chunk]


@pytest.mark.parametrize("processes", [1, 2])
@pytest.mark.parametrize("count", [0, 1, 10, 99])
def test_the_same_in_the_same_order(processes: int, count: int) -> None:
    done: list[int] = []
    chunks = chunked(range(count), 10)
    result = run(squares, 1000, chunks, processes=processes, progress=done.append)
    assert [n for part in result for n in part] == [1000 + n * n for n in range(count)]
    assert done == list(range(1, len(chunks) + 1))


def test_two_processes_do_share_the_work() -> None:
    seen = set(run(where, None, range(8)))
    assert len(seen) == 2 and os.getpid() not in seen
    assert set(run(where, None, range(2), processes=1)) == {os.getpid()}


@pytest.mark.parametrize("processes", [1, 2])
@pytest.mark.parametrize(
    "error",
    [
        ValueError("no such part"),
        Refused("name-taken", "Two pages.", "Rename."),
        Unreadable("bad-length", "7 1/4 what?", "Add a unit.", 4),
        FileNotFoundError(2, "gone", "a.jpg"),
    ],
)
def test_an_exception_comes_back_as_itself(error: Exception, processes: int) -> None:
    with pytest.raises(type(error)) as caught:
        run(fail, error, chunked(range(10), 3), processes=processes)
    assert caught.value.args == error.args and str(caught.value) == str(error)
    assert vars(caught.value).keys() - {"__notes__"} == vars(error).keys() - {"__notes__"}
    if processes == 2:
        assert "in fail" in caught.value.__notes__[0]


def test_an_exception_that_can_not_travel_comes_back_in_words() -> None:
    class Local(Exception):
        pass

    with pytest.raises(RuntimeError, match="Local: here"):
        run(fail, Local("here"), chunked(range(10), 3))


def test_a_worker_that_dies_is_an_error_and_no_hang() -> None:
    with pytest.raises(BrokenProcessPool):
        run(die, None, chunked(range(10), 3))


def test_workers_write_into_the_stage(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    sums = set()
    for processes in (1, 2):
        with Stage(tmp_path / "crew", tmp_path / "content") as stage:
            for written in run(pages, stage.writer, chunked(range(50), 7), processes=processes):
                stage.record(written)
            stage.finish()
        assert damage(tmp_path / "crew") == []
        sums.add(tree_hash(tmp_path / "crew"))
    assert len(sums) == 1


SLOW = """
import signal, sys, time
sys.path.insert(0, sys.argv[1])
from pathlib import Path
from archive.publish.parallel import run
from archive.publish.stage import Stage

# Whoever starts the tests in the background leaves Ctrl-C ignored.
signal.signal(signal.SIGINT, signal.default_int_handler)

def page(writer, n):
    writer.write(f"parts/{n}.html", b"new")
    (writer.out.parent / f"seen-{n}").touch()
    time.sleep(0.05)

with Stage(Path(sys.argv[2]) / "crew", Path(sys.argv[2]) / "content") as stage:
    run(page, stage.writer, range(400))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the kernel ends the workers on Linux only")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_an_interrupted_build_leaves_the_old_site_and_no_worker(
    tmp_path: Path, how: signal.Signals
) -> None:
    (tmp_path / "content").mkdir()
    with Stage(tmp_path / "crew", tmp_path / "content") as stage:
        stage.write("index.html", b"old")
        stage.finish()
    before = tree_hash(tmp_path / "crew")
    line = [sys.executable, "-I", "-S", "-c", SLOW, str(ROOT), str(tmp_path)]
    process = subprocess.Popen(line, stderr=subprocess.DEVNULL)
    limit = time.monotonic() + 20
    while not list(tmp_path.glob("seen-*")) and time.monotonic() < limit:
        time.sleep(0.01)
    process.send_signal(how)
    assert process.wait(timeout=60) != 0
    time.sleep(0.3)
    seen = len(list(tmp_path.glob("seen-*")))
    time.sleep(0.3)
    assert len(list(tmp_path.glob("seen-*"))) == seen < 400
    assert tree_hash(tmp_path / "crew") == before
    with Stage(tmp_path / "crew", tmp_path / "content") as stage:
        stage.write("index.html", b"new")
        stage.finish()
    assert not list(tmp_path.glob(".*"))
