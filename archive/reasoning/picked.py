"""From a measurement's record to the picks, points and lengths that the methods take."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from archive.core.allowances import BEND, BENDS, BENDS_ON_PLANE, PICK_PX, TAPE
from archive.core.lengths import Length
from archive.core.verdicts import Held
from archive.reasoning.evidence import is_flipped, through_a_screen
from archive.reasoning.ground import Ground, Size
from archive.reasoning.patches import inside
from archive.reasoning.trust import discredited, taken_back, unreliable
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.measurement import KnownLength, Measurement
from archive.records.photo import Photo
from archive.records.survey import Survey, SurveyPoint

if TYPE_CHECKING:
    from archive.metrology.picking import Scatter

Pixel = tuple[float, float]
Errors = tuple[tuple[str, float], ...]


class Refused(Exception):
    """A measurement that gives no size: the rule, the reason as a sentence, and the way out."""

    def __init__(self, rule: str, reason: str, way_out: str) -> None:
        super().__init__(reason)
        self.rule = rule
        self.reason = reason
        self.way_out = way_out


@dataclass(frozen=True)
class Asked:
    """All that one measurement is worked out from.

    `held` are the figures that claims are held to, by REF: those that it leans on must be among
    them. `sizes` is width and height in pixels of the pictures that are there, by REF.
    """

    ground: Ground
    measurement: Measurement
    held: Mapping[str, Held | None]
    sizes: Mapping[str, Size]

    @property
    def library(self) -> Library:
        """The records."""
        return self.ground.library

    @property
    def pick_px(self) -> float:
        """What is expected of a pick where nobody repeated one, one standard deviation."""
        given = self.measurement.pick_px
        return float(given) if given else PICK_PX

    def scatter(self, photo: Photo) -> Scatter | None:
        """What the repeats of whoever measured tell on a photograph; None without any."""
        person = self.library.person(self.measurement.by)
        return self.ground.repeats.get((person.id, photo.ref)) if person else None

    def pick_px_of(self, photo: Photo, times: int) -> float:
        """The error of a point that was picked so many times on a photograph."""
        scatter = self.scatter(photo)
        return scatter.mean_px(self.pick_px, times) if scatter else self.pick_px


@dataclass(frozen=True)
class Picture:
    """A photograph that is measured: its size, its picks by name, the surveyed points among them.

    `at` holds all picks, of the measurement and of the photograph's own surveyed points; pixels are
    turned back where the print is flipped and ruled on. `doubt_px` is the error of each, one
    standard deviation in each direction (M12).
    """

    photo: Photo
    size: tuple[float, float]
    at: Mapping[str, Pixel]
    doubt_px: Mapping[str, float]

    def pick_px(self, names: Iterable[str] = ()) -> float:
        """The error of the least sure of some picks, of all where none is named."""
        return max((self.doubt_px[n] for n in tuple(names) or self.doubt_px), default=PICK_PX)

    @property
    def bend(self) -> float:
        """How far the lens may bend lines: k1 in its own focal lengths, one standard deviation."""
        return BENDS if self.photo.lens == "bends" else BEND

    @property
    def bend_on_plane(self) -> float:
        """The same in focal lengths of an ordinary lens, for ways that find no camera."""
        return BENDS_ON_PLANE if self.photo.lens == "bends" else BEND


def pictures_of(asked: Asked) -> tuple[Picture, ...]:
    """The photographs of a measurement; raises `Refused` where one can't be measured."""
    found = []
    for ref in asked.measurement.photos:
        photo = asked.library.photos.get(ref.partition("#")[0].partition("/")[2])
        if photo is None:
            raise Refused("M1", f"There is no {ref} in the record.", "Name a photograph that is.")
        found.append(_picture(asked, photo))
    if not found:
        raise Refused("M1", "It names no photograph.", "Add photos:.")
    return tuple(found)


