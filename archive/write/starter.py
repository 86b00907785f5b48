"""A small folder to begin from: every kind of record once, with notes that say what to write."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from archive.core.atomic import CannotWrite, write_file

_LAST = "aircraft.yaml"
"""Written last: the file that makes a folder a content folder."""


class Occupied(CannotWrite):
    """Something is there already, and nothing is written over."""


def new_folder(folder: Path) -> tuple[Path, ...]:
    """Writes the starter folder at `folder`, and gives the files that it wrote.

    Never writes over anything: raises `Occupied` where `folder` is a file, or a folder with
    anything in it, and any other `CannotWrite` where the disk refuses.
    """
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise Occupied(folder, f"{folder} is there already, and isn't a folder.", _HINT)
    try:
        if folder.is_dir() and next(folder.iterdir(), None) is not None:
            raise Occupied(folder, f"{folder} isn't empty, so nothing was written.", _HINT)
        pieces = sorted(_pieces(files("archive.write") / "starter_files"), key=_order)
        for path, _ in pieces:
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWrite.because(folder, error) from error
    for path, data in pieces:
        write_file(folder / path, data)
    return tuple(folder / path for path, _ in pieces)


_HINT = "Name a folder that isn't there yet."


def _order(piece: tuple[str, bytes]) -> tuple[bool, str]:
    return piece[0] == _LAST, piece[0]


def _pieces(place: Traversable, prefix: str = "") -> list[tuple[str, bytes]]:
    """(path, bytes) of every file of the starter, as it lies in the package."""
    found: list[tuple[str, bytes]] = []
    for entry in place.iterdir():
        if entry.is_dir():
            found += _pieces(entry, f"{prefix}{entry.name}/")
        else:
            found.append((prefix + entry.name, entry.read_bytes()))
    return found
