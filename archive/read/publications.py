"""Editions that went out, as `witnessmark build --publish` recorded them in `publications/`."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from archive.core.problems import Problem, Where
from archive.core.publications import Carried, Publication

FOLDER = "publications"
MAX_BYTES = 1 << 24
"""The largest record of an edition that is read: 16 MiB."""

_NAME = re.compile(r"\d{4}-\d\d-\d\d-\d{1,4}\Z")
_LINE = re.compile(r'  ("(?:[^"\\]|\\.)*"): (\{.*\})\Z')
_HINT = "Take it from a copy: it says who holds what of this record."


@dataclass(frozen=True, slots=True)
class Editions:
    """The editions that could be read, oldest first, and what is wrong with the others."""

    published: tuple[Publication, ...]
    problems: tuple[Problem, ...]


def read_publications(folder: Path) -> Editions:
    """Every edition of a content folder; a damaged one is a problem, never an error."""
    published: list[Publication] = []
    problems: list[Problem] = []
    for name, file in _files(folder / FOLDER):
        path = f"{FOLDER}/{name}.yaml"
        try:
            with open(file, "rb") as handle:
                data = handle.read(MAX_BYTES + 1)
            published.append(publication_of(name, data))
        except OSError as error:
            says = f"The record of an edition can't be read: {error.strerror or error}."
            problems.append(Problem(Where(path), "edition-damaged", says, "Check its permissions."))
        except ValueError as error:
            says = f"This is not as the program wrote it: {error}."
            problems.append(Problem(Where(path), "edition-damaged", says, _HINT))
    return Editions(tuple(published), tuple(problems))


def publication_of(name: str, data: bytes) -> Publication:
    """One edition from the bytes of its file. Raises ValueError where they aren't the program's."""
    if len(data) > MAX_BYTES:
        raise ValueError("it is larger than 16 MiB")
    heads: dict[str, str] = {}
    copies: list[str] = []
    carried: dict[str, Carried] = {}
    section = ""
    for line in data.decode("utf-8").replace("\r\n", "\n").split("\n"):
        if not line or line.startswith("#"):
            continue
        if line.startswith("  - "):
            copies.append(_text(json.loads(line[4:])))
        elif match := _LINE.match(line):
            if section != "carried":
                raise ValueError(f"“{line.strip()[:60]}” stands in no list")
            fields = json.loads(match[2])
            carried[json.loads(match[1])] = Carried(
                _text(fields.get("grade", "")), _text(fields.get("label", ""))
            )
        else:
            section, colon, value = line.partition(":")
            if not colon:
                raise ValueError(f"“{line.strip()[:60]}” is no line of it")
            heads[section] = value.strip()
    return _made(name, heads, copies, carried)


def _made(
    name: str, heads: Mapping[str, str], copies: list[str], carried: Mapping[str, Carried]
) -> Publication:
    for wanted in ("on", "for", "build", "copies", "carried"):
        if wanted not in heads:
            raise ValueError(f"{wanted} is missing")
    return Publication(
        name, date.fromisoformat(heads["on"]), heads["for"], heads["build"], tuple(copies), carried
    )


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{value!r} is no text")
    return value


def _files(folder: Path) -> Iterator[tuple[str, str]]:
    """(name, file) of each edition; links are left alone, for they may lead out of the folder."""
    if folder.is_symlink() or not folder.is_dir():
        return
    names = {
        entry.name.removesuffix(".yaml"): entry.path
        for entry in os.scandir(folder)
        if entry.name.endswith(".yaml") and entry.is_file(follow_symlinks=False)
    }

    def order(name: str) -> tuple[str, int]:
        day, _, number = name.rpartition("-")
        return day, int(number)

    for name in sorted(filter(_NAME.match, names), key=order):
        yield name, names[name]
