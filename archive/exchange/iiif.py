"""Photographs for other viewers: IIIF Presentation 3 manifests over tiles that any web host serves.

The pictures are a level 0 image service (IIIF Image API 3.0, section 5.3): every answer is a file
that lies there already, so that no program has to run on the host. Names hold the address that the
folder will stand at, because the standard asks for whole addresses.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from urllib.parse import quote

from archive.audience.view import View
from archive.core.images import PictureSet
from archive.records.citation import render
from archive.records.photo import Photo
from archive.records.source import Source

TILE_PX = 512
_PRESENTATION = "http://iiif.io/api/presentation/3/context.json"
_IMAGE = "http://iiif.io/api/image/3/context.json"


def texts(view: View, sets: Mapping[str, PictureSet], base: str) -> dict[str, str]:
    """Path → text of every JSON file: a collection, a manifest and an `info.json` a photograph.

    `sets` are the pictures that were made, by photograph id, with tiles of `TILE_PX` and no
    overlap; `base` is the address of the folder, ending in `/`.
    """
    found: dict[str, str] = {}
    manifests = []
    for id_, photo in view.library.photos.items():
        if id_ not in sets:
            continue
        found[f"{id_}/info.json"] = _text(_info(sets[id_], base))
        found[f"{id_}/manifest.json"] = _text(_manifest(view, photo, sets[id_], base))
        manifests.append(
            {
                "id": f"{base}{quote(id_)}/manifest.json",
                "type": "Manifest",
                "label": {"en": [photo.title or id_]},
            }
        )
    aircraft = view.library.aircraft
    found["collection.json"] = _text(
        {
            "@context": _PRESENTATION,
            "id": f"{base}collection.json",
            "type": "Collection",
            "label": {"en": [f"Photographs of {aircraft.name if aircraft else 'the aircraft'}"]},
            "items": manifests,
        }
    )
    return found


def files(made: PictureSet) -> Iterator[tuple[str, str]]:
    """(file as it was made, its name in the service) of every size and tile of a picture."""
    for size in made.sizes:
        yield size.path, f"{made.name}/full/{size.width_px},{size.height_px}/0/default.jpg"
    if made.tiles is None:
        return
    last = len(made.tiles.levels) - 1
    for number, level in enumerate(made.tiles.levels):
        factor = 2 ** (last - number)
        for row in range(level.rows):
            for column in range(level.columns):
                side = TILE_PX * factor
                x, y = column * side, row * side
                region = (min(side, made.tiles.width_px - x), min(side, made.tiles.height_px - y))
                pixels = (
                    min(TILE_PX, level.width_px - column * TILE_PX),
                    min(TILE_PX, level.height_px - row * TILE_PX),
                )
                name = f"{x},{y},{region[0]},{region[1]}/{pixels[0]},{pixels[1]}/0/default.jpg"
                yield made.tiles.path(number, column, row), f"{made.name}/{name}"


def _info(made: PictureSet, base: str) -> dict[str, object]:
    info: dict[str, object] = {
        "@context": _IMAGE,
        "id": f"{base}{quote(made.name)}",
        "type": "ImageService3",
        "protocol": "http://iiif.io/api/image",
        "profile": "level0",
        "width": made.width_px,
        "height": made.height_px,
        "sizes": [{"width": size.width_px, "height": size.height_px} for size in made.sizes],
    }
    if made.tiles:
        factors = [2**n for n in range(len(made.tiles.levels))]
        info["tiles"] = [{"width": TILE_PX, "height": TILE_PX, "scaleFactors": factors}]
    return info


def _manifest(view: View, photo: Photo, made: PictureSet, base: str) -> dict[str, object]:
    folder = f"{base}{quote(made.name)}"
    largest = made.sizes[-1]
    source = view.library.sources.get((photo.source or "").removeprefix("sources/"))
    canvas = f"{folder}/canvas"
    manifest: dict[str, object] = {
        "@context": _PRESENTATION,
        "id": f"{folder}/manifest.json",
        "type": "Manifest",
        "label": {"en": [photo.title or photo.id]},
        "items": [
            {
                "id": canvas,
                "type": "Canvas",
                "width": made.width_px,
                "height": made.height_px,
                "label": {"en": [photo.alt or photo.title or photo.id]},
                "items": [
                    {
                        "id": f"{canvas}/page",
                        "type": "AnnotationPage",
                        "items": [
                            {
                                "id": f"{canvas}/picture",
                                "type": "Annotation",
                                "motivation": "painting",
                                "target": canvas,
                                "body": {
                                    "id": f"{folder}/full/{largest.width_px},"
                                    f"{largest.height_px}/0/default.jpg",
                                    "type": "Image",
                                    "format": "image/jpeg",
                                    "width": largest.width_px,
                                    "height": largest.height_px,
                                    "service": [
                                        {
                                            "id": folder,
                                            "type": "ImageService3",
                                            "profile": "level0",
                                        }
                                    ],
                                },
                            }
                        ],
                    }
                ],
            }
        ],
    }
    if photo.alt:
        manifest["summary"] = {"en": [photo.alt]}
    if source:
        manifest |= _told_of(source)
    return manifest


def _told_of(source: Source) -> dict[str, object]:
    told: dict[str, object] = {}
    if source.citation:
        told["metadata"] = [
            {"label": {"en": ["Source"]}, "value": {"en": [render(source.citation)]}}
        ]
    rights = source.rights
    if rights and rights.credit:
        told["requiredStatement"] = {"label": {"en": ["Credit"]}, "value": {"en": [rights.credit]}}
    if rights and rights.statement and rights.statement.startswith(("http://", "https://")):
        told["rights"] = rights.statement
    return told


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"
