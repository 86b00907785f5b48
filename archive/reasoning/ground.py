"""What a claim is weighed on: the records, who counts with whom, and what can't be relied on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from functools import partial

from archive.core.dates import Day
from archive.core.likeness import Likeness, Related
from archive.core.verdicts import Measured, WitnessGroup
from archive.reasoning.memo import Anew
from archive.reasoning.repeats import Repeats
from archive.reasoning.times import Times
from archive.records.library import Library, nodes_in, refs_in
from archive.records.policy import Policy
from archive.records.practice import BOOK, Practice, changes, refusal
from archive.records.spec import Node, Record, fields_of

Size = tuple[int, int]
"""Width and height of a picture, in pixels."""


@dataclass(frozen=True, slots=True)
class Broken:
    """What can't be relied on in a record: its fields by name, and a sentence about the first."""

    fields: frozenset[str]
    says: str

    def where_it_matters(self, fields: frozenset[str], known: frozenset[str]) -> bool:
        """Is one of `fields` broken, or something that is none of the `known` ones?"""
        return bool(self.fields & fields) or not self.fields <= known


@dataclass(frozen=True)
class Ground:
    """The ground of all judgement on one content folder.

    `times` is the chronology; `groups` and `group_of` are the witness groups; `broken` tells of
    each record whose own lines can't be read or name what isn't there; `unfit` likewise of
    photographs whose picture can't be relied on, by REF; `grades` is the grade of each claim
    already weighed and `measured` what each measurement already worked out gives, by REF;
    `circular` the claims and measurements that lean on each other in a circle; `repeats`
    what repeated picks tell of their makers; `practice` the rules as this team applies them;
    `related` the photographs whose pictures are; `as_of` the day asked about, None where it is left
    open.
    """

    library: Library
    times: Times
    groups: Mapping[str, WitnessGroup]
    group_of: Mapping[str, str]
    broken: Mapping[str, Broken] = field(default_factory=dict)
    unfit: Mapping[str, str] = field(default_factory=dict)
    circular: frozenset[str] = frozenset()
    grades: Mapping[str, str] = field(default_factory=dict)
    measured: Mapping[str, Measured] = field(default_factory=dict)
    repeats: Repeats = field(default_factory=dict)
    practice: Practice = BOOK
    related: tuple[Related, ...] = ()
    as_of: Day | None = None


@dataclass(frozen=True)
class Given:
    """What is given besides the records, as `weigh` takes it.

    `as_of` is the day asked about, None where it is left open; `sums` the checksum of each
    photograph's file by photograph id; `unfit` why a photograph's picture can't be relied on, by
    REF; `sizes` the size of each picture that is there, by REF; `alike` are the answers about
    pictures that are related.
    """

    as_of: Day | None = None
    sums: Mapping[str, str] = field(default_factory=dict)
    unfit: Mapping[str, str] = field(default_factory=dict)
    sizes: Mapping[str, Size] = field(default_factory=dict)
    alike: tuple[Likeness, ...] = ()


def broken_records(library: Library, memo: Anew | None = None) -> dict[str, Broken]:
    """REF of each record that can't be taken as it was meant → what is wrong with it.

    A field is broken where something in it could not be read, where it names a record or a piece
    that is not there, or where two pieces have one name. A field that no record has counts too:
    nobody can say what was meant by it. `memo` is what was found before.
    """
    memo = memo or Anew(library)
    found = {
        record.ref: memo.made(
            "broken", record.ref, partial(_broken, memo.library, kind.name, record.id)
        )
        for kind in fields(Library)
        for record in library.of_kind(kind.name).values()
    }
    return {ref: broken for ref, broken in found.items() if broken}


def _broken(library: Library, kind: str, id_: str) -> Broken | None:
    record = library.of_kind(kind)[id_]
    faults = [*_unread(record), *_unresolved(library, record), *_twice(record)]
    if isinstance(record, Policy):
        faults += _unapplied(record)
    return Broken(frozenset(name for name, _ in faults), faults[0][1]) if faults else None


Faults = Iterator[tuple[str, str]]


def _unread(record: Record) -> Faults:
    for name in record.lost:
        yield name, f"“{name}” can't be read"
    for name, groups in _within(record):
        for group in groups:
            for lost in group.lost:
                yield name, f"“{lost}” can't be read"


def _unapplied(policy: Policy) -> Faults:
    """A team that wrote an override means to work by it: it isn't passed over in silence."""
    for override in policy.overrides:
        if override.rule and not changes(override) and not refusal(override):
            yield "overrides", f"the override of {override.rule} can't be applied"


def _within(record: Record) -> Iterator[tuple[str, Iterable[Node]]]:
    for name, spec in fields_of(type(record)).items():
        value = getattr(record, name)
        if value and (spec.type == "node" or spec.judged):
            for group in value if spec.many else (value,):
                yield name, nodes_in(group)


def _unresolved(library: Library, record: Record) -> Faults:
    for name, ref in _named(record):
        if library.get(ref) is None and not _of_sister(library, ref):
            yield name, f"it names {ref}, which is not there"


def _named(record: Record) -> Iterator[tuple[str, str]]:
    """(top-level field, REF) of every reference in a record."""
    for name, spec in fields_of(type(record)).items():
        value = getattr(record, name)
        if not value:
            continue
        if spec.type == "ref":
            for ref in value if spec.many else (value,):
                yield name, ref
        elif spec.type == "node":
            for group in value if spec.many else (value,):
                for ref, _, _ in refs_in(group):
                    yield name, ref


def _of_sister(library: Library, ref: str) -> bool:
    kind, _, id_ = ref.partition("/")
    return kind in ("events", "configurations") and any(
        found.id == id_ for sister in library.sisters.values() for found in getattr(sister, kind)
    )


def _twice(record: Record) -> Faults:
    seen: set[str] = set()
    for name, spec in fields_of(type(record)).items():
        if spec.pieces:
            for piece in getattr(record, name):
                if piece.id in seen:
                    yield name, f"two of its pieces are called {piece.id}"
                seen.add(piece.id)
