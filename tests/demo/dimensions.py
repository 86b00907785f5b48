"""Every dimension of the demonstration aeroplane, by name, in millimetres.

Axes: x aft, y to starboard, z up. Datum: the firewall on the centre line, z = 0 at the upper
longerons. Marks, maker and type are invented. These numbers are the truth that the demo's
measurements on its photographs can be compared with.
"""

from __future__ import annotations

import math

INCH = 25.4

HUB_X = -1250.0
HUB_Z = -430.0
OVERALL_LENGTH = 9400.0
PROPELLER_DIAMETER = 2850.0
COWL_DIAMETER = 1300.0
COWL_CHORD = 520.0
COWL_FRONT_X = -1080.0
CYLINDER_COUNT = 7
CYLINDER_HEAD_RADIUS = 590.0

FUSELAGE_WIDTH = 920.0
FUSELAGE_DEPTH = 1010.0
STERNPOST_X = 7300.0
STERNPOST_DEPTH = 420.0
FRAME_STATIONS = (0.0, 900.0, 1800.0, 2650.0, 3500.0, 4400.0, 5350.0, 6300.0, 7300.0)
COCKPIT_FRONT_X = 1480.0
COCKPIT_REAR_X = 2560.0
COCKPIT_LENGTH = 720.0
COCKPIT_WIDTH = 600.0
HATCH_X = 3560.0
HATCH_LENGTH = 640.0
HATCH_WIDTH = 460.0
LONGERON_TUBE = 32.0

UPPER_SPAN = 12200.0
LOWER_SPAN = 11400.0
UPPER_CHORD = 1620.0
LOWER_CHORD = 1500.0
STAGGER = 460.0
DIHEDRAL_DEG = 2.0
FRONT_SPAR = 0.14
REAR_SPAR = 0.64
UPPER_LEADING_EDGE_X = 430.0
LOWER_WING_Z = -860.0
STRUT_STATION_Y = 3900.0
INTERPLANE_STRUT_LENGTH = 58.5 * INCH
STRUT_CHORD = 92.0
STRUT_THICKNESS = 36.0
RIB_COUNT = 40
RIB_PITCH = 560.0

TAILPLANE_SPAN = 3700.0
FIN_TOP_Z = 1130.0

FLOAT_LENGTH = 6900.0
FLOAT_BOW_X = -1500.0
FLOAT_BEAM = 900.0
FLOAT_DEPTH = 780.0
FLOAT_TRACK = 2600.0
FLOAT_DECK_Z = -1880.0
FLOAT_STEP_X = 2350.0
CHINE_RIVET_PITCH = 0.875 * INCH
SPREADER_X_FRONT = 330.0
SPREADER_X_REAR = 2650.0
FLOAT_STRUT_CHORD = 110.0
WATER_RUDDER_POST_WORKS = 640.0
WATER_RUDDER_POST_OPERATOR = 860.0
WATER_RUDDER_CHORD = 330.0

WHEEL_DIAMETER = 800.0
WHEEL_TRACK = 1950.0
AXLE_X = 350.0
AXLE_Z = -1760.0

MARK_HEIGHT_FUSELAGE = 480.0
MARK_HEIGHT_WING = 1000.0
STRIPE_WIDTH = 190.0
BOATHOOK_LENGTH = 96 * INCH
BOATHOOK_BAND_PITCH = 24 * INCH


def front_strut_rise() -> float:
    """The vertical part of the front interplane strut, from its length and the stagger."""
    run = STAGGER + FRONT_SPAR * (LOWER_CHORD - UPPER_CHORD)
    return math.sqrt(INTERPLANE_STRUT_LENGTH**2 - run**2)


def dihedral_rise(y: float) -> float:
    """How far dihedral lifts a wing at a distance ``y`` from the centre line."""
    return abs(y) * math.tan(math.radians(DIHEDRAL_DEG))


# Strut pins: on the lower wing 95 mm over its chord line, under the upper wing 45 mm below it.
PIN_OVER_LOWER = 95.0
PIN_UNDER_UPPER = -45.0
UPPER_WING_Z = LOWER_WING_Z + PIN_OVER_LOWER + front_strut_rise() - PIN_UNDER_UPPER
LOWER_LEADING_EDGE_X = UPPER_LEADING_EDGE_X + STAGGER
KEEL_Z = FLOAT_DECK_Z - FLOAT_DEPTH
FLOAT_STERN_X = FLOAT_BOW_X + FLOAT_LENGTH


