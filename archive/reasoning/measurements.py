"""What each measurement gives: a size with a named error, or a refusal with the way out.

The rules are numbered in `core.rules`. Nothing here needs numpy until there is something
to measure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from archive.core.allowances import MOST_DOUBT, TERMS
from archive.core.findings import Finding, Reason
from archive.core.lengths import COVER
from archive.core.verdicts import Fitted, Measured, Simulated
from archive.reasoning.agreeing import agreements
from archive.reasoning.evidence import is_flipped
from archive.reasoning.picked import Asked, Refused, size_of
from archive.records.library import Library
from archive.records.measurement import Measurement

if TYPE_CHECKING:
    from archive.metrology.outcome import Estimate, Outcome, Refit

HALF = 0.5
DRAWS = 500
"""How often a measurement is drawn anew where that is asked for."""
PLACES = 2
"""Figures are kept to a hundredth of a millimetre, so that they are the same on every machine."""


def measure(asked: Asked, draws: int = 0) -> Measured:
    """The size that one measurement gives; `draws` simulates it so many times as well."""
    try:
        return _measured(asked, draws)
    except Refused as refused:
        return _refused(asked.measurement, refused.rule, refused.reason, refused.way_out)


def _measured(asked: Asked, draws: int) -> Measured:
    measurement = asked.measurement
    broken = asked.ground.broken.get(measurement.ref)
    if broken:
        raise Refused("M1", f"Its own record can't be relied on: {broken.says}.", "Mend it.")
    if measurement.ref in asked.ground.circular:
        raise Refused(
            "M9",
            "It leans on a claim that leans on it: a circle.",
            "Take its scale from something that doesn't rest on it.",
        )
    from archive.reasoning.methods import work_out

    if measurement.method == "mock-up":
        return _laid_over(asked)
    outcome, refs = work_out(asked, draws)
    found = _of(asked, outcome, refs)
    return replace(found, agreements=agreements(outcome.checked))


def _of(asked: Asked, outcome: Outcome, refs: tuple[str, ...]) -> Measured:
    from archive.metrology.outcome import NoEstimate

    measurement = asked.measurement
    if isinstance(outcome, NoEstimate):
        return _refused(measurement, "M8", outcome.reason, outcome.way_out, refs)
    if outcome.value <= 0:
        return _refused(
            measurement,
            "M7",
            "The two ends come out as one point: there is no size between them.",
            "Look which two points are meant.",
            refs,
        )
    if not outcome.u < MOST_DOUBT * outcome.value:
        return _refused(
            measurement,
            "M7",
            f"The error is {outcome.u / outcome.value:.0%} of the size, too much to call it one.",
            _advice(_budget(asked.library, outcome.errors), outcome.u),
            refs,
        )
    budget = _budget(asked.library, outcome.errors)
    reasons = [
        Reason("M1", f"By {METHOD_WORDS[measurement.method or '']}.", tuple(dict.fromkeys(refs))),
        Reason("M5", f"The error is {_share(budget, outcome.u)}."),
    ]
    if outcome.dof:
        reasons.append(Reason("M6", f"Chi-square {outcome.chi2:.1f} with {outcome.dof} to spare."))
    reasons += [Reason("M6", note) for note in outcome.notes]
    reasons += _repeated(asked)
    refit = outcome.refit
    if refit and not 0.85 <= refit.u / outcome.u <= 1.15:
        reasons.append(
            Reason("M5", f"Simulated, the error is {refit.u / outcome.u:.2f} times as large.")
        )
    return Measured(
        ref=measurement.ref,
        method=measurement.method or "",
        value_mm=round(outcome.value, PLACES),
        u_mm=round(outcome.u, PLACES),
        half95_mm=round(COVER * outcome.u, PLACES),
        budget=tuple((name, round(u, PLACES)) for name, u, _ in budget),
        dominates=budget[0][0] if budget else "",
        would_halve=_advice(budget, outcome.u),
        refused=None,
        way_out="",
        finding=Finding("measured", tuple(reasons)),
        errors=outcome.errors,
        chi2=round(outcome.chi2, PLACES),
        dof=outcome.dof,
        simulated=_simulated(refit) if refit else None,
        fitted=_fitted(asked, outcome),
        structure=tuple(
            (photo, name, _as_scanned(asked, photo, spot))
            for photo, name, spot in outcome.structure
        ),
    )


def _fitted(asked: Asked, outcome: Estimate) -> tuple[Fitted, ...]:
    known = {
        label.split("|")[2].partition(":")[0]
        for label, _ in outcome.errors
        if label.startswith("survey|")
    }
    found = []
    for label, picked, seen in outcome.fitted:
        _, photo, point = label.split("|")
        picked, seen = (_as_scanned(asked, photo, spot) for spot in (picked, seen))
        found.append(Fitted(photo, point, picked, seen, point in known))
    return tuple(found)


def _as_scanned(asked: Asked, photo: str, spot: tuple[float, float]) -> tuple[float, float]:
    """A pixel as the scan has it, to a hundredth: a flipped print was turned to measure."""
    across, down = spot
    record = asked.library.photos.get(photo.partition("/")[2])
    if record is not None and is_flipped(record):
        across = size_of(asked, record)[0] - across
    return round(across, PLACES), round(down, PLACES)


def _laid_over(asked: Asked) -> Measured:
    from archive.metrology.outcome import NoEstimate
    from archive.reasoning.mock_ups import lay_over, told

    found, refs, errors = lay_over(asked)
    if isinstance(found, NoEstimate):
        return _refused(asked.measurement, "M8", found.reason, found.way_out, refs)
    reasons = [
        Reason("M1", f"By {METHOD_WORDS['mock-up']}.", tuple(dict.fromkeys(refs))),
        *(Reason("M11", told(point)) for point in found),
    ]
    budget = _budget(asked.library, errors)
    u = math.sqrt(sum(term * term for _, term, _ in budget))
    reasons.append(Reason("M5", f"The largest of these errors is {_share(budget, u)}."))
    differs = any(point.differs for point in found)
    return Measured(
        ref=asked.measurement.ref,
        method="mock-up",
        value_mm=None,
        u_mm=None,
        half95_mm=None,
        budget=tuple((name, round(term, PLACES)) for name, term, _ in budget),
        dominates=budget[0][0] if budget else "",
        would_halve=_advice(budget, u),
        refused=None,
        way_out="",
        finding=Finding("stands apart" if differs else "falls on it", tuple(reasons)),
        laid_over=found,
    )


def _simulated(refit: Refit) -> Simulated:
    figures = (round(value, PLACES) for value in (refit.u, refit.low, refit.high))
    return Simulated(refit.draws, *figures)


METHOD_WORDS = {
    "scale": "simple proportion to a known length beside it",
    "plane": "the plane of known points, straightened",
    "stations": "known stations along a straight line",
    "camera": "the camera's own place, found from known points",
    "known-plane": "the camera found from known points, and a plane that the picks lie on",
    "symmetry": "the camera found from known points, and the likeness of the two hands",
    "several": "the cameras of all the photographs, found from known points",
    "circle": "the ellipse of its rim, beside a known length",
    "mock-up": "laying the mock-up over the photograph, by the cameras of both",
}
"""How a size is found, in words, by the record's `method`."""


