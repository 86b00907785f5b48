"""Notes against their pictures: drawn on the same file, within its edges, one note to each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from archive.core.images import ImageFacts
from archive.core.problems import Problem, Where
from archive.records.check_names import at
from archive.records.library import Library
from archive.records.photo import Photo

_SHORTEST = 8

Drawn = tuple[str, Iterable[tuple[float, float]], Where]


def drawn(library: Library, facts: Mapping[str, ImageFacts]) -> Iterator[Problem]:
    """Regions, retouched patches and picks lie on the picture that they were drawn on."""
    measured = _measured(library)
    for photo in library.photos.values():
        fact = facts.get(photo.id)
        if fact is None:
            continue
        things = [*_own(photo), *measured.get(photo.ref, ())]
        changed = list(_scan(photo, fact, bool(things)))
        yield from changed
        if any(problem.code == "drawn-on-another-scan" for problem in changed):
            continue
        for name, points, where in things:
            outside = [p for p in points if not _inside(p, fact)]
            if outside:
                x, y = outside[0]
                size = f"{fact.width_px} × {fact.height_px}"
                says = f"{name} reaches to [{x:g}, {y:g}], off the picture of {size}."
                hint = "Coordinates are pixels of the upright picture, from its top left corner."
                yield Problem(where, "outside-picture", says, hint)


def twins(library: Library, facts: Mapping[str, ImageFacts]) -> Iterator[Problem]:
    """No two notes have the very same picture: they would be two witnesses of one print."""
    first: dict[str, Photo] = {}
    for photo in library.photos.values():
        fact = facts.get(photo.id)
        other = first.setdefault(fact.sha256, photo) if fact else photo
        if other is not photo:
            says = f"{photo.ref} and {other.ref} have the same picture, byte for byte."
            hint = "Keep one of the notes, or put the right picture beside this one."
            yield Problem(at(photo, photo), "picture-twice", says, hint)


def _inside(point: tuple[float, float], fact: ImageFacts) -> bool:
    return 0 <= point[0] <= fact.width_px and 0 <= point[1] <= fact.height_px


def _own(photo: Photo) -> Iterator[Drawn]:
    for region in photo.regions:
        yield f"The region {region.id}", region.outline or (), at(photo, region, "outline")
    for patch in photo.retouched:
        yield "The retouched patch", patch.outline or (), at(photo, patch, "outline")
    for name, point in photo.picks.items():
        yield f"The pick {name}", (point,), at(photo, photo, f"picks[{name}]")


def _measured(library: Library) -> dict[str, list[Drawn]]:
    """REF of a photograph → the picks of measurements on it."""
    found: dict[str, list[Drawn]] = {}
    for measurement in library.measurements.values():
        only = measurement.photos[0] if len(measurement.photos) == 1 else ""
        for pick in measurement.picks:
            photo = (pick.photo or only).partition("#")[0]
            if photo and pick.at is not None:
                thing = (
                    f"The pick {pick.point}",
                    (pick.at, *pick.again),
                    at(measurement, pick, "at"),
                )
                found.setdefault(photo, []).append(thing)
    return found


def _scan(photo: Photo, fact: ImageFacts, has_things: bool) -> Iterator[Problem]:
    scan = photo.file
    written = (scan.sha256 or "").lower() if scan else ""
    if scan and written and len(written) < _SHORTEST:
        says = f"{len(written)} characters of a checksum are too few to tell files apart."
        hint = f"Write at least {_SHORTEST}: {fact.sha256[:16]} is this file's."
        yield Problem(at(photo, scan, "sha256"), "checksum-short", says, hint)
    elif scan and written and not fact.sha256.startswith(written):
        yield _another(at(photo, scan, "sha256"), "The picture isn't the file that was drawn on.")
    elif scan and scan.size and tuple(scan.size) != (fact.width_px, fact.height_px):
        size = f"{scan.size[0]:g} × {scan.size[1]:g}"
        says = f"The picture is {fact.width_px} × {fact.height_px}; what was drawn on was {size}."
        yield _another(at(photo, scan, "size"), says)
    elif has_things and not written:
        says = "Nothing says which file the coordinates were drawn on."
        hint = f"Add file: {{sha256: {fact.sha256[:16]}}} if it was this one."
        yield Problem(at(photo, photo), "scan-not-named", says, hint, advice=True)


def _another(where: Where, says: str) -> Problem:
    hint = "Put the old file back, or draw regions and picks anew and correct file:."
    return Problem(where, "drawn-on-another-scan", says, hint)
