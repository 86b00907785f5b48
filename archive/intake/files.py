"""Which files were named: each by itself, and those that lie in the folders that were named."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from archive.core.problems import Problem, Where
from archive.read.walk import MAX_DEPTH, printable
from archive.records.schema import OTHER_PICTURES, PICTURE_ENDINGS


@dataclass(frozen=True, slots=True)
class Incoming:
    """A file that may come in. `told` is its path as it is printed; `name` is what a sheet calls
    it: its path from the folder that was named, or its bare name."""

    path: Path
    told: str
    name: str


@dataclass(slots=True)
class Gathered:
    """The files that were named, what is wrong, and how many files in folders are no pictures."""

    files: list[Incoming] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    passed_over: int = 0


def gather(named: Iterable[Path], content: Path) -> Gathered:
    """The files behind the names, each once, in order.

    A file that was named itself is taken whatever its ending, for its content decides. In a
    folder only pictures are taken; links and hidden files in it are left alone. What lies in the
    content folder already doesn't come in.
    """
    found = Gathered()
    seen: set[str] = set()
    inside = os.path.realpath(content)
    for path in named:
        if path.is_dir():
            _folder(found, path, seen, inside)
        else:
            _file(found, path, path.name, seen, inside)
    return found


def _folder(found: Gathered, folder: Path, seen: set[str], inside: str) -> None:
    root = os.fspath(folder)

    def unlisted(error: OSError) -> None:
        says = f"The folder can't be listed: {error.strerror or error}."
        where = Where(printable(os.fspath(error.filename or root)))
        found.problems.append(Problem(where, "folder-unreadable", says, "Check its permissions."))

    for place, folders, names in os.walk(root, onerror=unlisted):
        here = os.path.relpath(place, root)
        depth = 0 if here == "." else here.count(os.sep) + 1
        folders[:] = sorted(f for f in folders if not f.startswith(".") and depth < MAX_DEPTH)
        if os.path.realpath(place) == inside:
            folders[:] = []
            continue
        for name in sorted(names):
            path = Path(place, name)
            ending = path.suffix.lower()
            if name.startswith(".") or path.is_symlink():
                continue
            if ending not in PICTURE_ENDINGS and ending not in OTHER_PICTURES:
                found.passed_over += 1
                continue
            _file(found, path, os.path.relpath(path, root), seen, inside)


def _file(found: Gathered, path: Path, name: str, seen: set[str], inside: str) -> None:
    told = printable(path.as_posix())
    real = os.path.realpath(path)
    if real in seen:
        return
    seen.add(real)
    if real.startswith(inside + os.sep):
        says = "The file lies in the content folder already."
        hint = "Write its note beside it, or move it out of the folder and add it from there."
        found.problems.append(Problem(Where(told), "file-inside", says, hint))
        return
    found.files.append(Incoming(path, told, printable(name).replace(os.sep, "/")))
