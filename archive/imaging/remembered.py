"""What pictures told, kept in files of the cache: whole or not at all, forgotten when in doubt."""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from pathlib import Path
from typing import Any

from archive.core.atomic import CannotWrite, write_file

Entries = dict[str, dict[str, Any]]


def recall(cache: Path | None, version: str) -> Entries:
    """What the cache file holds; nothing where any byte of it isn't as it was written."""
    if cache is None:
        return {}
    try:
        head, body = cache.read_bytes().split(b"\n", 1)
    except (OSError, ValueError):
        return {}
    if head != _head(version, body):
        return {}
    entries: Entries = json.loads(body)
    return entries


def remember(cache: Path, version: str, entries: Entries) -> None:
    """Writes the cache file whole or not at all; a cache that can't be written is no trouble."""
    body = json.dumps(entries).encode()
    with suppress(CannotWrite, OSError):
        cache.parent.mkdir(parents=True, exist_ok=True)
        write_file(cache, _head(version, body) + b"\n" + body, private=True)


def _head(version: str, body: bytes) -> bytes:
    return f"{version} {hashlib.sha256(body).hexdigest()}".encode()
