"""A mapping laid over another, for what reads otherwise in a few places; never copied."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


class Layered(Mapping[str, Any]):
    """A mapping of which some values are replaced; looked up, never copied."""

    def __init__(self, above: Mapping[str, Any], below: Mapping[str, Any]) -> None:
        """`above` goes before `below`, and names nothing that isn't there too."""
        self.above = above
        self.below = below

    def __getitem__(self, name: str) -> Any:
        return self.above[name] if name in self.above else self.below[name]

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a name, else `default`."""
        return self.above[name] if name in self.above else self.below.get(name, default)

    def __contains__(self, name: object) -> bool:
        return name in self.below

    def __iter__(self) -> Iterator[str]:
        return iter(self.below)

    def __len__(self) -> int:
        return len(self.below)


def laid_over(below: Mapping[str, Any], name: str, value: Any) -> Mapping[str, Any]:
    """A mapping with one value replaced, or added: copied only where it is added."""
    if name not in below:
        return {**below, name: value}
    if isinstance(below, Layered):
        return Layered({**below.above, name: value}, below.below)
    return Layered({name: value}, below)
