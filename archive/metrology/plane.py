"""A length on a plane: the plane straightened by points known on it, all errors carried along.

Unknown are the eight numbers of the homography, the lens term, and the place on the plane of every
known and every measured point, so that an error in a known point counts like one in a pick.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from archive.metrology.judge import Figure, estimate, settle
from archive.metrology.outcome import NoEstimate, Outcome
from archive.metrology.projective import carried, homography, inverse
from archive.metrology.solve import Array, Fit, Problem
from archive.metrology.starts import ORDINARY_LENS, straightness

FEWEST = 4
REACH = 0.1
"""How far a measured point may lie outside the known ones, in parts of their greatest distance:
farther out nothing says that the surface is still the plane."""
STRAIGHT = 0.05
"""Known points whose breadth is less than this part of their length count as lying on a line."""


@dataclass(frozen=True)
class Known:
    """Points known on a plane or on a line, and picked: places (k, 2) and errors (k, 2) in length
    units, pixels (k, 2), the label of each for its place and for its pick."""

    at: Array
    sigma: Array
    pixels: Array
    place_labels: Sequence[str]
    pick_labels: Sequence[str]


@dataclass(frozen=True)
class Sought:
    """What is measured: pixels (k, 2) and the labels of the picks; the figure is the distance
    between the first two. `sigma_px` is the error of every pick, in each direction."""

    pixels: Array
    pick_labels: Sequence[str]
    sigma_px: float


Solved = tuple[Problem, Fit, tuple[str, ...], list[str], tuple[int, int]]
"""A problem and its solution, the picks left out, the names of all, the numbers of the two ends."""


def length_on_plane(
    known: Known,
    sought: Sought,
    size: tuple[float, float],
    bend: float = 0.02,
    off_plane: float = 0.0,
    draws: int = 0,
) -> Outcome:
    """The distance between two picked points on a plane.

    `size` is width and height of the picture (px), `bend` the standard deviation of the lens term
    k1, `off_plane` how far, at most, each measured point may stand off the plane.
    """
    solved = solved_plane(known, sought, size, bend)
    if isinstance(solved, NoEstimate):
        return solved
    problem, found, left, names, (one, other) = solved
    figure = apart(9 + 2 * one, 9 + 2 * other, 2)
    result = estimate(problem, found, left, names, figure, draws)
    if isinstance(result, NoEstimate) or not off_plane:
        return result
    ends = found.x[9:].reshape(-1, 2)[[one, other]]
    way = (ends[0] - ends[1]) / np.linalg.norm(ends[0] - ends[1])
    slopes = _slopes(np.append(found.x[:8], 1.0).reshape(3, 3), ends, way, size)
    labels = sought.pick_labels[:2]
    return result.with_errors(
        *(
            (f"off-plane|{label.partition('|')[2]}", off_plane * slope / math.sqrt(3))
            for label, slope in zip(labels, slopes, strict=True)
        )
    )


def solved_plane(
    known: Known, sought: Sought, size: tuple[float, float], bend: float = 0.02
) -> Solved | NoEstimate:
    """The plane straightened, before anything is asked of it; takes what `length_on_plane` does."""
    refused = _fit_for_it(known, sought)
    if refused:
        return refused
    h = homography(known.at, known.pixels)
    if h is None:
        return _on_a_line()
    new, ends = apart_from(known, sought)
    problem, start = plane_problem(known, new, size, bend, h)
    names = [label.rpartition("|")[2] for label in (*known.pick_labels, *new.pick_labels)]
    settled = settle(problem, start, names)
    if isinstance(settled, NoEstimate):
        return settled
    return (*settled, names, ends)


def apart_from(known: Known, sought: Sought) -> tuple[Sought, tuple[int, int]]:
    """The sought picks that aren't known ones already, and the numbers of the two ends.

    A pick that is both is one observation, not two: the known come first, then the new.
    """
    labels = list(known.pick_labels)
    new = [i for i, label in enumerate(sought.pick_labels) if label not in labels]
    labels += [sought.pick_labels[i] for i in new]
    one, other = (labels.index(label) for label in sought.pick_labels[:2])
    rest = Sought(sought.pixels[new], [sought.pick_labels[i] for i in new], sought.sigma_px)
    return rest, (one, other)


def apart(one: int, other: int, axes: int) -> Figure:
    """The distance between two points among the unknowns, from their first columns."""

    def figure(x: Array) -> tuple[Array, Array]:
        way = x[..., one : one + axes] - x[..., other : other + axes]
        length = np.linalg.norm(way, axis=-1)
        unit = way / np.maximum(length, 1e-12)[..., None]
        gradient = np.zeros(x.shape)
        gradient[..., one : one + axes] = unit
        gradient[..., other : other + axes] = -unit
        return length, gradient

    return figure


def plane_problem(
    known: Known, sought: Sought, size: tuple[float, float], bend: float, h: Array
) -> tuple[Problem, Array]:
    """The problem and a start for it, from a first homography `h` (3, 3) with h[2, 2] = 1."""
    k, s = len(known.at), len(sought.pixels)
    picks = np.vstack([known.pixels, sought.pixels])
    n = 9 + picks.size
    fixed = np.zeros((2 * k + 1, n))
    fixed[:-1, 9 : 9 + 2 * k] = np.eye(2 * k)
    fixed[-1, 8] = 1.0

    def predict(x: Array) -> tuple[Array, Array]:
        pixels, by = seen(x, size)
        rows = np.broadcast_to(fixed, (*x.shape[:-1], *fixed.shape))
        return np.concatenate([pixels, x @ fixed.T], -1), np.concatenate([by, rows], -2)

    observed = np.concatenate([picks.ravel(), known.at.ravel(), [0.0]])
    sigma = np.concatenate([np.full(picks.size, sought.sigma_px), known.sigma.ravel(), [bend]])
    labels = [f"{label}:{c}" for label in (*known.pick_labels, *sought.pick_labels) for c in "uv"]
    labels += [f"{label}:{c}" for label in known.place_labels for c in "ab"]
    numbers = np.concatenate([np.repeat(np.arange(k + s), 2), np.full(2 * k + 1, -1)])
    problem = Problem(predict, observed, sigma, (*labels, "bend||"), numbers)
    there = carried(inverse(h), sought.pixels)
    return problem, np.concatenate([h.ravel()[:8], [0.0], known.at.ravel(), there.ravel()])


def seen(x: Array, size: tuple[float, float]) -> tuple[Array, Array]:
    """Pixels of points on a plane: x (…, 9 + 2k) holds a homography, k1 and k places (a, b).

    Returns pixels (…, 2k) and their Jacobian (…, 2k, 9 + 2k).
    """
    lead, k = x.shape[:-1], (x.shape[-1] - 9) // 2
    middle, focal, rows = np.array(size) / 2, ORDINARY_LENS * size[0], np.arange(k)
    g, k1 = x[..., :8], x[..., 8, None, None]
    p = x[..., 9:].reshape(*lead, k, 2)
    a, b = p[..., 0], p[..., 1]
    w = g[..., 6, None] * a + g[..., 7, None] * b + 1
    u = (g[..., 0, None] * a + g[..., 1, None] * b + g[..., 2, None]) / w
    v = (g[..., 3, None] * a + g[..., 4, None] * b + g[..., 5, None]) / w
    by = np.zeros((*lead, k, 2, 10))
    for c, value in enumerate((u, v)):
        by[..., c, 3 * c], by[..., c, 3 * c + 1], by[..., c, 3 * c + 2] = a / w, b / w, 1 / w
        by[..., c, 6], by[..., c, 7] = -value * a / w, -value * b / w
        by[..., c, 8] = (g[..., 3 * c, None] - value * g[..., 6, None]) / w
        by[..., c, 9] = (g[..., 3 * c + 1, None] - value * g[..., 7, None]) / w
    off = (np.stack([u, v], -1) - middle) / focal
    square = (off**2).sum(-1)[..., None]
    straight = (1 + k1[..., None] * square[..., None]) * np.eye(2)
    by = (straight + 2 * k1[..., None] * off[..., :, None] * off[..., None, :]) @ by
    jacobian = np.zeros((*lead, 2 * k, 9 + 2 * k))
    for c in range(2):
        jacobian[..., 2 * rows + c, :8] = by[..., c, :8]
        jacobian[..., 2 * rows + c, 8] = (focal * off * square)[..., c]
        jacobian[..., 2 * rows + c, 9 + 2 * rows] = by[..., c, 8]
        jacobian[..., 2 * rows + c, 10 + 2 * rows] = by[..., c, 9]
    pixels = middle + focal * off * (1 + k1 * square)
    return pixels.reshape(*lead, 2 * k), jacobian


def _fit_for_it(known: Known, sought: Sought) -> NoEstimate | None:
    if len(known.at) < FEWEST:
        return NoEstimate(
            f"It needs {FEWEST} known points on the plane, and has {len(known.at)}.",
            "Pick more surveyed points on that plane, or use a known length beside it.",
        )
    if straightness(known.at) < STRAIGHT:
        return _on_a_line()
    there = homography(known.at, known.pixels)
    if there is None:
        return _on_a_line()
    w = np.column_stack([known.pixels, np.ones(len(known.at))]) @ inverse(there)[2]
    at = np.column_stack([sought.pixels, np.ones(len(sought.pixels))]) @ inverse(there)[2]
    if not (np.sign(w) == np.sign(w[0])).all() or not (np.sign(at) == np.sign(w[0])).all():
        return NoEstimate(
            "The plane is seen edge-on somewhere between the points.",
            "Look for swapped names among the picks, or choose another plane or photograph.",
        )
    reach = outside(carried(inverse(there), sought.pixels), known.at)
    if reach > REACH:
        return NoEstimate(
            f"What is measured lies outside the known points by {reach:.0%} of their extent, where "
            "nothing says that the plane goes on.",
            "Pick known points beyond it, or find the camera from points in space.",
        )
    return None


def _on_a_line() -> NoEstimate:
    return NoEstimate(
        "The known points lie on one line, or two of them are the same.",
        "Add a known point well off that line.",
    )


def outside(points: Array, known: Array) -> float:
    """How far the farthest point lies outside the hull of the known, over their extent."""
    extent = max(float(np.linalg.norm(a - b)) for a in known for b in known)
    worst = 0.0
    for angle in np.linspace(0, np.pi, 36, endpoint=False):
        way = np.array([np.cos(angle), np.sin(angle)])
        along, mine = known @ way, points @ way
        worst = max(worst, float(mine.max() - along.max()), float(along.min() - mine.min()))
    return worst / extent


def _slopes(h: Array, points: Array, way: Array, size: tuple[float, float]) -> list[float]:
    """How far a point that stands off the plane by 1 seems to move along `way`, for each point."""
    return [float(lean @ way) for lean in leans(h, points, size)]


def leans(h: Array, points: Array, size: tuple[float, float]) -> Array:
    """Which way and how far each point (k, 2) of the plane is seen aslant: (k, 2), the tangent.

    What stands off the plane by 1 seems to lie that far from where it is. The camera's place comes
    from the homography and an ordinary lens, the axis through the middle.
    """
    inner = np.array(
        [
            [ORDINARY_LENS * size[0], 0, size[0] / 2],
            [0, ORDINARY_LENS * size[0], size[1] / 2],
            [0, 0, 1],
        ]
    )
    m = np.linalg.inv(inner) @ h
    m = m / ((np.linalg.norm(m[:, 0]) + np.linalg.norm(m[:, 1])) / 2)
    third = np.cross(m[:, 0], m[:, 1])
    stood = -np.linalg.pinv(np.column_stack([m[:, :2], third])) @ m[:, 2]
    return np.asarray((stood[:2] - points) / max(abs(float(stood[2])), 1e-9))
