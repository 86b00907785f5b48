"""Records that lie where none are read: told by their first line, so that no work is lost unseen.

A file among the strays that begins with `---` is a problem rather than advice.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator

from archive.core.problems import Problem, Where
from archive.read.walk import Stray, printable
from archive.records.schema import KINDS, YAML_KINDS, likely_kind

_HEAD = 4096
_MOST = 500
"""How many files of an unknown folder are looked into."""

_KEY = re.compile(r"^([a-z_]+):", re.M)


def misplaced(strays: list[Stray]) -> Iterator[Problem]:
    """A problem for each stray that is, or holds, a record by the look of it."""
    for stray in strays:
        if stray.folder:
            found = next(_records_in(stray.file), None)
            if found:
                name, kind = found
                says = f"Nothing in this folder is read, and {name} in it begins like a record."
                hint = f"Move it to {kind}/." if kind else f"Records lie in {', '.join(KINDS)}."
                yield Problem(Where(stray.path), "record-astray", says, hint)
            continue
        words = _words(stray.file)
        if words is not None:
            says = "The file begins with ---, as records do, and isn't read."
            yield Problem(Where(stray.path), "record-astray", says, _hint(stray.path, words))


def _hint(path: str, words: list[str]) -> str:
    folder, slash, _ = path.partition("/")
    kind = likely_kind(words)
    if slash and kind in (folder, None) and folder not in YAML_KINDS:
        return f"Name it {path.rpartition('.')[0] or path}.md."
    if kind is None:
        return f"Move it to the folder of its kind: {', '.join(KINDS)}."
    stem = path.rpartition("/")[2].partition(".")[0]
    return f"Move it to {kind}/{stem}{'.yaml' if kind in YAML_KINDS else '.md'}."


def _records_in(folder: str) -> Iterator[tuple[str, str | None]]:
    """Name and likely kind of what looks like a record in a folder; links aren't followed."""
    seen = 0
    for inner, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            seen += 1
            if seen > _MOST:
                return
            path = os.path.join(inner, name)
            words = None if os.path.islink(path) else _words(path)
            if words is not None:
                yield printable(os.path.relpath(path, folder)), likely_kind(words)


def _words(file: str) -> list[str] | None:
    """The names of the fields at the head of a file that begins with `---`, else None."""
    if not os.path.isfile(file):
        return None
    try:
        with open(file, "rb") as handle:
            head = handle.read(_HEAD).decode("utf-8", "replace").removeprefix("\ufeff")
    except OSError:
        return None
    first, _, rest = head.replace("\r\n", "\n").partition("\n")
    if first.rstrip() != "---":
        return None
    return _KEY.findall(rest.partition("\n---\n")[0])
