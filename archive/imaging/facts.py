"""The plain facts of one image file, from its bytes and header; runs in the child only."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from io import BufferedReader

from archive.core.images import ImageFacts
from archive.imaging.decode import open_picture
from archive.imaging.limits import Limits
from archive.imaging.refusals import refused
from archive.imaging.stamps import stamp


@contextmanager
def plain_file(path: str) -> Iterator[BufferedReader]:
    """The file at `path` opened for reading; raises `Refused` unless it is a plain file."""
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):  # before opening: a pipe would wait for ever
            raise refused("image-not-a-file", "The name doesn't belong to a plain file.")
        file = open(path, "rb")  # noqa: SIM115 - closed below, outside this try
    except (FileNotFoundError, NotADirectoryError):
        raise refused("image-missing", "The picture file isn't there.") from None
    except OSError as error:
        raise refused(
            "image-unreadable", f"The picture file can't be read ({error.strerror})."
        ) from None
    with file:
        yield file


def sha256_of(file: BufferedReader) -> str:
    """SHA-256 of the whole file in lower-case hex, streamed."""
    file.seek(0)
    try:
        return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise refused(
            "image-unreadable", f"The picture file can't be read ({error.strerror})."
        ) from None


def read_facts(path: str, limits: Limits) -> tuple[ImageFacts, list[int]]:
    """The facts of the file at `path`, and the stamp of the file that they belong to.

    The header is parsed before the bytes are summed, so that a refusal costs little. Raises
    `Refused`.
    """
    with plain_file(path) as file:
        before = os.fstat(file.fileno())
        opened = open_picture(file, before.st_size, limits)
        facts = ImageFacts(
            sha256=sha256_of(file),
            format=opened.format,
            mode=opened.image.mode,
            width_px=opened.width_px,
            height_px=opened.height_px,
            orientation=opened.orientation,
            bytes=before.st_size,
        )
        after = os.fstat(file.fileno())
    if stamp(before) != stamp(after):
        raise refused("image-changed", "The picture changed while it was being read.")
    return facts, stamp(after)
