"""A measurement: named picks on photographs, and the known lengths that give their scale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from archive.records.common import Titled
from archive.records.spec import Node, node, one_of, ref, spec_field, text

METHODS = (
    "scale",
    "plane",
    "stations",
    "camera",
    "known-plane",
    "symmetry",
    "several",
    "circle",
    "mock-up",
)


@dataclass(frozen=True, kw_only=True)
class Pick(Node):
    """A point picked on a photograph."""

    point: str | None = spec_field("name", "What the point is called.", required=True)
    photo: str | None = ref(("photos",), "On which photograph; the only one where left out.")
    at: Any = spec_field("point", "Its pixels, upright, never mirrored.", required=True)
    again: tuple[Any, ...] = spec_field(
        "point",
        "The same point picked anew by the same person, each time without looking at the last: "
        "the mean is measured, and the scatter tells the error of that person's picks there.",
        many=True,
    )

    @property
    def made(self) -> tuple[tuple[float, float], ...]:
        """Its pixels, each time that it was made; none where they can't be read."""
        return tuple((float(p[0]), float(p[1])) for p in (self.at, *self.again) if p)

    @property
    def mean(self) -> tuple[float, float]:
        """The mean of its pixels; raises ZeroDivisionError where there are none."""
        across, down = zip(*self.made, strict=True) if self.made else ((), ())
        return sum(across) / len(across), sum(down) / len(down)


@dataclass(frozen=True, kw_only=True)
class KnownLength(Node):
    """A length that gives the scale, by the record that it comes from, never a typed number."""

    between: tuple[str, ...] = spec_field(
        "name", "The two picks that it lies between.", many=True, required=True
    )
    known: str | None = ref(
        ("parts", "surveys"), "The claim or the survey that gives it.", required=True, key="length"
    )
    same_plane: bool | None = spec_field("yesno", "Does it lie in the plane of what is measured?")
    nearer: Any = spec_field("length", "How much nearer to the camera it is.", signed=True)


@dataclass(frozen=True, kw_only=True)
class FlatAt(Node):
    """A plane square to one of the aircraft's axes."""

    axis: str | None = one_of(("x", "y", "z"), "The axis that it is square to.", required=True)
    at: Any = spec_field(
        "length", "Where it cuts that axis, with its error.", required=True, signed=True
    )


@dataclass(frozen=True, kw_only=True)
class Measurement(Titled):
    """A size taken from one or more photographs."""

    kind = "measurements"
    singular = "measurement"
    what = "a measurement"
    prose_allowed = False

    photos: tuple[str, ...] = ref(
        ("photos",), "The photographs.", many=True, one_or_many=True, required=True
    )
    method: str | None = one_of(METHODS, "How the size is found.", required=True)
    between: tuple[str, ...] = spec_field(
        "name",
        "The picks between which it is measured; for a mock-up the points that are compared.",
        many=True,
        required=True,
    )
    picks: tuple[Pick, ...] = node(Pick, "The picks.", many=True, required=True)
    references: tuple[KnownLength, ...] = node(KnownLength, "The known lengths.", many=True)
    points: tuple[str, ...] = ref(("surveys",), "The surveyed points it uses.", many=True)
    camera_distance: Any = spec_field("length", "How far off the camera stood, if known.")
    tilt_deg: Any = spec_field("number", "How far the thing leans away from square, at most.")
    on_plane: FlatAt | None = node(FlatAt, "The plane that the measured picks lie on.")
    off_plane: Any = spec_field(
        "length", "How far the measured picks may stand off the plane of the known ones, at most."
    )
    symmetric_within: Any = spec_field(
        "length", "How closely the two hands are alike, as ±; 30 mm where left out."
    )
    pick_px: Any = spec_field(
        "number", "How far off a pick may be, in pixels, one standard deviation; 2 if left out."
    )
    stretch_percent: Any = spec_field(
        "number",
        "How unequally the print may have stretched, in per cent, one standard deviation; 0.5 if "
        "left out.",
    )
    says: str | None = text("What is measured.")

    def repeated(self) -> Iterator[tuple[str, tuple[tuple[float, float], ...]]]:
        """Every point that was picked more than once: REF of its photograph, and all its pixels."""
        for pick in self.picks:
            if pick.again and pick.at and not pick.lost:
                named = pick.photo or (self.photos[0] if self.photos else "")
                yield named.partition("#")[0], pick.made
