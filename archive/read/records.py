"""One file into one record, whatever is wrong with it: what can't be read is left out and told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.core.problems import Problem, Where
from archive.read.fields import read_fields
from archive.read.front import Front, guard_prose, prose_taken_for_fields, split, text_of
from archive.read.nodes import Composed, compose
from archive.read.sheet import Sheet, Suspect
from archive.records.schema import KINDS, likely_kind, words_of
from archive.records.spec import Mark, Node, Record, Translation, fields_of, key_of, text

_BROKEN = ("yaml-", "fields-", "file-")
"""Codes of what makes fields go astray before they are read."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What one file gave: its record (or translation), what is wrong, and comments to look into."""

    made: Any
    problems: tuple[Problem, ...]
    suspects: tuple[Suspect, ...] = ()


@dataclass(frozen=True, kw_only=True)
class TranslatedFields(Node):
    """What a translation says of itself: all else stands in the record that it belongs to."""

    title: str | None = text("The title in this language.", required=True)
    summary: str | None = text("Its summary.")
    plain: str | None = text("A story in plain words.")
    alt: str | None = text("A picture in a sentence.")
    label: str | None = text("The words of a part's label.")
    question: str | None = text("What is asked.")
    because: str | None = text("Why a decision was made.")
    told: str | None = text("Why a decision was made, in words for visitors.")
    would_settle: str | None = text("What would settle a question.")


def read_record(path: str, data: bytes, cls: type[Record], id_: str) -> Entry:
    """The record in a file of the content folder; `path` is relative to it."""
    sheet, prose, prose_line, values, marks = _read(path, data, cls)
    record = cls(id=id_, path=path, prose=prose, prose_line=prose_line, marks=marks, **values)
    return Entry(record, tuple(sheet.problems), tuple(sheet.suspects))


def read_translation(path: str, data: bytes) -> Entry:
    """The translation in a file `ID.LANG.md`."""
    sheet, prose, _, values, _ = _read(path, data, TranslatedFields)
    texts = {name: said for name, said in values.items() if name != "title" and said}
    made = Translation(values.get("title") or "", prose, path, texts)
    return Entry(made, tuple(sheet.problems))


def _read(
    path: str, data: bytes, cls: type[Node]
) -> tuple[Sheet, str, int, dict[str, Any], dict[str, tuple[int, int]]]:
    problems: list[Problem] = []
    whole = text_of(path, data, problems)
    prose, prose_line, fields, line = "", 0, whole, 1
    if path.endswith(".md"):
        front, composed = _halves(path, whole, cls, problems)
        prose = guard_prose(path, front, problems)
        fields, line = front.fields, front.fields_line
        prose_line = front.prose_line if prose else 0
    else:
        composed = compose(path, fields, line, problems)
    broken = any(p.code.startswith(_BROKEN) for p in problems)
    before = len(problems)
    sheet = Sheet(path, line, fields, problems, comments=" #" in fields or "\t#" in fields)
    values, marks = read_fields(sheet, composed.pairs, cls, composed.start)
    if len(problems) > before:
        problems[before:] = _of_another_kind(path, composed, cls) or problems[before:]
    if broken and not composed.pairs:
        marks |= all_lost(cls, composed.start)
    elif broken:
        for name, spec in fields_of(cls).items():
            if key_of(name, spec) in composed.lost:
                marks[f"!{name}"] = composed.start
    if broken:
        # A field that was lost with a broken line isn't missing: that line is what to mend.
        at = Where(path, *composed.start)
        problems[:] = [p for p in problems if p.code != "field-missing" or p.where != at]
    return sheet, prose, prose_line, values, marks


def all_lost(cls: type[Node], place: Mark) -> dict[str, Mark]:
    """The marks of a record of which nothing could be read."""
    return {f"!{name}": place for name in fields_of(cls)}


def _halves(
    path: str, whole: str, cls: type[Node], problems: list[Problem]
) -> tuple[Front, Composed]:
    """A note's fields and prose, parted where they were meant to be if the closing --- lacks."""
    before = len(problems)
    front = split(path, whole, problems)
    composed = compose(path, front.fields, front.fields_line, problems)
    if all(p.code not in ("fields-open", "yaml-syntax") for p in problems[before:]):
        return front, composed
    words = {key_of(name, spec) for name, spec in fields_of(cls).items()}
    meant = prose_taken_for_fields(whole, front, words)
    if meant is None:
        return front, composed
    says = "The closing --- is missing: the prose from here on would be taken for fields."
    hint = "Put a line of --- above this line."
    problems[before:] = [Problem(Where(path, meant.prose_line, 1), "fields-open", says, hint)]
    return meant, compose(path, meant.fields, meant.fields_line, problems)


def _of_another_kind(path: str, composed: Composed, cls: type[Node]) -> list[Problem]:
    """One problem in place of many where the fields are those of a record of another kind."""
    if KINDS.get(getattr(cls, "kind", "")) is not cls:
        return []
    words = {str(key.value) for key, _ in composed.pairs}
    kind = likely_kind(words)
    if kind is None:
        return []
    other, known, theirs = KINDS[kind], words & words_of(cls), words & words_of(KINDS[kind])
    if len(theirs) < len(known) + (1 if words <= theirs else 2):
        return []
    says = f"The fields are those of {other.what}; {cls.what} can't be made of them."
    return [Problem(Where(path), "folder-wrong", says, f"Move it to {kind}/.")]
