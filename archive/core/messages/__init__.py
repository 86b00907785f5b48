"""Every word that a message may carry, and what the manual says of it."""

from __future__ import annotations

from archive.core.messages.arrivals import ARRIVALS
from archive.core.messages.disk import DISK
from archive.core.messages.files import FILES
from archive.core.messages.message import Message
from archive.core.messages.pictures import PICTURES
from archive.core.messages.records import RECORDS
from archive.core.messages.values import VALUES

MESSAGES: dict[str, Message] = dict(
    sorted({**ARRIVALS, **VALUES, **PICTURES, **FILES, **RECORDS, **DISK}.items())
)
"""Code → what happened, the usual cause, what to do; in the order of the codes."""

__all__ = ["MESSAGES", "Message"]
