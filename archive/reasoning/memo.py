"""What was found before and still holds: each finding is kept with the names of all that it read.

The reasoning works on watched values (`watched.py`), so what a finding rests on is known without
anybody's saying so. A finding counts again while nothing that it read has moved; else it is worked
out anew. With an empty memory everything is, and gives the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any, TypeVar

from archive.reasoning.tightening import Tightened
from archive.reasoning.watched import (
    ALL,
    Growing,
    Noted,
    NotedSet,
    NotedTimes,
    Shelf,
    has_fields,
    noted,
)
from archive.records.library import Library

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Found:
    """One finding, with what was given for it outright, and what it looked up, shelf by shelf."""

    value: Any
    given: tuple[Any, ...]
    read: Mapping[str, tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class Memory:
    """All that was found once, by kind and name, and what it was found from, by shelf."""

    inputs: dict[str, dict[Any, Any]] = field(default_factory=dict)
    found: dict[str, dict[str, Found]] = field(default_factory=dict)


class Anew:
    """Reasoning without a memory: nothing is watched, and everything is worked out."""

    def __init__(self, library: Library) -> None:
        self.library = library

    def made(self, kind: str, name: str, work: Callable[[], Value], *given: Any) -> Value:
        """What `work` gives."""
        return work()

    def watch(self, name: str, value: Value) -> Value:
        """The value."""
        return value

    def growing(self, name: str, names: Iterable[str]) -> dict[str, Any]:
        """A mapping to be filled."""
        return {}


class Memo(Anew):
    """One run of the reasoning over a library, with what it remembers of the run before.

    `after` is what the next run may remember; `worked_out` counts, by kind, what was found anew.
    """

    def __init__(
        self, library: Library, marks: Mapping[str, str], before: Memory | None = None
    ) -> None:
        """`marks` gives for each record, by REF, a mark that moves whenever the record reads
        otherwise; a record without one is never taken for unchanged.
        """
        self.after = Memory()
        self.worked_out: dict[str, int] = {}
        self._before = Memory() if before is None else before
        self._shelves: dict[str, Shelf] = {}
        self._moving: dict[str, set[Any]] = {}
        self._names: dict[Any, Any] = {}
        self._times: dict[int, NotedTimes] = {}
        self.plain = library
        self._all_moved = False
        watched: dict[str, Any] = {}
        for kind in fields(Library):
            value = getattr(library, kind.name)
            records = value.values() if isinstance(value, Mapping) else filter(None, (value,))
            found = {record.id: marks.get(record.ref, "") for record in records}
            self._compare(kind.name, found)
            self._shelf(kind.name).note_moved(name for name, mark in found.items() if not mark)
            if isinstance(value, Mapping):
                watched[kind.name] = Noted(self._shelf(kind.name), value)
        super().__init__(noted(library, watched, self._shelf))

    def made(self, kind: str, name: str, work: Callable[[], Value], *given: Any) -> Value:
        """What `work` gives, or gave when all that it read, and all that is `given`, was the same.

        `work` reads watched values only; `given` is whatever else it is made from.
        """
        kept = self._before.found.get(kind, {}).get(name)
        if kept is None or kept.given != given or self._moved(kept.read):
            for shelf in self._shelves.values():
                shelf.seen = set()
            value = work()
            kept = Found(value, given, self._read())
            self.worked_out[kind] = self.worked_out.get(kind, 0) + 1
        self.after.found.setdefault(kind, {})[name] = kept
        found: Value = kept.value
        return found

    def watch(self, name: str, value: Any) -> Any:
        """A value that notes what is looked up in it, compared with what it was before.

        It may be a mapping, a set, the network of times or a dataclass, which is watched field by
        field; what is watched already stays as it is.
        """
        if isinstance(value, Noted | NotedSet | NotedTimes):
            return value
        if value is self.plain:
            return self.library
        if isinstance(value, Tightened):
            if id(value) not in self._times:  # it is kept, so that the id stays its own
                self._compare(name, value.marks())
                self._times[id(value)] = NotedTimes(self._shelf(name), value)
            return self._times[id(value)]
        if isinstance(value, Mapping):
            self._compare(name, dict(value))
            return Noted(self._shelf(name), value)
        if isinstance(value, frozenset):
            self._compare(name, dict.fromkeys(value, True))
            return NotedSet(self._shelf(name), value)
        watched: dict[str, Any] = {}
        sorts = {one.name: type(getattr(value, one.name)).__name__ for one in fields(value)}
        self.after.inputs[f"{name}, what it holds"] = sorts
        before = self._before.inputs.get(f"{name}, what it holds", {})
        for one in fields(value):
            inner, place = getattr(value, one.name), f"{name}.{one.name}"
            if isinstance(inner, Mapping | frozenset | Tightened) or has_fields(inner):
                watched[one.name] = self.watch(place, inner)
                # Nobody notes that he met something there at all.
                self._all_moved |= before.get(one.name) != sorts[one.name]
            else:
                self._compare(place, {ALL: inner})
        return noted(value, watched, lambda field: self._shelf(f"{name}.{field}"))

    def growing(self, name: str, names: Iterable[str]) -> Any:
        """A watched mapping to be filled as things are found; `names` are all that will come."""
        shelf = self._shelf(name)
        before = self._before.inputs.get(name, {})
        after = self.after.inputs.setdefault(name, {})
        shelf.note_moved(before.keys() - set(names))
        return Growing(shelf, before, after)

    def _shelf(self, name: str) -> Shelf:
        if name not in self._shelves:
            self._shelves[name] = Shelf(name, self._moving)
        return self._shelves[name]

    def _compare(self, name: str, now: dict[Any, Any]) -> None:
        self._shelf(name).compare(self._before.inputs.get(name), now)
        self.after.inputs[name] = now

    def _moved(self, read: Mapping[str, tuple[Any, ...]]) -> bool:
        if self._all_moved or not read.keys() <= self._shelves.keys():
            return True
        both = self._moving.keys() & read.keys()
        return any(not self._moving[name].isdisjoint(read[name]) for name in both)

    def _read(self) -> dict[str, tuple[Any, ...]]:
        once = self._names.setdefault
        return {
            shelf.name: tuple(once(name, name) for name in shelf.seen)
            for shelf in self._shelves.values()
            if shelf.seen
        }
