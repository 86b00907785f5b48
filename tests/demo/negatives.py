"""The exposures of the demonstration: which state, where, from where, on what film."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Negative:
    """One exposure. Azimuth in degrees from the nose, positive to port; distances in metres."""

    id: str
    date: str
    state: str
    place: str
    azimuth: float
    distance: float
    eye: float
    size: tuple[int, int]
    film: str = "orthochromatic"
    mark: str = "QK-41"
    scheme: str = "1932"
    subject: tuple[str, ...] = ()
    fill: float = 0.9
    roll: float = 0.0
    shift: tuple[float, float] = (0.0, 0.0)
    nudge: tuple[float, float] = (0.0, 0.0)
    level: bool = False
    sun: tuple[float, float] = (-50.0, 38.0)  # azimuth from the camera's back, elevation
    turn: float | None = None  # azimuth that the place faces, if not the camera's
    lift: float = 3.0
    aim_z: float | None = None
    stop: float = 0.0
    props: str = ""
    place_seed: int = 3


FLOATS = 3.02
AFLOAT = 2.20

NEGATIVES = (
    Negative("works-apron", "1932-04-06", "works-1932", "apron", 38, 17.5, 1.6, (1900, 1300),
             fill=0.86, level=True, nudge=(0.0, 0.02), sun=(-55, 40)),
    Negative("slipway", "1932-06-14", "survey-1932", "slipway", 42, 16.5, 1.55, (2400, 1600),
             fill=0.9, roll=0.6, shift=(0.012, -0.018), sun=(-42, 42), lift=FLOATS),
    Negative("slipway-next", "1932-06-14", "survey-1932", "slipway", 47.5, 15.8, 1.65, (1900, 1267),
             fill=0.93, roll=-0.9, shift=(0.012, -0.018), sun=(-37, 42), turn=42, lift=FLOATS),
    Negative("hangar", "1932-07-02", "survey-1932", "hangar", -138, 17.0, 1.6, (1800, 1240),
             fill=0.88, roll=0.3, sun=(50, 36), lift=FLOATS, place_seed=5),
    Negative("moored", "1932-07-19", "survey-1932", "water", 90, 58.0, 2.4, (2000, 1180),
             film="panchromatic", fill=0.86, nudge=(0.0, 0.06), sun=(-35, 40), lift=AFLOAT,
             place_seed=8),
    Negative("nose", "1932-06-12", "survey-1932", "slipway", 24, 5.2, 2.75, (1500, 1700),
             subject=("cowl", "engine", "propeller"), fill=0.86, sun=(-48, 40), lift=FLOATS,
             stop=0.045, turn=42),
    Negative("float-strut", "1932-06-12", "survey-1932", "slipway", 72, 4.6, 1.45, (1700, 1250),
             subject=("front-float-bay",), fill=1.0, roll=-0.7, sun=(-40, 40), lift=FLOATS,
             stop=0.02, turn=42, props="boathook"),
    Negative("dam", "1932-08-03", "survey-1932", "dam", 52, 24.0, 15.5, (1900, 1330),
             film="panchromatic", fill=0.88, sun=(-60, 45), lift=AFLOAT, place_seed=8),
    Negative("hatch", "1932-06-12", "survey-1932", "slipway", 171, 3.2, 1.15, (1500, 1150),
             subject=("camera-hatch",), fill=0.46, nudge=(0.05, -0.06), sun=(-62, 24), lift=FLOATS,
             turn=171, stop=0.012),
    Negative("coaming", "1932-06-20", "survey-1932", "slipway", 132, 3.3, 4.55, (1600, 1150),
             subject=("cockpit-front", "cockpit-rear", "windscreen"), fill=0.86, roll=1.2,
             sun=(-55, 44), lift=FLOATS, stop=0.03, turn=132),
    Negative("sister", "1932-09-11", "survey-1932", "slipway", 42.4, 16.6, 1.6, (1900, 1267),
             mark="QK-43", fill=0.9, roll=-0.4, shift=(-0.01, 0.0), sun=(-52, 36), turn=42,
             lift=FLOATS, place_seed=11),
    Negative("tail", "1934-05-22", "survey-1934", "slipway", 128, 7.2, 1.35, (1500, 1120),
             film="panchromatic", subject=("float-tail-bay",), fill=1.0, sun=(-35, 40),
             lift=FLOATS, turn=128, place_seed=5),
    Negative("repaint", "1935-04-02", "last-1935", "hangar", 55, 17.5, 1.6, (1800, 1200),
             film="panchromatic", scheme="1935", fill=0.9, sun=(-45, 40), lift=FLOATS,
             place_seed=9),
    Negative("beached", "1932-08-24", "survey-1932", "shingle", 61, 11.0, 1.5, (1900, 1300),
             subject=("port-bay",), fill=0.94, roll=0.4, sun=(-38, 38), lift=2.55, place_seed=4),
    Negative("unknown", "1932", "survey-1932", "water", 118, 46.0, 3.2, (1400, 960),
             mark="", fill=0.72, roll=-2.1, sun=(120, 30), lift=AFLOAT, place_seed=14),
    Negative("brochure", "1932-06-15", "survey-1932", "slipway", 66, 18.5, 1.7, (1700, 1150),
             fill=0.88, sun=(-45, 42), lift=FLOATS, turn=66),
)  # fmt: skip
