"""A length between two points in space, from one photograph or several, with the cameras unknown.

The cameras are found from points known on what survives; a point that isn't known follows from a
plane that it lies on, from its opposite hand on the same picture, or from a second picture. All of
it is one network, so that the figure's error holds every doubt at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from archive.metrology.camera import (
    LOG_F,
    SIZE,
    centre,
    matrix,
    project,
    ray,
    triangulated,
)
from archive.metrology.freed import UNSURE_MIDDLE, freed
from archive.metrology.judge import Figure, chi2_tail, estimate, settle
from archive.metrology.network import Network, Priors
from archive.metrology.outcome import Estimate, NoEstimate, Outcome
from archive.metrology.plane import apart
from archive.metrology.solve import Array, Fit, Problem
from archive.metrology.starts import find_cameras, flatness, straightness

FEWEST = 6
REACH = 3.0
"""A measured point may lie this many times the known points' extent away from their middle."""
FLAT = 0.02
LENS_DOUBT = 0.2
CROPPED_WIDER = {1: 1.15, 2: 1.35}
"""Where the lens axis may be off the middle by more than UNSURE_MIDDLE, the network is
too far from linear for its error; by these factors, from the coverage study, for one photograph and
for several, it holds again."""
SAME_FIT = 6.0
MIRRORED = 10.0


@dataclass(frozen=True)
class Place:
    """A point that was surveyed: coordinates (3,), their standard deviations (3,), its label."""

    at: Array
    sigma: Array
    label: str


@dataclass(frozen=True)
class View:
    """A picture: its label, what is known of its camera, and the pixels (2,) of named points.

    `sigma_px` is the error of a pick, one standard deviation; `own_px` that of points by name,
    where it is another.
    """

    label: str
    priors: Priors
    picks: dict[str, Array]
    sigma_px: float
    own_px: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Plane:
    """The plane normal · X = offset (normal of unit length), known to a standard deviation."""

    normal: Array
    offset: float
    sigma: float
    label: str


@dataclass(frozen=True)
class Span:
    """A measured length between two named points, its standard deviation, and its label."""

    one: str
    other: str
    length: float
    sigma: float
    label: str


@dataclass(frozen=True)
class Scene:
    """All that is known: surveyed places by name, the views, planes that named points lie on,
    pairs of names that mirror each other in a plane, and lengths between named points."""

    places: dict[str, Place]
    views: tuple[View, ...]
    on_plane: dict[str, Plane] = field(default_factory=dict)
    pairs: tuple[tuple[str, str, Plane], ...] = ()
    lengths: tuple[Span, ...] = ()
    structure: dict[str, Array] = field(default_factory=dict)
    """Further points (3,) that are only to be seen where the cameras see them."""


def length_in_space(scene: Scene, one: str, other: str, draws: int = 0) -> Outcome:
    """The distance between two named points."""
    solved = solve(scene, (one, other))
    if isinstance(solved, NoEstimate):
        return solved
    a, b = solved.columns(one, other)
    return solved.estimate(apart(a, b, 3), draws)


def camera_distance(scene: Scene, one: str, other: str, draws: int = 0) -> Outcome:
    """How far the first view's camera stood from the middle between two named points."""
    solved = solve(scene, (one, other))
    if isinstance(solved, NoEstimate):
        return solved
    a, b = solved.columns(one, other)
    return solved.estimate(_from_camera(a, b), draws)


def _from_camera(one: int, other: int) -> Figure:
    def value(x: Array) -> Array:
        middle = (x[..., one : one + 3] + x[..., other : other + 3]) / 2
        stood = np.stack([centre(c) for c in x.reshape(-1, x.shape[-1])[:, :SIZE]])
        return np.asarray(np.linalg.norm(middle - stood.reshape(middle.shape), axis=-1))

    def figure(x: Array) -> tuple[Array, Array]:
        gradient = np.zeros(x.shape)
        if x.ndim == 1:
            for column in (*range(SIZE), *range(one, one + 3), *range(other, other + 3)):
                step = 1e-5 * max(1.0, abs(float(x[column])))
                up, down = x.copy(), x.copy()
                up[column] += step
                down[column] -= step
                gradient[column] = (value(up) - value(down)) / (2 * step)
        return value(x), gradient

    return figure


@dataclass(frozen=True)
class Solved:
    """The network of a scene, fitted: its problem, fit, what was left out, and the picks' names.

    `told` are sentences on what was taken otherwise than it was given.
    """

    scene: Scene
    problem: Problem
    found: Fit
    left: tuple[str, ...]
    names: tuple[str, ...]
    network: Network
    told: tuple[str, ...] = ()

    def columns(self, one: str, other: str) -> tuple[int, int]:
        """The first of the three unknowns of each of two named points."""
        network = self.network
        a, b = (network.column(network.points.index(name)) for name in (one, other))
        return a, b

    def estimate(self, figure: Figure, draws: int = 0) -> Outcome:
        """A figure of the unknowns, with all that is to be said of its cameras."""
        made = estimate(self.problem, self.found, self.left, self.names, figure, draws)
        return made if isinstance(made, NoEstimate) else _finished(made, self)


