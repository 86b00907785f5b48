"""Where everything came from, read back by libraries for PROV and for linked data."""

from __future__ import annotations

import json

import prov.model
import rdflib

from archive.exchange.linked import NOWHERE, PROV, json_ld, prov_json
from archive.exchange.provenance import account

BASE = "https://museum.example/qk-41/"


def test_prov_json_reads_back_whole(view):
    """The `prov` library reads PROV-JSON (W3C member submission of 24 April 2013)."""
    found = account(view)
    document = prov.model.ProvDocument.deserialize(content=prov_json(view, BASE), format="json")
    names = {record.identifier.uri for record in document.get_records(prov.model.ProvElement)}
    things = (*found.entities, *found.activities, *found.agents)
    assert names == {BASE + thing.ref for thing in things}
    assert len(list(document.get_records(prov.model.ProvRelation))) == len(found.relations)


def test_json_ld_says_the_same_as_prov_json(view):
    """rdflib reads JSON-LD 1.1; both forms must hold the same derivations."""
    graph = rdflib.Graph().parse(data=json_ld(view, BASE), format="json-ld")
    triples = {
        (str(s), str(o)) for s, o in graph.subject_objects(rdflib.URIRef(f"{PROV}wasDerivedFrom"))
    }
    document = json.loads(prov_json(view, BASE))
    pairs = {
        (
            line["prov:generatedEntity"].replace("at:", BASE),
            line["prov:usedEntity"].replace("at:", BASE),
        )
        for line in document["wasDerivedFrom"].values()
        if "prov:type" not in line
    }
    assert triples == pairs and len(pairs) > 200


def test_a_print_is_derived_from_its_negative_and_a_claim_from_its_evidence(view):
    relations = {(r.subject, r.object) for r in account(view).relations}
    assert ("sources/print-slipway", "sources/negative-slipway") in relations
    assert ("photos/slipway-1932", "sources/print-slipway") in relations
    assert ("parts/chine-port#rivet-pitch", "photos/slipway-1932") in relations


def test_what_speaks_against_a_claim_is_not_what_it_came_from(view):
    relations = {(r.subject, r.object) for r in account(view).relations}
    assert ("parts/chine-port#rivet-pitch", "sources/interview-mechanic") not in relations


def test_no_relation_leads_nowhere(view):
    found = account(view)
    known = {thing.ref for thing in (*found.entities, *found.activities, *found.agents)}
    assert all(r.subject in known and r.object in known for r in found.relations)


def test_without_an_address_names_point_where_nothing_answers(view):
    assert NOWHERE.split("/")[2].endswith(".invalid")
    assert json.loads(json_ld(view))["@context"]["@base"] == NOWHERE
