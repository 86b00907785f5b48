"""A length beside a known length: simple proportion, with everything that can be wrong with it.

L = Lₖ (d/dₖ) Z/(Z − n): d and dₖ are lengths on the picture, Z the camera's distance from what is
measured, n how much nearer the known length stands. The terms are written out in `beside`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from archive.metrology.outcome import Errors, Estimate, NoEstimate, Outcome
from archive.metrology.simulate import SEED, spread
from archive.metrology.solve import Array
from archive.metrology.starts import ORDINARY_LENS

DEEPEST = 0.25
"""The known length may stand out of the plane by this part of the camera's distance, no more."""
SHORTEST_PX = 10.0


@dataclass(frozen=True)
class Measure:
    """Two pixels (2, 2), their labels, and the error of each pick in each direction (px)."""

    pixels: Array
    labels: tuple[str, str]
    sigma_px: float


@dataclass(frozen=True)
class Scene:
    """How the thing stands to the camera; lengths in the unit of the known length.

    `distance` from the camera to what is measured, with its error; `nearer` how much nearer the
    known length stands (negative: farther), with its error; `depth_limit` how far the two may be
    apart in depth beyond that, at most; `tilt` how far, at most, the plane leans away from square,
    in radians; `size` of the picture (px); `stretch` and `bend` the standard deviations of the
    print's unequal stretch and of the lens term k1. `label` begins the labels of what belongs to
    this photograph.
    """

    distance: float
    distance_u: float
    nearer: float
    nearer_u: float
    depth_limit: float
    tilt: float
    size: tuple[float, float]
    label: str
    stretch: float = 0.005
    bend: float = 0.02


def beside(
    thing: Measure,
    rule: Measure,
    length: float,
    length_errors: Errors,
    scene: Scene,
    draws: int = 0,
) -> Outcome:
    """The length of `thing` by proportion to `rule`, which is `length` long.

    `length_errors` are the sources of the known length's own error, in its unit.
    """
    d, e = span(thing.pixels)
    dk, ek = span(rule.pixels)
    if min(d, dk) < SHORTEST_PX:
        return NoEstimate(
            "Two of the picks lie on top of each other.", "Pick the two ends, well apart."
        )
    refused = too_deep(scene)
    if refused:
        return refused
    value = length * (d / dk) * scene.distance / (scene.distance - scene.nearer)
    errors = [(label, value / length * effect) for label, effect in length_errors]
    errors += pick_errors(thing, e, value / d) + pick_errors(rule, ek, -value / dk)
    errors += depth_errors(scene, value)
    apart = float(np.linalg.norm(thing.pixels.mean(0) - rule.pixels.mean(0))) * value / d
    across = 1.0 if scene.nearer or scene.nearer_u else 2.0
    lean = across * apart * math.sin(scene.tilt) / scene.distance
    turned = math.acos(min(1.0, abs(float(e @ ek))))
    errors.append((f"recession|{scene.label}|", value * lean / math.sqrt(6)))
    errors.append((f"direction|{scene.label}|", value * direction_error(scene.tilt, turned)))
    errors.append(
        (f"stretch|{scene.label}|", value * scene.stretch * float(ek[0] ** 2 - e[0] ** 2))
    )
    bent = _bent(thing.pixels.mean(0), e, scene.size) - _bent(rule.pixels.mean(0), ek, scene.size)
    errors.append((f"bend|{scene.label}|", -value * scene.bend * bent))
    found = Estimate(value, tuple((label, effect) for label, effect in errors if effect))
    if not draws:
        return found
    return replace(found, refit=spread(_drawn(thing, rule, length, length_errors, scene, draws)))