def solve(scene: Scene, sought: tuple[str, ...]) -> Solved | NoEstimate:
    """The network of a scene, fitted; once more where it shows the priors to be wrong (`freed`)."""
    first = _solved(scene, sought)
    if isinstance(first, NoEstimate):
        return first
    priors, told = freed([view.priors for view in scene.views], first.found.x)
    if not told:
        return first
    views = (replace(v, priors=p) for v, p in zip(scene.views, priors, strict=True))
    second = _solved(replace(scene, views=tuple(views)), sought)
    return second if isinstance(second, NoEstimate) else replace(second, told=told)


def _solved(scene: Scene, sought: tuple[str, ...]) -> Solved | NoEstimate:
    cameras: list[list[tuple[Array, float]]] = []
    for view in scene.views:
        found = _cameras(scene, view)
        if isinstance(found, NoEstimate):
            return found
        cameras.append(found)
    best = _settled(scene, [each[0][0] for each in cameras], sought)
    flat = flatness(np.array([place.at for place in _seen(scene)])) < FLAT
    if isinstance(best, NoEstimate):
        return best
    if not flat:
        best = _unmirrored(scene, best, sought)
        return best
    if float(np.sqrt(best.found.covariance[LOG_F, LOG_F])) > LENS_DOUBT:
        return NoEstimate(
            "The known points lie on one plane and the photograph looks straight at it: the camera "
            "can't be found.",
            "Add a known point off that plane, or use the plane itself.",
        )
    for i, each in enumerate(cameras):
        for camera, _ in each[1:2]:
            trial = [c[0][0] for c in cameras]
            trial[i] = camera
            second = _settled(scene, trial, sought)
            if not isinstance(second, NoEstimate) and (
                second.found.chi2 < best.found.chi2 + SAME_FIT
            ):
                here, there = (
                    centre(each.found.x[i * SIZE : (i + 1) * SIZE]) for each in (best, second)
                )
                moved, far = np.linalg.norm(there - here), np.linalg.norm(here)
                if moved > 0.1 * far:
                    return NoEstimate(
                        "Two different camera positions fit equally well.",
                        "Add a known point off the plane of the others.",
                    )
    return best


def _seen(scene: Scene) -> list[Place]:
    names = dict.fromkeys(name for view in scene.views for name in view.picks)
    return [scene.places[name] for name in names if name in scene.places]


def _cameras(scene: Scene, view: View) -> list[tuple[Array, float]] | NoEstimate:
    names = [name for name in view.picks if name in scene.places]
    if len(names) < FEWEST:
        return NoEstimate(
            f"The camera needs {FEWEST} known points on the picture, and has {len(names)}.",
            "Pick more surveyed points, or use a plane or a known length.",
        )
    points = np.array([scene.places[name].at for name in names])
    if straightness(points) < 0.02:
        return NoEstimate(
            "All known points lie on one line.", "Add a known point well off that line."
        )
    pixels = np.array([view.picks[name] for name in names])
    found = find_cameras(points, pixels, view.priors.size, view.sigma_px)
    if not found:
        return NoEstimate(
            "No camera sees the known points where they were picked.",
            "Look for swapped names among the picks.",
        )
    return found


def _settled(scene: Scene, cameras: list[Array], sought: tuple[str, ...]) -> Solved | NoEstimate:
    network = Network()
    start: dict[str, Array] = {}
    names = dict.fromkeys(name for view in scene.views for name in view.picks)
    for name in names:
        at = scene.places[name].at if name in scene.places else _first(scene, cameras, name)
        if at is not None:
            start[name] = at
    for name in sought:
        if name not in start:
            return NoEstimate(
                f"“{name}” is seen once only, and nothing says how far off it is.",
                "Pick it on another photograph, pick its opposite hand too, or say which plane it "
                "lies on.",
            )
    known = np.array([place.at for place in _seen(scene)])
    extent = max(float(np.linalg.norm(known - p, axis=1).max()) for p in known)
    away = max(float(np.linalg.norm(start[name] - known.mean(0))) for name in sought)
    if away > REACH * extent:
        return NoEstimate(
            f"What is measured lies {away / extent:.1f} times the extent of the known points away "
            "from them.",
            "Pick known points nearer to it.",
        )
    number = {name: network.point(name) for name in start}
    for view in scene.views:
        camera = network.camera(view.label, view.priors)
        for name, at in view.picks.items():
            if name in number:
                label = f"pick|{view.label}|{name}"
                sigma_px = view.own_px.get(name, view.sigma_px)
                network.pick(camera, number[name], at, sigma_px, label)
    for name, place in scene.places.items():
        if name in number:
            network.place(number[name], place.at, place.sigma, place.label)
    for name, plane in scene.on_plane.items():
        if name in number:
            label = f"{plane.label}{name}"
            network.plane(number[name], plane.normal, plane.offset, plane.sigma, label)
    for one, other, plane in scene.pairs:
        if one in number and other in number:
            label = f"{plane.label}{one}"
            args = (plane.normal, plane.offset, plane.sigma, label)
            network.mirror(number[one], number[other], *args)
    for span in scene.lengths:
        if span.one in number and span.other in number:
            ends = (number[span.one], number[span.other])
            network.distance(*ends, span.length, span.sigma, span.label)
    problem, picks = network.problem()
    x0 = np.concatenate([*cameras, *start.values()])
    settled = settle(problem, x0, picks)
    if isinstance(settled, NoEstimate):
        return settled
    problem, found, left = settled
    return Solved(scene, problem, found, left, picks, network)


