"""One file while it is read: its path, where its fields begin, and what was found wrong with it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from archive.core.problems import Problem, Where

_COMMENT = re.compile(r"[ \t]+(#[a-z0-9][a-z0-9-]*)[ \t]*$")


@dataclass(frozen=True, slots=True)
class Suspect:
    """A comment that may be the piece of a REF, parted from it by a blank."""

    where: Where
    ref: str
    piece: str


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

    def suspect(self, node: Any, ref: str) -> None:
        """Keeps in mind a comment right after a REF: it may be a piece that lost its place."""
        end = node.end_mark
        lines = self.text.split("\n")
        found = _COMMENT.match(lines[end.line], end.column) if end.line < len(lines) else None
        if found:
            where = Where(self.path, end.line + self.first_line, found.start(1) + 1)
            self.suspects.append(Suspect(where, ref, found[1][1:]))


def shown(text: str, most: int = 60) -> str:
    """A text as it may stand in a sentence: on one line, printable, not too long."""
    flat = "".join(c if c.isprintable() else " " if c == "\n" else f"\\u{ord(c):04x}" for c in text)
    return flat if len(flat) <= most else flat[: most - 1] + "…"
