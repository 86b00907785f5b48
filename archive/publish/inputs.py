"""Whether anything that a site is made from has changed, told in a moment from the disk's books.

A fingerprint covers the name, size, times and inode of every file of the content, and whatever
words the caller adds: the program's sum, the theme's, the date asked about, the options. Equal
fingerprints mean that no file was written in between. Sizes and times say nothing about rot: that
is the audit's work, which reads every byte.
"""

from __future__ import annotations

import hashlib
import os
import sys
import time
from dataclasses import dataclass
from pathlib import Path

#: Two writes closer than this can bear one time: the kernel's clock ticks (10 ms at the slowest).
TICK_NS = 50_000_000
#: The same, on a disk that keeps whole seconds only (FAT: two).
COARSE_NS = 2_000_000_000
_SECOND_NS = 1_000_000_000
_PASSED_OVER = ".git"


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """`digest` is 64 hex digits; only a `settled` one may be compared with a later one.

    It is not settled if a file was written so lately that another write could bear the same time,
    or the disk's clock runs ahead of this machine's.
    """

    digest: str
    settled: bool


def fingerprint(content: Path, *words: str) -> Fingerprint:
    """The fingerprint of the folder `content` and of `words`. Take it before reading the content.

    Waits out a tick of the clock (at most 0.05 s) if a file was written this instant, so that
    whatever is read afterwards is what the fingerprint stands for.
    """
    total = hashlib.sha256(repr(words).encode())
    newest, coarse = 0, True
    waiting = [os.fspath(content)]
    while waiting:
        lines = []
        folders = []
        for name, path, facts in _listing(waiting.pop()):
            if facts is None:
                folders.append(path)
                lines.append(f"{name}/")
                continue
            newest = max(newest, facts.st_ctime_ns, facts.st_mtime_ns if os.name == "nt" else 0)
            coarse = coarse and facts.st_ctime_ns % _SECOND_NS == 0
            lines.append(
                f"{name}\0{facts.st_size}\0{facts.st_mtime_ns}\0{facts.st_ctime_ns}\0{facts.st_ino}"
            )
        total.update("\n".join(lines).encode("utf-8", "surrogateescape") + b"\n\n")
        waiting.extend(reversed(folders))
    return Fingerprint(total.hexdigest(), _settle(newest, COARSE_NS if coarse else TICK_NS))


def _listing(folder: str) -> list[tuple[str, str, os.stat_result | None]]:
    """The entries of one folder by name: (name, path, facts), the facts None for a folder."""
    try:
        with os.scandir(folder) as entries:
            found = [
                (
                    entry.name,
                    entry.path,
                    None if entry.is_dir(follow_symlinks=False) else _facts(entry),
                )
                for entry in entries
                if entry.name != _PASSED_OVER
            ]
    except (PermissionError, FileNotFoundError):
        return []
    found.sort(key=lambda item: item[0])
    return found


def _facts(entry: os.DirEntry[str]) -> os.stat_result:
    try:
        return entry.stat(follow_symlinks=False)
    except FileNotFoundError:  # removed this instant: a file of no size and no time
        return os.stat_result((0,) * 10)


def _settle(newest_ns: int, margin_ns: int) -> bool:
    ahead = newest_ns + margin_ns - time.time_ns()
    if ahead <= 0:
        return True
    if ahead > TICK_NS:
        return False
    time.sleep(ahead / _SECOND_NS)
    return True


def program_hash(*folders: Path) -> str:
    """One sum over the program: the bytes of `folders`, the interpreter, and what is installed.

    A page's key holds it, so that a changed template, a newer library, or another Python makes
    every page anew. Compiled files and hidden ones are passed over.
    """
    total = hashlib.sha256(sys.version.encode())
    for place in sys.path:
        # An installed distribution shows its name and version in the name of a folder.
        found = os.listdir(place) if os.path.isdir(place) else []
        infos = sorted(name for name in found if name.endswith((".dist-info", ".egg-info")))
        total.update("\n".join(infos).encode())
    for folder in folders:
        for path in sorted(folder.rglob("*")):
            parts = path.relative_to(folder).parts
            if "__pycache__" in parts or any(part.startswith(".") for part in parts):
                continue
            if path.is_file():
                total.update("/".join(parts).encode() + b"\0")
                total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()
