"""A survey: points measured on what remains, in the aircraft's axes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.common import Titled
from archive.records.spec import Node, node, ref, spec_field, text


@dataclass(frozen=True, kw_only=True)
class SurveyPoint(Node):
    """One measured point."""

    id: str = spec_field("name", "Its name, for `surveys/…#name`.", required=True)
    x: Any = spec_field("length", "Aft of the datum.", required=True, signed=True)
    y: Any = spec_field("length", "To starboard of the centre line.", required=True, signed=True)
    z: Any = spec_field("length", "Above the base line.", required=True, signed=True)
    part: str | None = ref(("parts",), "The part it is on.")
    opposite: str | None = spec_field("name", "The same point on the other hand.")
    says: str | None = text("Just where it is.")


@dataclass(frozen=True, kw_only=True)
class SurveyLine(Node):
    """An edge of the structure, drawn over photographs to see how well the points fall on it."""

    through: tuple[str, ...] = spec_field(
        "name", "The points that it runs through, in order.", many=True, required=True
    )


@dataclass(frozen=True, kw_only=True)
class Survey(Titled):
    """Points measured on one day with one instrument."""

    kind = "surveys"
    singular = "survey"
    what = "a survey"
    prose_allowed = False

    instrument: str | None = text("What it was measured with.", required=True)
    conditions: str | None = text("Temperature, damp, light.")
    damage: str | None = text("What is bent, worn or gone.")
    points: tuple[SurveyPoint, ...] = node(
        SurveyPoint, "The points.", many=True, pieces=True, required=True
    )
    lines: tuple[SurveyLine, ...] = node(
        SurveyLine, "Edges along the points, for drawing over photographs.", many=True
    )
