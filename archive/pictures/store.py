"""Pictures made before, kept in the user's cache folder under what they were made from.

One folder for each recipe, complete or absent, with a table of its files. A file that was
changed since (another size or time of change) makes its whole folder void. Safe to delete.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import cast

from archive.imaging.recipes import Made

_TABLE = "made.json"
_STAGE = "stage-"
_FORGOTTEN_S = 24 * 3600.0  # no build takes so long


def stage(cache: Path) -> Path:
    """A new empty folder in the cache to make pictures in; clears away what a crash left there."""
    cache.mkdir(parents=True, exist_ok=True)
    for left in cache.glob(_STAGE + "*"):
        with suppress(OSError):
            if left.stat().st_mtime < time.time() - _FORGOTTEN_S:
                shutil.rmtree(left, ignore_errors=True)
    return Path(tempfile.mkdtemp(dir=cache, prefix=_STAGE))


def folder_of(cache: Path, key: str) -> Path:
    """Where the files made under `key` are kept."""
    return cache / key[:2] / key


def keep(cache: Path, key: str, staged: Path, made: Made) -> None:
    """Moves `staged`, a finished folder in a stage, to its place in one step. Raises OSError."""
    body = json.dumps({"made": made, "stamps": _stamps(staged, made)}).encode()
    (staged / _TABLE).write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
    place = folder_of(cache, key)
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.rename(staged, place)
    except OSError:
        if recall(cache, key) is None:  # not another build that was quicker: a void folder
            os.rename(place, staged.with_name(staged.name + "-void"))
            os.rename(staged, place)


def recall(cache: Path, key: str) -> Made | None:
    """The table of what was made under `key`; None where anything is missing or altered."""
    folder = folder_of(cache, key)
    with suppress(OSError, ValueError, KeyError, TypeError):
        head, body = (folder / _TABLE).read_bytes().split(b"\n", 1)
        if head == hashlib.sha256(body).hexdigest().encode():
            table = json.loads(body)
            made = cast(Made, table["made"])
            if _stamps(folder, made) == table["stamps"]:
                return made
    return None


def files_of(made: Made) -> list[str]:
    """The files in a stage or a kept folder, sizes first."""
    tiles = made["tiles"]["levels"] if made["tiles"] else []
    return [size["file"] for size in made["sizes"]] + [
        f"tiles/{number}/{column}_{row}.jpg"
        for number, (_, _, columns, rows) in enumerate(tiles)
        for row in range(rows)
        for column in range(columns)
    ]


def _stamps(folder: Path, made: Made) -> list[list[int]]:
    found = []
    for file in files_of(made):
        status = os.stat(os.path.join(folder, file))
        found.append([status.st_size, status.st_mtime_ns])
    return found
