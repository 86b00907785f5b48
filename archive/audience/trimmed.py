"""A record as the public gets it: listed fields alone, no name of a withheld record anywhere."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from typing import Any, TypeVar

from archive.audience.shown import SHOWN, TELLING
from archive.records.schema import canonical_ref
from archive.records.spec import Judged, Node, Record, Spec, Translation, fields_of

AnyNode = TypeVar("AnyNode", bound=Node)

May = Callable[[str], bool]
"""Whether the whole record that a REF names may be shown."""

_LINK = re.compile(r"!?\[([^\[\]]*)\]\(([^()\s]*)[^()]*\)")
_DEFINED = re.compile(r"^ {0,3}\[[^\]]+\]:.*$", re.M)
_BARE = re.compile(r"\b([a-z]+/[a-z0-9][a-z0-9-]*)((?:\.md|\.html)?(?:#[\w-]+)?)")


def trimmed(node: AnyNode, may: May) -> AnyNode:
    """A record or group with its listed fields; what names a withheld record is left out.

    Where it came from on the disk goes as well: paths, lines and columns.
    """
    changes: dict[str, Any] = {"marks": {}}
    listed = SHOWN.get(type(node), ())
    for name, spec in fields_of(type(node)).items():
        value = getattr(node, name)
        if not value and value is not False and value != 0:
            continue
        if name not in listed:
            changes[name] = () if spec.many else {} if spec.table else None
        else:
            changes[name] = _value(value, spec, may)
    if isinstance(node, Record):
        told = type(node) in TELLING
        changes |= {
            "path": "",
            "prose": unlinked(node.prose, may) if told else "",
            "prose_line": 0,
            "translations": {
                language: _translation(one, listed, told, may)
                for language, one in node.translations.items()
            },
        }
    return dataclasses.replace(node, **changes)


def _value(value: Any, spec: Spec, may: May) -> Any:
    if isinstance(value, Judged):
        return Judged(says=value.says)
    if spec.type == "ref":
        if spec.many:
            return tuple(ref for ref in value if may(ref))
        return value if may(value) else None
    if spec.type == "node":
        if spec.many:
            return tuple(trimmed(inner, may) for inner in value)
        return trimmed(value, may)
    if spec.type == "text" and isinstance(value, str):
        return unlinked(value, may)
    return value


def _translation(one: Translation, listed: tuple[str, ...], told: bool, may: May) -> Translation:
    return Translation(
        unlinked(one.title, may),
        unlinked(one.prose, may) if told else "",
        "",
        {name: unlinked(text, may) for name, text in one.texts.items() if name in listed},
    )


def unlinked(text: str, may: May) -> str:
    """A text whose links to withheld records are their words alone, and whose names are gone.

    >>> unlinked("See [the print](photos/x).", lambda ref: False)
    'See the print.'
    """
    if "/" not in text:
        return text

    def hidden(target: str) -> bool:
        tidy = target.removeprefix("./").removeprefix("../").partition("#")[0]
        ref = canonical_ref(tidy.removesuffix(".md").removesuffix(".html"))
        return ref is not None and not may(ref)

    text = _LINK.sub(lambda m: m[1] if hidden(m[2]) else m[0], text)
    text = _DEFINED.sub(lambda m: "" if any(map(hidden, _names(m[0]))) else m[0], text)
    return _BARE.sub(lambda m: "" if hidden(m[1]) else m[0], text)


def _names(line: str) -> list[str]:
    return [found[0] for found in _BARE.findall(line)]
