"""What a fit shows not to be as was assumed: a picture that is cropped, a print that is stretched.

Where the solution stands far from an assumption, in the errors of that assumption, the assumption
is freed and the network solved again. A scene as assumed is so freed now and then by chance, and
its figure hardly changes; the coverage study chose the limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from archive.metrology.camera import CX, CY, SIZE, STRETCH
from archive.metrology.network import Priors
from archive.metrology.solve import Array

UNSURE_MIDDLE = 0.1
"""An axis that may be off the middle by more than this part of the diagonal is doubtful."""
FAR_AXIS = 3.0
"""Squared distance of the axis from the middle of a picture that passes for whole: a whole one
comes out so far off once in 4.5 at most (chi-square with two degrees of freedom)."""
AS_CROPPED = 0.2
FAR_STRETCH = 2.2
AS_STRETCHED = 0.05


def freed(priors: Sequence[Priors], x: Array) -> tuple[list[Priors], tuple[str, ...]]:
    """The priors of each camera of a solution x (n,), some freed, and sentences on what was."""
    found: list[Priors] = []
    told: dict[str, None] = {}
    for number, prior in enumerate(priors):
        camera = x[number * SIZE : (number + 1) * SIZE]
        off = (camera[[CX, CY]] - np.array(prior.size) / 2) / np.hypot(*prior.size)
        if prior.middle < UNSURE_MIDDLE and off @ off > FAR_AXIS * prior.middle**2:
            prior = replace(prior, middle=AS_CROPPED)
            told[
                "The lens axis comes out far off the middle, so the picture was taken for a "
                "cropped one: look whether it is the whole negative."
            ] = None
        if prior.stretch < AS_STRETCHED and abs(camera[STRETCH]) > FAR_STRETCH * prior.stretch:
            prior = replace(prior, stretch=AS_STRETCHED)
            told[
                "The print comes out unevenly stretched: look how it was scanned, and whether its "
                "two scales are alike."
            ] = None
        found.append(prior)
    return found, tuple(told)
