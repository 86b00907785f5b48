"""The measuring bench: what its script needs to pick on a picture, as plain values in the page."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from archive.core import allowances
from archive.core.lengths import Length
from archive.site.addresses import BENCH
from archive.site.context import Context
from archive.site.lists import frame
from archive.site.page import Page
from archive.site.photo import picture

ALLOWED = (
    "pick_px",
    "stretch_percent",
    "tilt_deg",
    "same_plane_mm",
    "off_plane_mm",
    "tape",
    "lens_doubt",
    "nearer_doubt",
    "distance_doubt",
    "most_doubt",
    "bend",
)
"""What the program allows for and the preview must too, as `core.allowances` names it."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several to choose from."""

    value: str
    says: str


@dataclass(frozen=True, slots=True)
class BenchShown:
    """The bench: its data as JSON, and what can be chosen."""

    data: str
    photos: tuple[Choice, ...]
    known: tuple[Choice, ...]
    surveys: tuple[Choice, ...]
    points: tuple[Choice, ...]
    people: tuple[Choice, ...]


def pages(context: Context) -> Iterator[Page]:
    """The bench, where there is a picture to measure on."""
    photos = list(_photos(context))
    if not photos:
        return
    known = list(_known(context))
    points = list(_points(context))
    data = {
        "units": context.units,
        "allow": {name: getattr(allowances, name.upper()) for name in ALLOWED},
        "photos": photos,
        "known": known,
        "points": points,
    }
    shown = BenchShown(
        json.dumps(data, ensure_ascii=False, separators=(",", ":")),
        tuple(Choice(str(one["id"]), str(one["title"])) for one in photos),
        tuple(Choice(str(one["ref"]), f"{one['title']}: {one['says']}") for one in known),
        tuple(
            Choice(survey.ref, survey.title or survey.ref)
            for survey in context.library.surveys.values()
            if any(one["survey"] == survey.ref for one in points)
        ),
        tuple(Choice(str(one["ref"]), str(one["title"])) for one in points),
        tuple(
            Choice(person.initials or "", person.name or "")
            for person in context.library.people.values()
        ),
    )
    scripts = ("bench-sums", "bench-picture", "bench")
    yield Page(BENCH, "bench", frame(context, "Measuring bench", "photographs", 0, scripts), shown)


def _photos(context: Context) -> Iterator[dict[str, object]]:
    bends = allowances.BEND, allowances.BENDS_ON_PLANE
    for id_, photo in context.library.photos.items():
        facts, made = context.view.images.get(id_), picture(context, id_, "")
        sizes = context.pictures.get(id_)
        if facts is None or made is None or sizes is None or photo.shows_what == "document":
            continue
        tiles = made.tiles
        yield {
            "id": id_,
            "title": f"{photo.number} {photo.title}" if photo.number else photo.title or id_,
            "width": facts.width_px,
            "height": facts.height_px,
            "src": context.root + sizes.sizes[-1].path,
            "tiles": tiles
            and {
                "folder": tiles.folder,
                "size": tiles.tile,
                "overlap": tiles.overlap,
                "most": tiles.most,
            },
            "bend": bends[photo.lens == "bends"],
            "again": _again(context, photo.ref),
            "picks": {name: list(at) for name, at in photo.picks.items() if at},
        }


def _again(context: Context, ref: str) -> dict[str, list[object]]:
    """Whose repeated picks on a photograph are held already, by initials: each point's pixels."""
    found: dict[str, list[object]] = {}
    for measurement in context.library.measurements.values():
        person = context.library.person(measurement.by)
        mine = [made for photo, made in measurement.repeated() if photo == ref]
        if person is not None and mine:
            found.setdefault(person.initials or "", []).extend(mine)
    return found


def _known(context: Context) -> Iterator[dict[str, object]]:
    """Claims that are held to a size with its error: what may give a scale."""
    for ref, graded in context.findings.claims.items():
        held = graded.held
        if graded.aspect != "size" or held is None or not held.half95_mm:
            continue
        yield {
            "ref": ref,
            "title": context.library.title(ref),
            "says": context.both(held.value_mm, held.half95_mm)[0],
            "mm": held.value_mm,
            "u": held.half95_mm / 1.96,
        }


def _points(context: Context) -> Iterator[dict[str, object]]:
    for survey in context.library.surveys.values():
        for point in survey.points:
            axes = (point.x, point.y, point.z)
            if not all(isinstance(axis, Length) for axis in axes):
                continue
            yield {
                "ref": f"{survey.ref}#{point.id}",
                "id": point.id,
                "survey": survey.ref,
                "title": point.id.replace("-", " "),
                "at": [axis.mm for axis in axes],
                "u": [axis.u_mm or 0.5 for axis in axes],
            }
