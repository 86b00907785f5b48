"""One file while it is read: its path, where its fields begin, and what was found wrong with it."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import Any

import yaml

from archive.core.problems import Problem, Where

_COMMENT = re.compile(r"([ \t]+)(#.*)$")
_PIECE = re.compile(r"#[a-z0-9][a-z0-9-]*[ \t]*$")
_FREE = frozenset({"text", "length"})
"""Types whose values people write in several words, so that one blank parts nothing from them."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A comment that may be the piece of a REF, parted from it by a blank."""

    where: Where
    ref: str
    piece: str

    def cut(self) -> Problem:
        """The problem that it is where it is no piece."""
        return _cut(self.where, f"#{self.piece}")


@dataclass(slots=True)
class Sheet:
    """The state of one reading. `first_line` is the file's line on which the fields begin.

    `comments` says whether the fields hold ` #` at all, so that the search for lost pieces costs
    nothing in the files that don't.
    """

    path: str
    first_line: int
    text: str
    problems: list[Problem] = field(default_factory=list)
    suspects: list[Suspect] = field(default_factory=list)
    comments: bool = False
    _lines: list[str] = field(default_factory=list)

    def mark(self, node: Any) -> tuple[int, int]:
        """The line and column in the file, from 1, at which a node begins."""
        start = node.start_mark
        return start.line + self.first_line, start.column + 1

    def problem(self, code: str, node: Any, says: str, hint: str = "", offset: int = 0) -> None:
        """Reports something about a node, `offset` characters into its text."""
        line, column = self.mark(node)
        if offset and isinstance(node, yaml.ScalarNode) and node.style not in ("|", ">"):
            same_line = node.start_mark.line == node.end_mark.line
            column += (offset + bool(node.style)) if same_line else 0
        self.problems.append(Problem(Where(self.path, line, column), code, says, hint))

    def comment_after(self, node: Any, type: str, ref: str = "") -> None:
        """Looks whether YAML took the rest of a value for a comment, and reports it if so.

        A remark is parted from a text or a length by two blanks, and from # by one. What may be
        the piece of `ref` is kept in mind until all pieces are known.
        """
        end = node.end_mark
        if not self._lines:
            self._lines = self.text.split("\n")
        line = self._lines[end.line] if end.line < len(self._lines) else ""
        found = _COMMENT.match(line, end.column)
        if found is None:
            return
        blanks, comment = found[1], found[2].rstrip()
        where = Where(self.path, end.line + self.first_line, found.start(2) + 1)
        if ref and _PIECE.match(comment):
            self.suspects.append(Suspect(where, ref, comment[1:]))
        elif (
            comment[1:2] not in ("", " ", "\t", "#")
            or (type in _FREE and node.value and blanks == " ")
            or (type == "length" and _ERROR.match(comment))
        ):
            self.problems.append(_cut(where, comment))


_ERROR = re.compile(r"#[ \t]*(?:±|\+)")


def _cut(where: Where, comment: str) -> Problem:
    says = f"“{shown(comment)}” after a blank is a comment to YAML, and lost from the value."
    hint = "Put the whole value in quotes; if it is a remark, write two blanks, # and a blank."
    return Problem(where, "text-cut", says, hint)


def shown(text: str, most: int = 60) -> str:
    """A text as it may stand in a sentence: on one line, printable, not too long.

    >>> shown("port\\u00a0side")
    'port⟨no-break space⟩side'
    """
    flat = "".join(c if c.isprintable() else " " if c == "\n" else _named(c) for c in text)
    return flat if len(flat) <= most else flat[: most - 1] + "…"


def _named(char: str) -> str:
    """A character that can't be seen, by its name in Unicode."""
    return f"⟨{unicodedata.name(char, f'U+{ord(char):04X}').lower()}⟩"
