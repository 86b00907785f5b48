"""The people who record, read, decide, consent and lend; never published unless they agree."""

from __future__ import annotations

from dataclasses import dataclass

from archive.records.spec import Node, Record, node, spec_field, text


@dataclass(frozen=True, kw_only=True)
class Person(Node):
    """Somebody named in the records."""

    id: str = spec_field("name", "Their name, for `people/…`.", required=True)
    initials: str | None = text("What they sign with.", required=True)
    name: str | None = text("Their full name.", required=True)
    role: str | None = text("What they do here: lead, workshop, researcher, owner, museum, lender.")
    publish: bool | None = spec_field("yesno", "`yes` once they agree to be named in public.")


@dataclass(frozen=True, kw_only=True)
class People(Record):
    """Everybody named: `people.yaml`."""

    kind = "people"
    singular = "person"
    what = "the people"
    prose_allowed = False

    people: tuple[Person, ...] = node(Person, "The people.", many=True, required=True)
