"""Does a photograph agree with the metal: its surveyed points against where the others put them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from archive.core.findings import Finding, Reason
from archive.core.verdicts import Agreement

if TYPE_CHECKING:
    from archive.metrology.outcome import Checked

UNLIKELY = 0.05
WITHIN = -2 * math.log(UNLIKELY)
"""A point agrees where its chi-square over both directions is likelier than this; a photograph,
where its worst of n points is likelier than this over n."""
FEWEST = 3
"""So many points at least have to check each other for an answer."""


def agreements(checked: tuple[Checked, ...]) -> tuple[Agreement, ...]:
    """Of each photograph whose surveyed points check each other, whether they agree (M13)."""
    of: dict[str, list[Checked]] = {}
    for one in checked:
        of.setdefault(one.label.split("|")[1], []).append(one)
    return tuple(_one(photo, points) for photo, points in of.items() if len(points) >= FEWEST)


def _one(photo: str, points: list[Checked]) -> Agreement:
    agree = sum(point.chi2 <= WITHIN for point in points)
    worst = max(points, key=lambda point: point.chi2)
    far = len(points) * math.exp(-worst.chi2 / 2) < UNLIKELY
    name = worst.label.rpartition("|")[2].replace("-", " ")
    says = (
        f"Of {len(points)} surveyed points that check each other on it, {agree} lie within their "
        f"error of where the others put them. The farthest off is {name}: {worst.gap_px:.1f} px, "
        f"about {worst.gap:.0f}\u00a0mm there; "
    )
    if far:
        says += (
            "that is more than chance explains. Look at that pick again, then whether the joint "
            "has moved or was bent, and whether this is the same state of the same aircraft."
        )
    else:
        says += "that is no more than chance explains."
    verdict = "does not agree with the metal" if far else "agrees with the metal"
    return Agreement(photo, len(points), agree, Finding(verdict, (Reason("M13", says, (photo,)),)))
