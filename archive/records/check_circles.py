"""Circles where there can be none: nothing is older than itself, or its own evidence."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem, Where
from archive.records.check_names import at
from archive.records.graph import circles
from archive.records.library import Library
from archive.records.spec import Node, Record
from archive.records.support import leanings

Edges = dict[str, dict[str, Where]]
"""From a REF to the REFs that it leads to, each with the place where that is written."""


def _add(edges: Edges, source: str, target: str | None, where: Where) -> None:
    if target:
        edges.setdefault(source, {}).setdefault(target, where)


def _whole(ref: str | None) -> str | None:
    return ref.partition("#")[0] if ref else None


def _told(edges: Edges, code: str, opening: str, link: str, hint: str) -> Iterator[Problem]:
    for chain in circles(edges):
        says = f"{opening}: {f' {link} '.join(chain)}."
        yield Problem(edges[chain[0]][chain[1]], code, says, hint)


def _list(edges: Edges, record: Record, node: Node, field: str) -> None:
    for index, ref in enumerate(getattr(node, field)):
        _add(edges, record.ref, _whole(ref), at(record, node, f"{field}[{index}]"))


def origins(library: Library) -> Iterator[Problem]:
    """Nothing is made from itself."""
    edges: Edges = {}
    for source in library.sources.values():
        _list(edges, source, source, "derived_from")
    for photo in library.photos.values():
        _add(edges, photo.ref, _whole(photo.source), at(photo, photo, "source"))
    hint = "One of these was made first: take its derived_from out."
    yield from _told(edges, "circle", "These were made from each other", "from", hint)


def containers(library: Library) -> Iterator[Problem]:
    """No album lies in itself."""
    edges: Edges = {}
    for source in library.sources.values():
        _add(edges, source.ref, _whole(source.within), at(source, source, "within"))
    hint = "One of these holds the others: take its within out."
    yield from _told(edges, "circle", "These lie within each other", "in", hint)


def assemblies(library: Library) -> Iterator[Problem]:
    """No part belongs to itself."""
    edges: Edges = {}
    for part in library.parts.values():
        _add(edges, part.ref, _whole(part.assembly), at(part, part, "assembly"))
    hint = "One of these is the assembly: take its own assembly out."
    yield from _told(edges, "circle", "These parts belong to each other", "in", hint)


def replacements(library: Library) -> Iterator[Problem]:
    """No part took the place of one that came after it."""
    edges: Edges = {}
    for part in library.parts.values():
        _add(edges, part.ref, _whole(part.replaces), at(part, part, "replaces"))
    hint = "One of these was there first: take its replaces out."
    yield from _told(edges, "circle", "These parts replace each other", "for", hint)


def supersessions(library: Library) -> Iterator[Problem]:
    """No decision replaces one that replaces it."""
    edges: Edges = {}
    for decision in library.decisions.values():
        _list(edges, decision, decision, "supersedes")
    hint = "The oldest of these supersedes nothing: take its supersedes out."
    yield from _told(edges, "circle", "These decisions supersede each other", "over", hint)


def support(library: Library) -> Iterator[Problem]:
    """No claim is, by way of measurements and other claims, its own evidence."""
    edges: Edges = {}
    for source, target, record, node, field in leanings(library):
        _add(edges, source, target, at(record, node, field))
    hint = "Something must rest on metal or a survey: take out the item that begs the question."
    yield from _told(edges, "support-circular", "Support runs in a circle", "leans on", hint)
