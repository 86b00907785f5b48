"""A place along a straight line: the cross-ratio, with three or more stations known on it.

Source: Hartley & Zisserman (2004), 2.5; the picture of place s is t = (a s + b)/(c s + 1) along the
line's own picture.
"""

from __future__ import annotations

import numpy as np

from archive.metrology.judge import estimate, settle
from archive.metrology.outcome import NoEstimate, Outcome
from archive.metrology.plane import Known, Sought, apart_from
from archive.metrology.solve import Array, Problem

FEWEST = 3
REACH = 0.5
OFF_LINE_PX = 6.0
"""A pick more than so many of its own errors off the straight line is refused."""


def length_on_line(known: Known, sought: Sought, draws: int = 0) -> Outcome:
    """The distance along a line between two picked points.

    `known.at` and `known.sigma` are (k, 1): places along the line. Errors across the line do not
    matter to first order and are left out.
    """
    if len(known.at) < FEWEST:
        return NoEstimate(
            f"It needs {FEWEST} known stations on the line, and has {len(known.at)}.",
            "Pick one more surveyed point on that line.",
        )
    places = known.at[:, 0]
    extent = float(np.ptp(places))
    if extent <= 0 or np.diff(np.sort(places)).min() < 1e-6 * extent:
        return NoEstimate("Two of the known stations are the same.", "Pick stations that differ.")
    everything = np.vstack([known.pixels, sought.pixels])
    middle = known.pixels.mean(0)
    _, _, axes = np.linalg.svd(known.pixels - middle)
    off = np.abs((everything - middle) @ axes[1])
    if off.max() > OFF_LINE_PX * sought.sigma_px:
        names = [label.rpartition("|")[2] for label in (*known.pick_labels, *sought.pick_labels)]
        return NoEstimate(
            f"“{names[int(off.argmax())]}” lies {off.max():.0f} px off the line of the others.",
            "Pick points on one straight line, or use another method.",
        )
    along = (everything - middle) @ axes[0]
    unit = float(np.abs(along).max())
    new, ends = apart_from(known, sought)
    there = np.concatenate([known.pixels, new.pixels.reshape(-1, 2)])
    problem, start = _problem(known, (there - middle) @ axes[0] / unit, new, unit, extent)
    names = [label.rpartition("|")[2] for label in (*known.pick_labels, *new.pick_labels)]
    settled = settle(problem, start, names)
    if isinstance(settled, NoEstimate):
        return settled
    problem, found, left = settled
    one, other = (3 + end for end in ends)
    found_places = found.x[[one, other]] * extent + places.mean()
    beyond = max(places.min() - found_places.min(), found_places.max() - places.max()) / extent
    if beyond > REACH:
        return NoEstimate(
            f"What is measured lies {beyond:.0%} of the known length beyond the last station.",
            "Pick a known station beyond it.",
        )

    def figure(x: Array) -> tuple[Array, Array]:
        away = x[..., one] - x[..., other]
        gradient = np.zeros(x.shape)
        gradient[..., one] = np.sign(away) * extent
        gradient[..., other] = -gradient[..., one]
        return np.abs(away) * extent, gradient

    return estimate(problem, found, left, names, figure, draws)


def _problem(
    known: Known, along: Array, sought: Sought, unit: float, extent: float
) -> tuple[Problem, Array]:
    k, s = len(known.at), len(sought.pixels)
    places = (known.at[:, 0] - known.at[:, 0].mean()) / extent
    n = 3 + k + s
    fixed = np.zeros((k, n))
    fixed[:, 3 : 3 + k] = np.eye(k)
    rows = np.arange(k + s)

    def predict(x: Array) -> tuple[Array, Array]:
        a, b, c = (x[..., i, None] for i in range(3))
        p = x[..., 3:]
        w = c * p + 1
        t = (a * p + b) / w
        jacobian = np.zeros((*x.shape[:-1], 2 * k + s, n))
        jacobian[..., rows, 0], jacobian[..., rows, 1] = p / w, 1 / w
        jacobian[..., rows, 2] = -t * p / w
        jacobian[..., rows, 3 + rows] = (a - t * c) / w
        jacobian[..., k + s :, :] = fixed
        return np.concatenate([t, x @ fixed.T], -1), jacobian

    observed = np.concatenate([along, places])
    sigma = np.concatenate([np.full(k + s, sought.sigma_px / unit), known.sigma[:, 0] / extent])
    labels = [f"{label}:along" for label in (*known.pick_labels, *sought.pick_labels)]
    labels += [f"{label}:a" for label in known.place_labels]
    numbers = np.concatenate([rows, np.full(k, -1)])
    system = np.column_stack([places, np.ones(k), -along[:k] * places])
    a, b, c = np.linalg.lstsq(system, along[:k], rcond=None)[0]
    there = (b - along[k:]) / (c * along[k:] - a)
    return (
        Problem(predict, observed, sigma, tuple(labels), numbers),
        np.concatenate([[a, b, c], places, there]),
    )
