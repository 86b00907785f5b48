"""The interface's own words, language by language, from the theme's `words/LANG.yaml`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

HOME = "en"
"""The language that every word exists in."""


@dataclass(frozen=True)
class Words:
    """The words of one language; what a catalogue lacks is said in HOME."""

    language: str
    texts: Mapping[str, str]

    def __call__(self, key: str, **values: object) -> str:
        """The text of a key, its `{name}` filled in. Raises KeyError for no such key."""
        return self.texts[key].format(**values) if values else self.texts[key]

    def many(self, key: str, number: int) -> str:
        """`1 part` or `3 parts`: the text `KEY.one` or `KEY.many` with its `{n}`."""
        return self(f"{key}.{'one' if number == 1 else 'many'}", n=number)


@cache
def words_in(folder: Path, language: str) -> Words:
    """The words of `language`, a tag such as `de` or `en-GB`, from the folder of catalogues."""
    home = dict(_read(folder / f"{HOME}.yaml"))
    base = language.partition("-")[0].lower()
    file = folder / f"{base}.yaml"
    return Words(language, home | dict(_read(file)) if file.is_file() else home)


def _read(file: Path) -> Iterator[tuple[str, str]]:
    """Every word as it is written: `off` and `no` are words here."""
    yield from _flat("", yaml.load(file.read_text("utf-8"), Loader=yaml.BaseLoader))


def _flat(prefix: str, tree: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for key, value in tree.items():
        if isinstance(value, Mapping):
            yield from _flat(f"{prefix}{key}.", value)
        else:
            yield f"{prefix}{key}", str(value)
