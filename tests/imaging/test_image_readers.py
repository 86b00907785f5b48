"""Children that run out of memory, hang or are killed cost one image each, and no more."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

import pytest
from PIL import Image

from archive.imaging.limits import Limits
from archive.imaging.refusals import ImageRefused
from archive.imaging.worker import ImageReaders, Job, Reader

MEBI = 1024 * 1024
posix = pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """36 megapixels, slow to pack out and 144 MB once there."""
    path = tmp_path_factory.mktemp("large") / "large.png"
    Image.effect_noise((6000, 6000), 60).convert("RGB").save(path, compress_level=1)
    return path


def small(folder: Path) -> Path:
    path = folder / "small.jpg"
    Image.new("RGB", (64, 48), "teal").save(path)
    return path


def facts(path: Path, limits: Limits | None = None) -> Job:
    return Job("facts", path, limits or Limits())


def reduce(path: Path, out: Path, limits: Limits, widths: Sequence[int] = (320,)) -> Job:
    out.mkdir(exist_ok=True)
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    recipe = {
        "sha256": digest,
        "widths": list(widths),
        "tiles": True,
        "flat": [],
        "xmp": "",
        "exif": "",
        "tile_px": 510,
        "overlap_px": 1,
    }
    return Job("derive", path, limits, {"out": str(out), "recipe": recipe})


def ask(jobs: list[Job], count: int = 1) -> list[object]:
    with ImageReaders(count) as readers:
        return [reply for _, reply in sorted(readers.answers(jobs), key=lambda pair: pair[0])]


def code(reply: object) -> str:
    return reply.code if isinstance(reply, ImageRefused) else ""


@posix
def test_too_little_memory_is_one_refusal(large: Path, tmp_path: Path) -> None:
    tight = Limits(memory_bytes=220 * MEBI)
    other = facts(small(tmp_path))
    replies = ask([other, reduce(large, tmp_path / "out", tight), other])
    assert [code(reply) for reply in replies] == ["", "image-out-of-memory", ""]


@posix
def test_too_little_processor_time_is_one_refusal(large: Path, tmp_path: Path) -> None:
    long = reduce(large, tmp_path / "out", Limits(cpu_s=0.5), range(2000, 6000, 50))
    other = facts(small(tmp_path))
    replies = ask([other, long, other])
    assert [code(reply) for reply in replies] == ["", "image-too-slow", ""]


def test_a_child_that_takes_too_long_is_ended(large: Path, tmp_path: Path) -> None:
    started = time.monotonic()
    other = facts(small(tmp_path))
    replies = ask([other, reduce(large, tmp_path / "out", Limits(wall_s=0.3)), other])
    assert [code(reply) for reply in replies] == ["", "image-too-slow", ""]
    assert time.monotonic() - started < 20


def test_a_child_killed_at_its_work_is_replaced(large: Path, tmp_path: Path) -> None:
    """Killed in the first try and in the second: the image is refused; the next one is read."""
    with ImageReaders(1) as readers:
        reader = readers.readers[0]
        assert code(reader.ask(facts(small(tmp_path)))) == ""
        first = reader.pid
        killed: list[int] = []
        watch = threading.Thread(target=_kill_twice, args=(reader, killed))
        watch.start()
        reply = reader.ask(reduce(large, tmp_path / "out", Limits()))
        watch.join()
        assert code(reply) == "image-reader-stopped"
        assert killed[0] == first and len(set(killed)) == 2
        assert code(reader.ask(facts(small(tmp_path)))) == ""


def test_a_child_killed_once_costs_nothing(large: Path, tmp_path: Path) -> None:
    """An image must not be refused for what happened to the child before it."""
    with ImageReaders(1) as readers:
        reader = readers.readers[0]
        reader.ask(facts(small(tmp_path)))
        assert reader.pid is not None
        os.kill(reader.pid, signal.SIGTERM)
        assert code(reader.ask(reduce(large, tmp_path / "out", Limits()))) == ""


def _kill_twice(reader: Reader, killed: list[int]) -> None:
    deadline = time.monotonic() + 30
    while len(killed) < 2 and time.monotonic() < deadline:
        time.sleep(0.15)
        pid = reader.pid
        if pid is not None and pid not in killed:
            os.kill(pid, signal.SIGTERM)
            killed.append(pid)


def test_two_children_share_the_work_and_end_with_it(tmp_path: Path) -> None:
    paths = []
    for number in range(12):
        path = tmp_path / f"{number}.png"
        Image.new("L", (10 + number, 10)).save(path)
        paths.append(path)
    with ImageReaders(2) as readers:
        replies = sorted(readers.answers([facts(path) for path in paths]), key=lambda pair: pair[0])
        pids = [reader.pid for reader in readers.readers if reader.pid]
    widths = [reply["facts"]["width_px"] for _, reply in replies if isinstance(reply, dict)]
    assert widths == list(range(10, 22))
    assert 1 <= len(pids) <= 2
    assert all(reader.pid is None for reader in readers.readers)


def test_stopping_early_ends_the_job_under_way(large: Path, tmp_path: Path) -> None:
    started = time.monotonic()
    jobs = [facts(small(tmp_path))]
    jobs += [reduce(large, tmp_path / f"out{number}", Limits()) for number in range(6)]
    with pytest.raises(KeyboardInterrupt), ImageReaders(2) as readers:
        for _ in readers.answers(jobs):
            raise KeyboardInterrupt
    assert time.monotonic() - started < 5


def test_a_decoder_that_prints_does_not_break_the_answers() -> None:
    """C libraries write their complaints to the standard streams as they please."""
    script = (
        "import os; from archive.imaging import child\n"
        "child.JOBS['facts'] = lambda path, limits: {'wrote': os.write(1, b'Warning!\\n')}\n"
        "child.main()"
    )
    job = {"kind": "facts", "path": "x", "limits": asdict(Limits()), "arguments": {}}
    told = subprocess.run(
        [sys.executable, "-c", script],
        input=json.dumps(job).encode() + b"\n",
        capture_output=True,
        check=True,
    )
    assert json.loads(told.stdout) == {"wrote": 9}
    assert told.stderr == b"Warning!\n"
