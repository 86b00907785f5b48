"""A measurement's page: what was picked where, and the lengths that give its scale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.records.measurement import Measurement
from archive.site.context import Context
from archive.site.page import Cell, Frame, Link, Page
from archive.site.photo import PictureShown, may_alter, picture
from archive.site.words import plain

NOT_WORKED_OUT = (
    "This version keeps the picks and doesn't work out the size yet. No figure follows from this "
    "page; none is to be scaled off it by hand and cut to."
)


@dataclass(frozen=True, slots=True)
class PickShown:
    """A picked point: its name, its pixels, and its place on the picture in per cent."""

    name: str
    at: str
    left: str
    top: str
    measured: bool


@dataclass(frozen=True, slots=True)
class PickedShown:
    """A photograph with its picks."""

    link: Link
    picture: PictureShown | None
    alter: bool
    picks: tuple[PickShown, ...]


@dataclass(frozen=True, slots=True)
class KnownShown:
    """A known length between two picks, and the record that it comes from."""

    between: str
    known: Link | None
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeasurementShown:
    """All that a measurement's page says."""

    says: str
    caution: str
    between: str
    photographs: tuple[PickedShown, ...]
    known: tuple[KnownShown, ...]
    points: tuple[Link, ...]
    used_by: tuple[Link, ...]
    facts: tuple[Cell, ...]


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
        caution=NOT_WORKED_OUT,
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
        points=context.links(measurement.points),
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
    )


def _picked(context: Context, measurement: Measurement, ref: str) -> PickedShown:
    id_ = ref.partition("/")[2].partition("#")[0]
    photo = context.library.photos.get(id_)
    facts = context.view.images.get(id_)
    picks = []
    for pick in measurement.picks:
        alone = pick.photo is None and len(measurement.photos) == 1
        if not pick.at or not (alone or (pick.photo or "").partition("#")[0] == f"photos/{id_}"):
            continue
        x, y = pick.at
        picks.append(
            PickShown(
                plain(pick.point),
                f"{x:g}, {y:g}",
                f"{100 * x / facts.width_px:.2f}%" if facts else "",
                f"{100 * y / facts.height_px:.2f}%" if facts else "",
                pick.point in measurement.between,
            )
        )
    alt = (photo.alt or photo.title or "") if photo else ""
    return PickedShown(
        context.link(ref),
        picture(context, id_, alt),
        photo is not None and may_alter(context, photo),
        tuple(picks),
    )