def named_dimensions() -> dict[str, float]:
    """The dimensions a reader might measure, name to millimetres."""
    return {
        "overall-length": OVERALL_LENGTH,
        "upper-span": UPPER_SPAN,
        "lower-span": LOWER_SPAN,
        "upper-chord": UPPER_CHORD,
        "lower-chord": LOWER_CHORD,
        "stagger": STAGGER,
        "wing-gap": UPPER_WING_Z - LOWER_WING_Z,
        "interplane-strut-front-length": INTERPLANE_STRUT_LENGTH,
        "interplane-strut-chord": STRUT_CHORD,
        "strut-station-from-centre-line": STRUT_STATION_Y,
        "rib-pitch": RIB_PITCH,
        "fuselage-width": FUSELAGE_WIDTH,
        "fuselage-depth": FUSELAGE_DEPTH,
        "longeron-tube-diameter": LONGERON_TUBE,
        "cowl-diameter": COWL_DIAMETER,
        "cowl-chord": COWL_CHORD,
        "propeller-diameter": PROPELLER_DIAMETER,
        "float-length": FLOAT_LENGTH,
        "float-beam": FLOAT_BEAM,
        "float-depth": FLOAT_DEPTH,
        "float-track": FLOAT_TRACK,
        "float-step-from-bow": FLOAT_STEP_X - FLOAT_BOW_X,
        "chine-rivet-pitch": CHINE_RIVET_PITCH,
        "spreader-spacing": SPREADER_X_REAR - SPREADER_X_FRONT,
        "water-rudder-post-works": WATER_RUDDER_POST_WORKS,
        "water-rudder-post-operator": WATER_RUDDER_POST_OPERATOR,
        "wheel-diameter": WHEEL_DIAMETER,
        "wheel-track": WHEEL_TRACK,
        "tailplane-span": TAILPLANE_SPAN,
        "mark-height-fuselage": MARK_HEIGHT_FUSELAGE,
        "mark-height-wing": MARK_HEIGHT_WING,
        "stripe-width": STRIPE_WIDTH,
        "hatch-length": HATCH_LENGTH,
        "hatch-width": HATCH_WIDTH,
        "boathook-length": BOATHOOK_LENGTH,
        "boathook-band-pitch": BOATHOOK_BAND_PITCH,
        "operator-post-sleeve-length": 240.0,
        "strut-fitting-hole-square": 58.0,
        "cowl-fragment-chord": COWL_CHORD,
        "chine-fragment-length": 1180.0,
    }


def named_points() -> dict[str, tuple[float, float, float]]:
    """Surveyed points, name to xyz; a handed point carries ``port`` or ``starboard``."""
    points: dict[str, tuple[float, float, float]] = {
        "hub-centre": (HUB_X, 0.0, HUB_Z),
        "cowl-front-top": (COWL_FRONT_X, 0.0, HUB_Z + COWL_DIAMETER / 2),
        "cowl-front-bottom": (COWL_FRONT_X, 0.0, HUB_Z - COWL_DIAMETER / 2),
        "fin-top": (7130.0, 0.0, FIN_TOP_Z),
        "rudder-trailing-edge": (HUB_X + OVERALL_LENGTH, 0.0, 250.0),
        "sternpost-lower": (STERNPOST_X, 0.0, -STERNPOST_DEPTH - 20),
        "upper-leading-edge-centre": (UPPER_LEADING_EDGE_X, 0.0, UPPER_WING_Z),
        "hatch-front-centre": (HATCH_X - HATCH_LENGTH / 2, 0.0, belly_z(HATCH_X) - 22),
        "hatch-rear-centre": (HATCH_X + HATCH_LENGTH / 2, 0.0, belly_z(HATCH_X) - 22),
    }
    for hand, s in (("port", -1.0), ("starboard", 1.0)):
        for number, x in enumerate(FRAME_STATIONS, start=1):
            half = half_width(x)
            points[f"frame-{number}-upper-{hand}"] = (x, s * half, 0.0)
            points[f"frame-{number}-lower-{hand}"] = (x, s * half * 0.96, longeron_z(x))
        for row, part in (("front", FRONT_SPAR), ("rear", REAR_SPAR)):
            foot, head = interplane_pins(part, s)
            points[f"strut-{row}-{hand}-foot"] = foot
            points[f"strut-{row}-{hand}-head"] = head
            x = SPREADER_X_FRONT if row == "front" else SPREADER_X_REAR
            y = s * FLOAT_TRACK / 2
            points[f"float-strut-{row}-{hand}-foot"] = (x, y, FLOAT_DECK_Z + 30)
            points[f"float-strut-{row}-{hand}-head"] = (x, s * half_width(x) * 0.96, longeron_z(x))
        y = s * FLOAT_TRACK / 2
        points[f"float-{hand}-bow"] = (FLOAT_BOW_X, y, FLOAT_DECK_Z - 150)
        points[f"float-{hand}-stern"] = (FLOAT_STERN_X, y, FLOAT_DECK_Z - 60)
        for side, o in (("inboard", -s), ("outboard", s)):
            edge = y + o * FLOAT_BEAM / 2
            points[f"float-{hand}-chine-step-{side}"] = (FLOAT_STEP_X, edge, chine_z(FLOAT_STEP_X))
            points[f"float-{hand}-chine-front-{side}"] = (
                0.0, y + o * float_half_beam(0.0), chine_z(0.0))  # fmt: skip
        points[f"water-rudder-post-{hand}-top"] = (FLOAT_STERN_X + 40, y, FLOAT_DECK_Z + 90)
        points[f"wing-upper-tip-{hand}"] = (
            UPPER_LEADING_EDGE_X + UPPER_CHORD * 0.45, s * UPPER_SPAN / 2,
            UPPER_WING_Z + dihedral_rise(UPPER_SPAN / 2))  # fmt: skip
        points[f"wing-lower-tip-{hand}"] = (
            LOWER_LEADING_EDGE_X + LOWER_CHORD * 0.45, s * LOWER_SPAN / 2,
            LOWER_WING_Z + dihedral_rise(LOWER_SPAN / 2))  # fmt: skip
        points[f"tailplane-tip-{hand}"] = (6900.0, s * TAILPLANE_SPAN / 2, 60.0)
        points[f"wheel-{hand}-centre"] = (AXLE_X, s * (WHEEL_TRACK / 2 + 95), AXLE_Z)
        points[f"stripe-{hand}-front-upper"] = (300.0, s * half_width(300.0), -300.0)
        points[f"stripe-{hand}-front-lower"] = (300.0, s * half_width(300.0), -300.0 - STRIPE_WIDTH)
    return points


