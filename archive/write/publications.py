"""The record of an edition that went out, written beside the records, never over another."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from archive.core.atomic import CannotWrite, write_file
from archive.core.publications import Publication
from archive.read.publications import FOLDER

MOST = 9999
"""Editions of one day that can be told apart."""


def keep_publication(folder: Path, publication: Publication) -> Publication:
    """Write the record of an edition under the next free name of its day, and give it as named.

    Raises `CannotWrite` where the disk refuses.
    """
    place = folder / FOLDER
    try:
        place.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotWrite.because(place, error) from error
    for number in range(1, MOST + 1):
        named = replace(publication, name=f"{publication.on.isoformat()}-{number}")
        path = folder / named.path
        if not path.exists():
            write_file(path, text_of(named))
            return named
    raise CannotWrite(place, f"There are {MOST} editions of that day.", "Choose another day.")


def text_of(publication: Publication) -> str:
    """The text of an edition's record; the same edition gives the same text."""
    return "\n".join(_lines(publication)) + "\n"


def _lines(one: Publication) -> Iterator[str]:
    yield "# Written by `witnessmark build --publish`; add to `copies` whoever gets one later."
    yield f"on: {one.on.isoformat()}"
    yield f"for: {one.audience}"
    yield f"build: {one.build}"
    yield "copies:"
    for whom in one.copies:
        yield f"  - {json.dumps(whom, ensure_ascii=False)}"
    yield "carried:"
    for ref, carried in one.carried.items():
        fields = {"grade": carried.grade, "label": carried.label}
        said = {name: text for name, text in fields.items() if text}
        yield f"  {json.dumps(ref)}: {json.dumps(said, ensure_ascii=False)}"
