"""Names that lead nowhere, and names given twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from archive.core.problems import Problem, Where
from archive.records.library import Library, nodes_in, pieces_of, refs_in
from archive.records.schema import INNER, KINDS, split_ref
from archive.records.spec import Judged, Node, Record, fields_of


def at(record: Record, node: Node, field: str = "") -> Where:
    """The place of a group's field in its record's file."""
    return Where(record.path, *node.mark_of(field))


def nearest(word: str, words: Iterable[str]) -> str:
    """A hint that names up to three of the words that look most like `word`."""
    near = get_close_matches(word, sorted(words), 3, 0.6)
    return f"Perhaps {' or '.join(near)} is meant." if near else ""


def unknown_names(library: Library) -> Iterator[Problem]:
    """A REF names a record that is there, and a piece that it has."""
    pieces: dict[str, Mapping[str, Node]] = {}
    ids = _ids(library)
    for record in library.records:
        for ref, node, field in refs_in(record):
            kind, id_, piece = split_ref(ref)
            if id_ not in ids[kind]:
                if kind in INNER and not ids[kind]:
                    continue  # the whole file is missing or unreadable, and told of
                hint = nearest(id_, ids[kind]) or _elsewhere(ids, id_) or f"Add {kind}/{id_}."
                says = f"There is no {kind}/{id_}."
                yield Problem(at(record, node, field), "ref-unknown", says, hint)
            elif piece:
                whole = f"{kind}/{id_}"
                if whole not in pieces:
                    found: Any = library.get(whole)
                    pieces[whole] = {} if found is None else pieces_of(found)
                if piece not in pieces[whole] and not _unread(library.get(whole)):
                    says = f"{whole} has no piece called {piece}."
                    hint = nearest(piece, pieces[whole]) or _its_pieces(whole, pieces[whole])
                    yield Problem(at(record, node, field), "piece-unknown", says, hint)


def _unread(record: Any) -> bool:
    """Whether the pieces of a record were lost with their whole list, which is told of already."""
    marks = record.marks if record is not None else {}
    return any(
        f"!{name}" in marks and name not in marks
        for name, spec in fields_of(type(record)).items()
        if spec.pieces
    )


def _ids(library: Library) -> dict[str, frozenset[str]]:
    """Every id of each kind; events and states of sisters count as well."""
    ids = {kind: frozenset(library.of_kind(kind)) for kind in (*KINDS, *INNER)}
    for sister in library.sisters.values():
        ids["events"] |= {event.id for event in sister.events}
        ids["configurations"] |= {state.id for state in sister.configurations}
    return ids


def _elsewhere(ids: Mapping[str, frozenset[str]], id_: str) -> str:
    kinds = [kind for kind in ids if id_ in ids[kind]]
    return f"There is {' and '.join(f'{kind}/{id_}' for kind in kinds)}." if kinds else ""


def _its_pieces(whole: str, pieces: Mapping[str, Node]) -> str:
    if not pieces:
        return f"{whole} has no pieces."
    return f"It has {', '.join(list(pieces)[:12])}."


def unknown_people(library: Library) -> Iterator[Problem]:
    """Whoever is named is in people.yaml."""
    file = library.people_file
    if file is None or ("people" in file.lost and not file.people):
        return
    known = {*library.people, *(p.initials for p in library.people.values() if p.initials)}
    for record in library.records:
        for node in nodes_in(record):
            for field in _person_fields(node):
                written = getattr(node, field)
                if written and written not in known:
                    says = f"Nobody in people.yaml is called {written}."
                    hint = nearest(written, known) or "Add them to people.yaml."
                    yield Problem(at(record, node, field), "person-unknown", says, hint)


def _person_fields(node: Node) -> Iterable[str]:
    if isinstance(node, Judged):
        return ("by",)
    return [name for name, spec in fields_of(type(node)).items() if spec.type == "person"]


def pieces_twice(library: Library) -> Iterator[Problem]:
    """The pieces of a record have names of their own, whatever they are."""
    for record in library.records:
        first: dict[str, Node] = {}
        for name, spec in fields_of(type(record)).items():
            if not spec.pieces:
                continue
            for piece in getattr(record, name):
                other = first.setdefault(piece.id, piece)
                if other is not piece:
                    line = other.mark_of("id")[0]
                    says = f"The name {piece.id} is taken on line {line} of this record."
                    hint = "Give one of them another name: #names are shared by the whole record."
                    yield Problem(at(record, piece, "id"), "piece-twice", says, hint)


def ids_twice(library: Library) -> Iterator[Problem]:
    """Zones, people, events, states and sisters have ids, and people initials, of their own."""
    aircraft, zones, people = library.aircraft, library.zones_file, library.people_file
    lists: list[tuple[Record, Iterable[Any], str]] = []
    if aircraft:
        lists += [
            (aircraft, aircraft.events, "id"),
            (aircraft, aircraft.configurations, "id"),
            (aircraft, aircraft.sisters, "id"),
        ]
        for sister in aircraft.sisters:
            lists += [(aircraft, sister.events, "id"), (aircraft, sister.configurations, "id")]
    if zones:
        lists.append((zones, zones.zones, "id"))
    if people:
        lists += [(people, people.people, "id"), (people, people.people, "initials")]
    for record, nodes, field in lists:
        first: dict[str, Node] = {}
        for node in nodes:
            name = getattr(node, field)
            if name and first.setdefault(name, node) is not node:
                says = f"{name} is taken on line {first[name].mark_of(field)[0]}."
                yield Problem(at(record, node, field), "name-twice", says, "Give one another name.")
