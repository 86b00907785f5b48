"""What a person left to be done: each line of a record's prose that begins with `- [ ]`."""

from __future__ import annotations

import re
from collections.abc import Iterator

from archive.core.problems import Problem, Where
from archive.records.library import Library

_OPEN = re.compile(r"^ {0,3}[-*+] \[ \] +(\S[^\n]*)", re.M)
_MOST = 200


def open_todos(library: Library) -> Iterator[Problem]:
    """A box that isn't ticked is told until it is."""
    for record in library.records:
        if "[ ]" not in record.prose:
            continue
        for found in _OPEN.finditer(record.prose):
            line = record.prose_line + record.prose.count("\n", 0, found.start())
            text = found[1].rstrip()
            says = f"To do: {text if len(text) <= _MOST else text[: _MOST - 1] + '…'}"
            says = says if says.endswith((".", "?", "!", "…")) else f"{says}."
            hint = "Do it, then write [x] for [ ], or take the line out."
            yield Problem(Where(record.path, line, 1), "to-do-open", says, hint, advice=True)
