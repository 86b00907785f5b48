"""Which files of a content folder are records, translations and pictures; which are refused.

Nothing is opened here. A link that leads out of the folder, a device, or a name that another
computer couldn't keep is refused by name; the program's own files are left alone.
"""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from archive.core.problems import Problem, Where
from archive.read.values import plain_name
from archive.records.schema import (
    KINDS,
    OTHER_PICTURES,
    PICTURE_ENDINGS,
    PROGRAM_FILES,
    PROGRAM_FOLDERS,
    SINGLES,
    YAML_KINDS,
)

MAX_ID = 100
MAX_DEPTH = 20

_ID = re.compile(r"[a-z0-9][a-z0-9-]*\Z")
_TRANSLATION = re.compile(r"(?P<id>[^.]+)\.(?P<lang>[a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*)\Z")
RESERVED = frozenset(
    {"con", "prn", "aux", "nul"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(10)}
)
"""Names that Windows keeps for itself, whatever their ending."""
_LEFTOVERS = frozenset({"thumbs.db", "desktop.ini"})


@dataclass(frozen=True, slots=True)
class Found:
    """A file that is a record of `kind` (a folder, or a single file's name), or its translation."""

    path: str
    file: str
    kind: str
    id: str
    language: str = ""


@dataclass(frozen=True, slots=True)
class Stray:
    """A file, or a folder, that isn't read, and told of by advice."""

    path: str
    file: str
    folder: bool = False


@dataclass(slots=True)
class Walk:
    """What a content folder holds. `pictures` is photo id → its file; all in order of path."""

    records: list[Found] = field(default_factory=list)
    translations: list[Found] = field(default_factory=list)
    pictures: dict[str, Found] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    strays: list[Stray] = field(default_factory=list)

    def stray(self, path: str, file: str, code: str, says: str, hint: str) -> None:
        """Keeps a stray in mind, and advises of it."""
        self.strays.append(Stray(printable(path), file, code == "folder-unknown"))
        self.refuse(printable(path), code, says, hint, advice=True)

    def refuse(self, path: str, code: str, says: str, hint: str = "", advice: bool = False) -> None:
        """Reports a file as a whole."""
        self.problems.append(Problem(Where(path), code, says, hint, advice))


def walk(folder: Path) -> Walk:
    """Looks through a content folder. What can't be listed is a problem, never an error."""
    found = Walk()
    root = os.path.realpath(folder)
    for path, full in _files(found, root):
        _sort_in(found, path, full)
    _settle(found)
    return found


def printable(name: str) -> str:
    """A file's name as it may be printed: bytes that aren't UTF-8 and unseen characters escaped."""
    text = os.fsencode(name).decode("utf-8", "backslashreplace")
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)


def _files(found: Walk, root: str) -> Iterator[tuple[str, str]]:
    """(path from the root, full path) of every plain file that may be opened, in order."""
    todo: list[tuple[str, str, int]] = [("", root, 0)]
    while todo:
        prefix, folder, depth = todo.pop()
        try:
            with os.scandir(folder) as listing:
                entries = sorted(listing, key=lambda e: e.name)
        except OSError as error:
            says = f"The folder can't be listed: {error.strerror or error}."
            found.refuse(printable(prefix.rstrip("/")) or ".", "folder-unreadable", says)
            continue
        folded: dict[str, str] = {}
        folders: list[tuple[str, str, int]] = []
        for entry in entries:
            name = entry.name
            if name.startswith("."):
                continue
            path = prefix + name
            if _collides(found, path, name, folded):
                continue
            if entry.is_symlink() and not _link_ok(found, path, entry.path, root):
                continue
            if entry.is_dir():
                if _folder_ok(found, path, entry.path, depth):
                    folders.append((f"{path}/", entry.path, depth + 1))
            elif entry.is_file():
                yield path, entry.path
            else:
                says = "This is a device, a pipe or a socket, not a file."
                found.refuse(printable(path), "not-a-file", says, "Take it out of the folder.")
        todo += reversed(folders)


def _collides(found: Walk, path: str, name: str, folded: dict[str, str]) -> bool:
    key = (
        name if name.isascii() and name.islower() else unicodedata.normalize("NFC", name).casefold()
    )
    other = folded.setdefault(key, name)
    if other == name:
        return False
    says = f"The name differs from {printable(other)} only in capitals or accents."
    hint = "Some disks can't hold both: rename one."
    found.refuse(printable(path), "names-collide", says, hint)
    return True


def _link_ok(found: Walk, path: str, full: str, root: str) -> bool:
    target = os.path.realpath(full)
    if target.startswith(root + os.sep) and os.path.isfile(target):
        return True
    says = "This link leads out of the content folder, to a folder, or nowhere; it isn't followed."
    found.refuse(printable(path), "link-refused", says, "Put the file itself in its place.")
    return False