def _first(scene: Scene, cameras: list[Array], name: str) -> Array | None:
    """A first place for a point that nobody surveyed, None where nothing pins it down."""
    matrices, pixels = [], []
    for view, camera in zip(scene.views, cameras, strict=True):
        if name in view.picks:
            matrices.append(matrix(camera))
            pixels.append(view.picks[name])
    for one, other, plane in scene.pairs:
        if name in (one, other):
            partner = other if name == one else one
            turned = np.eye(4)
            turned[:3, :3] -= 2 * np.outer(plane.normal, plane.normal)
            turned[:3, 3] = 2 * plane.offset * plane.normal
            for view, camera in zip(scene.views, cameras, strict=True):
                if partner in view.picks:
                    matrices.append(matrix(camera) @ turned)
                    pixels.append(view.picks[partner])
    if name in scene.on_plane:
        plane = scene.on_plane[name]
        for view, camera in zip(scene.views, cameras, strict=True):
            if name in view.picks:
                look, stood = ray(camera, view.picks[name]), centre(camera)
                below = float(plane.normal @ look)
                if abs(below) > 1e-6:
                    return np.asarray(stood + look * (plane.offset - plane.normal @ stood) / below)
    if len(matrices) < 2:
        return None
    return triangulated(np.array(matrices), np.array(pixels))


def _unmirrored(scene: Scene, best: Solved, sought: tuple[str, ...]) -> Solved | NoEstimate:
    """The solution, unless it fits badly and the picture turned over fits far better."""
    found = best.found
    if found.dof < 1 or found.chi2 / found.dof < 3 or chi2_tail(found.chi2, found.dof) > 1e-3:
        return best
    turned = []
    for view in scene.views:
        width = view.priors.size[0]
        picks = {name: np.array([width - at[0], at[1]]) for name, at in view.picks.items()}
        turned.append(replace(view, picks=picks))
    other = replace(scene, views=tuple(turned))
    cameras = [_cameras(other, view) for view in other.views]
    if any(isinstance(each, NoEstimate) for each in cameras):
        return best
    second = _settled(other, [each[0][0] for each in cameras], sought)  # type: ignore[index]
    if not isinstance(second, NoEstimate) and second.found.chi2 * MIRRORED < found.chi2:
        return NoEstimate(
            "The picks fit only as a mirror image.",
            "Was the negative turned over? If so, say flipped: in the photograph's record.",
        )
    return best


def _finished(result: Estimate, solved: Solved) -> Estimate:
    """The estimate with what is to be said of the cameras, wider where the lens axis is unknown."""
    views, found = solved.scene.views, solved.found
    for i in range(len(views)):
        u = float(np.sqrt(found.covariance[i * SIZE + LOG_F, i * SIZE + LOG_F]))
        if u > LENS_DOUBT:
            result = result.with_notes(
                f"The lens is uncertain by {u:.0%}: the length holds, the camera's place doesn't."
            )
    result = result.with_notes(*solved.told)
    if max(view.priors.middle for view in views) > UNSURE_MIDDLE:
        factor = CROPPED_WIDER[min(len(views), 2)]
        note = f"The lens axis may be far off the middle, so the error was widened {factor} times."
        result = result.widened(factor, note)
    return replace(result, structure=tuple(_structure(solved.scene, found)))


def _structure(scene: Scene, found: Fit) -> Iterator[tuple[str, str, tuple[float, float]]]:
    """Where each view sees each point of the structure that lies before its camera."""
    for i, view in enumerate(scene.views):
        if scene.structure:
            points = np.array(list(scene.structure.values()))
            seen = project(found.x[i * SIZE : (i + 1) * SIZE], points)[0]
            for name, (u, v) in zip(scene.structure, seen.tolist(), strict=True):
                if np.isfinite(u):
                    yield view.label, name, (u, v)
