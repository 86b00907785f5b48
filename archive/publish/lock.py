"""One build at a time for one output folder: the second ends at once, and says who holds it.

The lock is a hidden file beside the output folder. Two things guard it. The system's own lock on
the open file goes when its process ends, however it ended, so a killed build leaves nothing to
clear by hand. The text in the file names host, process and start, for the sentence the loser
prints, and for shared disks that do not carry the system's lock from one machine to another:
there the name of another host alone keeps us out.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import socket
import sys
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from archive.core.atomic import CannotWrite, write_bytes
from archive.publish.refusal import Refused

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

#: How long a loser waits for the winner to write its name into the file.
PATIENCE_S = 0.4
_NOTE = "A build is writing the site beside this file. It is removed when the build ends."
#: The byte that Windows locks lies past the text, which others must still be able to read.
_LOCKED_BYTE = 1 << 20


@dataclass(frozen=True, slots=True)
class Holder:
    """Who holds a lock: the host's name, the process number, and when it started (local time)."""

    host: str
    pid: int
    started: str

    def __str__(self) -> str:
        return f"process {self.pid} on {self.host}, started {self.started}"


def lock_path(out: Path) -> Path:
    """The lock file of the output folder `out`: hidden, beside it."""
    return out.with_name(f".{out.name}.lock")


@contextlib.contextmanager
def locked(out: Path) -> Iterator[None]:
    """Hold the lock of `out`, whose parent folder exists, while the block runs.

    Raises `Refused` within a second, naming the holder, if another build has it; `CannotWrite` if
    the disk takes no lock file. Text left by a dead process of this host is overwritten; text
    left by another host is not.
    """
    path = lock_path(out)
    try:
        handle = _take(path, out)
    except OSError as error:
        raise CannotWrite.because(path, error) from error
    try:
        yield
    finally:
        _release(path, handle)


def _take(path: Path, out: Path) -> int:
    give_up = time.monotonic() + PATIENCE_S
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
        try:
            won = _lock(handle)
            holder = _read(handle)
            foreign = holder is not None and holder.host != socket.gethostname()
            # The file may have been removed between opening and locking: then it guards nothing.
            if won and _is_at(path, handle) and not foreign:
                _sign(handle)
                return handle
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)
        if foreign or (not won and (holder or time.monotonic() > give_up)):
            raise _busy(holder, path, out)
        time.sleep(0.01)


def _busy(holder: Holder | None, path: Path, out: Path) -> Refused:
    who = str(holder) if holder else "a process that has not given its name yet"
    hint = "Wait for it to end, and run the command again."
    if holder and holder.host != socket.gethostname():
        hint = f"If nothing runs on {holder.host} any more, delete {path} and run it again."
    return Refused("build-running", f"Another build is writing {out}: {who}.", hint)


def _lock(handle: int) -> bool:
    """Try for the system's lock; it ends with the process that has it."""
    try:
        if sys.platform == "win32":
            os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK):
            return False
        raise
    return True


def _is_at(path: Path, handle: int) -> bool:
    try:
        return os.path.samestat(os.stat(path), os.fstat(handle))
    except FileNotFoundError:
        return False


def _read(handle: int) -> Holder | None:
    os.lseek(handle, 0, os.SEEK_SET)
    try:
        data = json.loads(os.read(handle, 4096))
        return Holder(str(data["host"]), int(data["pid"]), str(data["started"]))
    except (ValueError, KeyError, TypeError):
        return None  # empty, or torn by a kill between two steps: nobody's name


def _sign(handle: int) -> None:
    started = time.strftime("%Y-%m-%d %H:%M:%S")
    holder = Holder(socket.gethostname(), os.getpid(), started)
    os.ftruncate(handle, 0)
    os.lseek(handle, 0, os.SEEK_SET)
    write_bytes(handle, json.dumps({"note": _NOTE, **asdict(holder)}).encode())


def _release(path: Path, handle: int) -> None:
    if os.name != "nt":
        with contextlib.suppress(OSError):
            path.unlink()
        os.close(handle)
        return
    with contextlib.suppress(OSError):
        os.ftruncate(handle, 0)
    os.close(handle)
    # Windows removes no open file, and another build may have opened it by now.
    with contextlib.suppress(OSError):
        path.unlink()
