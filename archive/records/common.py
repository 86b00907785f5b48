"""Fields that every record may carry: who recorded it, when, what for, and who may see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.spec import Node, Record, spec_field, text


@dataclass(frozen=True, kw_only=True)
class Titled(Record):
    """A record with a title and the recorder's particulars."""

    title: str | None = text("What the record is called on the pages.", required=True)
    number: str | None = text("The team's own number, such as `P-114`; kept as written.")
    by: str | None = spec_field("person", "Who made this record.")
    on: Any = spec_field("day", "The day it was made.")
    purpose: str | None = text("Why it was made.")
    sealed: bool | None = spec_field(
        "yesno", "Kept from all but the record's own keepers: `yes` leaves it off every site."
    )


@dataclass(frozen=True, kw_only=True)
class Signed(Node):
    """A person's name under something."""

    by: str | None = spec_field("person", "Who.", required=True)
    on: Any = spec_field("day", "On which day.", required=True)
