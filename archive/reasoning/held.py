"""The figure that a claim is held to, and the figures for it that can't all be right."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from archive.core.estimated import Together
from archive.core.findings import Reason
from archive.core.lengths import COVER
from archive.core.rounding import show_mm
from archive.core.verdicts import Held, ItemTaken, Measured
from archive.reasoning.evidence import FIGURED, units_of
from archive.reasoning.ground import Ground
from archive.reasoning.measurements import apart_u
from archive.reasoning.policy import Pair
from archive.reasoning.taking import SAID, SEEN, Witness, rank
from archive.records.claim import Claim
from archive.records.library import Library


def agree(one: ItemTaken, other: ItemTaken, measured: Mapping[str, Measured]) -> bool:
    """Do two figures agree: is their difference within their errors, taken together?

    Both half-widths hold 95 times in 100 and add in quadrature (JCGM 100:2008, 5.1.2), save that
    errors which two measurements share can't explain a difference (M10). Items without a figure
    don't disagree.
    """
    if one.value_mm is None or other.value_mm is None:
        return True
    if one.measured in measured and other.measured in measured:
        shared = apart_u(measured[one.measured], measured[other.measured])
        return abs(one.value_mm - other.value_mm) <= COVER * shared
    half = math.hypot(one.half95_mm or 0.0, other.half95_mm or 0.0)
    return abs(one.value_mm - other.value_mm) <= half


def clash_of(
    ground: Ground,
    witnesses: Sequence[Witness],
    grade: str,
    pairs: Sequence[Pair],
    joined: Together | None,
) -> Reason | None:
    """Figures for one claim that can't all be right: not settled, whatever the grade (G21, E6).

    Words don't beat metal: a figure that is only said is not set against a better one. What comes
    without an error has none that could explain a difference.
    """
    if joined is not None and joined.verdict == "disagree":
        two = [next(t for t, _ in pairs if t.index == i) for i in joined.pairs[0][:2]]
        return _cannot_both(ground.library, two)
    floor = rank(SAID) if rank(grade) >= rank(SAID) else rank(SEEN)
    told = [w for w in witnesses if w.taken.value_mm is not None and rank(w.taking.cap) <= floor]
    for i, one in enumerate(told):
        for other in told[i + 1 :]:
            bare = None in (one.taken.half95_mm, other.taken.half95_mm)
            if bare and not agree(one.taken, other.taken, ground.measured):
                return _cannot_both(ground.library, [one.taken, other.taken])
    return None


def _cannot_both(library: Library, two: Sequence[ItemTaken]) -> Reason:
    figures = " and ".join(figure_of(library, taken) for taken in two)
    return Reason(
        "G21", f"Its own witnesses disagree: {figures}.", tuple(taken.ref for taken in two)
    )


def figure_of(library: Library, taken: ItemTaken) -> str:
    """The figure of an item with its error, in the aircraft's units."""
    return show_mm(taken.value_mm or 0.0, taken.half95_mm, units_of(library))


def held_of(
    claim: Claim, carriers: Sequence[Witness], pairs: Sequence[Pair], joined: Together | None
) -> Held | None:
    """The figure that a claim is held to: of its witnesses together, else the tightest of them."""
    if joined is not None and joined.value_mm is not None and len(joined.counted) > 1:
        lead = max(joined.counted, key=lambda pair: (pair[1], -pair[0]))[0]
        taken = next(taken for taken, _ in pairs if taken.index == lead)
        says = f"{len(joined.counted)} figures taken together."
        return Held(
            joined.value_mm, joined.half95_mm, taken.ref, says, taken.measured, joined.errors
        )
    figures = [(w, w.taken.value_mm) for w in carriers if w.taken.value_mm is not None]
    if claim.aspect not in FIGURED or not figures:
        return None
    best, value = min(
        figures,
        key=lambda pair: (
            math.inf if pair[0].taken.half95_mm is None else pair[0].taken.half95_mm,
            pair[0].taken.ref,
            pair[1],
        ),
    )
    says = "The only figure of its grade."
    if len(figures) > 1:
        says = f"The tightest of the {len(figures)} that carry the grade: they disagree."
    return Held(value, best.taken.half95_mm, best.taken.ref, says, best.taken.measured)
