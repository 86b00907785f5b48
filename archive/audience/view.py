"""The view: the only thing that pages, indexes and exports are ever given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from archive.core.foresight import NOTHING, Foreseen
from archive.core.images import ImageFacts
from archive.core.originality import Originality
from archive.core.permissions import Rights
from archive.core.problems import Problem
from archive.core.publications import Recalled
from archive.core.rectified import Rectified
from archive.core.verdicts import Findings
from archive.records.library import Library


@dataclass(frozen=True)
class PictureTerms:
    """How a picture may go out: places to be covered flat (upright pixels of the file), and the
    words that go with it into the file: the credit line, the rights statement, the source.
    """

    flat: tuple[tuple[tuple[float, float], ...], ...] = ()
    credit: str = ""
    statement: str = ""
    source: str = ""


@dataclass(frozen=True)
class View:
    """What one audience may see, on one day.

    `library` holds no sealed record; `findings` speak of nothing that isn't in it; `images` are the
    facts of the pictures that may be shown, by photograph id; `foreseen` is what would fall, lift
    and free, and what has moved since a state was kept; `rights` says of each photograph and
    source, by REF, to which use it may be put, and `terms` of each
    picture, by photograph id, how it goes out;
    `originality` says by part what is old and what is new; `published` are the editions that went
    out, against what one made today would show; `rectified` are the planes that may be laid out at
    true scale, by the REF of their measurement: the crew's alone.
    """

    audience: str
    as_of: date
    library: Library
    findings: Findings
    problems: tuple[Problem, ...]
    images: Mapping[str, ImageFacts]
    foreseen: Foreseen = NOTHING
    rights: Mapping[str, Rights] = field(default_factory=dict)
    terms: Mapping[str, PictureTerms] = field(default_factory=dict)
    originality: Mapping[str, Originality] = field(default_factory=dict)
    published: tuple[Recalled, ...] = ()
    rectified: Mapping[str, Rectified] = field(default_factory=dict)
