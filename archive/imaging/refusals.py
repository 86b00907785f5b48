"""Why an image can't be used, as a value with a word, a sentence and a way to mend it."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.messages import MESSAGES


@dataclass(frozen=True, order=True, slots=True)
class ImageRefused:
    """One image that can't be used; the others go on.

    `code` is a word of `core.messages.MESSAGES`; `says` is a whole sentence about this file,
    without its path (the caller knows the place); `hint` says how to mend it.
    """

    code: str
    says: str
    hint: str = ""


class Refused(Exception):
    """Carries an `ImageRefused` up to the one place that turns it into an answer."""

    def __init__(self, refusal: ImageRefused) -> None:
        super().__init__(refusal.says)
        self.refusal = refusal


def refusal(code: str, says: str) -> ImageRefused:
    """The refusal of one file: `says` about this file, with the hint that belongs to `code`."""
    return ImageRefused(code, says, MESSAGES[code].mend)


def refused(code: str, says: str) -> Refused:
    """The same as something to raise inside the child."""
    return Refused(refusal(code, says))
