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
from archive.imaging.codes import Codes

_HEAD = struct.Struct("<32sII")  # checksum of the picture, number of codes, sum of what follows
_EACH = 4 + 8 + 2 + 2


class Pack:
    """Codes by checksum, in the order in which they were kept; nothing where there is no folder."""

    def __init__(self, folder: Path | None) -> None:
        self._file = folder / made_by() / "codes.bin" if folder else None

    def read(self) -> Iterator[tuple[str, Codes]]:
        """Every picture and its codes."""
        if self._file is None:
            return
        try:
            whole = self._file.read_bytes()
        except OSError:
            return
        at = 0
        while at + _HEAD.size <= len(whole):
            name, count, total = _HEAD.unpack_from(whole, at)
            body = whole[at + _HEAD.size : at + _HEAD.size + count * _EACH]
            if len(body) != count * _EACH or zlib.crc32(name + body) != total:
                self._cut(at)
                return
            at += _HEAD.size + len(body)
            yield (
                name.hex(),
                Codes(
                    np.frombuffer(body, "<i4", count),
                    np.frombuffer(body, "<u8", count, 4 * count),
                    np.frombuffer(body, "<i2", count, 12 * count),
                    np.frombuffer(body, "<i2", count, 14 * count),
                ),
            )
        if at < len(whole):
            self._cut(at)

    def append(self, sha256: str, codes: Codes) -> None:
        """Keeps the codes of one more picture; a cache that can't be written is no trouble."""
        if self._file is None:
            return
        columns = (codes.words, codes.signs, codes.turns, codes.scales)
        kinds = ("<i4", "<u8", "<i2", "<i2")
        body = b"".join(
            np.ascontiguousarray(column, kind).tobytes()
            for column, kind in zip(columns, kinds, strict=True)
        )
        name = bytes.fromhex(sha256)
        head = _HEAD.pack(name, len(codes.words), zlib.crc32(name + body))
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
