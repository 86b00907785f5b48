"""The list of sums, written in one step; damage is never listed as if it were meant."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from archive.core.atomic import write_file
from archive.core.fixity import Seen
from archive.read.checksums import LIST, list_text


def write_list(folder: Path, files: Mapping[str, Seen], made: datetime) -> Path:
    """Write the list of `files` into a content folder and give its path.

    Raises `CannotWrite` where the disk refuses; the old list is then still there.
    """
    path = folder / LIST
    write_file(path, list_text(files, made))
    return path