def half_width(x: float) -> float:
    """Half the fuselage width at station ``x``."""
    if x <= 2650.0:
        return FUSELAGE_WIDTH / 2
    t = (x - 2650.0) / (STERNPOST_X - 2650.0)
    return FUSELAGE_WIDTH / 2 * (1 - t) + 45.0 * t


def longeron_z(x: float) -> float:
    """Height of the lower longerons at station ``x``."""
    if x <= 2650.0:
        return -FUSELAGE_DEPTH
    t = (x - 2650.0) / (STERNPOST_X - 2650.0)
    return -FUSELAGE_DEPTH * (1 - t) - STERNPOST_DEPTH * t


def belly_z(x: float) -> float:
    """Height of the belly skin on the centre line."""
    return longeron_z(x) - 30.0


def interplane_pins(
    spar: float, side: float
) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """The foot and head pins of the interplane strut on ``spar`` (chord fraction), ``side`` ±1."""
    y = side * STRUT_STATION_Y
    rise = dihedral_rise(y)
    foot = (LOWER_LEADING_EDGE_X + spar * LOWER_CHORD, y, LOWER_WING_Z + PIN_OVER_LOWER + rise)
    head = (UPPER_LEADING_EDGE_X + spar * UPPER_CHORD, y, UPPER_WING_Z + PIN_UNDER_UPPER + rise)
    return foot, head


def float_half_beam(x: float) -> float:
    """Half the beam of a float at station ``x``, over the chines."""
    t = (x - FLOAT_BOW_X) / FLOAT_LENGTH
    bow = math.sin(min(1.0, t / 0.34) * math.pi / 2) ** 0.7
    stern = 1.0 if t < 0.55 else 1.0 - 0.62 * ((t - 0.55) / 0.45) ** 1.5
    return max(20.0, FLOAT_BEAM / 2 * min(bow, stern))


def chine_z(x: float) -> float:
    """Height of the float chines at station ``x``."""
    t = (x - FLOAT_BOW_X) / FLOAT_LENGTH
    bow = 300.0 * max(0.0, 1 - t / 0.3) ** 2
    stern = 0.0 if t < 0.56 else 330.0 * ((t - 0.56) / 0.44)
    return FLOAT_DECK_Z - 500.0 + bow + stern


def keel_z(x: float) -> float:
    """Height of the float keel at station ``x``."""
    t = (x - FLOAT_BOW_X) / FLOAT_LENGTH
    bow = 560.0 * max(0.0, 1 - t / 0.34) ** 2.2
    stern = 0.0 if x < FLOAT_STEP_X else 90.0 + 470.0 * ((t - 0.558) / 0.442)
    return KEEL_Z + bow + stern
