"""A circle seen as an ellipse: fitted to picks round its rim by true distances.

Sources: start by R. Halíř & J. Flusser, Numerically stable direct least squares fitting of ellipses
(WSCG 1998); then orthogonal distances with one angle for each pick.
"""

from __future__ import annotations

import math

import numpy as np

from archive.metrology.judge import Figure, estimate, settle
from archive.metrology.outcome import Errors, Estimate, NoEstimate, Outcome
from archive.metrology.scale import Measure, Scene, depth_errors, pick_errors, span, too_deep
from archive.metrology.solve import Array, Problem

FEWEST = 6
SQUARE_ACROSS = 0.3
"""A known length square to the way that the circle leans still feels so much of it."""
SHORTEST_ARC = 160.0
"""Picks that span less of the rim than this, in degrees, say too little of its size."""


def diameter(
    rim: Array, labels: tuple[str, ...], rule: Measure, length: float,
    length_errors: Errors, scene: Scene, lean: float, draws: int = 0,
) -> Outcome:  # fmt: skip
    """The diameter of a circle from picks round its rim (k, 2), by a known length beside it.

    The known length lies in a plane parallel to the circle's, within `lean` (radians), so that the
    ellipse's diameter in its direction is foreshortened like it: D = Lₖ (dᵩ/dₖ) Z/(Z − n). The tilt
    is the ellipse's own; `scene.tilt` is not used.
    """
    refused = too_deep(scene)
    if refused:
        return refused
    dk, way = span(rule.pixels)
    found = _ellipse(rim, labels, rule.sigma_px, way, draws)
    if isinstance(found, NoEstimate):
        return found
    across, ratio, minor = found
    value = length * across.value / dk * scene.distance / (scene.distance - scene.nearer)
    tilt = math.acos(min(1.0, ratio))
    scale = value / across.value
    apart = float(np.linalg.norm(rim.mean(0) - rule.pixels.mean(0))) * scale
    # along the ellipse's short axis the circle leans away: what runs that way feels it most
    leaning = max(SQUARE_ACROSS, abs(math.cos(math.atan2(way[1], way[0]) - minor)))
    steep = math.sin(tilt) / max(ratio, 0.2)
    bow = 0.25 * value * math.sin(tilt) / scene.distance
    errors = [(label, effect * scale) for label, effect in across.errors]
    errors += pick_errors(rule, way, -value / dk)
    errors += [(label, value / length * effect) for label, effect in length_errors]
    errors += depth_errors(scene, value)
    recession = apart * steep * leaning**2 / scene.distance
    errors.append((f"recession|{scene.label}|", value * recession / math.sqrt(3)))
    errors.append((f"direction|{scene.label}|", value * steep * leaning * lean / math.sqrt(3)))
    errors.append((f"bow|{scene.label}|", value * bow / math.sqrt(3)))
    return Estimate(
        value,
        tuple((label, effect) for label, effect in errors if effect),
        across.chi2,
        across.dof,
        across.scaled,
        across.left_out,
        (*across.notes, f"The circle is seen {math.degrees(tilt):.0f}° from square."),
    )


def ellipse_start(rim: Array) -> tuple[float, float, float, float, float] | None:
    """(cx, cy, a, b, turn) of the ellipse nearest to picks (k, 2), algebraically; a ≥ b."""
    middle, spread = rim.mean(0), float(rim.std()) or 1.0
    x, y = ((rim - middle) / spread).T
    d1 = np.stack([x * x, x * y, y * y], 1)
    d2 = np.stack([x, y, np.ones_like(x)], 1)
    s1, s2, s3 = d1.T @ d1, d1.T @ d2, d2.T @ d2
    try:
        t = -np.linalg.solve(s3, s2.T)
    except np.linalg.LinAlgError:
        return None
    m = (s1 + s2 @ t)[[2, 1, 0]] * np.array([[0.5], [-1.0], [0.5]])
    _, vectors = np.linalg.eig(m)
    vectors = np.real(vectors)
    good = 4 * vectors[0] * vectors[2] - vectors[1] ** 2 > 0
    if not good.any():
        return None
    q = vectors[:, good][:, 0]
    a, b, c, d, e, f = (float(value) for value in np.concatenate([q, t @ q]))
    form = np.array([[a, b / 2], [b / 2, c]])
    centre = np.linalg.solve(2 * form, [-d, -e])
    level = -(f + 0.5 * (d * centre[0] + e * centre[1]))
    values, axes = np.linalg.eigh(form * np.sign(a))
    radii2 = level * np.sign(a) / values
    if not (radii2 > 0).all():
        return None
    long, short = np.sqrt(radii2[0]), np.sqrt(radii2[1])
    turn = math.atan2(axes[1, 0], axes[0, 0])
    cx, cy = centre * spread + middle
    return float(cx), float(cy), float(long * spread), float(short * spread), turn


