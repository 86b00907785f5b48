"""The list of sums of a content folder: read, and held against every byte that is there.

`checksums.txt` is what `sha256sum -c checksums.txt` reads: a sum, two spaces, a path, a line a
file. Lines that begin with `#` are the program's own: when the list was made, the sizes, and a sum
over the list itself, so that damage to the list is not taken for damage to the files.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from archive.core.fixity import Listed, Seen
from archive.read.walk import printable

LIST = "checksums.txt"
_CHUNK = 1 << 20
_LINE = re.compile(rb"(\\?)([0-9a-f]{64}) [ *](.+)\Z")
_MADE = re.compile(rb"# Made (\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ)\Z")
_SIZES = b"# Sizes in bytes, in the order of the lines:"
_OWN = b"# Sum of the lines above: "
_LEFTOVERS = frozenset({"thumbs.db", "desktop.ini"})


@dataclass(frozen=True)
class SumList:
    """A list that was read: `top` is the sum of the whole file, `faults` are what is wrong with it.

    `made` is when the list was made, or None where it doesn't say.
    """

    lines: Mapping[str, Listed]
    made: datetime | None
    top: str
    faults: tuple[str, ...]


def read_list(folder: Path) -> SumList | None:
    """The list of a content folder; None where there is none. Raises OSError if it can't be read.

    Lines that are no lines of a list are faults, never errors, and the others still count.
    """
    try:
        data = (folder / LIST).read_bytes()
    except FileNotFoundError:
        return None
    return parse_list(data)


def parse_list(data: bytes) -> SumList:
    """A list from its bytes."""
    sums: dict[str, str] = {}
    sizes: list[int] = []
    faults: list[str] = []
    made: datetime | None = None
    own, until = "", 0
    at = 0
    in_sizes = False
    for number, raw in enumerate(data.splitlines(keepends=True), 1):
        line = raw.rstrip(b"\r\n")
        if line.startswith(_OWN):
            own, until = line[len(_OWN) :].decode("ascii", "replace"), at
        elif found := _MADE.match(line):
            try:
                made = datetime.fromisoformat(found[1].decode())
            except ValueError:
                faults.append(f"Line {number} gives no moment that there is.")
        elif line == _SIZES:
            in_sizes = True
        elif line.startswith(b"#"):
            if in_sizes:
                sizes += [int(word) for word in line[1:].split() if word.isdigit()]
        elif found := _LINE.match(line):
            path = os.fsdecode(_unescape(found[3]) if found[1] else found[3])
            if path in sums:
                faults.append(f"Line {number} lists {printable(path)} a second time.")
            sums[path] = found[2].decode()
        elif line:
            faults.append(f"Line {number} is no line of a list of sums.")
        at += len(raw)
    if not own:
        faults.append("Its last line, the sum of the lines above, is missing.")
    elif hashlib.sha256(data[:until]).hexdigest() != own:
        faults.append("Its lines do not fit its own sum: the list itself is damaged or was edited.")
    kept: list[int | None] = [*sizes] if len(sizes) == len(sums) else [None] * len(sums)
    lines = {path: Listed(s, size) for (path, s), size in zip(sums.items(), kept, strict=True)}
    return SumList(lines, made, hashlib.sha256(data).hexdigest(), tuple(faults))


def list_text(files: Mapping[str, Seen], made: datetime) -> bytes:
    """The bytes of a list of `files`, in order of their paths as bytes."""
    names = sorted((os.fsencode(path), seen) for path, seen in files.items())
    lines = [
        b"# The sums of this folder's files. Check them with: sha256sum -c " + LIST.encode(),
        b"# Made " + made.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ").encode(),
    ]
    for name, seen in names:
        escaped = _escape(name)
        mark = b"\\" if escaped != name else b""
        lines.append(mark + seen.sha256.encode() + b"  " + escaped)
    lines.append(_SIZES)
    words = [str(seen.size).encode() for _, seen in names]
    lines += [b"# " + b" ".join(words[n : n + 12]) for n in range(0, len(words), 12)]
    above = b"".join(line + b"\n" for line in lines)
    return above + _OWN + hashlib.sha256(above).hexdigest().encode() + b"\n"


def _escape(name: bytes) -> bytes:
    """A name as GNU `sha256sum` writes it: backslash, line feed and carriage return escaped."""
    return name.replace(b"\\", b"\\\\").replace(b"\n", b"\\n").replace(b"\r", b"\\r")


def _unescape(name: bytes) -> bytes:
    words = {b"\\\\": b"\\", b"\\n": b"\n", b"\\r": b"\r"}
    return re.sub(rb"\\[\\nr]", lambda found: words[found[0]], name)


def files_of(folder: Path) -> Iterator[tuple[str, str]]:
    """(path from the folder, why it can't be checked or "") of every file, in order of path.

    Hidden files and the list itself are passed over. A link is followed only to a file inside.
    """
    root = os.path.realpath(folder)
    todo = [""]
    while todo:
        prefix = todo.pop()
        try:
            entries = sorted(os.scandir(os.path.join(root, prefix)), key=lambda e: e.name)
        except OSError as error:
            yield prefix.rstrip("/"), f"the folder can't be listed ({error.strerror or error})"
            continue
        folders = []
        for entry in entries:
            path = prefix + entry.name
            if entry.name.startswith(".") or path == LIST or entry.name.lower() in _LEFTOVERS:
                continue
            if entry.is_symlink():
                target = os.path.realpath(entry.path)
                inside = target.startswith(root + os.sep) and os.path.isfile(target)
                yield path, "" if inside else "it is a link that leads out of the folder"
            elif entry.is_dir():
                folders.append(f"{path}/")
            else:
                yield path, "" if entry.is_file() else "it is a device, a pipe or a socket"
        todo += reversed(folders)


def look(
    folder: Path,
    only: Callable[[str], bool] = lambda _: True,
    expected: Mapping[str, Listed] | None = None,
    made: datetime | None = None,
    told: Callable[[int], None] = lambda _: None,
) -> dict[str, Seen]:
    """Every file of a content folder as it is, by its path; `only` those that are to be read.

    A file that doesn't fit `expected` is read a second time before anybody is alarmed. `made` is
    when the list was made. `told` is called with the bytes of each file that was read.
    """
    wanted = expected or {}
    root = os.path.realpath(folder)

    def see(found: tuple[str, str]) -> tuple[str, Seen]:
        path, why = found
        if why:
            return path, Seen(unreadable=why)
        try:
            seen = _see(os.path.join(root, path), made)
            line = wanted.get(path)
            if line is not None and seen.sha256 != line.sha256:
                again = _see(os.path.join(root, path), made)
                seen = Seen(seen.sha256, again.size, again.sha256, again.later)
        except OSError as error:
            return path, Seen(unreadable=(error.strerror or str(error)).lower())
        told(seen.size)
        return path, seen

    # Summing lets go of the interpreter: two threads keep two cores, or a disk and a core, busy.
    with ThreadPoolExecutor(min(4, os.cpu_count() or 1)) as pool:
        return dict(pool.map(see, (found for found in files_of(folder) if only(found[0]))))


def _see(file: str, made: datetime | None) -> Seen:
    # O_NONBLOCK: a pipe that took a file's place since it was listed must not hold the audit up.
    handle = os.open(file, os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "rb", buffering=0) as stream:
        facts = os.fstat(handle)
        if not stat.S_ISREG(facts.st_mode):
            raise OSError("it is not a file any more")
        total = hashlib.sha256()
        size = 0
        while chunk := stream.read(_CHUNK):
            total.update(chunk)
            size += len(chunk)
    later = made is not None and facts.st_mtime > made.timestamp()
    return Seen(total.hexdigest(), size, later=later)
