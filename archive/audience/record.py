"""What the record's own keepers may see: all of it, for the handover pack."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from archive.audience.view import View
from archive.core.foresight import NOTHING, Foreseen
from archive.core.images import ImageFacts
from archive.core.originality import Originality
from archive.core.problems import Problem
from archive.core.verdicts import Findings
from archive.records.library import Library


def record_view(
    library: Library,
    findings: Findings,
    problems: tuple[Problem, ...],
    images: Mapping[str, ImageFacts],
    as_of: date,
    foreseen: Foreseen = NOTHING,
    originality: Mapping[str, Originality] = MappingProxyType({}),
) -> View:
    """Everything, sealed records too, on a day."""
    return View(
        "record", as_of, library, findings, problems, images, foreseen, originality=originality
    )
