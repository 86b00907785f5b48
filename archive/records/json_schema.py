"""A JSON Schema (draft 2020-12) of each kind of record, for editors that complete and check fields.

It is looser than the reader where JSON can't say what is meant: an editor parses YAML its own way
(the core schema of YAML 1.2, as a rule) and sees a number in `0123`, so plain scalars are let
through where text is wanted.
"""

from __future__ import annotations

from typing import Any

from archive.records.schema import KINDS, SINGLES
from archive.records.spec import Node, Record, Spec, fields_of, key_of
from archive.records.tables import takes

DRAFT = "https://json-schema.org/draft/2020-12/schema"

_TEXT = {"type": ["string", "number", "boolean"]}
_NAME = {"type": ["string", "integer"], "pattern": "^[a-z0-9][a-z0-9-]*$"}
_POINT = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
_TYPES: dict[str, dict[str, Any]] = {
    "text": _TEXT,
    "name": _NAME,
    "yesno": {"enum": ["yes", "no", True, False]},
    "whole": {"type": "integer", "minimum": 0},
    "number": {"type": "number"},
    "length": {"type": "string"},
    "day": {"type": "string", "pattern": "^\\d{4}-\\d{2}-\\d{2}$"},
    "date": {"type": ["string", "integer"]},
    "person": {"type": "string"},
    "ref": {"type": ["string", "integer"]},
    "point": _POINT,
    "outline": {"type": "array", "items": _POINT, "minItems": 3},
    "language": {"type": "string", "pattern": "^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$"},
}


def json_schema(cls: type[Record]) -> dict[str, Any]:
    """The schema of the fields of one kind of record, with its groups under `$defs`."""
    groups: dict[str, Any] = {}
    schema = _object(cls, groups)
    return {"$schema": DRAFT, "title": cls.what, **schema, "$defs": groups}


def all_schemas() -> dict[str, dict[str, Any]]:
    """Folder, or the name of a single file → its schema."""
    return {place: json_schema(cls) for place, cls in {**KINDS, **SINGLES}.items()}


def _object(cls: type[Node], groups: dict[str, Any]) -> dict[str, Any]:
    specs = {key_of(name, spec): spec for name, spec in fields_of(cls).items()}
    return {
        "type": "object",
        "properties": {key: _field(spec, groups) for key, spec in specs.items()},
        "required": [key for key, spec in specs.items() if spec.required],
        "additionalProperties": False,
    }


def _field(spec: Spec, groups: dict[str, Any]) -> dict[str, Any]:
    """The schema of one field; an empty field is let through unless it is needed."""
    one = _value(spec, groups)
    if spec.judged:
        one = _judged(one, spec.bare)
    if spec.many:
        several = {"type": "array", "items": one}
        one = {"anyOf": [several, one]} if spec.one_or_many else several
    elif spec.table:
        one = {"type": "object", "additionalProperties": one}
    if not spec.required:
        one = {"anyOf": [one, {"type": "null"}]}
    return {"description": f"{spec.says} Takes {takes(spec)}.", **one}


def _value(spec: Spec, groups: dict[str, Any]) -> dict[str, Any]:
    if spec.type == "choice":
        return {"enum": list(spec.choices)}
    if spec.type != "node":
        return dict(_TYPES[spec.type])
    assert spec.node is not None, "a node's spec names its class"
    name = spec.node.__name__
    if name not in groups:
        groups[name] = {}  # held open: a group may hold one of its own kind
        groups[name] = _object(spec.node, groups)
    return {"$ref": f"#/$defs/{name}"}


def _judged(value: dict[str, Any], bare: bool) -> dict[str, Any]:
    judgement = {
        "type": "object",
        "properties": {
            "is": value,
            "by": _TYPES["person"],
            "on": _TYPES["day"],
            "because": _TEXT,
            "at_state": _TEXT,
        },
        "required": ["is", "by", "on"],
        "additionalProperties": False,
    }
    return {"anyOf": [value, judgement]} if bare else judgement
