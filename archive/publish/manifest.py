"""The list inside a site of what the site consists of: it tells our folders from other people's.

`site.json` holds a note for whoever opens it, the number of its format, the build's id, and each
file with its SHA-256 and its size. It holds no date and no path of the machine, so that the same
content gives the same bytes. It finds damage and half-made copies; it is no proof against
somebody who rewrites a page and the list together.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

MANIFEST = "site.json"
FORMAT = 1
_NOTE = (
    "Written by witnessmark for its own use: the files that make up this site, so that a damaged"
    " or half-copied one can be told. Made anew by every build; there is nothing to edit here."
)
#: What file browsers leave in any folder they have shown; nobody would miss it.
LITTER = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
_SHA256 = re.compile("[0-9a-f]{64}").fullmatch


@dataclass(frozen=True, slots=True)
class Entry:
    """One file of a site: its SHA-256 in lower-case hex and its size in bytes."""

    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """Every file of a site but the list itself, by path with forward slashes.

    `build` is the SHA-256 over all names and sums: two sites with one build id are equal byte
    for byte.
    """

    files: Mapping[str, Entry] = field(default_factory=dict)

    @property
    def build(self) -> str:
        """The build's id, 64 hex digits."""
        total = hashlib.sha256()
        for path, entry in sorted(self.files.items()):
            total.update(f"{entry.sha256}  {path}\n".encode())
        return total.hexdigest()

    def as_bytes(self) -> bytes:
        """The text of `site.json`, one file to a line."""
        lines = [
            f"  {json.dumps(path, ensure_ascii=False)}: {json.dumps([entry.sha256, entry.size])}"
            for path, entry in sorted(self.files.items())
        ]
        head = {"note": _NOTE, "format": FORMAT, "build": self.build}
        start = json.dumps(head, indent=0, ensure_ascii=False)[:-2]
        return (start + ',\n"files": {\n' + ",\n".join(lines) + "\n}\n}\n").encode()


def read_manifest(site: Path) -> Manifest | None:
    """The list in the folder `site`; None if there is none, or it is not one that we wrote."""
    try:
        data = json.loads((site / MANIFEST).read_bytes())
        if data["format"] != FORMAT:
            return None
        files = {
            path: Entry(_digest(sha256), int(size))
            for path, (sha256, size) in data["files"].items()
        }
        manifest = Manifest(files)
        return manifest if data["build"] == manifest.build else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _digest(text: str) -> str:
    if not _SHA256(text):
        raise ValueError(text)
    return text


def walk(folder: Path) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Every file below `folder` with its relative path, links unfollowed, in the disk's own order.

    The litter of file browsers and empty folders are passed over: there is nothing in them.
    """
    waiting = [("", str(folder))]
    while waiting:
        prefix, place = waiting.pop()
        with os.scandir(place) as entries:
            for entry in entries:
                if entry.is_dir(follow_symlinks=False):
                    waiting.append((f"{prefix}{entry.name}/", entry.path))
                elif entry.name not in LITTER:
                    yield prefix + entry.name, entry


def foreign(site: Path, manifest: Manifest) -> str:
    """The relative path of one thing in `site` that the list does not name; "" if there is none."""
    for path, entry in walk(site):
        known = path == MANIFEST or path in manifest.files
        if not known or not entry.is_file(follow_symlinks=False):
            return path
    return ""


def damage(site: Path) -> list[str]:
    """What in a site differs from its own list, each as `PATH: missing|altered|not listed`.

    Reads every byte. A site without a list gives the one line that says so.
    """
    manifest = read_manifest(site)
    if manifest is None:
        return [f"{MANIFEST}: missing or not readable"]
    found = []
    for path, entry in sorted(manifest.files.items()):
        try:
            with (site / path).open("rb") as file:
                actual = hashlib.file_digest(file, "sha256").hexdigest()
        except OSError:
            found.append(f"{path}: missing")
            continue
        if actual != entry.sha256:
            found.append(f"{path}: altered")
    listed = manifest.files.keys() | {MANIFEST}
    found.extend(
        f"{path}: not listed"
        for path in sorted(path for path, _ in walk(site))
        if path not in listed
    )
    return found
