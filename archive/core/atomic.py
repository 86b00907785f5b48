"""Writing one file so that a reader finds the old text or the new one, and never a piece of either.

The order is the whole point: the new bytes go to a temporary file in the same folder and are
flushed to the disk, the temporary file takes the place of the old one in a single step, and the
folder is flushed, so that the step itself outlives a power cut.
"""

from __future__ import annotations

import errno
import os
import secrets
import shutil
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows: flushing a file needs no more than os.fsync there
    _FULL_SYNC: int | None = None
else:
    # On macOS a plain fsync leaves the bytes in the drive's own memory.
    _FULL_SYNC = getattr(fcntl, "F_FULLFSYNC", None)

#: Temporary files older than this, by the disk's own clock, belong to a writer that was killed.
STALE_S = 60.0

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is used up",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "you have no permission to write there",
    errno.EPERM: "the system does not permit it",
    errno.EIO: "the disk reports a fault",
    errno.EMFILE: "too many files are open",
    errno.ENFILE: "too many files are open on this machine",
    errno.ENOENT: "a folder on the way to it is missing",
    errno.ENOTDIR: "a file stands where a folder should be",
    errno.EISDIR: "a folder stands where the file should be",
    errno.ENAMETOOLONG: "its name is too long for this disk",
    errno.EBUSY: "the system holds it in use",
    errno.ENOTEMPTY: "something else has been put there meanwhile",
}
_NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EMLINK, errno.ENOSYS)
_HINTS = {
    errno.ENOSPC: "Make room on that disk, or name another with --out, and run the command again.",
    errno.EDQUOT: "Make room in your share, or name another disk, and run the command again.",
    errno.EROFS: "Choose a folder on a disk that can be written to.",
    errno.EACCES: "Ask the folder's owner for permission to write, or choose another folder.",
    errno.EIO: "Copy what matters off that disk before anything else.",
    errno.EBUSY: "Close the programs that have it open, and run the command again.",
}


class CannotWrite(Exception):
    """The disk would not take a file.

    `path` is the file or folder; `says` is one sentence that names it, the reason and, on a full
    disk, the bytes wanted and the bytes free; `hint` says what to do; `code` is a word of
    `core.messages.MESSAGES`. Nothing that was there before has been changed.
    """

    code = "cannot-write"

    def __init__(self, path: Path, says: str, hint: str = "") -> None:
        super().__init__(path, says, hint)
        self.path = path
        self.says = says
        self.hint = hint

    def __str__(self) -> str:
        return self.says

    @classmethod
    def because(cls, path: Path, error: OSError, needs_bytes: int = 0) -> CannotWrite:
        """The refusal for `error` at `path`; `needs_bytes` is what the job wants, if known."""
        number = error.errno or 0
        reason = _REASONS.get(number) or (error.strerror or str(error)).rstrip(".")
        if number in (errno.ENOSPC, errno.EDQUOT):
            reason += _room(path, needs_bytes)
        return cls(path, f"{path} can't be written: {reason}.", _HINTS.get(number, ""))


def _room(path: Path, needs_bytes: int) -> str:
    """What a full disk has left, beside what is wanted."""
    wanted = f"; at least {needs_bytes:,} bytes are needed" if needs_bytes else ""
    folder = next((place for place in (path, *path.parents) if place.is_dir()), None)
    if folder is None:
        return wanted
    try:
        free = shutil.disk_usage(folder).free
        files = os.statvfs(folder) if hasattr(os, "statvfs") else None
    except OSError:
        return wanted
    left = f"{free:,} bytes are free"
    if files is not None and files.f_files and not files.f_favail:
        left += ", but it has room for no more files"
    return f"{wanted}, and {left}" if wanted else f"; {left}"


def flush(handle: int) -> None:
    """Force an open file or folder onto the disk; raises OSError if the disk refuses."""
    if _FULL_SYNC is not None:
        try:
            fcntl.fcntl(handle, _FULL_SYNC)
        except OSError:
            pass  # the file system has no such call: fsync is the best there is
        else:
            return
    os.fsync(handle)


def flush_folder(folder: Path) -> None:
    """Force a folder's list of names onto the disk. Windows has no such step, and needs none."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        flush(handle)
    except OSError as error:
        # Some network disks do not flush folders; they do so on their own side.
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(handle)


def write_bytes(handle: int, data: bytes) -> None:
    """Write all of `data` to an open file, however many steps the system makes of it."""
    view = memoryview(data)
    while view:
        view = view[os.write(handle, view) :]


def write_file(path: Path, data: bytes | str, *, private: bool = False) -> None:
    """Put `data` (text as UTF-8) at `path` in one step, durable when the call returns.

    A file that is replaced keeps its permissions; `private` makes a new one readable by its owner
    only. A symlink is followed, so that what it points to is replaced and the link stays. Raises
    `CannotWrite`, with `path` unchanged and no temporary file left, if the disk refuses. A writer
    that is killed can leave one `.NAME.….part`; a later write of the same file removes it.
    """
    content = data.encode("utf-8") if isinstance(data, str) else data
    target = Path(os.path.realpath(path))
    part = target.with_name(f".{target.name}.{secrets.token_hex(6)}.part")
    try:
        _write_part(part, target, content, 0o600 if private else 0o666)
        try:
            os.replace(part, target)
        except BaseException:
            part.unlink(missing_ok=True)
            raise
        flush_folder(target.parent)
    except OSError as error:
        raise CannotWrite.because(path, error, len(content)) from error


def write_new(path: Path, data: bytes | str) -> None:
    """Put `data` at `path` in one step where nothing is there yet, durable when the call returns.

    Of two writers at once just one succeeds: the other gets FileExistsError, and the file that is
    there is whole. Raises `CannotWrite` if the disk refuses.
    """
    content = data.encode("utf-8") if isinstance(data, str) else data
    part = path.with_name(f".{path.name}.{secrets.token_hex(6)}.part")
    try:
        _write_part(part, path, content, 0o666)
        try:
            _place_new(part, path)
        finally:
            part.unlink(missing_ok=True)
        flush_folder(path.parent)
    except FileExistsError:
        raise
    except OSError as error:
        raise CannotWrite.because(path, error, len(content)) from error


def _place_new(part: Path, path: Path) -> None:
    """Give a finished file its name, unless that is taken; a second name for it does so at once."""
    try:
        os.link(part, path)
    except OSError as error:
        if isinstance(error, FileExistsError) or error.errno not in _NO_LINKS:
            raise
        # A disk without second names (FAT): the lock of the caller is all that holds others off.
        if path.exists():
            raise FileExistsError(errno.EEXIST, "is there already", str(path)) from None
        os.rename(part, path)


def _write_part(part: Path, target: Path, content: bytes, mode: int) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(part, flags, mode)
    try:
        try:
            if target.exists() and os.name != "nt":
                os.fchmod(handle, target.stat().st_mode & 0o7777)
            write_bytes(handle, content)
            flush(handle)
            _sweep(part, target, os.fstat(handle).st_mtime)
        finally:
            os.close(handle)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _sweep(part: Path, target: Path, now: float) -> None:
    """Remove what writers of `target` that were killed left behind; `now` is the disk's clock."""
    for entry in os.scandir(target.parent):
        if not (entry.name.startswith(f".{target.name}.") and entry.name.endswith(".part")):
            continue
        if entry.name == part.name or not entry.is_file(follow_symlinks=False):
            continue
        if now - entry.stat(follow_symlinks=False).st_mtime > STALE_S:
            Path(entry.path).unlink(missing_ok=True)
