"""Which kinds of record there are, in which folder or file, and where their inner records live."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from archive.records.aircraft import Aircraft
from archive.records.card import Card
from archive.records.common import Titled
from archive.records.decision import Decision
from archive.records.measurement import Measurement
from archive.records.part import Part
from archive.records.person import People
from archive.records.photo import Photo
from archive.records.policy import Policy
from archive.records.question import Question
from archive.records.source import Source
from archive.records.spec import Record, fields_of, key_of
from archive.records.story import Story
from archive.records.survey import Survey
from archive.records.zone import Zones

KINDS: Mapping[str, type[Record]] = MappingProxyType(
    {
        cls.kind: cls
        for cls in (Source, Photo, Part, Decision, Question, Measurement, Survey, Story, Card)
    }
)
"""Folder → record class; one file each, `folder/…/ID.md` or `.yaml`."""

SINGLES: Mapping[str, type[Record]] = MappingProxyType(
    {
        "aircraft.yaml": Aircraft,
        "zones.yaml": Zones,
        "people.yaml": People,
        "policy.yaml": Policy,
    }
)
"""File at the top of the content folder → record class."""

REQUIRED_SINGLES = ("aircraft.yaml", "zones.yaml", "people.yaml")

YAML_KINDS = frozenset({"measurements", "surveys", "cards"})
"""Folders whose records are plain YAML (`.yaml`); all others are Markdown with front matter."""

INNER: Mapping[str, str] = MappingProxyType(
    {
        "zones": "zone",
        "people": "person",
        "events": "event",
        "configurations": "configuration",
        "sisters": "sister",
    }
)
"""Kinds whose records live inside one of the SINGLES: kind → its singular."""

SINGULAR: Mapping[str, str] = MappingProxyType(
    {**{cls.singular: folder for folder, cls in KINDS.items()}, **{s: k for k, s in INNER.items()}}
)
"""Singular → kind: `part/…` is taken for `parts/…`."""

PROGRAM_FOLDERS = frozenset({"added", "publications", "states"})
PROGRAM_FILES = frozenset({"checksums.txt", "removed.yaml"})
"""What the program writes into a content folder itself; people don't edit these."""


def words_of(cls: type[Record]) -> frozenset[str]:
    """The words that name the fields of a kind in a file."""
    return frozenset(key_of(name, spec) for name, spec in fields_of(cls).items())


def likely_kind(words: Iterable[str]) -> str | None:
    """The kind that fields of these names are of; None where they don't tell.

    >>> likely_kind(["title", "kind", "alt"]), likely_kind(["title", "by"])
    ('photos', None)
    """
    telling = set(words) - words_of(Titled)
    counts = {kind: len(telling & words_of(cls)) for kind, cls in KINDS.items()}
    most = max(counts.values())
    best = [kind for kind, count in counts.items() if count == most]
    return best[0] if most and len(best) == 1 else None


PICTURE_ENDINGS = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp")
OTHER_PICTURES = (
    ".heic", ".heif", ".avif", ".jxl", ".jp2", ".gif", ".bmp", ".svg", ".psd",
    ".dng", ".cr2", ".cr3", ".nef", ".arw", ".orf", ".raf", ".rw2",
)  # fmt: skip
"""Endings of pictures that aren't opened; common practice, no source."""

REF_KINDS = frozenset(KINDS) | frozenset(INNER)


def split_ref(ref: str) -> tuple[str, str, str]:
    """A canonical REF's kind, id and piece ("" where it has none).

    >>> split_ref("parts/nose-bowl#rivet-pitch")
    ('parts', 'nose-bowl', 'rivet-pitch')
    """
    head, _, piece = ref.partition("#")
    kind, _, id_ = head.partition("/")
    return kind, id_, piece


def canonical_ref(text: str, kinds: tuple[str, ...] = ()) -> str | None:
    """A REF as the program keeps it, or None where the text isn't one.

    The singular is taken for the folder (`part/x`), and a bare id where the field has just one
    kind. Says nothing of whether the record exists.

    >>> canonical_ref("part/nose-bowl#pitch"), canonical_ref("nose-bowl", ("parts",))
    ('parts/nose-bowl#pitch', 'parts/nose-bowl')
    """
    head, hash_, piece = text.partition("#")
    kind, slash, id_ = head.partition("/")
    if not slash:
        if len(kinds) != 1:
            return None
        kind, id_ = kinds[0], head
    kind = SINGULAR.get(kind, kind)
    if kind not in REF_KINDS or not id_ or "/" in id_ or (hash_ and not piece):
        return None
    return f"{kind}/{id_}{hash_}{piece}"
