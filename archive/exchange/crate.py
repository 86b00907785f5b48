"""The pack's own description as an RO-Crate: what lies in it, and what may be done with it.

After RO-Crate 1.1: a JSON-LD file `ro-crate-metadata.json` at the root of the folder that it tells
of.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from urllib.parse import quote

from archive.audience.view import View

METADATA = "ro-crate-metadata.json"
_CONTEXT = "https://w3id.org/ro/crate/1.1/context"
_SPEC = "https://w3id.org/ro/crate/1.1"

FORMATS = {
    ".bib": "text/x-bibtex",
    ".csv": "text/csv",
    ".gif": "image/gif",
    ".jpeg": "image/jpeg",
    ".jpg": "image/jpeg",
    ".json": "application/json",
    ".jsonld": "application/ld+json",
    ".md": "text/markdown",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".ris": "application/x-research-info-systems",
    ".tif": "image/tiff",
    ".tiff": "image/tiff",
    ".txt": "text/plain",
    ".webp": "image/webp",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".yaml": "application/yaml",
}


def metadata(view: View, files: Iterable[tuple[str, int]], on: date) -> bytes:
    """A pack's metadata. `files` are (path in the pack, bytes); those of a site are one set."""
    aircraft = view.library.aircraft
    name = f"{aircraft.name} {aircraft.mark}" if aircraft else "An aircraft"
    titles = {photo.id: photo.title for photo in view.library.photos.values()}
    nodes = []
    has_site = False
    for path, size in sorted(files):
        if path.startswith("site/"):
            has_site = True
            continue
        ending = path[path.rfind(".") :].lower()
        node: dict[str, object] = {"@id": quote(path), "@type": "File", "contentSize": str(size)}
        if ending in FORMATS:
            node["encodingFormat"] = FORMATS[ending]
        stem = path.rpartition("/")[2].partition(".")[0]
        if path.startswith("content/photos/") and stem in titles:
            node["name"] = titles[stem]
        nodes.append(node)
    if has_site:
        nodes.append(
            {
                "@id": "site/",
                "@type": "Dataset",
                "name": "The site: open index.html; it needs no network and no program",
            }
        )
    root = {
        "@id": "./",
        "@type": "Dataset",
        "name": f"{name}: the record of its reconstruction",
        "description": "Sources, photographs, claims with their grades, decisions and their "
        "reasons. Figures are for static display only, never approved data for flight.",
        "datePublished": on.isoformat(),
        "license": {"@id": "#rights"},
        "hasPart": [{"@id": node["@id"]} for node in nodes],
    }
    rights = {
        "@id": "#rights",
        "@type": "CreativeWork",
        "name": "Rights differ from item to item",
        "description": "Each source's holder, basis and credit stand in registers/sources.csv. "
        "Owning a print is not owning its copyright.",
    }
    descriptor = {
        "@id": METADATA,
        "@type": "CreativeWork",
        "conformsTo": {"@id": _SPEC},
        "about": {"@id": "./"},
    }
    graph = {"@context": _CONTEXT, "@graph": [descriptor, root, rights, *nodes]}
    return (json.dumps(graph, ensure_ascii=False, indent=1) + "\n").encode()
