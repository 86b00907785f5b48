"""What the manual says of one message."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Message:
    """Three sentences: what happened, the usual cause, what to do."""

    happened: str
    cause: str
    mend: str