def _picture(asked: Asked, photo: Photo) -> Picture:
    library, name = asked.library, f"“{photo.title}”"
    if photo.shows_what == "document":
        raise Refused(
            "M2", f"{name} pictures a paper.", "Measure the photograph that it was made from."
        )
    if through_a_screen(asked.ground, photo.ref):
        raise Refused(
            "M2",
            f"{name} is a halftone, or was made from one: no size is taken off it.",
            "Find the photograph that was printed.",
        )
    why = asked.ground.unfit.get(photo.ref) or unreliable(asked.ground, photo.ref)
    if why:
        raise Refused("M2", f"{name} can't be relied on: {why}.", "Mend that first.")
    fallen = discredited(library, photo.ref) or taken_back(library, photo.ref)
    if fallen:
        raise Refused(
            "M2",
            f"{name} rests on “{library.title(fallen)}”, which is no evidence any more.",
            "Measure another photograph.",
        )
    size = size_of(asked, photo)
    at: dict[str, Pixel] = {n: (float(p[0]), float(p[1])) for n, p in photo.picks.items() if p}
    times = dict.fromkeys(at, 1)
    alone = len(asked.measurement.photos) == 1
    for pick in asked.measurement.picks:
        here = (pick.photo or "").partition("#")[0] == photo.ref or (alone and not pick.photo)
        if here and pick.at and pick.point:
            at[pick.point], times[pick.point] = pick.mean, len(pick.made)
    for patch in photo.retouched:
        for pick_name in asked.measurement.between:
            if patch.outline and pick_name in at and inside(at[pick_name], patch.outline):
                raise Refused(
                    "M2",
                    f"{name} was worked over where {pick_name} is picked.",
                    "Find a print that nobody has worked over.",
                )
    if is_flipped(photo):
        if photo.picks_ruled is None:
            raise Refused(
                "M3",
                f"{name} is flipped, and nobody has ruled which hand its picks are on.",
                "Look at the picks, then add picks_ruled: to the photograph.",
            )
        at = {n: (size[0] - x, y) for n, (x, y) in at.items()}
    return Picture(photo, size, at, {n: asked.pick_px_of(photo, k) for n, k in times.items()})


def size_of(asked: Asked, photo: Photo) -> tuple[float, float]:
    """Width and height of a photograph in pixels; raises `Refused` where nobody says."""
    there = asked.sizes.get(photo.ref)
    written = there or (photo.file.size if photo.file else None)
    if not written:
        raise Refused(
            "M1", f"Nobody says how large “{photo.title}” is.", "Add file: {size: [across, down]}."
        )
    return float(written[0]), float(written[1])


def ends(asked: Asked) -> tuple[str, str]:
    """The two picks between which it is measured."""
    between = asked.measurement.between
    if len(between) != 2:
        raise Refused("M1", "A size lies between two picks.", "Name just two in between:.")
    return between[0], between[1]


def pixel(picture: Picture, name: str) -> Pixel:
    """The pixel of a named pick; raises `Refused` where it wasn't picked."""
    at = picture.at.get(name)
    if at is None:
        raise Refused(
            "M1", f"{name} isn't picked on “{picture.photo.title}”.", "Add it to the picks."
        )
    return at


def surveyed(asked: Asked, pictures: tuple[Picture, ...]) -> dict[str, tuple[Survey, SurveyPoint]]:
    """The surveyed points that a measurement names and that are picked somewhere, by name."""
    _own_airframe(asked, pictures, bool(asked.measurement.points))
    found: dict[str, tuple[Survey, SurveyPoint]] = {}
    for ref in asked.measurement.points:
        whole, _, piece = ref.partition("#")
        survey = asked.library.surveys.get(whole.partition("/")[2])
        for point in survey.points if survey else ():
            wanted = point.id == piece if piece else any(point.id in p.at for p in pictures)
            if survey and wanted and readable(point):
                found[point.id] = (survey, point)
    return found


