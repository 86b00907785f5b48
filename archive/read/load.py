"""A content folder into a library, and everything that is wrong with its files."""

from __future__ import annotations

import dataclasses
import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

import yaml

from archive.core.collecting import paused
from archive.core.problems import Problem, Where
from archive.read.astray import misplaced
from archive.read.cache import RECORDS, Kept
from archive.read.front import MAX_BYTES, text_of
from archive.read.nodes import compose
from archive.read.records import Entry, all_lost, read_record, read_translation
from archive.read.walk import Found, Walk, walk
from archive.records.library import EMPTY, Library, pieces_of
from archive.records.schema import KINDS, REQUIRED_SINGLES, SINGLES
from archive.records.spec import fields_of

MARK = "aircraft.yaml"
"""The file that makes a folder a content folder."""

_SINGLE_FIELDS = {
    "aircraft.yaml": "aircraft",
    "zones.yaml": "zones_file",
    "people.yaml": "people_file",
    "policy.yaml": "policy",
}


class NotContent(Exception):
    """The folder isn't a content folder; the text is a sentence for the user."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A content folder, read.

    `problems` are of the files alone (what records say of each other is for `records.checks`), in
    order of place. `pictures` is photo id → picture file; `alone` is the same of pictures that have
    no note, and so are no photographs yet. `digests` is the path of each record's
    file in the folder → SHA-256 of its bytes, in hex.
    """

    library: Library
    problems: tuple[Problem, ...]
    pictures: Mapping[str, Path]
    digests: Mapping[str, str]
    alone: Mapping[str, Path]

    def marks(self) -> dict[str, str]:
        """REF of each record → checksums of its file and of its translations; "" where unknown."""
        digests, found = self.digests, {}
        for record in self.library.records:
            mark = digests.get(record.path, "")
            for translation in record.translations.values():
                mark += " " + digests.get(translation.path, "")
            found[record.ref] = mark.strip()
        return found


def find_content(start: Path) -> Path:
    """The content folder meant by `start`: itself, its `content` folder, or one that it lies in.

    Raises `NotContent` where there is none.
    """
    for folder in (start, start / "content", *start.absolute().parents):
        if os.path.isfile(folder / MARK):
            return folder
    raise NotContent(
        f"{start} isn't a content folder, and holds none: there is no {MARK}. "
        "Name the folder, or start one with `witnessmark new`."
    )


def load(folder: Path, cache: Path | None = None) -> Loaded:
    """Reads every record of a content folder; writes nothing in it.

    `cache` is a private folder (mode 0700) for what was read before. Raises `NotContent` where
    `folder` can't be listed, or has no aircraft.yaml of which anything can be read; whatever else
    is wrong is a problem.
    """
    if not os.path.isfile(folder / MARK):
        if os.path.isdir(folder) and not os.access(folder, os.R_OK | os.X_OK):
            raise NotContent(f"{folder} can't be read: you have no permission to look into it.")
        raise NotContent(f"{folder} isn't a content folder: there is no {MARK} in it.")
    with paused():
        return _load(folder, cache)


def _load(folder: Path, cache: Path | None) -> Loaded:
    found = walk(folder)
    _listed(folder, found)
    astray = {problem.where: problem for problem in misplaced(found.strays)}
    problems = [astray.get(p.where, p) if p.advice else p for p in found.problems]
    entries, digests = _read_all(found, cache, problems)
    _legible(folder, entries, problems)
    for entry in entries.values():
        problems += entry.problems
    library = _library(found, entries)
    problems += _lost_pieces(library, entries)
    problems += _absent(folder, found, library)
    pictures = {id_: Path(picture.file) for id_, picture in found.pictures.items()}
    alone = {id_: pictures.pop(id_) for id_ in set(pictures) - set(library.photos)}
    return Loaded(
        library,
        tuple(sorted(set(problems))),
        MappingProxyType(pictures),
        MappingProxyType(digests),
        MappingProxyType(dict(sorted(alone.items()))),
    )


def _listed(folder: Path, found: Walk) -> None:
    """Raises `NotContent` where the folder itself can't be listed."""
    for problem in found.problems:
        if problem.where.path == "." and problem.code == "folder-unreadable":
            raise NotContent(f"{folder} can't be read. {problem.says}")


def _legible(folder: Path, entries: Mapping[str, Entry], problems: list[Problem]) -> None:
    """Raises `NotContent` where nothing of aircraft.yaml could be read."""
    entry = entries[MARK]
    if set(fields_of(type(entry.made))) - set(entry.made.lost):
        return
    told = [p for p in (*problems, *entry.problems) if p.where.path == MARK]
    raise NotContent(f"Nothing of {folder / MARK} can be read. {told[0].says if told else ''}")