def _drawn(
    thing: Measure, rule: Measure, length: float, length_errors: Errors, scene: Scene, draws: int
) -> Array:
    """Lengths (draws,) with every input drawn: picks, known length, depths, lean, stretch, lens.

    The lean is drawn as a plane that leans by 0 to `tilt` in any direction; depth limits are drawn
    evenly between their bounds.
    """
    chance = np.random.default_rng(SEED)

    def even() -> Array:
        return np.asarray(chance.uniform(-1, 1, draws))

    def shown(measure: Measure) -> Array:
        moved = measure.pixels + measure.sigma_px * chance.standard_normal((draws, 2, 2))
        way = moved[:, 1] - moved[:, 0]
        size = np.hypot(way[:, 0], way[:, 1])
        heading = np.arctan2(way[:, 1], way[:, 0])
        lean = np.sqrt((np.cos(heading - axis) * np.cos(theta)) ** 2 + np.sin(heading - axis) ** 2)
        flat = np.cos(heading) ** 2 * stretch
        off = (measure.pixels.mean(0) - np.array(scene.size) / 2) / (ORDINARY_LENS * scene.size[0])
        across = off[0] * np.cos(heading) + off[1] * np.sin(heading)
        return np.asarray(size / (lean * (1 + flat) * (1 + bend * (off @ off + 2 * across**2))))

    theta, axis = chance.uniform(0, scene.tilt, draws), chance.uniform(0, np.pi, draws)
    stretch = scene.stretch * chance.standard_normal(draws)
    bend = scene.bend * chance.standard_normal(draws)
    known_u = math.sqrt(sum(effect * effect for _, effect in length_errors))
    known = length + known_u * chance.standard_normal(draws)
    d, dk = shown(thing), shown(rule)
    distance = scene.distance + scene.distance_u * chance.standard_normal(draws)
    nearer = scene.nearer + scene.nearer_u * chance.standard_normal(draws)
    apart = np.linalg.norm(thing.pixels.mean(0) - rule.pixels.mean(0)) * length / np.median(dk)
    once = 1.0 if scene.nearer or scene.nearer_u else 2.0
    slope = once * apart * np.sin(scene.tilt) / scene.distance
    depth = 1 + even() * scene.depth_limit / scene.distance + even() * slope / math.sqrt(2)
    return np.asarray(known * d / dk * distance / (distance - nearer) * depth)


def too_deep(scene: Scene) -> NoEstimate | None:
    """The refusal where the known length stands too far out of the plane of what is measured."""
    if scene.distance <= 0 or scene.distance - scene.nearer <= 0:
        return NoEstimate(
            "The known length would stand behind the camera.",
            "Look again at the camera's distance and at how much nearer the known length is.",
        )
    part = abs(scene.nearer) / scene.distance
    if part > DEEPEST:
        return NoEstimate(
            f"The known length stands out of the plane by {part:.0%} of the camera's distance.",
            "Find a known length in the plane of what is measured, or find the camera from "
            "surveyed points.",
        )
    return None


def depth_errors(scene: Scene, value: float) -> list[tuple[str, float]]:
    """What the doubt about depths does to a length of `value`."""
    behind = scene.distance - scene.nearer
    return [
        (f"depth|{scene.label}|nearer", value * scene.nearer_u / behind),
        (
            f"depth|{scene.label}|distance",
            -value * scene.nearer * scene.distance_u / (scene.distance * behind),
        ),
        (f"depth|{scene.label}|plane", value * scene.depth_limit / scene.distance / math.sqrt(3)),
    ]


def direction_error(tilt: float, turned: float) -> float:
    """Relative error when known and measured length run in directions `turned` apart, in radians.

    The plane leans by up to `tilt` in a direction that nobody knows. A length that runs at φ to
    the direction of the lean is shown short by m(φ) = √(cos²φ cos²θ + sin²φ); the error is the root
    mean square of m(φ)/m(φ + turned) − 1 over all φ and over θ up to the tilt.
    """
    theta = (np.arange(24) + 0.5)[:, None] / 24 * tilt
    phi = (np.arange(72) + 0.5)[None, :] / 72 * np.pi

    def shown(angle: Array) -> Array:
        return np.asarray(np.sqrt((np.cos(angle) * np.cos(theta)) ** 2 + np.sin(angle) ** 2))

    return float(np.sqrt(np.mean((shown(phi) / shown(phi + turned) - 1) ** 2)))


def span(pixels: Array) -> tuple[float, Array]:
    """Length (px) and direction (2,) of unit length from the first of two pixels to the other."""
    along = pixels[1] - pixels[0]
    length = float(np.hypot(*along))
    return length, along / (length or 1.0)


def pick_errors(measure: Measure, way: Array, scale: float) -> list[tuple[str, float]]:
    """What the picks' errors do to a figure that grows by `scale` a pixel along `way`."""
    return [
        (f"{label}:{c}", sign * scale * measure.sigma_px * float(w))
        for label, sign in zip(measure.labels, (-1.0, 1.0), strict=True)
        for c, w in zip("uv", way, strict=True)
    ]


def _bent(at: Array, way: Array, size: tuple[float, float]) -> float:
    """What k1 = 1 does to the scale at a place on the picture, along a direction."""
    off = (at - np.array(size) / 2) / (ORDINARY_LENS * size[0])
    return float(off @ off + 2 * (off @ way) ** 2)