def _refused(
    measurement: Measurement, rule: str, reason: str, way_out: str, refs: tuple[str, ...] = ()
) -> Measured:
    return Measured(
        ref=measurement.ref,
        method=measurement.method or "",
        value_mm=None,
        u_mm=None,
        half95_mm=None,
        budget=(),
        dominates="",
        would_halve="",
        refused=reason,
        way_out=way_out,
        finding=Finding("refused", (Reason(rule, reason, tuple(dict.fromkeys(refs))),)),
    )


def _repeated(asked: Asked) -> Iterator[Reason]:
    """What repeated picks tell of each photograph that is measured (M12)."""
    for ref in asked.measurement.photos:
        photo = asked.library.photos.get(ref.partition("#")[0].partition("/")[2])
        scatter = asked.scatter(photo) if photo else None
        if photo is not None and scatter is not None and scatter.freedom:
            single = scatter.single_px(asked.pick_px)
            says = (
                f"{scatter.picks} picks that {asked.measurement.by} repeated on “{photo.title}” "
                f"scatter by {scatter.own_px:.1f} px; drawn towards the {asked.pick_px:g} px that "
                f"are expected, one pick there is good to {single:.1f} px."
            )
            yield Reason("M12", says, (photo.ref,))


Term = tuple[str, float, str]
"""Name, u in mm, and what would lessen it."""


def _budget(library: Library, errors: tuple[tuple[str, float], ...]) -> list[Term]:
    """The independent sources gathered into named terms, the largest first."""
    squares: dict[tuple[str, str], float] = {}
    for label, effect in errors:
        kind, _, rest = label.partition("|")
        key = (kind, rest.partition("|")[0])
        squares[key] = squares.get(key, 0.0) + effect * effect
    terms = []
    for (kind, ref), square in squares.items():
        name, advice = TERMS[kind]
        title = f"“{library.title(ref)}”" if "/" in ref else "the photograph"
        terms.append((name.format(title), math.sqrt(square), advice))
    return sorted(terms, key=lambda term: (-term[1], term[0]))


def _advice(budget: list[Term], u: float) -> str:
    """What would halve the error: the terms that would have to go, the largest first."""
    left, steps = u * u, []
    for name, term, advice in budget:
        left -= term * term
        steps.append((name, advice))
        if left <= (HALF * u) ** 2:
            break
    if len(steps) == 1:
        return steps[0][1]
    return f"No one thing would halve the error. {' '.join(dict.fromkeys(a for _, a in steps))}"


def _share(budget: list[Term], u: float) -> str:
    told = [f"{name} ({100 * term * term / (u * u):.0f} %)" for name, term, _ in budget[:3]]
    return "mostly " + ", ".join(told)


def apart_u(one: Measured, other: Measured) -> float:
    """Standard uncertainty (mm) of the difference of two measurements, by what they share.

    Σ (aᵢ − bᵢ)² over all sources, which is u₁² + u₂² − 2 cov (JCGM 100:2008, 5.2.2, F.1.2.3).
    """
    left, right = dict(one.errors), dict(other.errors)
    names = dict.fromkeys((*left, *right))
    return math.sqrt(sum((left.get(n, 0.0) - right.get(n, 0.0)) ** 2 for n in names))


def seen_on(measured: Measured) -> frozenset[str]:
    """REFs of the photographs on which a measurement's picks were made."""
    parts = (label.split("|") for label, _ in measured.errors)
    return frozenset(part[1] for part in parts if part[0] == "pick")
