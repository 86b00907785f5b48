"""Many files into a content folder or out of it: all of them, or none, whatever happens on the way.

The files wait in a hidden folder inside the content folder, so that putting them in their places
takes no room and no copying. What counts is the register of the run, `added/RUN.yaml`: it is
written last, in one step. Where a hidden folder is found with no register to bear it out, its run
was killed, and `tidy` puts everything back as it was.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import shutil
from collections.abc import Iterable
from pathlib import Path

from archive.core.arrivals import AddedFile, Run
from archive.core.atomic import CannotWrite, flush_folder, write_file
from archive.read.added import FOLDER, is_path, read_run

IN, OUT = ".adding-", ".taking-back-"
"""How the hidden folders of the two directions begin; the run's name follows."""

ASIDE = ".taken-back"
"""Where the files of runs that were taken back are kept: nothing that came in is ever destroyed."""

LIST = "files.json"
KINDS = ("photos", "sources")
_NO_LINKS = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK})


def open_stage(folder: Path, prefix: str, run: str) -> Path:
    """A hidden folder for the files of a run, empty, with a place for each kind of record."""
    stage = folder / f"{prefix}{run}"
    try:
        for kind in KINDS:
            (stage / kind).mkdir(parents=True)
    except OSError as error:
        shutil.rmtree(stage, ignore_errors=True)
        raise CannotWrite.because(stage, error) from error
    return stage


def no_links(folder: Path) -> None:
    """Refuses a folder whose own folders lead elsewhere: nothing is moved through a link."""
    for name in (*KINDS, FOLDER, ASIDE):
        if (folder / name).is_symlink():
            says = f"{folder / name} is a link, and nothing is written through it."
            raise CannotWrite(folder / name, says, "Put the folder itself in its place.")


def list_of(stage: Path, files: Iterable[AddedFile]) -> None:
    """Write down what is to be moved, before anything is."""
    write_file(stage / LIST, json.dumps({one.path: one.sha256 for one in files}))


def put(source: Path, target: Path) -> None:
    """Move a file to a place where nothing may be; raises FileExistsError where something is."""
    try:
        os.link(source, target, follow_symlinks=False)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError) as error:
        if isinstance(error, OSError) and error.errno not in _NO_LINKS:
            raise
        if os.path.lexists(target):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), target) from error
        os.rename(source, target)  # a disk without links, such as FAT
    else:
        try:
            os.unlink(source)
        except BaseException:
            os.unlink(target)  # it stays where it was, under one name
            raise


def into(folder: Path, stage: Path, paths: list[str]) -> None:
    """Put what waits in `stage` into its places; if one can't be, all are taken back.

    Raises `CannotWrite` with the content folder as it was.
    """
    moved: list[str] = []
    try:
        for path in paths:
            target = folder / path
            try:
                put(stage / path, target)
            except FileExistsError as error:
                says = f"{target} is there already, and nothing is written over."
                raise CannotWrite(target, says, "Run the command again.") from error
            except OSError as error:
                raise CannotWrite.because(target, error) from error
            moved.append(path)
        for kind in sorted({path.partition("/")[0] for path in paths}):
            flush_folder(folder / kind)
    except BaseException:
        for path in reversed(moved):
            os.replace(folder / path, stage / path)
        raise


def out_of(folder: Path, stage: Path, paths: list[str]) -> None:
    """Move files out of the content folder into `stage`; if one can't be, all are put back."""
    moved: list[str] = []
    try:
        for path in paths:
            try:
                put(folder / path, stage / path)
            except OSError as error:
                raise CannotWrite.because(folder / path, error) from error
            moved.append(path)
    except BaseException:
        for path in reversed(moved):
            put(stage / path, folder / path)
        raise


def tidy(folder: Path) -> list[str]:
    """Put right what killed runs left, and give their names.

    Only call it while no other run is at work.
    """
    found = []
    for entry in sorted(os.scandir(folder), key=lambda e: e.name):
        prefix = next((p for p in (IN, OUT) if entry.name.startswith(p)), None)
        if prefix is None or not entry.is_dir(follow_symlinks=False):
            continue
        stage, run = Path(entry.path), entry.name.removeprefix(prefix)
        sums = _listed(stage)
        standing = read_run(folder, run)
        registered = isinstance(standing, Run) and any(f.path in sums for f in standing.files)
        if prefix == IN:
            if not registered:
                for path, sha256 in sums.items():
                    _take_back(folder, stage, path, sha256)
                found.append(run)
            shutil.rmtree(stage, ignore_errors=True)
        elif registered:
            for path in sums:
                if (stage / path).exists() and not os.path.lexists(folder / path):
                    put(stage / path, folder / path)
            drop(stage)
            found.append(run)
        else:
            put_aside(folder, stage, run)
    return found


def _listed(stage: Path) -> dict[str, str]:
    """Path → checksum of what a killed run was to move; nothing where it came to move nothing."""
    try:
        found = json.loads((stage / LIST).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    sums = found if isinstance(found, dict) else {}
    return {path: str(sha256) for path, sha256 in sums.items() if is_path(path)}


def _take_back(folder: Path, stage: Path, path: str, sha256: str) -> None:
    """Remove a file that a killed run had put in its place, if it is still what was put there."""
    with contextlib.suppress(FileNotFoundError):
        if sum_of(folder / path) == sha256 and not (folder / path).is_symlink():
            (folder / path).unlink()


def put_aside(folder: Path, stage: Path, run: str) -> Path:
    """Keep what was taken back under `.taken-back/RUN`, and give that folder."""
    place = folder / ASIDE / run
    number = 1
    while os.path.lexists(place):
        number += 1
        place = folder / ASIDE / f"{run}-again-{number}"
    try:
        place.parent.mkdir(exist_ok=True)
        os.rename(stage, place)
    except OSError:
        return stage  # it is as safe there, and the next run tries again
    with contextlib.suppress(OSError):
        os.unlink(place / LIST)
    return place


def drop(stage: Path) -> None:
    """Remove a hidden folder that nothing lies in any more; one with a file in it stays."""
    with contextlib.suppress(OSError):
        os.unlink(stage / LIST)
    with contextlib.suppress(OSError):
        for kind in KINDS:
            (stage / kind).rmdir()
        stage.rmdir()


def sum_of(path: Path) -> str:
    """The SHA-256 sum of a file, in lower-case hex."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
