"""Photographs: words for those who can't see, sides of flipped prints, rulings that contradict."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator

from archive.core.problems import Problem, Where
from archive.records.check_names import at, nearest
from archive.records.library import Library
from archive.records.photo import InConfiguration, Photo

_SIDES = frozenset({"port", "starboard", "left", "right"})


def alternatives(library: Library) -> Iterator[Problem]:
    """Every picture is told in a sentence as well."""
    for photo in library.photos.values():
        if not photo.alt and "alt" not in photo.lost:
            says = "The picture isn't told in words."
            hint = "Add alt: with a sentence for those who can't see it."
            yield Problem(at(photo, photo), "alt-missing", says, hint, advice=True)


def _handed(library: Library) -> tuple[set[str], set[str]]:
    """REFs of parts, and names of surveyed points, that have an opposite hand."""
    parts = {
        part.ref
        for part in library.parts.values()
        if part.side in ("port", "starboard") or part.opposite
    }
    parts |= {part.opposite for part in library.parts.values() if part.opposite}
    points = {
        point.id
        for survey in library.surveys.values()
        for point in survey.points
        if point.opposite or (point.part or "").partition("#")[0] in parts
    }
    return parts, points


def sides_to_rule(library: Library) -> Iterator[Problem]:
    """On a print known to be flipped, somebody has ruled which hand each region and pick is."""
    parts, points = _handed(library)
    for photo in library.photos.values():
        if photo.flipped is None or photo.flipped.says is not True:
            continue
        for region in photo.regions:
            if not region.ruled and (region.part or "").partition("#")[0] in parts:
                says = (
                    f"The print is flipped: {region.id} may show the other hand of {region.part}."
                )
                hint = "Look again, then add ruled: {part: …, by: …, on: …}; it counts only then."
                yield Problem(at(photo, region, "part"), "side-to-rule", says, hint)
        for name in () if photo.picks_ruled else photo.picks:
            if name in points:
                says = f"The print is flipped: the pick {name} may be its opposite."
                hint = "Look again, rename it if need be, then add picks_ruled: {by: …, on: …}."
                yield Problem(at(photo, photo, f"picks[{name}]"), "side-to-rule", says, hint)


def side_words(library: Library) -> Iterator[Problem]:
    """A region's permanent name doesn't say which side it is: a flip would make it wrong."""
    for photo in library.photos.values():
        for region in photo.regions:
            words = _SIDES & set(re.split("-", region.id))
            if words:
                word = min(words)
                says = f"The name {region.id} says {word}, and stays when the print proves flipped."
                hint = "Name a region for the thing: chine, strut-foot."
                yield Problem(at(photo, region, "id"), "region-side", says, hint, advice=True)


def regions_shown(library: Library) -> Iterator[Problem]:
    """What is seen somewhere is seen in a region that the photograph has."""
    for photo in library.photos.values():
        names = {region.id for region in photo.regions}
        for seen in photo.shows:
            if seen.region and seen.region not in names and "regions" not in photo.lost:
                says = f"This photograph has no region called {seen.region}."
                hint = nearest(seen.region, names)
                yield Problem(at(photo, seen, "region"), "region-unknown", says, hint)


def negatives(library: Library) -> Iterator[Problem]:
    """No two prints are ruled to be one negative and two, directly or by way of others."""
    same: dict[str, set[str]] = {}
    different: list[tuple[str, str, Where]] = []
    for photo in library.photos.values():
        for ruling in photo.same_negative:
            other = (ruling.photo or "").partition("#")[0]
            if not other or not ruling.is_same:
                continue
            if ruling.is_same == "different" or other == photo.ref:
                different.append((photo.ref, other, at(photo, ruling, "is_same")))
            else:
                same.setdefault(photo.ref, set()).add(other)
                same.setdefault(other, set()).add(photo.ref)
    for one, other, where in different:
        chain = _way(same, one, other)
        if one == other:
            says = "The photograph is compared with itself."
            yield Problem(where, "negatives-contradict", says, "Name the other photograph.")
        elif chain:
            says = f"These are ruled two negatives, and one: {' is '.join(chain)}."
            hint = "Look at the prints again, and take out the ruling that was wrong."
            yield Problem(where, "negatives-contradict", says, hint)


def states(library: Library) -> Iterator[Problem]:
    """No photograph is ruled to show two states that can't be at one time."""
    aircraft = library.aircraft
    if aircraft is None:
        return
    lists = (aircraft.configurations, *(sister.configurations for sister in aircraft.sisters))
    known = {f"configurations/{one.id}": one for states in lists for one in states}
    for photo in library.photos.values():
        musts = [ruling for ruling in photo.configurations if ruling.is_in == "must"]
        for index, ruling in enumerate(musts):
            for other in musts[:index]:
                one, two = (
                    known.get(ruling.configuration or ""),
                    known.get(other.configuration or ""),
                )
                if one is None or two is None:
                    continue
                event = next(iter({*one.before} & {*two.after} or {*two.before} & {*one.after}), "")
                if event:
                    first, then = (one, two) if event in one.before else (two, one)
                    what = event.partition("/")[2]
                    says = f"{first.id} ends with {what}, which begins {then.id}: not both at once."
                    yield _contradiction(photo, ruling, says)
        for ruling in photo.configurations:
            if ruling.is_in == "cannot" and ruling.configuration in {
                m.configuration for m in musts
            }:
                says = f"The photograph must and cannot show {ruling.configuration}."
                yield _contradiction(photo, ruling, says)


def _contradiction(photo: Photo, ruling: InConfiguration, says: str) -> Problem:
    hint = "Look at the photograph again, and take out the ruling that was wrong."
    where = at(photo, ruling, "configuration")
    return Problem(where, "configurations-contradict", says, hint)


def _way(same: dict[str, set[str]], start: str, end: str) -> list[str]:
    """The shortest chain of rulings from one photograph to another; empty where there is none."""
    came = {start: ""}
    todo = deque([start])
    while todo:
        node = todo.popleft()
        if node == end:
            chain = [node]
            while came[chain[-1]]:
                chain.append(came[chain[-1]])
            return chain[::-1]
        for target in sorted(same.get(node, ())):
            if target not in came:
                came[target] = node
                todo.append(target)
    return []
