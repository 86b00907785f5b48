"""The zones of the aircraft, numbered the ATA way, each with its outline on the three views."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.spec import Node, Record, node, one_of, spec_field, text

VIEWS = ("side", "top", "front")


@dataclass(frozen=True, kw_only=True)
class Outline(Node):
    """One closed line of the general arrangement, in millimetres of the aircraft's axes.

    Points are [x, z] on the side view, [x, y] on the top view and [y, z] on the front view.
    """

    view: str = one_of(VIEWS, "Which view it is drawn on.", required=True)
    points: Any = spec_field("outline", "Its corners, in mm.", required=True)
    smooth: bool | None = spec_field("yesno", "`yes` draws a fair curve through the points.")


@dataclass(frozen=True, kw_only=True)
class Zone(Node):
    """A numbered region of the aircraft."""

    id: str = text("Its number, 100 to 899.", required=True)
    name: str | None = text("Its name.", required=True)
    says: str | None = text("What belongs to it.")
    outlines: tuple[Outline, ...] = node(Outline, "Where it lies on the views.", many=True)


@dataclass(frozen=True, kw_only=True)
class Zones(Record):
    """All zones of the aircraft: `zones.yaml`."""

    kind = "zones"
    singular = "zone"
    what = "the zones"
    prose_allowed = False

    zones: tuple[Zone, ...] = node(Zone, "The zones, in order.", many=True, required=True)
