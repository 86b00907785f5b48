"""The register of cutting cards: one file a card, a number never given twice, issues added below.

A number is taken under a lock, and noted before the card's file is there: a writer that is killed
in between loses a number, and none comes back. The file itself appears whole, in one step, and only
where there is none; an issue more is one list item more, with every other line left as it is.
"""

from __future__ import annotations

import dataclasses
import json
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from archive.core.atomic import CannotWrite, flush, write_bytes, write_new
from archive.read.records import read_record
from archive.records.card import Card, Issue, code_of
from archive.records.spec import Node, fields_of, key_of
from archive.write.edit import add_item

try:
    import fcntl
except ImportError:  # Windows: a card's file still appears only where there is none
    _LOCK = None
else:
    _LOCK = fcntl

FOLDER = Card.kind
LAST = ".last-number"
"""The file beside the cards that remembers the last number given, for cards that were deleted."""

DIGITS = 4

_NAME = re.compile(r"(\d{4,})\.yaml\Z")
_PLAIN = re.compile(r"[a-z][a-z0-9-]*\Z")
_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})


def issue_card(folder: Path, part: str, drawn: Issue, on: date, by: str | None) -> Card:
    """Write a new card for the part (a REF), with its first issue, and give it.

    `drawn` is what it leans on. Raises `CannotWrite` where the disk refuses; nothing of a card is
    there then.
    """
    place = folder / FOLDER
    try:
        place.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotWrite.because(place, error) from error
    while True:
        number = f"{_next_number(place):0{DIGITS}}"
        card = Card(
            id=number,
            path=f"{FOLDER}/{number}.yaml",
            part=part,
            issues=(_numbered(drawn, number, part, 1, on, by),),
        )
        text = text_of_card(card)
        if _bare(read_record(card.path, text.encode(), Card, number).made) != card:
            raise CannotWrite(folder / card.path, f"Card {number} can't be written as it was read.")
        try:
            write_new(folder / card.path, text)
        except FileExistsError:
            continue  # somebody was quicker, where the disk has no locks
        return card


def issue_again(folder: Path, card: Card, drawn: Issue, on: date, by: str | None) -> Card:
    """Add an issue to a card's file, and give the card; the issues before are superseded.

    Raises `CannotWrite` where the file was changed meanwhile, or the disk refuses.
    """
    number = len(card.issues) + 1
    issue = _numbered(drawn, card.id, card.part, number, on, by)

    def then(before: Any) -> Any:
        return dataclasses.replace(before, issues=(*before.issues, issue))

    with _locked(folder / FOLDER):
        add_item(folder, card, "issues", "\n".join(_lines_of(issue)), then)
    return dataclasses.replace(card, issues=(*card.issues, issue))


def text_of_card(card: Card) -> str:
    """The text of a new card's file."""
    lines = [
        "# Written by `witnessmark card`. People add `cut:`, `returned:` and `withdrawn:` only.",
        f"part: {card.part}",
        "issues:",
    ]
    for issue in card.issues:
        first, *rest = _lines_of(issue)
        lines += [f"  - {first}", *(f"    {line}" for line in rest)]
    return "\n".join(lines) + "\n"


def _numbered(
    drawn: Issue, number: str, part: str | None, issue: int, on: date, by: str | None
) -> Issue:
    made = dataclasses.replace(drawn, issue=issue, on=on, by=by)
    return dataclasses.replace(made, code=code_of(number, part, made))


def _bare(card: Card) -> Card:
    return dataclasses.replace(card, translations={}, prose_line=0)


def _lines_of(issue: Issue) -> Iterator[str]:
    """The lines of an issue as YAML, claims and decisions one a line; what is empty is left out."""
    for name, spec in fields_of(Issue).items():
        value = getattr(issue, name)
        if value is None or value == ():
            continue
        if spec.node is not None:
            yield f"{key_of(name, spec)}:"
            for one in value:
                yield f"  - {{{', '.join(_pairs(one))}}}"
        elif spec.many:
            yield f"{key_of(name, spec)}: [{', '.join(value)}]"
        else:
            yield f"{key_of(name, spec)}: {_scalar(value)}"


def _pairs(group: Node) -> Iterator[str]:
    for name, spec in fields_of(type(group)).items():
        value = getattr(group, name)
        if value is not None:
            yield f"{key_of(name, spec)}: {_scalar(value)}"


def _scalar(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    if isinstance(value, int):
        return str(value)
    text = str(value)
    plain = _PLAIN.match(text) and text not in _WORDS
    return text if plain else json.dumps(text, ensure_ascii=False)


def _next_number(place: Path) -> int:
    """A number above all that were ever given here, noted before anybody uses it."""
    with _locked(place) as handle:
        try:
            noted = os.pread(handle, 20, 0) if hasattr(os, "pread") else os.read(handle, 20)
            last = int(noted) if noted.strip().isdigit() else 0
            there = (_NAME.match(entry.name) for entry in os.scandir(place))
            number = max([last, *(int(found[1]) for found in there if found)]) + 1
            os.lseek(handle, 0, os.SEEK_SET)
            write_bytes(handle, f"{number}\n".encode())
            flush(handle)
        except OSError as error:
            raise CannotWrite.because(place / LAST, error) from error
    return number


@contextmanager
def _locked(place: Path) -> Iterator[int]:
    """Hold off every other writer of the register; a lock of a killed process goes with it."""
    try:
        handle = os.open(place / LAST, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise CannotWrite.because(place / LAST, error) from error
    try:
        if _LOCK is not None:
            _LOCK.flock(handle, _LOCK.LOCK_EX)
        yield handle
    finally:
        os.close(handle)
