"""A measurement's page: what was picked where, and the lengths that give its scale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.verdicts import Measured
from archive.records.measurement import Measurement
from archive.site.context import Context
from archive.site.page import Cell, Frame, Link, Page, ReasonShown
from archive.site.photo import PictureShown, may_alter, picture
from archive.site.rectified import RectifiedShown, rectified
from archive.site.words import capital, count, plain


@dataclass(frozen=True, slots=True)
class PickShown:
    """A picked point: its name, its pixels, its place on the picture in per cent, and its part.

    `role` is "measured", "known" (it gives the scale) or ""; `times` says of how many picks it is
    the mean, "" of one.
    """

    name: str
    at: str
    left: str
    top: str
    role: str
    times: str


@dataclass(frozen=True, slots=True)
class StandsShown:
    """Where a mock-up's point would be seen on the photograph, and the pick that it belongs to."""

    from_left: str
    from_top: str
    left: str
    top: str


@dataclass(frozen=True, slots=True)
class PickedShown:
    """A photograph with its picks."""

    link: Link
    picture: PictureShown | None
    alter: bool
    picks: tuple[PickShown, ...]
    stands: tuple[StandsShown, ...]

    @property
    def ends(self) -> tuple[PickShown, ...]:
        """The two ends of what is measured, where both are picked here."""
        found = tuple(pick for pick in self.picks if pick.role == "measured" and pick.left)
        return found if len(found) == 2 else ()


@dataclass(frozen=True, slots=True)
class KnownShown:
    """A known length between two picks, and the record that it comes from."""

    between: str
    known: Link | None
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TermShown:
    """A term of the error: its name, its standard deviation, its share of the whole in per cent."""

    name: str
    size: str
    share: str
    width: str


@dataclass(frozen=True, slots=True)
class LaidShown:
    """A point of a mock-up against the photograph's: how far it stands off, in words."""

    point: str
    ways: tuple[str, ...]
    verdict: str


@dataclass(frozen=True, slots=True)
class ResultShown:
    """What it comes to: the size with its error, the points of a mock-up, or why there is none."""

    verdict: str
    laid: tuple[LaidShown, ...]
    size: str
    other_size: str
    refused: str
    way_out: str
    dominates: str
    would_halve: str
    budget: tuple[TermShown, ...]
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class MeasurementShown:
    """All that a measurement's page says."""

    says: str
    result: ResultShown | None
    between: str
    photographs: tuple[PickedShown, ...]
    known: tuple[KnownShown, ...]
    points: tuple[Link, ...]
    used_by: tuple[Link, ...]
    facts: tuple[Cell, ...]
    plane: RectifiedShown | None


def pages(context: Context) -> Iterator[Page]:
    """The page of every measurement."""
    for measurement in context.library.measurements.values():
        yield Page(
            f"measurements/{measurement.id}.html",
            "measurement",
            _frame(context, measurement),
            _shown(context, measurement),
        )


def _frame(context: Context, measurement: Measurement) -> Frame:
    return context.frame(
        measurement,
        label="Measurement",
        here="photographs",
        up=context.link(measurement.photos[0]) if measurement.photos else None,
        cells=(
            Cell("Method", plain(measurement.method)),
            Cell("Between", " and ".join(plain(name) for name in measurement.between)),
            Cell("Taken", context.signed(measurement.by, measurement.on)),
        ),
    )


def _shown(context: Context, measurement: Measurement) -> MeasurementShown:
    used = [
        f"{part.ref}#{claim.id}"
        for ref in context.library.named_by.get(measurement.ref, ())
        if ref.startswith("parts/")
        for part in (context.library.parts[ref.partition("/")[2]],)
        for claim in part.claims
        if any((e.measured or "").partition("#")[0] == measurement.ref for e in claim.evidence)
    ]
    return MeasurementShown(
        says=measurement.says or "",
        result=_result(context, context.findings.measurements.get(measurement.ref)),
        between=" and ".join(plain(name) for name in measurement.between),
        photographs=tuple(_picked(context, measurement, ref) for ref in measurement.photos),
        known=tuple(
            KnownShown(
                " and ".join(plain(name) for name in one.between),
                context.link(one.known) if one.known else None,
                tuple(
                    filter(
                        None,
                        (
                            {True: "in the same plane", False: "not in the same plane", None: ""}[
                                one.same_plane
                            ],
                            f"{context.length(one.nearer)} nearer the camera" if one.nearer else "",
                        ),
                    )
                ),
            )
            for one in measurement.references
        ),
        points=context.links(ref.partition("#")[0] for ref in measurement.points),
        used_by=context.links(used),
        facts=tuple(
            cell
            for cell in (
                Cell("Camera stood off", context.length(measurement.camera_distance)),
                Cell(
                    "Leans from square",
                    f"at most {measurement.tilt_deg:g}°"
                    if measurement.tilt_deg is not None
                    else "",
                ),
                Cell("For", measurement.purpose or ""),
            )
            if cell.text
        ),
        plane=rectified(context, measurement),
    )


