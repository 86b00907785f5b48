"""What a run of `add` brings: files to copy, notes to write, and what a picture says of itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True, order=True, slots=True)
class Carried:
    """One thing that a picture file says of itself.

    `standard` is Exif, XMP, IPTC, PNG or JPEG; `name` is the property as that standard names it;
    `text` is one line of printable text.
    """

    standard: str
    name: str
    text: str

    def __str__(self) -> str:
        return f"{self.standard} {self.name}: {self.text}"


@dataclass(frozen=True, slots=True)
class Copy:
    """A file to be copied unchanged to `path` in the content folder.

    `origin` is where it lies now, `sha256` the sum (lower-case hex) and `bytes` the size that it
    had when it was looked at.
    """

    path: str
    origin: Path
    sha256: str
    bytes: int


@dataclass(frozen=True, slots=True)
class NewNote:
    """A record to be written at `path`: its fields by the words of the file, and its prose.

    A field holds text, a whole number, yes or no, a list or a group of such.
    """

    path: str
    fields: Mapping[str, Any]
    prose: str = ""


@dataclass(frozen=True, slots=True)
class AddedFile:
    """A file that a run added: its path in the content folder, its sum, the name that it had."""

    path: str
    sha256: str
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """What one run of `add` took in. `name` is that of its file in `added/`; `on` is its day."""

    name: str
    on: str
    files: tuple[AddedFile, ...]
