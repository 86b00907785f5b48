"""A mapping laid over another, for what reads otherwise in a few places; never copied."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


class Layered(Mapping[str, Any]):
    """A mapping of which some values are replaced; looked up, never copied."""

    def __init__(self, above: Mapping[str, Any], below: Mapping[str, Any]) -> None:
        """`above` goes before `below`, and names nothing that isn't there too."""
        self._above = above
        self._below = below

    def __getitem__(self, name: str) -> Any:
        return self._above[name] if name in self._above else self._below[name]

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a name, else `default`."""
        return self._above[name] if name in self._above else self._below.get(name, default)

    def __contains__(self, name: object) -> bool:
        return name in self._below

    def __iter__(self) -> Iterator[str]:
        return iter(self._below)

    def __len__(self) -> int:
        return len(self._below)
