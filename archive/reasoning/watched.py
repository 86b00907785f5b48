"""Values that note what is looked up in them, so that nobody has to declare what he reads.

A piece of reasoning that is handed watched values leaves a trace: the names that it looked up,
shelf by shelf. What was found is the same again as long as none of those names has moved.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Set
from dataclasses import fields, is_dataclass
from functools import cache, cached_property
from typing import Any, Generic, TypeVar

from archive.reasoning.tightening import Tightened

Values = TypeVar("Values", bound=Collection[str])

ALL = "*"
"""Stands for everything on a shelf: what goes through a shelf reads all of it."""


class Shelf:
    """What was looked up on one shelf, and which of its names have moved since the last time."""

    def __init__(self, name: str, moved: dict[str, set[Any]]) -> None:
        """`moved` holds what has moved on all shelves on which something has, by shelf."""
        self.name = name
        self.seen: set[Any] = set()
        self._moved = moved

    def note_moved(self, names: Iterable[Any]) -> None:
        """Note that these names have moved, and so the shelf as a whole; none: nothing has."""
        if names := set(names):
            self._moved.setdefault(self.name, {ALL}).update(names)

    def compare(self, before: Mapping[Any, Any] | None, now: Mapping[Any, Any]) -> None:
        """Note which names have other values than before, are new, or are gone."""
        before = {} if before is None else before
        moved = [
            name
            for name, value in now.items()
            if name not in before or (before[name] is not value and before[name] != value)
        ]
        self.note_moved([*moved, *(before.keys() - now.keys())])


class _Noting(Generic[Values]):
    """Names that note which of them are asked for, or that all are gone through."""

    def __init__(self, shelf: Shelf, values: Values) -> None:
        self._shelf = shelf
        self._values = values

    def __contains__(self, name: object) -> bool:
        self._shelf.seen.add(name)
        return name in self._values

    def __iter__(self) -> Iterator[str]:
        self._shelf.seen.add(ALL)
        return iter(self._values)

    def __len__(self) -> int:
        self._shelf.seen.add(ALL)
        return len(self._values)


class Noted(_Noting[Mapping[str, Any]], Mapping[str, Any]):
    """A mapping that notes which of its names are looked up."""

    def __getitem__(self, name: str) -> Any:
        self._shelf.seen.add(name)
        return self._values[name]

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a name, else `default`."""
        self._shelf.seen.add(name)
        return self._values.get(name, default)


class Growing(Noted):
    """A mapping that is filled while it is read: each value is compared as it comes."""

    def __init__(self, shelf: Shelf, before: Mapping[str, Any], after: dict[str, Any]) -> None:
        super().__init__(shelf, after)
        self._before = before
        self._after = after

    def __setitem__(self, name: str, value: Any) -> None:
        self._after[name] = value
        if name not in self._before or self._before[name] != value:
            self._shelf.note_moved((name,))


class NotedSet(_Noting[frozenset[str]], Set[str]):
    """A set that notes which names are asked for."""

    @classmethod
    def _from_iterable(cls, it: Iterable[Any]) -> Any:
        return frozenset(it)


class NotedTimes(Tightened):
    """The network of times, which notes whose days are asked for, and the ways between fixed
    moments that they go by.
    """

    def __init__(self, shelf: Shelf, tightened: Tightened) -> None:
        self.__dict__.update(tightened.__dict__)
        self._seen = shelf

    def _shortest(self, start: str, end: str) -> tuple[int, int, int, int]:
        one, other = self._number.get(start, -1), self._number.get(end, -1)
        fixed = self._fixed
        seen = self._seen.seen
        seen.update((start, end, ""))
        if 0 <= one < fixed and 0 <= other < fixed:
            seen.add((start, end))
        elif 0 <= one < fixed and other >= 0:
            seen.update((start, self._names[n]) for n in self._piece(other).into)
        elif one >= 0 and 0 <= other < fixed:
            seen.update((self._names[n], end) for n in self._piece(one).out)
        return super()._shortest(start, end)


def noted(value: Any, fields_watched: Mapping[str, Any], shelf: Callable[[str], Shelf]) -> Any:
    """A dataclass like `value`, of which `fields_watched` note what is looked up in them.

    Each other field counts as looked up whole when it is asked for, on the `shelf` of its name. A
    copy with other values (`dataclasses.replace`) has asked for every field.
    """
    cls: Any = type(value)
    found: Any = object.__new__(_noting(cls))
    bare = {one.name: getattr(value, one.name) for one in fields(value)}
    found.__dict__.update({**bare, **fields_watched})
    found.__dict__["_shelves"] = {name: shelf(name) for name in bare if name not in fields_watched}
    return found


@cache
def _noting(cls: Any) -> Any:
    """The class of dataclasses like `cls` that note which fields are asked for."""
    names: dict[str, Any] = {one.name: _asked_for(one.name) for one in fields(cls)}
    for name, member in vars(cls).items():
        # What is worked out once and kept is worked out for each reader: each leaves its trace.
        if isinstance(member, cached_property):
            names[name] = property(member.func)
    return type(f"Noted{cls.__name__}", (cls,), names)


def _asked_for(name: str) -> Any:
    """A field that notes that it is asked for."""

    def look(self: Any) -> Any:
        shelf = self.__dict__.get("_shelves", {}).get(name)
        if shelf is not None:
            shelf.seen.add(ALL)
        return self.__dict__[name]

    def put(self: Any, value: Any) -> None:
        self.__dict__[name] = value

    return property(look, put)


def has_fields(value: Any) -> bool:
    """Can a value be watched field by field: is it a dataclass that isn't of slots?"""
    return is_dataclass(value) and "__slots__" not in vars(type(value))
