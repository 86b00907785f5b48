"""The account as linked data: PROV-JSON, and JSON-LD in the terms of PROV-O and schema.org."""

from __future__ import annotations

import json
from collections.abc import Mapping
from urllib.parse import quote

from archive.audience.view import View
from archive.exchange.cited import csl_item
from archive.exchange.provenance import Account, Relation, Thing, account

NOWHERE = "https://archive.invalid/"
"""Where names point while nobody has said where the site stands: a domain that never answers
(RFC 2606, section 2)."""

PROV = "http://www.w3.org/ns/prov#"
SCHEMA = "https://schema.org/"

_ENDS: Mapping[str, tuple[str, str]] = {
    "wasDerivedFrom": ("prov:generatedEntity", "prov:usedEntity"),
    "wasRevisionOf": ("prov:generatedEntity", "prov:usedEntity"),
    "wasAttributedTo": ("prov:entity", "prov:agent"),
    "wasGeneratedBy": ("prov:entity", "prov:activity"),
    "used": ("prov:activity", "prov:entity"),
    "wasAssociatedWith": ("prov:activity", "prov:agent"),
}
"""PROV-JSON (W3C member submission, 2013), section 3: a relation → the names of its two ends."""

_TYPES = {
    "Photograph": "schema:Photograph",
    "Source": "schema:CreativeWork",
    "Part": "schema:Thing",
    "Claim": "schema:Claim",
    "Measurement": "schema:Observation",
    "Survey": "schema:Dataset",
    "Decision": "schema:CreativeWork",
    "Person": "schema:Person",
    "Deciding": "schema:Action",
}


def prov_json(view: View, base: str = NOWHERE) -> str:
    """The account as PROV-JSON text; every name is `base` and the REF of the record."""
    found = account(view)
    plain: dict[str, object] = {
        "prefix": {"at": base, "wm": f"{base}terms#", "prov": PROV},
        "entity": {_name(thing): _facts(thing, "wm") for thing in found.entities},
        "activity": {_name(thing): _facts(thing, "wm") for thing in found.activities},
        "agent": {
            _name(thing): {**_facts(thing, "wm"), "prov:type": _qualified("prov:Person")}
            for thing in found.agents
        },
    }
    for number, relation in enumerate(found.relations):
        # A revision is a derivation of one type: PROV-JSON knows no relation of its own for it.
        revision = relation.what == "wasRevisionOf"
        what = "wasDerivedFrom" if revision else relation.what
        subject, object_ = _ENDS[what]
        line: dict[str, object] = {subject: _at(relation.subject), object_: _at(relation.object)}
        if revision:
            line["prov:type"] = _qualified("prov:Revision")
        lines = plain.setdefault(what, {})
        assert isinstance(lines, dict)
        lines[f"_:r{number}"] = line
    return json.dumps(plain, ensure_ascii=False, indent=1) + "\n"


def json_ld(view: View, base: str = NOWHERE) -> str:
    """The account as JSON-LD 1.1 text; every name is `base` and the REF of the record."""
    found = account(view)
    context = {
        "@version": 1.1,
        "@base": base,
        "prov": PROV,
        "schema": SCHEMA,
        "wm": f"{base}terms#",
        **{
            what: {"@id": f"prov:{what}", "@type": "@id"}
            for what in dict.fromkeys(relation.what for relation in found.relations)
        },
    }
    from_: dict[str, list[Relation]] = {}
    for relation in found.relations:
        from_.setdefault(relation.subject, []).append(relation)
    graph = [_node(thing, from_.get(thing.ref, []), view) for thing in _things(found)]
    return json.dumps({"@context": context, "@graph": graph}, ensure_ascii=False, indent=1) + "\n"


def _things(found: Account) -> tuple[Thing, ...]:
    return (*found.entities, *found.activities, *found.agents)


_CLASSES = {"Person": "prov:Person", "Deciding": "prov:Activity"}


def _node(thing: Thing, relations: list[Relation], view: View) -> dict[str, object]:
    node: dict[str, object] = {
        "@id": _path(thing.ref),
        "@type": [_CLASSES.get(thing.what, "prov:Entity"), _TYPES[thing.what], f"wm:{thing.what}"],
        "schema:name": thing.facts["label"],
    }
    for key, value in thing.facts.items():
        if key != "label":
            node[f"wm:{key}"] = value
    source = view.library.sources.get(thing.ref.removeprefix("sources/"))
    if source:
        node |= _described(csl_item(source))
    for relation in relations:
        ends = node.setdefault(relation.what, [])
        assert isinstance(ends, list)
        ends.append(_path(relation.object))
    return node


def _described(item: Mapping[str, object]) -> dict[str, object]:
    words = {
        "publisher": "schema:publisher",
        "archive": "schema:archivedAt",
        "URL": "schema:url",
        "medium": "schema:artMedium",
        "dimensions": "schema:size",
    }
    return {words[key]: value for key, value in item.items() if key in words}


def _path(ref: str) -> str:
    """A REF as the end of an address: the same name in every edition, wherever the site stands."""
    record, hash_, piece = ref.partition("#")
    return quote(record) + hash_ + quote(piece)


def _at(ref: str) -> str:
    return f"at:{_path(ref)}"


def _name(thing: Thing) -> str:
    return _at(thing.ref)


def _qualified(name: str) -> dict[str, str]:
    return {"$": name, "type": "prov:QUALIFIED_NAME"}


def _facts(thing: Thing, prefix: str) -> dict[str, object]:
    facts: dict[str, object] = {"prov:label": thing.facts["label"]}
    facts["prov:type"] = _qualified(f"{prefix}:{thing.what}")
    for key, value in thing.facts.items():
        if key != "label":
            facts[f"{prefix}:{key}"] = (
                {"$": repr(value), "type": "xsd:double"} if isinstance(value, float) else value
            )
    return facts
