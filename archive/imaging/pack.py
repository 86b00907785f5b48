"""The codes of all pictures in one file of the user's cache, one record after the other.

New ones are written at the end; what a crash left half written there, and all that follows a
damaged record, counts as none.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import numpy as np

from archive.imaging.answers import made_by
from archive.imaging.codes import COLUMNS, Codes

_HEAD = struct.Struct("<32sII")  # checksum of the picture, number of codes, sum of what follows
_EACH = sum(np.dtype((kind, shape)).itemsize for _, kind, shape in COLUMNS)


class Pack:
    """Codes by checksum, in the order in which they were kept; nothing where there is no folder."""

    def __init__(self, folder: Path | None) -> None:
        self._file = folder / made_by() / "codes.bin" if folder else None

    def read(self) -> Iterator[tuple[str, Codes]]:
        """Every picture and its codes."""
        if self._file is None:
            return
        try:
            whole = memoryview(self._file.read_bytes())
        except OSError:
            return
        at = 0
        while at + _HEAD.size <= len(whole):
            name, count, total = _HEAD.unpack_from(whole, at)
            body = whole[at + _HEAD.size : at + _HEAD.size + count * _EACH]
            if len(body) != count * _EACH or zlib.crc32(body, zlib.crc32(name)) != total:
                self._cut(at)
                return
            at += _HEAD.size + len(body)
            columns, start = [], 0
            for _, kind, shape in COLUMNS:
                whole_kind = np.dtype((kind, shape))
                columns.append(np.frombuffer(body, whole_kind, count, start))
                start += count * whole_kind.itemsize
            yield name.hex(), Codes(*columns)
        if at < len(whole):
            self._cut(at)

    def append(self, sha256: str, codes: Codes) -> None:
        """Keeps the codes of one more picture; a cache that can't be written is no trouble."""
        if self._file is None:
            return
        body = b"".join(
            np.ascontiguousarray(getattr(codes, name), kind).tobytes() for name, kind, _ in COLUMNS
        )
        picture = bytes.fromhex(sha256)
        head = _HEAD.pack(picture, len(codes.words), zlib.crc32(picture + body))
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            with open(self._file, "ab") as file:
                file.write(head + body)

    def _cut(self, at: int) -> None:
        """Takes off what can't be read, so that what is kept next can be."""
        with suppress(OSError):
            assert self._file is not None
            with open(self._file, "r+b") as file:
                file.truncate(at)
