"""The parent's side of the child processes: hands out jobs, ends what hangs, replaces what dies."""

from __future__ import annotations

import json
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import asdict, dataclass, field
from pathlib import Path
from types import TracebackType
from typing import Any

from archive.imaging.limits import Limits
from archive.imaging.refusals import ImageRefused, refusal

_ROOT = str(Path(__file__).resolve().parents[2])
_LATE_WITHOUT_WALL = -getattr(signal, "SIGXCPU", 0)


@dataclass(frozen=True, slots=True)
class Job:
    """One thing to do with one image: `kind` is a key of the child's `JOBS`."""

    kind: str
    path: Path
    limits: Limits
    arguments: Mapping[str, object] = field(default_factory=dict)


class Reader:
    """One child process, started when first needed and kept for the jobs that follow."""

    def __init__(self) -> None:
        self._child: subprocess.Popen[bytes] | None = None
        self._closed = False
        self._lock = threading.Lock()

    def ask(self, job: Job) -> dict[str, Any] | ImageRefused:
        """The child's answer to `job`.

        What fails in a child that had done other jobs is tried once more in a fresh one, so that
        an image's answer never depends on its neighbours.
        """
        fresh = self._child is None
        reply = self._ask(job)
        if isinstance(reply, ImageRefused) and reply.code in _RETIRING:
            self.end()
            if not fresh and reply.code != "image-too-slow":
                reply = self._ask(job)
                if isinstance(reply, ImageRefused) and reply.code in _RETIRING:
                    self.end()
        return reply

    def end(self) -> None:
        """Ends the child, if there is one; the next job starts another."""
        child, self._child = self._child, None
        if child is not None:
            child.kill()
            child.communicate()

    def close(self) -> None:
        """Ends the child for good, from whichever thread: a job under way is refused."""
        with self._lock:
            self._closed = True
            if self._child is not None:
                self._child.kill()

    @property
    def pid(self) -> int | None:
        """The process number of the child that is running, if one is."""
        return None if self._child is None else self._child.pid

    def _start(self) -> subprocess.Popen[bytes]:
        with self._lock:
            if self._closed:
                raise RuntimeError("the readers of images are closed")
            if self._child is None:
                paths = [_ROOT, os.environ.get("PYTHONPATH", "")]
                self._child = subprocess.Popen(
                    [sys.executable, "-s", "-P", "-m", "archive.imaging.child"],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                    env=os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, paths))},
                )
            return self._child

    def _ask(self, job: Job) -> dict[str, Any] | ImageRefused:
        child = self._start()
        assert child.stdin and child.stdout
        late = threading.Event()

        def stop() -> None:
            late.set()
            child.kill()

        watch = threading.Timer(job.limits.wall_s, stop)
        watch.daemon = True
        watch.start()
        try:
            child.stdin.write(_line(job))
            child.stdin.flush()
            line = child.stdout.readline()
        except OSError:
            line = b""
        finally:
            watch.cancel()
            watch.join()  # after this the alarm can't hit the next job
        if line.endswith(b"\n") and not late.is_set():
            reply: dict[str, Any] = json.loads(line)
            return ImageRefused(*reply["refused"]) if "refused" in reply else reply
        code = child.wait()
        if late.is_set() or code == _LATE_WITHOUT_WALL:
            seconds = job.limits.wall_s if late.is_set() else job.limits.cpu_s
            return refusal("image-too-slow", f"The picture took longer than {seconds:.0f} s.")
        return refusal("image-reader-stopped", f"The picture stopped its reader ({code}).")


_RETIRING = ("image-too-slow", "image-reader-stopped", "image-out-of-memory")


def _line(job: Job) -> bytes:
    fields = {
        "kind": job.kind,
        "path": os.path.abspath(job.path),
        "limits": asdict(job.limits),
        "arguments": dict(job.arguments),
    }
    return json.dumps(fields).encode("ascii") + b"\n"


class ImageReaders:
    """So many children at most, working on lists of jobs; a context that ends them all."""

    def __init__(self, count: int = 2) -> None:
        self.readers = [Reader() for _ in range(max(1, count))]
        self._threads = ThreadPoolExecutor(len(self.readers))
        self._idle: queue.SimpleQueue[Reader] = queue.SimpleQueue()
        for reader in self.readers:
            self._idle.put(reader)

    def __enter__(self) -> ImageReaders:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Ends the children at once, also one in the middle of a job after an interrupt."""
        for reader in self.readers:
            reader.close()
        self._threads.shutdown(wait=True, cancel_futures=True)
        for reader in self.readers:
            reader.end()

    def answers(self, jobs: Sequence[Job]) -> Iterator[tuple[int, dict[str, Any] | ImageRefused]]:
        """Each job's place in `jobs` with its answer, in the order in which they are done."""
        places = {self._threads.submit(self._ask, job): place for place, job in enumerate(jobs)}
        for done in as_completed(places):
            yield places[done], done.result()

    def _ask(self, job: Job) -> dict[str, Any] | ImageRefused:
        reader = self._idle.get()
        try:
            return reader.ask(job)
        finally:
            self._idle.put(reader)
