"""The tag files of a bag: what RFC 8493 asks for beside the payload, so that any tool checks it.

A bag is a folder with its payload below `data/`, lists of the payload's sums, and lists of the tag
files' own. Line ends and percent signs in a path are written as `%0A`, `%0D` and `%25`
(RFC 8493, section 2.1.3).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

ALGORITHMS = ("sha256", "sha512")


@dataclass(frozen=True, slots=True)
class Packed:
    """One file of a pack, below `data/`: its path there, its size, its sums by algorithm."""

    path: str
    size: int
    sums: Mapping[str, str]


def sums_of(chunks: Iterable[bytes]) -> tuple[int, dict[str, str]]:
    """Size and sums of a file that is read in pieces."""
    totals = {name: hashlib.new(name) for name in ALGORITHMS}
    size = 0
    for chunk in chunks:
        size += len(chunk)
        for total in totals.values():
            total.update(chunk)
    return size, {name: total.hexdigest() for name, total in totals.items()}


def encoded(path: str) -> str:
    """A path as a manifest writes it.

    >>> encoded("photos/50%\\n.jpg")
    'photos/50%25%0A.jpg'
    """
    return path.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def tag_files(payload: Iterable[Packed], on: date, description: str, by: str) -> dict[str, bytes]:
    """Name → bytes of every tag file of the bag.

    `by` is the program that made it. Same payload and day: same bytes.
    """
    files = sorted(payload, key=lambda file: file.path)
    total = sum(file.size for file in files)
    info = {
        "External-Description": description,
        "Bagging-Date": on.isoformat(),
        "Bag-Software-Agent": by,
        "Payload-Oxum": f"{total}.{len(files)}",
    }
    tags = {
        "bagit.txt": "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "bag-info.txt": "".join(
            f"{label}: {' '.join(value.split())}\n" for label, value in info.items() if value
        ),
    }
    for name in ALGORITHMS:
        tags[f"manifest-{name}.txt"] = "".join(
            f"{file.sums[name]}  data/{encoded(file.path)}\n" for file in files
        )
    made = {name: text.encode() for name, text in tags.items()}
    listed = dict(made)
    for name in ALGORITHMS:
        made[f"tagmanifest-{name}.txt"] = "".join(
            f"{hashlib.new(name, data).hexdigest()}  {tag}\n"
            for tag, data in sorted(listed.items())
        ).encode()
    return made
