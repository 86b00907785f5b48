"""One run of `add` at a time in a content folder, by the system's own lock on a hidden file."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from collections.abc import Iterator
from pathlib import Path

from archive.core.atomic import CannotWrite

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

NAME = ".adding.lock"


@contextlib.contextmanager
def my_turn(folder: Path) -> Iterator[None]:
    """Hold the content folder's lock while the block runs; a process that dies lets it go.

    Raises `CannotWrite` at once where another run has it, or where the disk takes no lock file.
    """
    path = folder / NAME
    try:
        handle = _take(path)
    except OSError as error:
        raise CannotWrite.because(path, error) from error
    if handle is None:
        says = f"Another run of add is at work in {folder}."
        raise CannotWrite(path, says, "Wait until it ends, and run this again.")
    try:
        yield
    finally:
        # Removed while it is held: whoever comes next makes and locks a file of its own.
        with contextlib.suppress(OSError):
            os.unlink(path)
        os.close(handle)


def _take(path: Path) -> int | None:
    """The open and locked file, or None where somebody else has it."""
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
        if not _lock(handle):
            os.close(handle)
            return None
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(handle), os.stat(path)):
                return handle
        os.close(handle)  # it was removed between opening and locking, and guards nothing


def _lock(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK):
            return False
        raise
    return True
