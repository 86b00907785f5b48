"""What leans on what: claims on other claims and measurements, and measurements on claims."""

from __future__ import annotations

from collections.abc import Iterator

from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.spec import Node, Record

Leaning = tuple[str, str, Record, Node, str]
"""(who leans, on what, and where that is written: the record, the group, the field)."""


def leanings(library: Library) -> Iterator[Leaning]:
    """Every claim or measurement that leans on another claim or measurement, as REFs."""
    for leaning in _written(library):
        target = leaning[1]
        if target.startswith("measurements/") or isinstance(library.get(target), Claim):
            yield leaning


def _written(library: Library) -> Iterator[Leaning]:
    for part, claim in library.claims():
        source = f"{part.ref}#{claim.id}"
        for item in claim.evidence:
            if item.measured:
                yield source, item.measured, part, item, "measured"
            if item.part:
                yield source, item.part, part, item, "part"
            for trial in item.agrees_with:
                if trial.record:
                    yield source, trial.record, part, trial, "record"
    for measurement in library.measurements.values():
        for known in measurement.references:
            if known.known:
                yield measurement.ref, known.known, measurement, known, "known"
