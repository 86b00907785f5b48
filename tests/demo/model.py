"""The demonstration aeroplane as meshes: built from ``dimensions`` in one of its four states."""

from __future__ import annotations

import dimensions as d
from body import fuselage
from dimensions import named_points
from gear import float_struts, float_unit, spreaders, wheels
from nose import cowl, engine, propeller
from planes import struts, tail, wings
from shapes import HANDS, Piece

STATES = ("works-1932", "survey-1932", "survey-1934", "last-1935")


def build(state: str) -> list[Piece]:
    """All pieces of the complete aeroplane in ``state``."""
    pieces = fuselage() + wings() + struts() + tail() + engine() + propeller() + cowl()
    if state == "works-1932":
        pieces += wheels()
    else:
        long_post = state in ("survey-1934", "last-1935")
        for hand, side in HANDS:
            pieces += float_unit(hand, side, long_post) + float_struts(hand, side)
        pieces += spreaders()
    return pieces


def points_in(state: str) -> dict[str, tuple[float, float, float]]:
    """The named points that exist in ``state``."""
    floats = state != "works-1932"
    points = {
        n: p for n, p in named_points().items()
        if (floats or not n.startswith(("float", "water"))) and not (floats and n[:5] == "wheel")
    }
    if floats:
        post = d.WATER_RUDDER_POST_WORKS
        if state in ("survey-1934", "last-1935"):
            post = d.WATER_RUDDER_POST_OPERATOR
        for hand, side in HANDS:
            points[f"water-rudder-post-{hand}-foot"] = (
                d.FLOAT_STERN_X + 40, side * d.FLOAT_TRACK / 2, d.FLOAT_DECK_Z + 90 - post)
    return points
