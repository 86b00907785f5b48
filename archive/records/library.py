"""All records of a content folder, indexed: what a REF names, and who names it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cached_property
from types import MappingProxyType
from typing import Any

from archive.records.aircraft import Aircraft, Configuration, Event, Sister
from archive.records.card import Card
from archive.records.claim import Claim
from archive.records.decision import Decision
from archive.records.measurement import Measurement
from archive.records.part import Part
from archive.records.person import People, Person
from archive.records.photo import Photo
from archive.records.policy import Policy
from archive.records.question import Question
from archive.records.schema import INNER, split_ref
from archive.records.source import Source
from archive.records.spec import Node, Record, fields_of
from archive.records.story import Story
from archive.records.survey import Survey
from archive.records.zone import Zone, Zones

Found = Record | Node


@dataclass(frozen=True)
class Library:
    """Every record that could be read. Each mapping is by id, in the order of the ids.

    `aircraft`, `zones` and `people` are None where the file is missing or unreadable.
    """

    aircraft: Aircraft | None
    zones_file: Zones | None
    people_file: People | None
    policy: Policy | None
    sources: Mapping[str, Source]
    photos: Mapping[str, Photo]
    parts: Mapping[str, Part]
    decisions: Mapping[str, Decision]
    questions: Mapping[str, Question]
    measurements: Mapping[str, Measurement]
    surveys: Mapping[str, Survey]
    stories: Mapping[str, Story]
    cards: Mapping[str, Card]

    @cached_property
    def zones(self) -> Mapping[str, Zone]:
        """Zone number → zone."""
        return by_id(self.zones_file.zones if self.zones_file else ())

    @cached_property
    def people(self) -> Mapping[str, Person]:
        """Person's id → person."""
        return by_id(self.people_file.people if self.people_file else ())

    @cached_property
    def events(self) -> Mapping[str, Event]:
        """Event's id → event of this aircraft."""
        return by_id(self.aircraft.events if self.aircraft else ())

    @cached_property
    def configurations(self) -> Mapping[str, Configuration]:
        """Configuration's id → configuration of this aircraft."""
        return by_id(self.aircraft.configurations if self.aircraft else ())

    @cached_property
    def sisters(self) -> Mapping[str, Sister]:
        """Sister's id → sister."""
        return by_id(self.aircraft.sisters if self.aircraft else ())

    def of_kind(self, kind: str) -> Mapping[str, Any]:
        """All records of a kind, by id; the one that is alone of its kind; empty for no kind."""
        found: Any = getattr(self, kind, None)
        if isinstance(found, Record):
            return {found.id: found}
        return found if isinstance(found, Mapping) else {}

    def person(self, written: str | None) -> Person | None:
        """The person whose id or initials are written."""
        if not written:
            return None
        return self.people.get(written) or self._initials.get(written)

    @cached_property
    def _initials(self) -> Mapping[str, Person]:
        return {person.initials: person for person in self.people.values() if person.initials}

    def get(self, ref: str) -> Found | None:
        """What a canonical REF names, a record or a piece of one; None where there is nothing."""
        kind, id_, piece = split_ref(ref)
        record = self.of_kind(kind).get(id_)
        if record is None or not piece:
            return record
        return pieces_of(record).get(piece)

    def title(self, ref: str) -> str:
        """What a REF is called on the pages: the record's title, or the piece's own words."""
        kind, id_, piece = split_ref(ref)
        record = self.of_kind(kind).get(id_)
        name = getattr(record, "title", None) or getattr(record, "name", None)
        if not name:
            name = getattr(record, "says", None) or getattr(record, "mark", None) or id_
        if not piece:
            return str(name)
        found = pieces_of(record).get(piece) if record is not None else None
        said = getattr(found, "says", None) or getattr(found, "name", None) or piece
        return f"{name}: {said}"

    @property
    def records(self) -> Iterator[Record]:
        """Every record that has a file of its own, kind by kind."""
        for field in fields(self):
            value = getattr(self, field.name)
            if isinstance(value, Record):
                yield value
            elif isinstance(value, Mapping):
                yield from value.values()

    def claims(self) -> Iterator[tuple[Part, Claim]]:
        """Every claim with its part, in order."""
        for part in self.parts.values():
            for claim in part.claims:
                yield part, claim

    @cached_property
    def named_by(self) -> Mapping[str, tuple[str, ...]]:
        """REF of a whole record → REFs of the records that name it or a piece of it, sorted."""
        found: dict[str, set[str]] = {}
        for record in self.records:
            for target, _, _ in refs_in(record):
                found.setdefault(target.partition("#")[0], set()).add(record.ref)
        return MappingProxyType(
            {ref: tuple(sorted(names - {ref})) for ref, names in sorted(found.items())}
        )


def by_id(nodes: tuple[Any, ...]) -> Mapping[str, Any]:
    """Nodes with an `id`, indexed; of two alike the first stands."""
    found: dict[str, Any] = {}
    for node in nodes:
        if node.id:
            found.setdefault(node.id, node)
    return MappingProxyType(found)


def pieces_of(record: Found) -> Mapping[str, Node]:
    """The addressable pieces of a record (`folder/id#piece`), by name, in file order."""
    found: dict[str, Node] = {}
    for name, spec in fields_of(type(record)).items():
        if spec.pieces:
            for piece in getattr(record, name):
                if piece.id:
                    found.setdefault(piece.id, piece)
    return found


def refs_in(node: Node) -> Iterator[tuple[str, Node, str]]:
    """Every REF written in a record or group: (REF, the group it stands in, the field's name)."""
    for name, spec in fields_of(type(node)).items():
        value = getattr(node, name)
        if value is None:
            continue
        if spec.type == "ref":
            if spec.many:
                for index, ref in enumerate(value):
                    yield ref, node, f"{name}[{index}]"
            else:
                yield value, node, name
        elif spec.type == "node":
            for inner in value if spec.many else (value,):
                yield from refs_in(inner)


def nodes_in(node: Node) -> Iterator[Node]:
    """A record or group and every group within it, judgements too, in the order of the fields."""
    yield node
    for name, spec in fields_of(type(node)).items():
        if spec.type != "node" and not spec.judged:
            continue
        value = getattr(node, name)
        if value is None:
            continue
        for inner in value if spec.many else (value,):
            yield from nodes_in(inner)


EMPTY = Library(
    aircraft=None,
    zones_file=None,
    people_file=None,
    policy=None,
    sources={},
    photos={},
    parts={},
    decisions={},
    questions={},
    measurements={},
    surveys={},
    stories={},
    cards={},
)
"""A library with nothing in it, to begin from."""

assert set(INNER) <= set(dir(EMPTY)), "every inner kind has its mapping"