def _read_all(
    found: Walk, cache: Path | None, problems: list[Problem]
) -> tuple[dict[str, Entry], dict[str, str]]:
    """What each file gave, and the checksums: first all are hashed, then the changed ones read."""
    fetched = RECORDS.fetch(cache) if cache else None
    before: Kept = fetched if isinstance(fetched, dict) else {}
    entries: dict[str, Entry] = {}
    digests: dict[str, str] = {}
    for file in (*found.records, *found.translations):
        data = _bytes(file, problems)
        digest = "" if data is None else hashlib.sha256(data).hexdigest()
        digests[file.path] = digest
        kept = before.get(file.path)
        if kept is not None and kept[0] == digest:
            entries[file.path] = kept[1]
        else:
            entries[file.path] = _read(file, data)
    fresh = {path: (digests[path], entry) for path, entry in entries.items() if digests[path]}
    changed = len(fresh) != len(before) or any(
        before[path][1] is not entry if path in before else True
        for path, (_, entry) in fresh.items()
    )
    if cache and changed:
        RECORDS.keep(cache, fresh)
    return entries, {path: digest for path, digest in digests.items() if digest}


def _read(file: Found, data: bytes | None) -> Entry:
    if file.language:
        return read_translation(file.path, data) if data is not None else Entry(None, ())
    cls = SINGLES.get(file.path) or KINDS[file.kind]
    if data is None:  # its id is known, so that what names it isn't reported as well
        return Entry(cls(id=file.id, path=file.path, marks=all_lost(cls, (0, 0))), ())
    return read_record(file.path, data, cls, file.id)


def _bytes(file: Found, problems: list[Problem]) -> bytes | None:
    """The bytes of a record's file; None, and a problem, where it is too large or can't be read."""
    try:
        with open(file.file, "rb", buffering=0) as handle:
            data = handle.read(MAX_BYTES + 1) or b""
    except OSError as error:
        says = f"The file can't be read: {error.strerror or error}."
        problems.append(
            Problem(Where(file.path), "file-unreadable", says, "Check its permissions.")
        )
        return None
    if len(data) <= MAX_BYTES:
        return data
    says = "The file is larger than 1 MiB, the most that is read as a record."
    hint = "Keep long transcripts as a file of their own beside the archive, and quote from them."
    problems.append(Problem(Where(file.path), "file-large", says, hint))
    return None


def _library(found: Walk, entries: Mapping[str, Entry]) -> Library:
    shelves: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
    singles: dict[str, Any] = {}
    for file in sorted(found.records, key=lambda f: f.id):
        record = entries[file.path].made
        if file.kind in KINDS:
            shelves[file.kind][file.id] = record
        else:
            singles[_SINGLE_FIELDS[file.kind]] = record
    for file in found.translations:
        record = shelves[file.kind].get(file.id)
        made = entries[file.path].made
        if record is not None and made is not None:
            both = {**record.translations, file.language: made}
            shelves[file.kind][file.id] = dataclasses.replace(record, translations=both)
    singles |= {kind: MappingProxyType(shelf) for kind, shelf in shelves.items()}
    return dataclasses.replace(EMPTY, **singles)


def _lost_pieces(library: Library, entries: Mapping[str, Entry]) -> list[Problem]:
    """Comments that are the very pieces of the record named before them."""
    problems = []
    for entry in entries.values():
        for suspect in entry.suspects:
            record = library.get(suspect.ref.partition("#")[0])
            if record is not None and suspect.piece in pieces_of(record):
                says = f"`#{suspect.piece}` after a blank is a comment: the piece is lost."
                hint = f"Close it up: {suspect.ref}#{suspect.piece}"
                problems.append(Problem(suspect.where, "piece-lost", says, hint))
            else:
                problems.append(suspect.cut())
    return problems


def _absent(folder: Path, found: Walk, library: Library) -> list[Problem]:
    """Files that ought to be there: the other single files, and the picture of each note."""
    there = {file.path for file in found.records}
    problems = []
    for name in REQUIRED_SINGLES:
        if name not in there and not (folder / name).exists():
            problems.append(
                Problem(Where(name), "file-missing", f"There is no {name}.", _EXAMPLES[name])
            )
    notes = [photo for id_, photo in library.photos.items() if id_ not in found.pictures]
    removed = removed_paths(folder) if notes else frozenset()
    for photo in notes:
        stem = photo.path.removesuffix(".md")
        if not any(path.rpartition(".")[0] == stem for path in removed):
            says = "There is no picture beside this note."
            hint = f"Put it at {stem}.jpg, or take the note out."
            problems.append(Problem(Where(photo.path), "picture-missing", says, hint))
    return problems


_EXAMPLES = {
    MARK: "`witnessmark new` shows what it looks like.",
    "zones.yaml": "Write it, for example:\nzones:\n  - {id: 510, name: Port lower wing}",
    "people.yaml": "Write it, for example:\npeople:\n"
    "  - {id: hanne-brekk, initials: HB, name: Hanne Brekk}",
}


def removed_paths(folder: Path) -> frozenset[str]:
    """The paths that removed.yaml lists as taken out on purpose."""
    try:
        data = (folder / "removed.yaml").read_bytes()[:MAX_BYTES]
    except OSError:
        return frozenset()
    aside: list[Problem] = []
    paths = set()
    todo: list[Any] = [v for _, v in compose("", text_of("", data, aside), 1, aside).pairs]
    while todo:
        node = todo.pop()
        if isinstance(node, yaml.SequenceNode):
            todo += node.value
        elif isinstance(node, yaml.MappingNode):
            paths |= {value.value for key, value in node.value if key.value == "path"}
    return frozenset(path for path in paths if isinstance(path, str))


assert set(_SINGLE_FIELDS) == set(SINGLES)
