"""The columns that a sheet may have: the fields of a photograph and of its source, by their words.

There is no list of columns: they follow from the records. `date.stated` and `source.rights.credit`
are whole names; a last piece alone will do where only one field ends so (`credit`), and of several
the one that lies nearest to the photograph is meant (`holder` is the source's, not the rights').
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from archive.records.photo import Photo
from archive.records.source import Source
from archive.records.spec import Node, Spec, fields_of, key_of

SOURCE = "source"
FILE, ID, CAPTION = "file", "id", "caption"

ALSO: Mapping[str, str] = MappingProxyType(
    {
        "filename": FILE,
        "name": FILE,
        "date": "date.stated",
        "photographer": "source.citation.author",
        "rights": "source.rights.basis",
    }
)
"""The trade's own word for a column → its name."""

_DRAWN = frozenset({"point", "outline"})
_OWN = frozenset({"file", "picks_ruled"})
"""What is drawn on a picture, and what the program says of a file itself, no sheet tells."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its whole name, the words that lead to its field in the record, and the field.

    `of_source` says that the field is the source's, not the photograph's; of `file`, `id` and
    `caption` there are no words, for they are no fields.
    """

    name: str
    words: tuple[str, ...]
    spec: Spec
    of_source: bool = False


@cache
def columns() -> Mapping[str, Column]:
    """Every column by its whole name: the photograph's first, then the source's."""
    own = {
        FILE: "The picture's file name, as it is on the disk.",
        ID: "The record's name; proposed where left out.",
        CAPTION: "The caption that came with it, kept in the prose.",
    }
    found = {name: Column(name, (), Spec("text", says)) for name, says in own.items()}
    for words, spec in _leaves(Photo, ()):
        if words[0] not in _OWN:
            found[".".join(words)] = Column(".".join(words), words, spec)
    for words, spec in _leaves(Source, ()):
        name = ".".join((SOURCE, *words))
        found[name] = Column(name, words, spec, of_source=True)
    return MappingProxyType(found)


def _leaves(cls: type[Node], above: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Spec]]:
    for field, spec in fields_of(cls).items():
        words = (*above, key_of(field, spec))
        if spec.type == "node":
            if spec.node is not None and not spec.many:
                yield from _leaves(spec.node, words)
        elif not spec.table and spec.type not in _DRAWN and (spec.bare or not spec.judged):
            yield words, spec


def meant(heading: str) -> tuple[str, ...]:
    """The whole names of the columns that a heading may mean; one where it is clear.

    >>> meant("Photographer"), meant("Date"), meant("CREDIT"), meant("colour")
    (('source.citation.author',), ('date.stated',), ('source.rights.credit',), ())
    """
    word = _plain(heading)
    if not word:
        return ()
    also = ALSO.get(word)
    if also:
        return (also,)
    plain = {name: _plain(name) for name in columns()}
    whole = tuple(name for name, form in plain.items() if form == word)
    if whole:
        return whole
    ends = [name for name, form in plain.items() if form.endswith(f".{word}")]
    nearest = min((name.count(".") for name in ends), default=0)
    return tuple(name for name in ends if name.count(".") == nearest)


def _plain(heading: str) -> str:
    return re.sub(r"[\s_\-]+", "", heading).casefold()


assert all(name in columns() for name in ALSO.values())
