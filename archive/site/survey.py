"""A survey's page: the points measured on what remains."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.context import Context
from archive.site.page import Cell, Link, Page
from archive.site.photo import LeaningShown, leaning
from archive.site.words import plain


@dataclass(frozen=True, slots=True)
class PointShown:
    """A measured point, with its error as given."""

    id: str
    name: str
    x: str
    y: str
    z: str
    part: Link | None
    says: str


@dataclass(frozen=True, slots=True)
class SurveyShown:
    """All that a survey's page says."""

    conditions: str
    damage: str
    points: tuple[PointShown, ...]
    leaning: tuple[LeaningShown, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page of every survey."""
    for survey in context.library.surveys.values():
        frame = context.frame(
            survey,
            label="Survey",
            here="zones",
            up=Link("Everything", context.page("everything.html")),
            cells=(
                Cell("Instrument", survey.instrument or ""),
                Cell("Taken", context.signed(survey.by, survey.on)),
                Cell("Points", str(len(survey.points))),
            ),
        )
        shown = SurveyShown(
            survey.conditions or "",
            survey.damage or "",
            tuple(
                PointShown(
                    point.id,
                    plain(point.id),
                    context.length(point.x),
                    context.length(point.y),
                    context.length(point.z),
                    context.link(point.part) if point.part else None,
                    point.says or "",
                )
                for point in survey.points
            ),
            leaning(context, survey.ref),
        )
        yield Page(f"surveys/{survey.id}.html", "survey", frame, shown)