def _folder_ok(found: Walk, path: str, full: str, depth: int) -> bool:
    if depth == 0:
        if path in PROGRAM_FOLDERS:
            return False
        if path not in KINDS:
            says = "This folder is none of those that hold records; nothing in it is read."
            meant = get_close_matches(path.lower(), KINDS, 1, 0.75)
            if meant:
                hint = f"Perhaps {meant[0]} is meant: move what is in it to {meant[0]}/."
                found.refuse(printable(path), "folder-unknown", says, hint)
            else:
                hint = f"Records lie in {', '.join(KINDS)}."
                found.stray(path, full, "folder-unknown", says, hint)
            return False
    if depth >= MAX_DEPTH:
        says = f"Folders are nested more than {MAX_DEPTH} deep here; nothing below is read."
        found.refuse(printable(path), "folder-deep", says)
        return False
    return True


def _sort_in(found: Walk, path: str, full: str) -> None:
    kind, slash, _ = path.partition("/")
    name = path.rpartition("/")[2]
    if not slash:
        if name in SINGLES:
            found.records.append(Found(path, full, name, name.partition(".")[0]))
        elif (
            name not in PROGRAM_FILES
            and name.lower() != "readme.md"
            and name.lower() not in _LEFTOVERS
        ):
            _top_stray(found, path, full)
        return
    stem, dot, ending = name.rpartition(".")
    ending = dot + ending.lower()
    wanted = ".yaml" if kind in YAML_KINDS else ".md"
    if ending == wanted:
        translation = _TRANSLATION.match(stem) if wanted == ".md" else None
        id_ = translation["id"] if translation else stem
        if _id_ok(found, path, id_):
            entry = Found(path, full, kind, id_, translation["lang"] if translation else "")
            (found.translations if translation else found.records).append(entry)
    elif kind == "photos" and ending in PICTURE_ENDINGS:
        if _id_ok(found, path, stem):
            _picture(found, Found(path, full, kind, stem))
    elif ending in (".md", ".yaml", ".yml"):
        says = f"Records of {kind} are files that end in {wanted}; this one isn't read."
        found.refuse(printable(path), "ending-wrong", says, f"Name it {printable(stem)}{wanted}.")
    elif ending in OTHER_PICTURES:
        says = f"Pictures that end in {ending} can't be opened here."
        hint = f"Export it as JPEG, PNG, TIFF or WebP: {printable(path[: -len(ending)])}.jpg."
        found.refuse(printable(path), "picture-format", says, hint)
    elif ending in PICTURE_ENDINGS:
        says, hint = "This picture isn't read.", "Pictures lie in photos/, each beside its note."
        found.stray(path, full, "file-stray", says, hint)
    elif name.lower() not in _LEFTOVERS:
        found.stray(path, full, "file-stray", "This file is no record.", _STRAY)


_STRAY = "Move it out of the content folder, or put a dot before its name to have it left alone."


def _top_stray(found: Walk, path: str, full: str) -> None:
    """A file beside the single files: perhaps one of them, misspelt."""
    meant = get_close_matches(path.lower(), SINGLES, 1, 0.8)
    if meant and not os.path.exists(os.path.join(os.path.dirname(full), meant[0])):
        says = f"This file isn't read, and there is no {meant[0]}."
        found.refuse(printable(path), "ending-wrong", says, f"Name it {meant[0]}.")
    else:
        found.stray(path, full, "file-stray", "This file is no record.", _STRAY)


def _id_ok(found: Walk, path: str, id_: str) -> bool:
    if not _ID.match(id_):
        says = f"“{printable(id_)}” can't be the name of a record: names are of a-z, 0-9 and -."
        found.refuse(
            printable(path), "file-name", says, f"Rename it, perhaps to {plain_name(id_)}."
        )
    elif id_ in RESERVED:
        says = f"“{id_}” is a name that some computers keep for themselves."
        found.refuse(printable(path), "file-name", says, f"Rename it, perhaps to {id_}-1.")
    elif len(id_) > MAX_ID:
        says = f"The name has {len(id_)} characters; {MAX_ID} is the most."
        found.refuse(printable(path), "file-name", says, "Give it a shorter name.")
    else:
        return True
    return False


def _picture(found: Walk, entry: Found) -> None:
    other = found.pictures.setdefault(entry.id, entry)
    if other is not entry:
        says = f"{other.path} has the same name but for its ending, and is the one that is used."
        stem = entry.path.rpartition(".")[0]
        hint = f"Rename both, and give each its note: {stem}-a.md, {stem}-b.md; or keep one."
        found.refuse(entry.path, "pictures-share-note", says, hint)


def _settle(found: Walk) -> None:
    """What only shows once all names are known: ids twice, pictures without notes."""
    first: dict[tuple[str, str], Found] = {}
    kept: list[Found] = []
    for entry in found.records:
        other = first.setdefault((entry.kind, entry.id), entry)
        if other is entry:
            kept.append(entry)
        else:
            says = f"The id {entry.id} is taken by {other.path}; this file isn't read."
            found.refuse(entry.path, "id-twice", says, "Rename one: subfolders don't count.")
    found.records = kept
    for entry in found.translations:
        if (entry.kind, entry.id) not in first:
            says = f"This translates {entry.kind}/{entry.id}, which isn't there."
            found.refuse(entry.path, "translation-alone", says, "Correct its name or remove it.")
    for id_, picture in found.pictures.items():
        if ("photos", id_) not in first:
            says = "This picture has no note beside it, so nothing is known of it."
            hint = f"Write {picture.path.rpartition('.')[0]}.md beside it."
            found.refuse(picture.path, "note-missing", says, hint)
