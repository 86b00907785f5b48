"""What can be found: one `Document` for each record, or piece of one, that has its place."""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, fields
from functools import cache
from itertools import pairwise
from pathlib import Path

FACETS = ("kind", "zone", "grade")
"""The fields of a document that a search can be narrowed by."""


@dataclass(frozen=True, slots=True)
class Document:
    """One thing that a search can find.

    `ref` is the record's REF ("parts/strut-front-port", with "#piece" for a piece of it); `marks`
    are part numbers, tags, registrations and negative numbers, each kept whole; `zone` is "100"
    to "800" or empty; `grade` is a grade's words or empty; `url` is the page, relative to the
    site's root; `summary` is the line shown below the title of a hit.
    """

    ref: str
    kind: str
    title: str
    text: str = ""
    marks: tuple[str, ...] = ()
    zone: str = ""
    grade: str = ""
    url: str = ""
    summary: str = ""


_NAMES = tuple(field.name for field in fields(Document))


def numbered(documents: Iterable[Document]) -> list[Document]:
    """The documents in the order of their REFs: a document's place in this list is its number.

    Raises ValueError where two documents share a REF.
    """
    ordered = sorted(documents, key=lambda document: document.ref)
    for one, other in pairwise(ordered):
        if one.ref == other.ref:
            raise ValueError(f"two documents share the ref {one.ref}")
    return ordered


def digest(document: Document) -> str:
    """A fingerprint of a document and of the code that analyses it: equal means nothing to do."""
    content = json.dumps([edition(), *(getattr(document, name) for name in _NAMES)])
    return hashlib.sha256(content.encode("ascii")).hexdigest()[:32]


@cache
def edition() -> str:
    """A fingerprint of this package's own code: what another version kept is not trusted."""
    sources = sorted(Path(__file__).parent.glob("*.py"))
    whole = hashlib.sha256(unicodedata.unidata_version.encode())
    for source in sources:
        whole.update(source.read_bytes())
    return whole.hexdigest()[:16]
