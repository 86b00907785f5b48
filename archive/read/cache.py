"""Records read before, kept so that an unchanged file needn't be read again.

One sealed file in a private folder. The seal is an HMAC with a key made for that folder: a file
that this program didn't write there, or that was damaged, is ignored, never opened. What it
holds counts for the same program and the same bytes only.
"""

from __future__ import annotations

import hashlib
import hmac
import io
import os
import pickle
import secrets
import stat
import sys
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from archive.core.atomic import CannotWrite, write_file
from archive.read.records import Entry

_NAME = "records.bin"
_KEY = "records.key"
_SEAL = 32

Kept = Mapping[str, tuple[str, Entry]]
"""Path of a file → the checksum of its bytes and what it gave."""


@lru_cache(maxsize=1)
def program() -> bytes:
    """A checksum of this program's own reading and of Python: with another, nothing kept counts."""
    total = hashlib.sha256(sys.version.encode())
    root = Path(__file__).parent.parent
    for stage in ("core", "records", "read"):
        for file in sorted((root / stage).glob("*.py")):
            total.update(file.name.encode() + b"\0" + file.read_bytes())
    return total.digest()


def fetch(folder: Path) -> Kept:
    """What was kept in a cache folder; nothing where there is any doubt about it."""
    try:
        key = _key(folder)
        sealed = (folder / _NAME).read_bytes() if key else b""
    except OSError:
        return {}
    seal, data = sealed[:_SEAL], sealed[_SEAL:]
    if not key or not hmac.compare_digest(seal, _seal(key, data)):
        return {}
    try:
        kept = _Unpickler(io.BytesIO(data)).load()
    except Exception:  # the seal is right, so this is an older or newer class: read anew
        return {}
    return kept if isinstance(kept, dict) else {}


def keep(folder: Path, kept: Kept) -> None:
    """Keeps what was read. A folder that can't be written, or isn't private, keeps nothing."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        key = _key(folder, make=True)
        if key:
            data = pickle.dumps(dict(kept), pickle.HIGHEST_PROTOCOL)
            write_file(folder / _NAME, _seal(key, data) + data, private=True)
    except (OSError, CannotWrite, pickle.PicklingError, RecursionError):
        return


def _seal(key: bytes, data: bytes) -> bytes:
    return hmac.digest(key, program() + data, "sha256")


def _key(folder: Path, make: bool = False) -> bytes:
    """The folder's key, made if asked for; empty where the folder is open to others."""
    facts = folder.lstat()
    if os.name != "nt":
        private = facts.st_uid == os.geteuid() and not stat.S_IMODE(facts.st_mode) & 0o077
        if not (stat.S_ISDIR(facts.st_mode) and private):
            return b""
    try:
        key = (folder / _KEY).read_bytes()
    except FileNotFoundError:
        key = b""
    if len(key) != _SEAL and make:
        key = secrets.token_bytes(_SEAL)
        write_file(folder / _KEY, key, private=True)
    return key if len(key) == _SEAL else b""


class _Unpickler(pickle.Unpickler):
    """Makes nothing but this program's records and days: the seal's second lock."""

    def find_class(self, module: str, name: str) -> Any:
        ours = module.startswith(("archive.core.", "archive.records.", "archive.read."))
        if (ours and "." not in name) or (module, name) == ("datetime", "date"):
            return super().find_class(module, name)
        raise pickle.UnpicklingError(f"{module}.{name} is no record")
