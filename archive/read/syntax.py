"""What a YAML syntax error means in plain words, where it begins, and how to mend it."""

from __future__ import annotations

import re
from typing import Any

from archive.core.problems import Problem, Where

_QUOTE = "Put the whole text in quotes."

# What the parser says → (place: where it begins or where it was noticed, sentence, hint).
_MEANINGS = (
    (
        r"mapping values are not allowed",
        "noticed",
        "A second colon followed by a blank stands in one value, or the lines don't line up.",
        "Put a text with a colon in quotes; fields of one group begin in the same column.",
    ),
    (
        r"(expected|find expected) ',' or '\]'",
        "begins",
        "The list that opens here with [ isn't closed.",
        "Close it with ], or check for a missing comma.",
    ),
    (
        r"(expected|find expected) ',' or '}'",
        "begins",
        "The group that opens here with { isn't closed.",
        "Close it with }, or check for a missing comma.",
    ),
    (
        r"end of stream",
        "begins",
        "The quotation mark that opens here isn't closed.",
        "Close it; inside single quotes an apostrophe is written twice.",
    ),
    (
        r"unknown escape character",
        "noticed",
        "A backslash in double quotes means something of its own.",
        "Use single quotes, or write the backslash twice.",
    ),
    (
        r"could not find expected ':'",
        "begins",
        "This line has no colon after a field's name.",
        "Write `name: value`; indent a line that carries on the text above.",
    ),
    (
        r"exceeded maximum nesting depth",
        "noticed",
        "The fields are nested far too deep here.",
        "Take out the repeated brackets or dashes.",
    ),
    (
        r"alphabetic or numeric character|expected alphanumeric",
        "begins",
        "A text can't begin with * or & unless it is in quotes.",
        _QUOTE,
    ),
    (
        r"expected a single document",
        "noticed",
        "A second set of fields begins here.",
        "Keep one set of fields in a file.",
    ),
    (
        r"block sequence entries are not allowed",
        "noticed",
        "A list can't begin on the line of its field's name.",
        "Put each `- item` on a line of its own, below the name.",
    ),
    (
        r"expected <block end>|did not find expected key|did not find expected '-' indicator",
        "noticed",
        "Text goes on here where the value had ended, or the lines don't line up.",
        "Check the quotation marks and brackets before it, and begin like lines in one column.",
    ),
    (
        r"block scalar|expected comment or line break|chomping or indentation",
        "noticed",
        "After | or > the text begins on the next line.",
        "Start a new line after it, or put a text that begins with | or > in quotes.",
    ),
)


def explain(path: str, text: str, first_line: int, error: Exception) -> Problem:
    """The problem that stands for a parser's error in `text`, which begins on `first_line`."""
    if isinstance(error, RecursionError):
        return Problem(
            Where(path, first_line, 1),
            "yaml-deep",
            "The fields are nested far too deep.",
            "Take out the repeated brackets or dashes.",
        )
    said = " ".join(str(getattr(error, name, None) or "") for name in ("context", "problem"))
    begins: Any = getattr(error, "context_mark", None)
    noticed: Any = getattr(error, "problem_mark", None) or begins
    begins = begins or noticed
    if noticed is None:
        offset = getattr(error, "position", 0)
        line, column = text.count("\n", 0, offset), offset - text.rfind("\n", 0, offset) - 1
        where = Where(path, first_line + line, column + 1)
        return Problem(where, "yaml-syntax", "A character here isn't text.", "Delete it.")
    if "cannot start any token" in said or "tab character" in said:
        return _odd_start(path, text, first_line, noticed)
    swallowed = _comment(path, text, first_line, begins) or _odd_blank(path, text, first_line)
    if swallowed:
        return swallowed
    for pattern, place, says, hint in _MEANINGS:
        if re.search(pattern, said):
            mark = begins if place == "begins" else noticed
            code = "yaml-deep" if "nesting depth" in said else "yaml-syntax"
            return Problem(_where(path, text, first_line, mark), code, says, hint)
    says = "The fields can't be read from here on."
    hint = "Check the quotation marks, brackets and indentation just before it."
    return Problem(_where(path, text, first_line, noticed), "yaml-syntax", says, hint)


def _odd_start(path: str, text: str, first_line: int, mark: Any) -> Problem:
    lines = text.split("\n")
    line = lines[mark.line] if mark.line < len(lines) else ""
    char = line[mark.column : mark.column + 1]
    if char == "\t" or "\t" in line[: mark.column]:
        says, hint = "A tab stands here; lines are indented with blanks.", "Use two blanks instead."
    else:
        says, hint = f"A text can't begin with {char or 'this character'} unquoted.", _QUOTE
    where = _where(path, text, first_line, mark)
    if "\t" in line[: mark.column + 1]:
        where = Where(path, where.line, line.index("\t") + 1)
    return Problem(where, "yaml-syntax", says, hint)


def _comment(path: str, text: str, first_line: int, mark: Any) -> Problem | None:
    """A list or group on one line, the end of which a blank and # make a comment."""
    lines = text.split("\n")
    line = lines[mark.line] if mark.line < len(lines) else ""
    close = {"[": "]", "{": "}"}.get(line[mark.column : mark.column + 1])
    found = re.compile(r"[ \t]+#.*").search(line, mark.column)
    if close is None or found is None or close not in found[0]:
        return None
    where = Where(path, first_line + mark.line, found.start() + 1)
    says = f"The blank before # makes a comment of the rest, and the {close} is lost with it."
    hint = "Take the blank out (`slipway#chine`), or put a text with # in quotes."
    return Problem(where, "yaml-syntax", says, hint)


_ODD_BLANK = re.compile(r"^[ \t]*(?:- +)?[\w-]+:([\u00a0\u2007\u2009\u202f])", re.M)


def _odd_blank(path: str, text: str, first_line: int) -> Problem | None:
    """A colon with a no-break space after it, which parts nothing."""
    found = _ODD_BLANK.search(text)
    if found is None:
        return None
    line = text.count("\n", 0, found.start(1))
    where = Where(path, first_line + line, found.start(1) - text.rfind("\n", 0, found.start(1)))
    says = "A no-break space stands after the colon, and doesn't part the value from the name."
    return Problem(where, "yaml-syntax", says, "Type a plain blank in its place.")


def _where(path: str, text: str, first_line: int, mark: Any) -> Where:
    """A parser's mark as a place in the file; the end of the text is its last written line."""
    line, column = mark.line, mark.column
    last = len(text.rstrip("\n").split("\n")) - 1
    if line > last:
        line, column = last, len(text.rstrip("\n").split("\n")[last])
    return Where(path, first_line + line, column + 1)
