"""Measurements and surveys: picks that are there, on photographs that are theirs."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.records.check_names import at, nearest
from archive.records.library import Library
from archive.records.measurement import Measurement
from archive.records.spec import Node


def picks(library: Library) -> Iterator[Problem]:
    """What is measured, and what gives the scale, lies between picks that were made."""
    for measurement in library.measurements.values():
        names = {pick.point for pick in measurement.picks if pick.point}
        if "picks" not in measurement.lost:
            yield from _between(measurement, measurement, names)
            for known in measurement.references:
                yield from _between(measurement, known, names)
        yield from _on_photos(measurement)


def _between(measurement: Measurement, node: Node, names: set[str]) -> Iterator[Problem]:
    between: tuple[str, ...] = getattr(node, "between", ())
    for index, name in enumerate(between):
        if name not in names:
            says = f"There is no pick called {name} in this measurement."
            where = at(measurement, node, f"between[{index}]")
            yield Problem(where, "pick-unknown", says, nearest(name, names))
    if len(between) == 2 and between[0] == between[1]:
        says = f"Both ends are {between[0]}: there is no length between a point and itself."
        yield Problem(at(measurement, node, "between[1]"), "pair-expected", says, "Name two picks.")
    if node is not measurement and between and len(between) != 2:
        says = f"A known length lies between two picks, and {len(between)} are named."
        yield Problem(at(measurement, node, "between"), "pair-expected", says, "Name two picks.")


def _on_photos(measurement: Measurement) -> Iterator[Problem]:
    photos = {ref.partition("#")[0] for ref in measurement.photos}
    first: dict[tuple[str | None, str | None], int] = {}
    for pick in measurement.picks:
        if pick.photo and pick.photo.partition("#")[0] not in photos and photos:
            says = f"{pick.photo} isn't one of the photographs of this measurement."
            hint = "Add it to photos:, or correct the pick."
            yield Problem(at(measurement, pick, "photo"), "pick-elsewhere", says, hint)
        elif not pick.photo and len(photos) > 1 and "photo" not in pick.lost:
            says = f"The pick {pick.point} doesn't say on which photograph it is."
            yield Problem(at(measurement, pick), "pick-elsewhere", says, "Add photo: to it.")
        key = (pick.point, pick.photo)
        if key in first:
            says = f"The pick {pick.point} was made on line {first[key]} already."
            where = at(measurement, pick, "point")
            yield Problem(where, "name-twice", says, "Keep one, or name them apart.")
        first.setdefault(key, pick.mark_of("point")[0])


def opposite_points(library: Library) -> Iterator[Problem]:
    """What a survey names as opposite, or joins by lines, are its own points."""
    for survey in library.surveys.values():
        names = {point.id for point in survey.points}
        for point in survey.points:
            if point.opposite and point.opposite not in names and "points" not in survey.lost:
                says = f"There is no point called {point.opposite} in this survey."
                hint = nearest(point.opposite, names)
                yield Problem(at(survey, point, "opposite"), "point-unknown", says, hint)
        for line in survey.lines if "points" not in survey.lost else ():
            for index, name in enumerate(line.through):
                if name not in names:
                    says = f"There is no point called {name} in this survey."
                    where = at(survey, line, f"through[{index}]")
                    yield Problem(where, "point-unknown", says, nearest(name, names))
