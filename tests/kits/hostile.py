"""Hostile words, a record spoilt with them in every field, and a watch for what got through."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from typing import Any

from archive.records.library import Library
from archive.records.spec import Node, Record, Translation, fields_of

PAYLOADS = [
    '"><script>alert(1)</script>',
    "'><img src=//e.example/x onerror=alert(1)>",
    "</title></svg></style><svg onload=alert(1)>",
    "{{ 7 * 7 }}{% raw %}<!--",
    "javascript:alert(1)",
    "\N{RIGHT-TO-LEFT OVERRIDE}\N{ZERO WIDTH JOINER}\ufffe&amp;&lt;",
]


Payload = str | Iterator[str]
"""One text for every field, or the next of many for each."""


def _next(payload: Payload) -> str:
    return payload if isinstance(payload, str) else next(payload)


def spoilt(node: Any, payload: Payload) -> Any:
    """The node with a payload in every field of free text, its prose and its translations."""
    changes: dict[str, Any] = {}
    for name, spec in fields_of(type(node)).items():
        value = getattr(node, name)
        if value is None or name == "id":
            continue
        if spec.type == "node":
            changes[name] = (
                tuple(spoilt(one, payload) for one in value)
                if spec.many
                else spoilt(value, payload)
            )
        elif spec.type == "text" and isinstance(value, str | tuple):
            changes[name] = tuple(_next(payload) for _ in value) if spec.many else _next(payload)
    if isinstance(node, Record) and node.prose_allowed:
        changes["prose"] = _next(payload)
    if isinstance(node, Record):
        changes["translations"] = {
            language: Translation(
                _next(payload),
                _next(payload),
                one.path,
                {name: _next(payload) for name in one.texts},
            )
            for language, one in node.translations.items()
        }
    return dataclasses.replace(node, **changes)


def spoilt_library(library: Library, payload: Payload) -> Library:
    """The library with every record spoilt."""
    changes: dict[str, Any] = {}
    for field in dataclasses.fields(library):
        value = getattr(library, field.name)
        if isinstance(value, Node):
            changes[field.name] = spoilt(value, payload)
        elif isinstance(value, Mapping):
            changes[field.name] = {id_: spoilt(one, payload) for id_, one in value.items()}
    return dataclasses.replace(library, **changes)


class Watch(HTMLParser):
    """Notes what no page of ours holds."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag in ("style", "iframe", "object") or (tag == "script" and "src" not in given):
            self.found.append(tag)
        for name, value in attrs:
            if name.startswith("on") or name == "style":
                self.found.append(f"{tag} {name}")
            if name in ("href", "src") and (value or "").strip().lower().startswith(
                ("javascript:", "//", "vbscript:")
            ):
                self.found.append(f"{tag} {name}={value}")
