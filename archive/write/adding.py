"""Takes proposed records and their pictures into a content folder: all of one run, or none."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

from archive.core.arrivals import AddedFile, Copy, NewNote, Run
from archive.core.atomic import CannotWrite, flush, write_bytes, write_file
from archive.read.added import FOLDER, next_name, text_of_run
from archive.write.moves import IN, KINDS, into, list_of, no_links, open_stage, sum_of, tidy
from archive.write.note import text_of
from archive.write.turn import my_turn

PIECE = 1 << 20


def add(
    folder: Path,
    copies: Sequence[Copy],
    notes: Sequence[NewNote],
    day: str,
    progress: Callable[[str, int, int], None] = lambda what, done, total: None,
) -> Run:
    """Copy the pictures and write the notes, and give the run, which `take_back` can undo.

    Each copy is read back from the disk and its sum compared with the one that the picture had
    when it was looked at. Nothing is ever written over. Raises `CannotWrite` with the folder as
    it was: where the disk refuses or is too full, a name is taken, or an original has changed.
    """
    no_links(folder)
    with my_turn(folder):
        tidy(folder)
        run = next_name(folder, day)
        _room_for(folder, copies)
        stage = open_stage(folder, IN, run)
        try:
            files = []
            for number, copy in enumerate(copies, 1):
                _copy(copy, stage / copy.path)
                files.append(AddedFile(copy.path, copy.sha256, copy.origin.name))
                progress("copying", number, len(copies))
            for note in notes:
                data = text_of(note).encode()
                write_file(stage / note.path, data)
                files.append(AddedFile(note.path, hashlib.sha256(data).hexdigest()))
            done = Run(run, day, tuple(files))
            list_of(stage, files)
            _folders(folder)
            into(folder, stage, [one.path for one in files])
            try:
                write_file(folder / FOLDER / f"{run}.yaml", text_of_run(done))
            except BaseException:
                _back(folder, stage, files)
                raise
        finally:
            shutil.rmtree(stage, ignore_errors=True)
    return done


def _back(folder: Path, stage: Path, files: Sequence[AddedFile]) -> None:
    for one in files:
        os.replace(folder / one.path, stage / one.path)


def _folders(folder: Path) -> None:
    for name in (*KINDS, FOLDER):
        try:
            (folder / name).mkdir(exist_ok=True)
        except OSError as error:
            raise CannotWrite.because(folder / name, error) from error


def _room_for(folder: Path, copies: Sequence[Copy]) -> None:
    """Refuses before anything is copied where the disk can't hold it all."""
    needed = sum(copy.bytes for copy in copies)
    try:
        free = shutil.disk_usage(folder).free
    except OSError:
        return
    if needed > free:
        full = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        raise CannotWrite.because(folder, full, needed)


def _copy(copy: Copy, target: Path) -> None:
    """One original, byte for byte, with its time of change; on the disk when this returns."""
    digest = hashlib.sha256()
    try:
        with open(copy.origin, "rb") as original:
            times = os.fstat(original.fileno())
            flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
            handle = os.open(target, flags, 0o666)
            try:
                while piece := original.read(PIECE):
                    digest.update(piece)
                    write_bytes(handle, piece)
                flush(handle)
            finally:
                os.close(handle)
        os.utime(target, ns=(times.st_atime_ns, times.st_mtime_ns))
        same = digest.hexdigest() == copy.sha256
        kept = sum_of(target) == copy.sha256
    except OSError as error:
        raise CannotWrite.because(target, error, copy.bytes) from error
    if not same:
        says = f"{copy.origin} changed while it was being taken in; nothing was added."
        raise CannotWrite(copy.origin, says, "Run the command again once the file is at rest.")
    if not kept:
        says = f"The copy of {copy.origin} on the disk isn't what was written; nothing was added."
        raise CannotWrite(target, says, "Look to the disk before anything else.")
