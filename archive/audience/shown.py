"""Which fields of each kind of record the public gets: a field that isn't listed here isn't there.

Names, days and reasons of those who keep the record, shelf marks, logs, letters and notes are the
crew's. So are the team's own numbers: a gap in them would tell of what is withheld.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from archive.records.aircraft import Aircraft, Configuration, Event, Sister
from archive.records.citation import Citation
from archive.records.claim import Claim, Evidence
from archive.records.decision import Decision
from archive.records.part import Extent, Fitted, Made, Member, Part
from archive.records.person import People, Person
from archive.records.photo import Photo, PhotoDate, Region
from archive.records.question import Answer, Question
from archive.records.source import Rights, Source
from archive.records.spec import Node
from archive.records.story import Story
from archive.records.survey import Survey
from archive.records.zone import Outline, Zone, Zones

SHOWN: Mapping[type[Node], tuple[str, ...]] = MappingProxyType(
    {
        Aircraft: (
            *("name", "mark", "summary", "units", "events", "configurations", "sisters"),
            *("target", "objective", "language", "languages", "web", "picture"),
        ),
        Event: ("id", "when", "says"),
        Configuration: ("id", "name", "after", "before", "says"),
        Sister: ("id", "mark", "built", "says"),
        Zones: ("zones",),
        Zone: ("id", "name", "says", "outlines"),
        Outline: ("view", "points", "smooth"),
        People: ("people",),
        Person: ("id", "initials", "name", "role", "publish"),
        Source: ("title", "citation", "generation", "derived_from", "airframe", "dated", "rights"),
        Rights: ("credit", "statement"),
        Citation: (
            *("type", "title", "author", "recipient", "interviewer", "issued", "container_title"),
            *("publisher", "publisher_place", "volume", "issue", "page", "edition", "genre"),
            *("medium", "archive", "archive_place", "archive_location", "call_number"),
            *("dimensions", "url"),
        ),
        Photo: ("title", "shows_what", "source", "alt", "date", "airframe", "sister", "regions"),
        PhotoDate: ("argued",),
        Region: ("id", "name", "outline", "part"),
        Part: (
            *("title", "zone", "summary", "side", "assembly", "opposite", "survives", "airframe"),
            *("sister", "origin", "status", "fitted", "replaces", "members", "extent", "made"),
            *("claims", "label"),
        ),
        Fitted: ("since", "until"),
        Member: ("side", "survives"),
        Extent: ("area_m2", "mass_kg", "count"),
        Made: ("what", "material", "new_mark", "mark_place"),
        Claim: ("id", "aspect", "says", "configuration", "evidence", "rival_of"),
        Evidence: ("photo", "source", "part", "survey", "reading", "quote", "against"),
        Decision: ("title", "question", "about", "choice", "because", "configuration"),
        Question: ("title", "question", "about", "would_settle", "settled"),
        Answer: ("says",),
        Survey: ("title",),
        Story: ("title", "summary", "plain", "about", "picture"),
    }
)
"""Kind of record or group → the names of the fields that the public gets."""

TELLING = frozenset({Story})
"""Kinds whose prose is written for the public; all other prose stays with the crew."""
