"""Whether a file name works on every disk that a site may be copied to.

A site is carried on sticks and opened on whatever machine stands in the hangar. The rules are
those of the strictest system: Microsoft, "Naming Files, Paths, and Namespaces" (reserved names
and characters, 260 characters for a whole path), and disks that do not tell `Wing` from `wing`.
"""

from __future__ import annotations

import unicodedata

from archive.publish.refusal import Refused

#: Of Windows' 260 characters, this leaves 60 for the drive and folder a site is copied to.
LONGEST_PATH = 200
LONGEST_NAME_BYTES = 255
_RESERVED = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"]
    + [f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³"]
)
_FORBIDDEN = frozenset('<>:"\\|?*')


class Names:
    """The names that one site has used so far, to refuse those that would collide on some disk."""

    def __init__(self) -> None:
        self._spelt: dict[str, tuple[str, bool]] = {}

    def claim(self, path: str) -> None:
        """Take `path` (relative, forward slashes) for a file.

        Raises `Refused` if the name does not work everywhere, was taken already, differs from a
        taken one in capitals alone, or is a folder in one place and a file in another.
        """
        check(path)
        slash = path.find("/")
        while slash != -1:
            self._take(path[:slash], folder=True)
            slash = path.find("/", slash + 1)
        self._take(path, folder=False)

    def _take(self, name: str, *, folder: bool) -> None:
        wanted = (name, folder)
        earlier = self._spelt.setdefault(name.casefold(), wanted)
        if earlier is wanted or (folder and earlier == wanted):
            return
        if earlier[0] != name:
            raise Refused(
                "name-collides",
                f"{name!r} and {earlier[0]!r} are one name on a disk that ignores capitals.",
                "Give one of the two records another id.",
            )
        if earlier[1] != folder:
            raise Refused("name-taken", f"{name!r} would be a file and a folder at once.")
        raise Refused("name-taken", f"Two pages of the site want the name {name!r}.")


def check(path: str) -> None:
    """Raise `Refused` if `path` (relative, forward slashes) would not work on some common disk."""
    fault = _fault(path)
    if fault:
        raise Refused(
            "name-not-portable",
            f"{path!r} can't be the name of a page: {fault}.",
            "Give the record another id: a-z, 0-9 and -.",
        )


def _fault(path: str) -> str:
    if path.isascii() is False:
        try:
            path.encode("utf-8")
        except UnicodeEncodeError:
            return "it holds bytes that are not text"
        if unicodedata.normalize("NFC", path) != path:
            return "its accents are written as separate characters"
    if len(path) > LONGEST_PATH:
        return f"it is longer than {LONGEST_PATH} characters"
    for name in path.split("/"):
        fault = _fault_of_name(name)
        if fault:
            return fault
    return ""


def _fault_of_name(name: str) -> str:
    if name in ("", ".", ".."):
        return "it has an empty step, or one that leads out of the site"
    if name[-1] in ". ":
        return "a part of it ends with a dot or a space"
    if not _FORBIDDEN.isdisjoint(name):
        return 'it holds one of < > : " \\ | ? *'
    if not name.isprintable():
        return "it holds a character that can't be seen"
    if name.split(".", 1)[0].rstrip(" ").casefold() in _RESERVED:
        return "Windows keeps that name for a device"
    if len(name) > 60 and len(name.encode("utf-8")) > LONGEST_NAME_BYTES:
        return f"a part of it is longer than {LONGEST_NAME_BYTES} bytes"
    return ""
