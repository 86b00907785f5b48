"""Cameras and points in one network: picks, coordinates, distances, planes, mirror pairs, priors.

Everything that was observed is a row with its own error, the known points' coordinates too, so
that an error of the survey is carried on like one of a pick.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from archive.metrology.camera import CX, CY, K1, LOG_F, SIZE, STRETCH, project
from archive.metrology.solve import Array, Problem
from archive.metrology.starts import ORDINARY_LENS


@dataclass(frozen=True, slots=True)
class Priors:
    """What is known of a camera before any pick, as standard deviations.

    `size` is width and height in pixels; `middle` the lens axis off the picture's middle, in parts
    of the diagonal; `log_f` of the logarithm of the focal length about an ordinary lens; `stretch`
    of the logarithm of the print's scale across over that down; `bend` of the radial term k1.
    """

    size: tuple[float, float]
    middle: float = 0.05
    log_f: float = 1.0
    stretch: float = 0.005
    bend: float = 0.02


@dataclass
class Network:
    """A network being put together; `problem` is what `solve` takes.

    Unknowns are the cameras, eleven numbers each, then the points, three each.
    """

    cameras: list[str] = field(default_factory=list)
    points: list[str] = field(default_factory=list)
    _picks: list[tuple[int, int, float, float, float]] = field(default_factory=list)
    _pick_labels: list[str] = field(default_factory=list)
    _linear: list[tuple[dict[int, float], float, float, str]] = field(default_factory=list)
    _points_linear: list[tuple[list[tuple[int, Array]], float, float, str]] = field(
        default_factory=list
    )
    _distances: list[tuple[int, int, float, float, str]] = field(default_factory=list)

    def camera(self, label: str, priors: Priors) -> int:
        """Add a camera with its priors: its number. `label` begins the labels of their rows."""
        number = len(self.cameras)
        self.cameras.append(label)
        width, height = priors.size
        off = priors.middle * float(np.hypot(width, height))
        for column, mean, sigma, word in (
            (LOG_F, float(np.log(ORDINARY_LENS * width)), priors.log_f, "lens"),
            (STRETCH, 0.0, priors.stretch, "stretch"),
            (CX, width / 2, off, "middle|across"),
            (CY, height / 2, off, "middle|down"),
            (K1, 0.0, priors.bend, "bend"),
        ):
            kind, _, item = word.partition("|")
            self._linear.append(
                ({number * SIZE + column: 1.0}, mean, sigma, f"{kind}|{label}|{item}")
            )
        return number

    def point(self, name: str) -> int:
        """Add a point: its number."""
        self.points.append(name)
        return len(self.points) - 1

    def pick(self, camera: int, point: int, at: Array, sigma: float, label: str) -> None:
        """A point was picked at pixel `at` (2,), with `sigma` px in each direction."""
        self._picks.append((camera, point, float(at[0]), float(at[1]), sigma))
        self._pick_labels.append(label)

    def place(self, point: int, at: Array, sigma: Array, label: str) -> None:
        """A point's coordinates (3,) were measured, with their standard deviations (3,)."""
        for axis, word in enumerate("xyz"):
            row = [(point, np.eye(3)[axis])]
            self._points_linear.append(
                (row, float(at[axis]), float(sigma[axis]), f"{label}:{word}")
            )

    def plane(self, point: int, normal: Array, offset: float, sigma: float, label: str) -> None:
        """A point lies on the plane normal · X = offset (normal of unit length)."""
        self._points_linear.append(([(point, normal)], offset, sigma, label))

    def mirror(
        self, one: int, other: int, normal: Array, offset: float, sigma: float, label: str
    ) -> None:
        """Two points are mirror images in the plane normal · X = offset, within `sigma`."""
        turned = np.eye(3) - 2 * np.outer(normal, normal)
        for axis, word in enumerate("xyz"):
            row = [(one, np.eye(3)[axis]), (other, -turned[axis])]
            wanted = 2 * offset * float(normal[axis])
            self._points_linear.append((row, wanted, sigma, f"{label}:{word}"))

    def distance(self, one: int, other: int, length: float, sigma: float, label: str) -> None:
        """Two points are a measured length apart."""
        self._distances.append((one, other, length, sigma, label))

    def column(self, point: int) -> int:
        """The first of the three unknowns of a point."""
        return len(self.cameras) * SIZE + 3 * point

    def problem(self) -> tuple[Problem, tuple[str, ...]]:
        """The network as a least-squares problem, and the names of its picks by number."""
        n = self.column(len(self.points))
        cam = np.array([p[0] for p in self._picks], dtype=int)
        pts = np.array([p[1] for p in self._picks], dtype=int)
        fixed = np.zeros((len(self._linear) + len(self._points_linear), n))
        for row, (columns, _, _, _) in enumerate(self._linear):
            for column, weight in columns.items():
                fixed[row, column] = weight
        for row, (terms, _, _, _) in enumerate(self._points_linear, len(self._linear)):
            for point, weights in terms:
                fixed[row, self.column(point) : self.column(point) + 3] += weights
        ends = np.array([(d[0], d[1]) for d in self._distances], dtype=int).reshape(-1, 2)
        linear = [(w, s, label) for _, w, s, label in self._linear]
        linear += [(w, s, label) for _, w, s, label in self._points_linear]
        spans = [(w, s, label) for _, _, w, s, label in self._distances]
        observed = [v for p in self._picks for v in (p[2], p[3])]
        sigma = [p[4] for p in self._picks for _ in range(2)]
        labels = [f"{label}:{c}" for label in self._pick_labels for c in "uv"]
        for wanted, error, label in (*linear, *spans):
            observed.append(wanted)
            sigma.append(error)
            labels.append(label)
        numbers = np.full(len(observed), -1)
        numbers[: 2 * len(self._picks)] = np.repeat(np.arange(len(self._picks)), 2)
        predict = _prediction(len(self.cameras), n, cam, pts, fixed, ends)
        names = tuple(label.rpartition("|")[2] for label in self._pick_labels)
        return Problem(predict, np.array(observed), np.array(sigma), tuple(labels), numbers), names


