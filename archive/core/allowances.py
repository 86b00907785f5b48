"""What is allowed for where a record says nothing, and what each term of an error is called."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

PICK_PX = 2.0
"""Error of a pick, one standard deviation in each direction (common practice, no source)."""
STRETCH_PERCENT = 0.5
"""Unequal stretch of a print, one standard deviation: a dried print keeps up to 1 % across the web
and 0.5 % along it (L. P. Clerc, Photography: Theory and Practice, par. 613)."""
SYMMETRIC_MM = 30.0
"""How closely the two hands of a hand-built airframe are alike, 95 % half-width (common practice,
no source)."""
TILT_DEG = 30.0
"""How far the plane of a simple scale may lean away from square."""
LINE_TILT_DEG = 45.0
"""How far a line of stations may run into the picture."""
SAME_PLANE_MM = 50.0
"""What “in the same plane” may leave in depth, at most."""
OFF_PLANE_MM = 10.0
"""How far what is picked may stand off the plane of the known points, at most."""
LEAN_DEG = 2.0
"""How far from parallel the plane of a circle and that of its known length may be, at most."""
TAPE = 5e-4
"""Error that all lengths of one survey share, of its tape or instrument, one standard deviation:
a steel tape of class II is good for 0.3 mm + 0.2 mm a metre (OIML R 35, from memory)."""
LENS_DOUBT = 0.4
"""Doubt of the camera's distance, in parts, where only an ordinary lens can be assumed."""
NEARER_DOUBT = 0.1
DISTANCE_DOUBT = 0.1
"""Standard deviations, in parts, of depths that are given without an error."""
WHOLE, CROPPED = 0.05, 0.20
"""The lens axis off the middle of a whole negative, and of a cropped one or one that nobody knows:
standard deviation in parts of the diagonal."""
BEND = 0.02
"""How far an ordinary lens bends lines: the radial term k1, one standard deviation (common
practice, no source)."""
BENDS, BENDS_ON_PLANE = 0.3, 1.0
"""The same for a lens that is said to bend: k1 in its own focal lengths, and in those of an
ordinary lens, which the ways without a camera take (a wide lens of 0.85 picture widths bends by
−0.27 of the one, −0.85 of the other: the published calibration in tests/authorities/boards.py)."""
MOST_DOUBT = 0.15
"""An error (one standard deviation) above this part of a size is refused."""

TERMS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "pick": ("the picks on {}", "Pick every end four times and take the mean, or scan finer."),
        "survey": ("the surveyed points of {}", "Survey the known points again, more closely."),
        "known": ("the known length {}", "Measure that length on the metal more closely."),
        "figure": ("a figure of {}", "Take that figure again, more closely."),
        "spread": ("pieces that differ, of {}", "Measure more pieces of the row."),
        "tape": ("the tape, the same for all of {}", "Check the tape against a better one."),
        "lens": ("the lens of {}", "Pick more known points, spread in depth."),
        "stretch": ("uneven stretch of {}", "Scan the print with a rule on two sides."),
        "middle": ("the lens axis off the middle of {}", "Find the whole negative or print."),
        "bend": ("the lens bending lines in {}", "Pick known points all round what is measured."),
        "mirror": ("the two hands not alike", "Measure on the metal how alike the hands are."),
        "flat": ("where the plane lies", "Survey the plane that the picks lie on."),
        "depth": (
            "how much nearer the known length stands in {}",
            "Find a known length in the plane of what is measured.",
        ),
        "recession": (
            "the plane leaning away in {}",
            "Find a known length closer by, or a photograph that is more square-on.",
        ),
        "direction": (
            "lengths that run in different directions in {}",
            "Find a known length that runs the same way.",
        ),
        "bow": ("the near side of the circle in {}", "Find a photograph from farther off."),
        "off-plane": ("points that stand off the plane in {}", "Say how far off they stand."),
    }
)
"""The first word of an error's label → what the term is called, and what would lessen it."""
