"""What became of a folder's files since they were listed: pure comparison of two lists of sums.

A sum finds damage; it is no signature. Whoever can rewrite a file can rewrite the list, which is
why the list's own sum (`top`) is worth printing and keeping somewhere else.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Seen:
    """One file as it is on the disk: its sum and size, or why they could not be had.

    `again` is the sum of a second reading, taken only where the first did not fit the list.
    `later` says that the file was written after the list was made, by its own time.
    """

    sha256: str = ""
    size: int = 0
    again: str = ""
    later: bool = False
    unreadable: str = ""


@dataclass(frozen=True, slots=True)
class Listed:
    """One line of the list: the sum, and the size where the list keeps it."""

    sha256: str
    size: int | None = None


@dataclass(frozen=True, slots=True, order=True)
class Damage:
    """One file that is not as it was listed.

    `what` is a word of `DAMAGE`; `other` is the path that it went to, or was swapped with.
    """

    path: str
    what: str
    says: str
    hint: str = ""
    other: str = ""

    @property
    def harmless(self) -> bool:
        """Nothing that was listed is altered or gone: the file is only not on the list yet."""
        return self.what == "not-listed"

    def as_json(self) -> dict[str, str]:
        """The line as plain values, for `--json`."""
        return {
            "path": self.path,
            "what": self.what,
            "says": self.says,
            "hint": self.hint,
            "other": self.other,
        }


_RESTORE = "Put back the copy of another holder; don't work from this one."
DAMAGE: Mapping[str, tuple[str, str]] = {
    "altered": (
        "Its bytes have changed, though by its time nobody has written to it since it was listed: "
        "it looks like damage on the disk.",
        _RESTORE,
    ),
    "edited": (
        "It was written after the list was made.",
        "If that was meant, list it anew: witnessmark audit --list. If not, put the old one back.",
    ),
    "cut-short": ("The end of it is missing.", _RESTORE),
    "grown": ("Something has been added to it.", _RESTORE),
    "emptied": ("It is empty now.", _RESTORE),
    "reads-differently": (
        "Two readings, a moment apart, gave different bytes: the disk, its cable or this machine "
        "is failing.",
        "Copy the folder to another disk before anything else, and audit it there.",
    ),
    "unreadable": ("It was not checked", "Make it readable, and audit again."),
    "missing": (
        "It is gone.",
        "Put it back from another holder. What was taken out on purpose belongs in removed.yaml.",
    ),
    "renamed": ("It lies elsewhere now, unchanged", "Give it its old name back."),
    "swapped": ("It holds the bytes of another file", "Exchange the two names."),
    "not-listed": (
        "It is not on the list yet.",
        "If it belongs here, list it: witnessmark audit --list.",
    ),
}
"""Word → the sentence and what to do."""


def compare(
    listed: Mapping[str, Listed],
    found: Mapping[str, Seen],
    removed: frozenset[str] = frozenset(),
) -> tuple[Damage, ...]:
    """Every file that is not as listed, in order of its path; `removed` were taken out on purpose.

    `found` is every file of the folder by its path. A name that differs in capitals or in the
    writing of its accents only is told as renamed, and two files that hold each other's bytes as
    swapped, so that ten lines of alarm become the one thing that happened.
    """
    gone = sorted(path for path in listed if path not in found and path not in removed)
    extra = {path for path in found if path not in listed}
    damage = []
    for path in gone:
        moved = _moved(path, listed[path], found, extra)
        if moved:
            extra.discard(moved)
            damage.append(_damage(path, "renamed", f": {moved}.", moved))
        else:
            damage.append(_damage(path, "missing"))
    for path in sorted(listed.keys() & found.keys()):
        line = _altered(path, listed, found)
        if line:
            damage.append(line)
    for path in sorted(extra):
        seen = found[path]
        if seen.unreadable:
            damage.append(_damage(path, "unreadable", f": {seen.unreadable}."))
        else:
            damage.append(_damage(path, "not-listed"))
    return tuple(sorted(damage))


def _altered(path: str, listed: Mapping[str, Listed], found: Mapping[str, Seen]) -> Damage | None:
    line, seen = listed[path], found[path]
    if seen.unreadable:
        return _damage(path, "unreadable", f": {seen.unreadable}.")
    if seen.sha256 == line.sha256:
        return None
    if seen.again and seen.again != seen.sha256:
        return _damage(path, "reads-differently")
    twin = next(
        (
            other
            for other, its in sorted(listed.items())
            if other != path
            and its.sha256 == seen.sha256
            and its.sha256 != line.sha256
            and other in found
            and found[other].sha256 == line.sha256
        ),
        "",
    )
    if twin:
        return _damage(path, "swapped", f": {twin}.", twin)
    if seen.size == 0:
        return _damage(path, "emptied")
    if seen.later:
        return _damage(path, "edited")
    if line.size is not None and seen.size < line.size:
        return _damage(path, "cut-short")
    if line.size is not None and seen.size > line.size:
        return _damage(path, "grown")
    return _damage(path, "altered")


def _moved(path: str, line: Listed, found: Mapping[str, Seen], extra: set[str]) -> str:
    """Where a file that is gone has come up with the same bytes: the likeliest name first."""
    same = sorted(other for other in extra if found[other].sha256 == line.sha256)
    tests: tuple[Callable[[str], str], ...] = (_folded, _last, lambda _: "")
    for key in tests:
        for other in same:
            if key(other) == key(path):
                return other
    return ""


def _folded(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()


def _last(path: str) -> str:
    return _folded(path).rpartition("/")[2]


def _damage(path: str, what: str, more: str = "", other: str = "") -> Damage:
    says, hint = DAMAGE[what]
    return Damage(path, what, says + more, hint, other)