def _prediction(
    cameras: int, n: int, cam: Array, pts: Array, fixed: Array, ends: Array
) -> Callable[[Array], tuple[Array, Array]]:
    first = cameras * SIZE
    k, d = len(cam), len(ends)
    rows = np.arange(k)
    cam_columns = cam[:, None] * SIZE + np.arange(SIZE)
    pts_columns = first + pts[:, None] * 3 + np.arange(3)
    one, other = ends[:, 0], ends[:, 1]

    def predict(x: Array) -> tuple[Array, Array]:
        lead = x.shape[:-1]
        points = x[..., first:].reshape(*lead, -1, 3)
        each = x[..., :first].reshape(*lead, cameras, SIZE)
        pixels, by_camera, by_point = project(each[..., cam, :], points[..., pts, None, :])
        jacobian = np.zeros((*lead, 2 * k + len(fixed) + d, n))
        for c in range(2):
            jacobian[..., (2 * rows + c)[:, None], cam_columns] = by_camera[..., 0, c, :]
            jacobian[..., (2 * rows + c)[:, None], pts_columns] = by_point[..., 0, c, :]
        jacobian[..., 2 * k : 2 * k + len(fixed), :] = fixed
        apart = points[..., one, :] - points[..., other, :]
        length = np.linalg.norm(apart, axis=-1)
        unit = apart / np.maximum(length, 1e-12)[..., None]
        for row in range(d):
            at = 2 * k + len(fixed) + row
            jacobian[..., at, first + 3 * one[row] : first + 3 * one[row] + 3] = unit[..., row, :]
            jacobian[..., at, first + 3 * other[row] : first + 3 * other[row] + 3] = -unit[
                ..., row, :
            ]
        predicted = np.concatenate([pixels.reshape(*lead, 2 * k), x @ fixed.T, length], axis=-1)
        return predicted, jacobian

    return predict
