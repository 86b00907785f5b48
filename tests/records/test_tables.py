"""The manual's tables and the editors' schemas say what the reader does."""

from __future__ import annotations

import re
from typing import Any, ClassVar

import jsonschema
import pytest
import yaml
from markupsafe import escape

from archive.read.records import read_record
from archive.records.json_schema import all_schemas, json_schema
from archive.records.measurement import Measurement
from archive.records.part import Part
from archive.records.photo import Photo
from archive.records.schema import KINDS, SINGLES
from archive.records.spec import fields_of, key_of
from archive.records.tables import takes
from archive.site.manual_tables import table


def groups(cls: Any) -> set[Any]:
    """A kind of record and all groups within it."""
    found, todo = set(), [cls]
    while todo:
        for spec in fields_of(todo.pop()).values():
            if spec.node is not None and spec.node not in found:
                found.add(spec.node)
                todo.append(spec.node)
    return {cls, *found}


def test_every_field_of_every_kind_has_a_row() -> None:
    page = str(table("fields"))
    for cls in (*KINDS.values(), *SINGLES.values()):
        for group in groups(cls):
            for name, spec in fields_of(group).items():
                assert f"<code>{key_of(name, spec)}</code>" in page
                assert escape(spec.says.split("`")[0]) in page


def test_a_field_says_what_it_takes() -> None:
    fields = {**fields_of(Part), **fields_of(Photo), **fields_of(Measurement)}
    assert takes(fields["side"]) == "one of `port`, `starboard`, `centre`, `both`"
    assert takes(fields["zone"]) == "a reference into `zones/`"
    assert takes(fields["photos"]) == "a list; each a reference into `photos/`; one needs no list"
    assert takes(fields["picks_ruled"]).startswith("a group: signed")
    assert "as a judgement" in takes(fields["airframe"])
    assert "one of <code>port</code>, <code>starboard</code>" in str(table("fields"))


def test_the_schemas_are_schemas() -> None:
    """Outside check: the metaschema of JSON Schema 2020-12, as the jsonschema package ships it."""
    schemas = all_schemas()
    assert set(schemas) == set(KINDS) | set(SINGLES)
    for schema in schemas.values():
        jsonschema.Draft202012Validator.check_schema(schema)


RAIL = """\
title: Rail
zone: 510
survives: no
on: "2027-01-10"
tag: 0123
station: 4010 mm
hazards: radium
mates: [nose-bowl]
fitted: {from: floats-fitted, until: null}
claims:
  - id: pitch
    aspect: size
    says: A
    evidence: [{photo: slip#chine, against: yes}]
"""
SLIP = """\
title: On the slip
kind: period
flipped: {is: yes, by: HB, on: "2027-01-10", because: A}
airframe: this
regions: [{id: a, outline: [[0, 0], [1, 0], [1, 1.5]]}]
picks: {stem: [1, 2]}
"""

WRONG = [
    (Part, RAIL, "side: left\n"),
    (Part, RAIL, "colour: red\n"),
    (Part, RAIL, "fitted: gone\n"),
    (Part, RAIL, "lead_days: soon\n"),
    (Part, RAIL, "claims: [{aspect: size, says: A}]\n"),
    (Photo, SLIP, "flipped: yes\n"),
    (Photo, SLIP, "regions: [{id: a, outline: [[0, 0], [1, 0]]}]\n"),
    (Photo, SLIP, "airframe: that\n"),
]


class EditorLoader(yaml.SafeLoader):
    """YAML 1.2.2, chapter 10.3 (core schema), as editors read it: `yes`, `no` and `on` are text."""

    yaml_implicit_resolvers: ClassVar[dict[str, Any]] = {}


EditorLoader.add_implicit_resolver("tag:yaml.org,2002:null", re.compile(r"(?:~|null|)$"), None)
EditorLoader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"(?:true|false)$"), None)
EditorLoader.add_implicit_resolver("tag:yaml.org,2002:int", re.compile(r"[-+]?[0-9]+$"), None)
EditorLoader.add_implicit_resolver(
    "tag:yaml.org,2002:float", re.compile(r"[-+]?[0-9]+\.[0-9]+$"), None
)


def faults(cls: Any, text: str) -> int:
    validator = jsonschema.Draft202012Validator(json_schema(cls))
    return len(list(validator.iter_errors(yaml.load(text, Loader=EditorLoader))))


def problems(cls: Any, text: str) -> int:
    return len(read_record("x/a.md", f"---\n{text}---\n".encode(), cls, "a").problems)


@pytest.mark.parametrize(("cls", "text"), [(Part, RAIL), (Photo, SLIP)])
def test_an_editor_and_the_reader_take_the_same_record(cls: Any, text: str) -> None:
    assert faults(cls, text) == problems(cls, text) == 0


@pytest.mark.parametrize(("cls", "text", "line"), WRONG)
def test_an_editor_and_the_reader_refuse_the_same(cls: Any, text: str, line: str) -> None:
    key = line.partition(":")[0]
    kept = text.split(f"\n{key}:")[0] + "\n"  # the field takes the place of the sound one
    assert faults(cls, kept + line) and problems(cls, kept + line)
    assert not faults(cls, text)