def _ellipse(
    rim: Array, labels: tuple[str, ...], sigma_px: float, way: Array, draws: int
) -> tuple[Estimate, float, float] | NoEstimate:
    """The ellipse's diameter (px) along `way`, short over long axis, the short one's heading."""
    if len(rim) < FEWEST:
        return NoEstimate(
            f"A circle needs {FEWEST} picks round its rim, and has {len(rim)}.",
            "Pick more of the rim, eight to sixteen places all round.",
        )
    start = ellipse_start(rim)
    if start is None:
        return NoEstimate(
            "The picks round the rim form no ellipse.", "Pick the rim again, all round."
        )
    cx, cy, a, b, turn = start
    c, s = math.cos(turn), math.sin(turn)
    local = (rim - [cx, cy]) @ np.array([[c, -s], [s, c]])
    angles = np.arctan2(local[:, 1] / b, local[:, 0] / a)
    gaps = np.diff(np.sort(angles), append=np.sort(angles)[0] + 2 * np.pi)
    arc = 360 - math.degrees(float(gaps.max()))
    if arc < SHORTEST_ARC:
        return NoEstimate(
            f"The picks span {arc:.0f}° of the rim, too little to tell its size.",
            f"Pick at least {SHORTEST_ARC:.0f}° of it, best all round.",
        )
    problem = _problem(rim, labels, sigma_px)
    names = [label.rpartition("|")[2] for label in labels]
    settled = settle(problem, np.array([cx, cy, a, b, turn, *angles]), names)
    if isinstance(settled, NoEstimate):
        return settled
    problem, found, left = settled
    a, b = abs(found.x[2]), abs(found.x[3])
    ratio = float(min(a, b) / max(a, b))
    minor = float(found.x[4]) + (math.pi / 2 if a >= b else 0.0)
    result = estimate(problem, found, left, names, _across(way), draws)
    return result if isinstance(result, NoEstimate) else (result, ratio, minor)


def _across(way: Array) -> Figure:
    """The diameter (px) of the ellipse in one direction."""
    heading = math.atan2(way[1], way[0])

    def figure(x: Array) -> tuple[Array, Array]:
        a, b, toward = x[..., 2], x[..., 3], heading - x[..., 4]
        shape = (np.cos(toward) / a) ** 2 + (np.sin(toward) / b) ** 2
        gradient = np.zeros(x.shape)
        gradient[..., 2] = shape**-1.5 * 2 * np.cos(toward) ** 2 / a**3
        gradient[..., 3] = shape**-1.5 * 2 * np.sin(toward) ** 2 / b**3
        gradient[..., 4] = shape**-1.5 * np.sin(2 * toward) * (1 / b**2 - 1 / a**2)
        return 2 / np.sqrt(shape), gradient

    return figure


def _problem(rim: Array, labels: tuple[str, ...], sigma_px: float) -> Problem:
    k = len(rim)
    rows = np.arange(k)

    def predict(x: Array) -> tuple[Array, Array]:
        cx, cy, a, b, turn = (x[..., i, None] for i in range(5))
        t = x[..., 5:]
        c, s, ct, st = np.cos(turn), np.sin(turn), np.cos(t), np.sin(t)
        p, q = a * ct, b * st
        u, v = cx + p * c - q * s, cy + p * s + q * c
        jacobian = np.zeros((*x.shape[:-1], 2 * k, 5 + k))
        jacobian[..., 2 * rows, 0] = jacobian[..., 2 * rows + 1, 1] = 1.0
        jacobian[..., 2 * rows, 2], jacobian[..., 2 * rows + 1, 2] = ct * c, ct * s
        jacobian[..., 2 * rows, 3], jacobian[..., 2 * rows + 1, 3] = -st * s, st * c
        jacobian[..., 2 * rows, 4], jacobian[..., 2 * rows + 1, 4] = cy - v, u - cx
        jacobian[..., 2 * rows, 5 + rows] = -a * st * c - b * ct * s
        jacobian[..., 2 * rows + 1, 5 + rows] = -a * st * s + b * ct * c
        return np.stack([u, v], -1).reshape(*x.shape[:-1], -1), jacobian

    words = tuple(f"{label}:{c}" for label in labels for c in "uv")
    return Problem(predict, rim.ravel(), np.full(2 * k, sigma_px), words, np.repeat(rows, 2))
