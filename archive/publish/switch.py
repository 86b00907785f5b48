"""Putting a finished site in the place of the old one in one step, or healing a step half made.

Beside the output folder lies, while a build runs, one hidden folder with the new site in it:

    build/.crew.stage/stage.json   what this folder is; written first, removed last
    build/.crew.stage/site/        the new site; after the switch, the old one, to be removed
    build/.crew.stage/old/         only between two renames, where the system has no exchange

On Linux the two folders change places in one step of the kernel (renameat2 with RENAME_EXCHANGE):
whoever looks, and whenever a process is killed, finds the old site or the new. Where there is
no such step (macOS, Windows, some network disks) the old site is moved aside and the new one in:
**for an instant there is no site**, and a kill in that instant leaves none until the next build,
whose first act is to move the old one back. A first build is one plain rename everywhere.

A site is on the disk before it is switched in, and the switch is on the disk before the old one is
removed, so that a power cut finds one of the two as well.
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from archive.core.atomic import CannotWrite, flush, flush_folder, write_file
from archive.publish.refusal import Refused

_MARKER = "stage.json"
_MARK = (
    '{"note": "A site that witnessmark is making, or has just replaced.'
    ' The next build removes this folder; so may you.", "format": 1}\n'
)
_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
_NO_EXCHANGE = (errno.ENOSYS, errno.EINVAL, errno.EPERM, errno.ENOTSUP)
#: Above this many files and folders, one flush of the whole file system is quicker than theirs.
_FEW = 64


def stage_path(out: Path) -> Path:
    """The hidden folder beside the output folder `out` in which a build makes its site."""
    return out.with_name(f".{out.name}.stage")


def open_stage(out: Path) -> Path:
    """A new empty folder for the site; the caller holds the lock, and has called `clear`."""
    stage = stage_path(out)
    stage.mkdir()
    write_file(stage / _MARKER, _MARK)
    site = stage / "site"
    site.mkdir()
    return site


def clear(out: Path) -> None:
    """Heal and remove the stage beside `out`, in whatever state a build left it; its marker last.

    Does nothing if there is none. Raises `Refused` if what stands there is not ours.
    """
    stage = stage_path(out)
    if not os.path.lexists(stage):
        return
    ours = stage.is_dir() and not stage.is_symlink()
    inside = set(os.listdir(stage)) if ours else set()
    torn = {name for name in inside if name.startswith(f".{_MARKER}.")}
    if not ours or (inside - torn and _MARKER not in inside):
        raise Refused(
            "stage-not-ours",
            f"{stage} is in the way, and nothing shows that a build left it there.",
            "Move it, or name another output folder with --out.",
        )
    if "old" in inside and not os.path.lexists(out):
        _heal(stage / "old", out)
    for name in inside - {_MARKER}:
        place = stage / name
        if place.is_dir() and not place.is_symlink():
            shutil.rmtree(place)
        else:
            place.unlink(missing_ok=True)
    (stage / _MARKER).unlink(missing_ok=True)
    stage.rmdir()


def _heal(aside: Path, out: Path) -> None:
    """Move the old site back where a build was killed between two renames."""
    os.rename(aside, out)
    flush_folder(out.parent)


def switch(out: Path, new: Sequence[str]) -> None:
    """Put the staged site in the place of `out`, durable on return; the old one waits in the stage.

    `new` lists the paths in the site whose bytes may not be on the disk yet. Raises `CannotWrite`,
    with `out` as it was, if the disk refuses.
    """
    stage = stage_path(out)
    site = stage / "site"
    try:
        flush_site(site, new)
        undo = _swap(site, out, stage / "old")
        try:
            flush_folder(out.parent)
            flush_folder(stage)
        except OSError:
            undo()
            raise
    except OSError as error:
        raise CannotWrite.because(out, error) from error


def _swap(site: Path, out: Path, aside: Path) -> Callable[[], object]:
    """Let the two folders change places, one step where there is such; returns the way back."""
    if not os.path.lexists(out):
        os.rename(site, out)
        return lambda: os.rename(out, site)
    if exchange(site, out):
        return lambda: exchange(site, out)
    os.rename(out, aside)
    try:
        os.rename(site, out)
    except BaseException:
        os.rename(aside, out)
        raise

    def back() -> None:
        os.rename(out, site)
        os.rename(aside, out)

    return back


def exchange(one: Path, other: Path) -> bool:
    """Let two folders of one disk change places in one step; False where the system has no such.

    Raises OSError if the system has it and refuses.
    """
    if not sys.platform.startswith("linux"):
        return False
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    paths = (os.fsencode(one), os.fsencode(other))
    if call(_AT_FDCWD, paths[0], _AT_FDCWD, paths[1], ctypes.c_uint(_RENAME_EXCHANGE)) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NO_EXCHANGE:
        return False
    raise OSError(number, os.strerror(number), str(other))


def flush_site(site: Path, new: Sequence[str]) -> None:
    """Force the files `new` and every folder of the site onto the disk."""
    folders = [place for place, _, _ in os.walk(site)]
    if len(new) + len(folders) > _FEW and _flush_file_system(site):
        return
    for path in new:
        handle = os.open(site / path, os.O_RDONLY if os.name != "nt" else os.O_RDWR)
        try:
            flush(handle)
        finally:
            os.close(handle)
    for place in folders:
        flush_folder(Path(place))


def _flush_file_system(site: Path) -> bool:
    """One flush for thousands of files (Linux's syncfs); False where the system has no such."""
    if not sys.platform.startswith("linux"):
        return False
    call = getattr(ctypes.CDLL(None, use_errno=True), "syncfs", None)
    if call is None:
        return False
    handle = os.open(site, os.O_RDONLY | os.O_DIRECTORY)
    try:
        if call(handle) == 0:
            return True
        number = ctypes.get_errno()
    finally:
        os.close(handle)
    if number == errno.ENOSYS:
        return False
    raise OSError(number, os.strerror(number), str(site))
