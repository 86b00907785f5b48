"""A content folder with a picture of a flat side, seen through a known camera.

The side is the plane y = -450 mm, 2000 mm long and 900 high. On it are painted a black block, 150
by 120 mm, with its upper front corner at station 930, water line -330, and a speckle round about.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image

FULL = (1800, 1200)
BLOCK = (930.0, -330.0, 150.0, 120.0)
"""Station and water line of its upper front corner, its length and height, mm."""
POINTS = {
    "front-upper": (0.0, 0.0),
    "front-lower": (0.0, -900.0),
    "middle-upper": (1000.0, 0.0),
    "middle-lower": (1000.0, -900.0),
    "rear-upper": (2000.0, 0.0),
    "rear-lower": (2000.0, -900.0),
}
PICKED = POINTS | {"block-front": (930.0, -260.0), "block-rear": (1080.0, -260.0)}
H = np.array([[0.75, 0.02, 120.0], [0.01, -0.72, 200.0], [3e-5, -2e-5, 1.0]])
"""From (station, water line) to pixels."""

AIRCRAFT = """
name: Test biplane
mark: QK-41
units: mm
datum: {station_zero: the firewall, butt_line_zero: the middle, water_line_zero: the longeron}
target: as-built
events:
  - {id: first-flight, when: 1932-04-09, says: First flight}
configurations:
  - {id: as-built, name: As built, after: [first-flight]}
"""
ZONES = """
zones:
  - {id: "500", name: Fuselage}
"""
PEOPLE = """
people:
  - {id: ro, initials: RO, name: Ragna Oss}
"""
PART = """---
title: Side panel
zone: "500"
survives: no
claims:
  - id: block
    aspect: size
    says: The block is so long
    evidence:
      - {photo: photos/side, measured: measurements/block, reading: clear}
---
"""


SURVEY = ("title: The side on the jig", "by: RO", "on: 2026-01-02", "instrument: Steel tape")


def pixels(at: np.ndarray) -> np.ndarray:
    """Where places (k, 2) of the side are on the picture."""
    w = np.column_stack([at, np.ones(len(at))]) @ H.T
    return w[:, :2] / w[:, 2:]


@cache
def painted() -> np.ndarray:
    """The picture's tones; a pixel that an edge of the block cuts is as dark as its share of it."""
    back = np.linalg.inv(H)
    y, x = np.mgrid[0 : FULL[1], 0 : FULL[0]] + 0.5
    w = back[2, 0] * x + back[2, 1] * y + back[2, 2]
    along = (back[0, 0] * x + back[0, 1] * y + back[0, 2]) / w
    up = (back[1, 0] * x + back[1, 1] * y + back[1, 2]) / w
    left, top, wide, high = BLOCK
    share = np.ones(along.shape)
    for inward in (along - left, left + wide - along, top - up, up - top + high):
        share *= np.clip(inward / np.hypot(*np.gradient(inward)) + 0.5, 0, 1)
    far = np.hypot((along - left - wide / 2) / 120, (up - top + high / 2) / 105)
    speckle = 25 * np.sin(along / 9) * np.cos(up / 11) + 15 * np.sin((along + 2 * up) / 17)
    tones = 190 + speckle * np.clip(4 * (far - 1), 0, 1)
    return np.rint(20 * share + tones * (1 - share)).astype(np.uint8)


def written(folder: Path, photo: str = "", measurement: str = "", mirrored: bool = False) -> Path:
    """The folder; `photo` and `measurement` are further lines of the two records."""
    at = pixels(np.array(list(PICKED.values())))
    if mirrored:
        at[:, 0] = FULL[0] - at[:, 0]
    picks = dict(zip(PICKED, at.round(2).tolist(), strict=True))
    lines = [f"  {name}: {picks[name]}" for name in POINTS]
    points = [
        f"  - {{id: {name}, x: {x:g} mm +/- 1 mm, y: -450 mm +/- 1 mm, z: {z:g} mm +/- 1 mm}}"
        for name, (x, z) in POINTS.items()
    ]
    ends = [f"  - {{point: {n}, at: {picks[n]}}}" for n in PICKED if n not in POINTS]
    refs = [f"  - surveys/side#{name}" for name in POINTS]
    files = {
        "aircraft.yaml": AIRCRAFT,
        "zones.yaml": ZONES,
        "people.yaml": PEOPLE,
        "parts/panel.md": PART,
        "photos/side.md": "\n".join(
            ["---", "title: The side", "kind: period", "alt: A flat side with a black block.",
             "airframe: {is: this, by: RO, on: 2026-01-02, because: the mark}",
             photo, "picks:", *lines, "---", ""]
        ),
        "surveys/side.yaml": "\n".join([*SURVEY, "points:", *points, ""]),
        "measurements/block.yaml": "\n".join(
            ["title: Length of the block", "number: M-01", "by: RO", "on: 2026-01-03",
             "photos: [photos/side]", "method: plane", "between: [block-front, block-rear]",
             measurement, "picks:", *ends, "points:", *refs, ""]
        ),
    }  # fmt: skip
    for path, text in files.items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")
    tones = painted()
    Image.fromarray(tones[:, ::-1] if mirrored else tones).save(folder / "photos/side.png")
    return folder
