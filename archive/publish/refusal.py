"""Why a site is not put where it was asked for: one sentence, and a way out."""

from __future__ import annotations


class Refused(Exception):
    """Publishing stopped before anything was changed.

    `code` is a word of `core.messages.MESSAGES`, `says` a whole sentence about this case, `hint`
    a way out. The command that caught it chooses the exit code.
    """

    def __init__(self, code: str, says: str, hint: str = "") -> None:
        super().__init__(code, says, hint)
        self.code = code
        self.says = says
        self.hint = hint

    def __str__(self) -> str:
        return self.says
