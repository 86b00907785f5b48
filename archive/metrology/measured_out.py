"""A length on a plane of which no point was surveyed: five or more lengths on it were measured.

The four sides of a panel and its diagonals will do. The plane is straightened until the lengths
come right; where it lies and which way it is turned doesn't matter, so that is held by three rows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from archive.metrology.camera import rotation
from archive.metrology.judge import estimate, settle
from archive.metrology.outcome import NoEstimate, Outcome
from archive.metrology.plane import REACH, apart, outside, seen
from archive.metrology.projective import carried, inverse
from archive.metrology.solve import Array, Fit, Problem, descend
from archive.metrology.starts import ORDINARY_LENS

FEWEST = 5
SAME_FIT = 6.0


@dataclass(frozen=True)
class Stretch:
    """A length between two picks, by number, with its standard deviation and its label."""

    one: int
    other: int
    length: float
    sigma: float
    label: str


def length_by_lengths(
    pixels: Array, labels: Sequence[str], lengths: Sequence[Stretch], ends: tuple[int, int],
    sigma_px: float, size: tuple[float, float], bend: float = 0.02, draws: int = 0,
) -> Outcome:  # fmt: skip
    """The distance between the picks numbered `ends`, from lengths measured between picks (k, 2).

    `labels` are those of the picks, `size` is width and height of the picture (px), `bend` the
    standard deviation of the lens term k1.
    """
    solved = solved_by_lengths(pixels, labels, lengths, ends, sigma_px, size, bend)
    if isinstance(solved, NoEstimate):
        return solved
    problem, found, left, names, tied, near = solved
    figure = apart(9 + 2 * ends[0], 9 + 2 * ends[1], 2)
    result = estimate(problem, found, left, names, figure, draws)
    if isinstance(result, NoEstimate):
        return result
    if len(near) and np.abs(figure(near)[0] - result.value).max() > 2 * result.u:
        return NoEstimate(
            "The plane may lean either way: two pictures of it fit equally well.",
            "Measure another length on it, best a diagonal.",
        )
    places = found.x[9:].reshape(-1, 2)
    reach = outside(places[list(ends)], places[tied])
    if reach > REACH:
        return NoEstimate(
            f"What is measured lies outside the known lengths by {reach:.0%} of their extent.",
            "Measure lengths on the plane that reach round it.",
        )
    return replace(
        result, errors=tuple(pair for pair in result.errors if not pair[0].startswith("held"))
    )


Solved = tuple[Problem, Fit, tuple[str, ...], list[str], list[int], Array]
"""A problem and its solution, the picks left out, the names of all, the numbers of those that known
lengths run to, and every solution that fits as well."""


def solved_by_lengths(
    pixels: Array, labels: Sequence[str], lengths: Sequence[Stretch], ends: tuple[int, int],
    sigma_px: float, size: tuple[float, float], bend: float = 0.02,
) -> Solved | NoEstimate:  # fmt: skip
    """The plane straightened by lengths, before anything is asked of it.

    It lies with its first tied point at the origin, the second along the first axis.
    """
    tied = sorted({end for one in lengths for end in (one.one, one.other)})
    if len(lengths) < FEWEST or len(tied) < 4:
        return NoEstimate(
            f"It needs {FEWEST} known lengths among four points of the plane, and has "
            f"{len(lengths)} among {len(tied)}.",
            "Measure the four sides and a diagonal, or pick surveyed points.",
        )
    loose = [i for i in range(len(pixels)) if i not in tied and i not in ends]
    if loose:
        name = labels[loose[0]].rpartition("|")[2]
        return NoEstimate(f"No known length runs to {name}.", "Measure one, or leave it out.")
    problem = _problem(pixels, labels, lengths, tied, sigma_px, size, bend)
    x, cost = descend(problem, _starts(pixels, lengths, size), most=80)
    order = np.argsort(cost)
    names = [label.rpartition("|")[2] for label in labels]
    settled = settle(problem, x[order[0]], names)
    if isinstance(settled, NoEstimate):
        return settled
    near = x[cost < cost[order[0]] + SAME_FIT]
    return (*settled, names, tied, near)


def _problem(
    pixels: Array, labels: Sequence[str], lengths: Sequence[Stretch], tied: Sequence[int],
    sigma_px: float, size: tuple[float, float], bend: float,
) -> Problem:  # fmt: skip
    n = 9 + pixels.size
    one = np.array([s.one for s in lengths])
    other = np.array([s.other for s in lengths])
    rows = np.arange(len(lengths))
    held = np.zeros((4, n))
    first, second = tied[0], tied[1]
    held[0, 8] = held[1, 9 + 2 * first] = held[2, 10 + 2 * first] = held[3, 10 + 2 * second] = 1.0

    def predict(x: Array) -> tuple[Array, Array]:
        lead = x.shape[:-1]
        shown, by = seen(x, size)
        places = x[..., 9:].reshape(*lead, -1, 2)
        way = places[..., one, :] - places[..., other, :]
        far = np.linalg.norm(way, axis=-1)
        unit = way / np.maximum(far, 1e-12)[..., None]
        spans = np.zeros((*lead, len(lengths), n))
        for axis in range(2):
            spans[..., rows, 9 + 2 * one + axis] = unit[..., axis]
            spans[..., rows, 9 + 2 * other + axis] = -unit[..., axis]
        fixed = np.broadcast_to(held, (*lead, *held.shape))
        return (
            np.concatenate([shown, far, x @ held.T], -1),
            np.concatenate([by, spans, fixed], -2),
        )

    observed = np.concatenate([pixels.ravel(), [s.length for s in lengths], np.zeros(4)])
    sigma = np.concatenate(
        [np.full(pixels.size, sigma_px), [s.sigma for s in lengths], [bend, 1, 1, 1]]
    )
    words = [f"{label}:{c}" for label in labels for c in "uv"]
    words += [s.label for s in lengths]
    words += ["bend||", "held||x", "held||y", "held||turn"]
    numbers = np.concatenate([np.repeat(np.arange(len(pixels)), 2), np.full(len(lengths) + 4, -1)])
    return Problem(predict, observed, sigma, tuple(words), numbers)


def _starts(pixels: Array, lengths: Sequence[Stretch], size: tuple[float, float]) -> Array:
    """Starts (25, n): the plane leaning by 0 to 60 degrees in eight directions, scaled to fit."""
    inner = np.diag([ORDINARY_LENS * size[0], ORDINARY_LENS * size[0], 1.0])
    inner[:2, 2] = np.array(size) / 2
    one = np.array([s.one for s in lengths])
    other = np.array([s.other for s in lengths])
    wanted = np.array([s.length for s in lengths])
    starts = []
    for lean in (0.0, 20.0, 40.0, 60.0):
        for way in np.arange(8 if lean else 1) * math.pi / 4:
            turn = rotation(math.radians(lean) * np.array([math.cos(way), math.sin(way), 0.0]))
            h = inner @ np.column_stack([turn[:, 0], turn[:, 1], [0, 0, 1.0]])
            places = carried(inverse(h), pixels)
            far = np.linalg.norm(places[one] - places[other], axis=-1)
            scale = float(np.median(wanted / np.maximum(far, 1e-12)))
            h = h @ np.diag([1 / scale, 1 / scale, 1.0])
            # moved and turned so that the three rows that hold it are kept from the start
            first, second = sorted({*one.tolist(), *other.tolist()})[:2]
            places = places * scale
            along = places[second] - places[first]
            angle = math.atan2(along[1], along[0])
            c, s = math.cos(angle), math.sin(angle)
            back = np.array([[c, -s, places[first][0]], [s, c, places[first][1]], [0, 0, 1]])
            h = h @ back
            starts.append(
                np.concatenate(
                    [(h / h[2, 2]).ravel()[:8], [0.0], carried(inverse(h), pixels).ravel()]
                )
            )
    return np.array(starts)
