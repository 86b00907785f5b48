"""Which photographs and papers count as one witness, and why.

The rules are W1 to W8 of `core.rules`. Three things are told apart: items that are one witness (a
group), groups that count once until a person rules (`once`), and groups of one occasion
(`sitting`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from archive.core.findings import Finding, Reason
from archive.core.likeness import ANOTHER, COPIES, OPEN, Related
from archive.core.verdicts import WitnessGroup
from archive.records.library import Library
from archive.records.photo import Photo
from archive.records.source import GENERATIONS, Source

ONE_OCCASION_ASPECTS = frozenset({"material", "finish"})
"""Aspects for which everything of one sitting is a single witness (W4)."""


def witness_groups(
    library: Library,
    sums: Mapping[str, str] = MappingProxyType({}),
    related: Sequence[Related] = (),
) -> dict[str, WitnessGroup]:
    """Every group of items that count once, by its id; an item alone is a group of one.

    `sums` gives the checksum of each photograph's file, by photograph id, as far as known;
    `related` are the photographs whose pictures are.
    """
    links = [*_links(library), *_same_file(library, sums), *_copies(related)]
    parent = {photo.ref: photo.ref for photo in library.photos.values()}
    parent |= {source.ref: source.ref for source in library.sources.values()}
    for item, other, _ in links:
        if item in parent and other in parent:
            _join(parent, item, other)
    members: dict[str, list[str]] = {}
    for item in parent:
        members.setdefault(_top(parent, item), []).append(item)
    reasons: dict[str, list[Reason]] = {}
    for item, other, reason in links:
        if item in parent and other in parent:
            reasons.setdefault(_top(parent, item), []).append(reason)
    groups: dict[str, WitnessGroup] = {}
    for top, items in members.items():
        items.sort()
        roots = tuple(item for item in items if not _made_from(library, item)) or (items[0],)
        sources = [source_of(library, item) for item in items]
        groups[roots[0]] = WitnessGroup(
            id=roots[0],
            members=tuple(items),
            roots=roots,
            best=min(zip(map(_rank, sources), items, strict=True))[1],
            sitting=min((s.sitting for s in sources if s and s.sitting), default=""),
            finding=Finding("one witness", tuple(reasons.get(top, ()))),
        )
    return _beside(dict(sorted(groups.items())), related)


def group_of(groups: Mapping[str, WitnessGroup]) -> dict[str, str]:
    """REF of each item → the id of its group."""
    return {member: group.id for group in groups.values() for member in group.members}


def witness_key(group: WitnessGroup, aspect: str) -> str:
    """What a group counts as for an aspect: itself, or its sitting where that is one witness."""
    if group.sitting and aspect in ONE_OCCASION_ASPECTS:
        return f"sitting:{group.sitting}"
    return group.once or group.id


def source_of(library: Library, item: str) -> Source | None:
    """The source record behind an item: itself, or the one that a photograph is a picture of."""
    kind, _, id_ = item.partition("/")
    if kind == "sources":
        return library.sources.get(id_)
    photo = library.photos.get(id_)
    if photo is None or not photo.source:
        return None
    return library.sources.get(photo.source.partition("/")[2])


def generation_rank(library: Library, item: str) -> int:
    """How far an item is from the first making: 0 is nearest; unknown comes last."""
    return _rank(source_of(library, item))


def _rank(source: Source | None) -> int:
    if source is None or source.generation is None:
        return len(GENERATIONS)
    return GENERATIONS.index(source.generation)


def ancestry(library: Library, item: str) -> tuple[str, ...]:
    """An item and everything that it was made from, nearest first; circles are walked once."""
    found = [item]
    for ref in found:  # it grows as it is walked
        for other in _made_from(library, ref):
            if other not in found:
                found.append(other)
    return tuple(found)


def _made_from(library: Library, item: str) -> tuple[str, ...]:
    kind, _, id_ = item.partition("/")
    if kind == "photos":
        photo: Photo | None = library.photos.get(id_)
        return (photo.source,) if photo is not None and photo.source else ()
    source = library.sources.get(id_)
    if source is None or not source.derived_from:
        return ()
    return tuple(dict.fromkeys(ref.partition("#")[0] for ref in source.derived_from))


def _links(library: Library) -> Iterable[tuple[str, str, Reason]]:
    for photo in library.photos.values():
        if photo.source:
            says = f"“{photo.title}” is a picture of “{library.title(photo.source)}”."
            yield photo.ref, photo.source, Reason("W1", says, (photo.ref, photo.source))
        for ruling in photo.same_negative:
            if ruling.is_same == "same" and ruling.photo:
                other = ruling.photo.partition("#")[0]
                says = (
                    f"{ruling.by} ruled that “{photo.title}” and “{library.title(other)}” "
                    f"come from one negative: {ruling.because}"
                )
                yield photo.ref, other, Reason("W3", says, (photo.ref, other))
    for source in library.sources.values():
        for written in source.derived_from:
            other = written.partition("#")[0]
            says = f"“{source.title}” was made from “{library.title(other)}”."
            yield source.ref, other, Reason("W2", says, (source.ref, other))


def _same_file(library: Library, sums: Mapping[str, str]) -> Iterable[tuple[str, str, Reason]]:
    first: dict[str, str] = {}
    for id_ in library.photos:
        if id_ in sums:
            other = first.setdefault(sums[id_], id_)
            if other != id_:
                refs = (f"photos/{other}", f"photos/{id_}")
                says = f"“{library.title(refs[0])}” and “{library.title(refs[1])}” are one file."
                yield refs[0], refs[1], Reason("W5", says, refs)


def _copies(related: Iterable[Related]) -> Iterable[tuple[str, str, Reason]]:
    for pair in related:
        if pair.found.answer == COPIES and pair.ruled != "different":
            yield pair.one, pair.other, pair.finding.reasons[0]


def _beside(groups: dict[str, WitnessGroup], related: Iterable[Related]) -> dict[str, WitnessGroup]:
    """The groups with what they count with until a person rules (W7), and with their occasions as
    the pictures show them (W8)."""
    of = group_of(groups)
    once = {id_: id_ for id_ in groups}
    occasion = {id_: id_ for id_ in groups}
    reasons: dict[str, list[Reason]] = {}
    for pair in related:
        one, other = of.get(pair.one, ""), of.get(pair.other, "")
        if not one or not other or one == other:
            continue
        if pair.found.answer == OPEN and not pair.ruled:
            _join(once, one, other)
        if pair.found.answer in (OPEN, ANOTHER, COPIES):
            named = {groups[id_].sitting for id_ in (one, other)} - {""}
            if len(named) < 2:
                _join(occasion, one, other)
            for id_ in (one, other):
                reasons.setdefault(id_, []).extend(pair.finding.reasons)
    named_of: dict[str, str] = {}
    for id_, group in groups.items():
        if group.sitting:
            top = _top(occasion, id_)
            named_of[top] = min(named_of.get(top, group.sitting), group.sitting)
    shared = Counter(_top(once, id_) for id_ in groups)
    found = dict(groups)
    for id_ in reasons:
        group, top = groups[id_], _top(occasion, id_)
        held = _top(once, id_)
        found[id_] = replace(
            group,
            sitting=group.sitting or named_of.get(top, top),
            once=held if shared[held] > 1 else "",
            beside=tuple(dict.fromkeys(reasons[id_])),
        )
    return found


def _top(parent: dict[str, str], item: str) -> str:
    while parent[item] != item:
        parent[item] = parent[parent[item]]
        item = parent[item]
    return item


def _join(parent: dict[str, str], one: str, other: str) -> None:
    a, b = sorted((_top(parent, one), _top(parent, other)))
    parent[b] = a
