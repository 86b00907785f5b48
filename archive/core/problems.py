"""What is wrong with a file, said so that its writer can mend it: where, what, and a way out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True, slots=True)
class Where:
    """A place in a file of the content folder.

    `path` is relative to the content folder, with forward slashes; `line` and `column` count
    from 1, and are 0 where the trouble is with the file as a whole.
    """

    path: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}" if self.line else self.path


@dataclass(frozen=True, order=True, slots=True)
class Problem:
    """One fault in the content.

    `code` is a word of `core.messages.MESSAGES`; `says` is a whole sentence about this case;
    `hint` says how to mend it. `advice` marks what is worth changing yet refuses nothing:
    advice leaves the exit code at 0.
    """

    where: Where
    code: str
    says: str
    hint: str = ""
    advice: bool = False

    def __str__(self) -> str:
        grade = "advice" if self.advice else "problem"
        text = f"{self.where}: {grade}[{self.code}]: {self.says}"
        hint = self.hint.replace("\n", "\n    ")
        return f"{text}\n    {hint}" if hint else text

    def as_json(self) -> dict[str, object]:
        """The fields as plain values, for `--json`."""
        return {
            "path": self.where.path,
            "line": self.where.line,
            "column": self.where.column,
            "code": self.code,
            "says": self.says,
            "hint": self.hint,
            "advice": self.advice,
        }


class Unreadable(ValueError):
    """A text that a parser of `core` can't take; the reader makes a `Problem` of it.

    Attributes: `code` (a word of `core.messages.MESSAGES`), `says`, `hint`, and `at`, the offset
    in characters into the text where the trouble starts.
    """

    def __init__(self, code: str, says: str, hint: str = "", at: int = 0) -> None:
        super().__init__(says)
        self.code = code
        self.says = says
        self.hint = hint
        self.at = at