def readable(point: SurveyPoint) -> bool:
    """Whether all three coordinates of a surveyed point could be read."""
    return all(isinstance(value, Length) for value in (point.x, point.y, point.z))


def _own_airframe(asked: Asked, pictures: tuple[Picture, ...], surveys: bool) -> None:
    for picture in pictures if surveys else ():
        whose = getattr(picture.photo.airframe, "says", picture.photo.airframe)
        if picture.photo.shows_what == "period" and whose not in (None, "this"):
            raise Refused(
                "M4",
                f"“{picture.photo.title}” shows another aircraft than the one that was surveyed.",
                "Measure it by something of that aircraft.",
            )


def place_of(point: SurveyPoint) -> tuple[list[float], list[float]]:
    """Coordinates of a surveyed point and their standard deviations, mm."""
    lengths = [point.x, point.y, point.z]
    return [a.mm for a in lengths], [a.u_mm or 0.5 for a in lengths]


def known_length(
    asked: Asked, known: KnownLength, pictures: tuple[Picture, ...]
) -> tuple[float, Errors, str]:
    """A known length in mm, the sources of its error, and its REF."""
    ref = known.known or ""
    if ref.startswith("surveys/"):
        _own_airframe(asked, pictures, True)
        return _between_points(asked.library, known, ref)
    held = asked.held.get(ref) or _of_its_own(asked.library, ref)
    if held is None:
        raise Refused(
            "M1",
            f"The known length, {asked.library.title(ref)}, is held to no figure.",
            "Measure it on the metal, and write it with its error in that part's claim.",
        )
    if held.half95_mm is None:
        raise Refused(
            "M1",
            f"The known length, {asked.library.title(ref)}, comes without an error.",
            "Write it with its error.",
        )
    if held.errors:
        return held.value_mm, held.errors, ref
    source = asked.ground.measured.get(held.measured)
    if source is not None and source.errors:
        return held.value_mm, source.errors, ref
    return held.value_mm, ((f"known|{ref}|", held.half95_mm / 1.96),), ref


def _of_its_own(library: Library, ref: str) -> Held | None:
    """A size measured on a surviving thing itself, whosever it is: a rule needs no pedigree."""
    claim = library.get(ref)
    part = ref.partition("#")[0]
    values = [
        item.value
        for item in (claim.evidence if isinstance(claim, Claim) else ())
        if item.part == part and item.value and item.value.half95_mm and not item.against
    ]
    survives = getattr(library.get(part), "survives", None) in ("whole", "fragment")
    if not values or not survives:
        return None
    best = min(values, key=lambda value: value.half95_mm or 0.0)
    return Held(best.mm, best.half95_mm, part, "Measured on the thing itself.")


def _between_points(library: Library, known: KnownLength, ref: str) -> tuple[float, Errors, str]:
    survey = library.surveys.get(ref.partition("#")[0].partition("/")[2])
    points = {p.id: p for p in survey.points if readable(p)} if survey else {}
    for name in known.between:
        if name not in points:
            raise Refused(
                "M1",
                f"{name} is no point of {library.title(ref.partition('#')[0])}.",
                "Name the picks as the surveyed points are named.",
            )
    if survey is None or len(known.between) != 2:
        raise Refused("M1", "A known length lies between two picks.", "Name just two.")
    (a, ua), (b, ub) = (place_of(points[name]) for name in known.between)
    away = [q - p for p, q in zip(a, b, strict=True)]
    length = math.hypot(*away)
    if not length:
        raise Refused("M1", "The two known points are the same.", "Name two that differ.")
    errors: list[tuple[str, float]] = []
    for name, sigma, sign in ((known.between[0], ua, -1.0), (known.between[1], ub, 1.0)):
        for axis, step, u in zip("xyz", away, sigma, strict=True):
            errors.append((f"survey|{survey.ref}|{name}:{axis}", sign * u * step / length))
    errors.append((f"tape|{survey.ref}|", TAPE * length))
    return length, tuple(errors), survey.ref