ROLES = ("measured", "", "known")
"""In which order picks are listed."""

LEAST_SHARE = 0.005
"""Terms that make up less of the squared error than this are not shown."""


def _result(context: Context, found: Measured | None) -> ResultShown | None:
    if found is None:
        return None
    size = other = ""
    terms = []
    if found.value_mm is not None and found.u_mm:
        size, other = context.both(found.value_mm, found.half95_mm)
        for name, u_mm in found.budget:
            share = (u_mm / found.u_mm) ** 2
            if share >= LEAST_SHARE:
                width = f"{100 * min(share, 1.0):.1f}"
                terms.append(TermShown(name, f"{u_mm:.1f}\u00a0mm", f"{100 * share:.0f} %", width))
    return ResultShown(
        capital(found.finding.verdict),
        tuple(
            LaidShown(
                plain(point.point),
                tuple(shift_words(context, *along) for along in point.along),
                "stands apart" if point.differs else "falls on it, as far as can be told",
            )
            for point in found.laid_over
        ),
        size,
        other,
        found.refused or "",
        found.way_out,
        found.dominates,
        found.would_halve,
        tuple(terms),
        context.reasons(found.finding, found.ref),
    )


WAYS = {"x": ("aft", "forward"), "y": ("to starboard", "to port"), "z": ("higher", "lower")}


def shift_words(context: Context, axis: str, mm: float, half95_mm: float) -> str:
    """How far a point stands off along one of the aircraft's axes, and which way."""
    first, _ = context.both(abs(mm), half95_mm)
    return f"{first} {WAYS[axis][0 if mm >= 0 else 1]}"


def _roles(context: Context, measurement: Measurement) -> dict[str, str]:
    """Name of a pick → "measured" for the two ends, "known" for what gives the scale."""
    roles = dict.fromkeys((n for known in measurement.references for n in known.between), "known")
    for ref in measurement.points:
        whole, _, piece = ref.partition("#")
        survey = context.library.surveys.get(whole.partition("/")[2])
        names = [piece] if piece else [point.id for point in survey.points] if survey else []
        roles.update(dict.fromkeys(names, "known"))
    return roles | dict.fromkeys(measurement.between, "measured")


def _picked(context: Context, measurement: Measurement, ref: str) -> PickedShown:
    id_ = ref.partition("/")[2].partition("#")[0]
    photo = context.library.photos.get(id_)
    facts = context.view.images.get(id_)
    roles = _roles(context, measurement)
    at = {n: p for n, p in (photo.picks.items() if photo else ()) if roles.get(n) == "known" and p}
    times: dict[str, int] = {}
    for pick in measurement.picks:
        alone = pick.photo is None and len(measurement.photos) == 1
        here = alone or (pick.photo or "").partition("#")[0] == f"photos/{id_}"
        if pick.at and pick.point and here:
            at[pick.point], times[pick.point] = pick.mean, len(pick.made)
    picks = [
        PickShown(
            plain(name),
            f"{x:.6g}, {y:.6g}",
            f"{100 * x / facts.width_px:.2f}%" if facts else "",
            f"{100 * y / facts.height_px:.2f}%" if facts else "",
            roles.get(name, ""),
            count(times[name], "pick") if times.get(name, 1) > 1 else "",
        )
        for name, (x, y) in sorted(at.items(), key=lambda pair: ROLES.index(roles.get(pair[0], "")))
    ]
    alt = (photo.alt or photo.title or "") if photo else ""
    return PickedShown(
        context.link(ref),
        picture(context, id_, alt),
        photo is not None and may_alter(context, photo),
        tuple(picks),
        _stands(context, measurement, f"photos/{id_}"),
    )


def _stands(context: Context, measurement: Measurement, ref: str) -> tuple[StandsShown, ...]:
    found = context.findings.measurements.get(measurement.ref)
    facts = context.view.images.get(ref.partition("/")[2])
    if found is None or facts is None:
        return ()

    def at(px: tuple[float, float]) -> tuple[str, str]:
        return f"{100 * px[0] / facts.width_px:.2f}%", f"{100 * px[1] / facts.height_px:.2f}%"

    return tuple(
        StandsShown(*at(point.seen_px), *at(point.stands_px))
        for point in found.laid_over
        if point.photo == ref
    )
