"""What the figures of one claim come to together, by the witnesses that give them.

The rules are numbered in `core.rules` (E2 to E6). Nothing here needs numpy until there are two
figures to set side by side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from archive.core.allowances import TAPE
from archive.core.estimated import Together
from archive.core.lengths import COVER
from archive.core.verdicts import ItemTaken
from archive.reasoning.ground import Ground
from archive.reasoning.taking import CORROBORATED, SAID, SEEN, Taking, Witness, rank
from archive.records.claim import Claim
from archive.records.measurement import Measurement

PLACES = 6
"""Figures are kept to a millionth of a millimetre, so that they are the same on every machine."""
ROW = 3
"""So many pieces of one row show whether they truly differ."""
IN_PROPORTION = frozenset({"tape", "known"})
"""Kinds of error that act in proportion to a size."""

Errors = tuple[tuple[str, float], ...]
Figures = Sequence[tuple[ItemTaken, Taking]]


def together(
    ground: Ground,
    ref: str,
    claim: Claim,
    grade: str,
    witnesses: Sequence[Witness],
    support: Figures,
) -> Together | None:
    """What the figures of a claim come to; None where none of its witnesses gives one.

    `ref` is the claim's own, `grade` what its evidence earned, `support` all that speaks for it.
    """
    compared = [*_compared(grade, witnesses, support)]
    counted = _counted(grade, compared)
    if not counted:
        return None
    if len(compared) == 1:
        return _alone(ground, ref, claim, compared[0][0])
    return _joined(ground, ref, claim, [taken for taken, _ in compared], counted)


def _compared(
    grade: str, witnesses: Sequence[Witness], support: Figures
) -> Iterator[tuple[ItemTaken, Taking]]:
    """The figures with an error that are set side by side, in file order: of each witness its best,
    and what else was measured on the same photograph (E2). Words are not set against metal.
    """
    floor = rank(SAID) if rank(grade) >= rank(SAID) else rank(SEEN)
    best = {witness.taken.index for witness in witnesses}
    photos = {w.taken.ref.partition("#")[0] for w in witnesses if w.taken.measured}
    used: set[str] = set()
    for taken, taking in sorted(support, key=lambda pair: pair[0].index not in best):
        more = taken.measured and taken.ref.partition("#")[0] in photos
        if taken.half95_mm is None or not taking.cap or rank(taking.cap) > floor:
            continue
        if (taken.index in best or more) and taken.measured not in used:
            used |= {taken.measured} - {""}
            yield taken, taking


def _counted(grade: str, compared: Figures) -> frozenset[int]:
    """Places of the figures that carry the grade: weaker ones are set beside, not counted in."""
    level = SEEN if grade == CORROBORATED else grade
    those = [pair for pair in compared if pair[1].cap == level]
    firm = [pair for pair in those if pair[1].firm]
    return frozenset(taken.index for taken, _ in firm or those)


def _alone(ground: Ground, ref: str, claim: Claim, taken: ItemTaken) -> Together:
    assert taken.value_mm is not None and taken.half95_mm is not None
    return Together(
        verdict="one figure",
        counted=((taken.index, 1.0),),
        value_mm=taken.value_mm,
        u_mm=round(taken.half95_mm / COVER, PLACES),
        half95_mm=taken.half95_mm,
        freedom=None,
        chi2=0.0,
        dof=0,
        chance=1.0,
        scaled=1.0,
        spread_mm=0.0,
        pairs=(),
        errors=sources(ground, ref, claim, taken),
    )


def _joined(
    ground: Ground, ref: str, claim: Claim, compared: list[ItemTaken], counted: frozenset[int]
) -> Together:
    from archive.metrology.agreement import MOST_SCATTER, en_limit, en_scores
    from archive.metrology.chances import cover_factor
    from archive.metrology.combine import combine, combine_things

    compared.sort(key=lambda taken: taken.index)
    errors = {one.index: sources(ground, ref, claim, one) for one in compared}
    values = {one.index: one.value_mm or 0.0 for one in compared}
    inside = [one.index for one in compared if one.index in counted]
    x, e = [values[i] for i in inside], [errors[i] for i in inside]
    row = _row(claim, [one for one in compared if one.index in counted])
    if row:
        found = combine_things(x, e, f"spread|{ref}|")
    else:
        labels = {label for one in e for label, _ in one}
        shared = frozenset(n for n in labels if n.partition("|")[0] in IN_PROPORTION)
        found = combine(x, e, shared)
    places = [one.index for one in compared]
    pairs = [
        (places[one], places[other], score)
        for one, other, score in en_scores([values[i] for i in places], [errors[i] for i in places])
    ]
    if row:
        pairs = [*_beside_a_row(pairs, values, counted, found.spread)]
    worst = pairs[0][2] if pairs else 0.0
    scatter = math.sqrt(found.chi2 / found.dof) if found.dof and not row else 0.0
    verdict = "agree"
    if worst > en_limit(len(pairs)) or scatter > MOST_SCATTER:
        verdict = "disagree"
    elif found.spread:
        verdict = "pieces differ"
    elif len(inside) == 1:
        verdict = "one figure"
    elif found.scaled > 1:
        verdict = "scatter"
    open_ = verdict == "disagree"
    return Together(
        verdict=verdict,
        counted=tuple((i, round(w, PLACES)) for i, w in zip(inside, found.weights, strict=True)),
        value_mm=None if open_ else round(found.value, PLACES),
        u_mm=None if open_ else round(found.u, PLACES),
        half95_mm=None if open_ else round(cover_factor(found.freedom) * found.u, PLACES),
        freedom=found.freedom,
        chi2=round(found.chi2, PLACES),
        dof=found.dof,
        chance=round(found.chance, PLACES),
        scaled=round(found.scaled, PLACES),
        spread_mm=round(found.spread, PLACES),
        pairs=tuple((one, other, round(score, PLACES)) for one, other, score in pairs),
        errors=() if open_ else tuple((n, round(v, PLACES)) for n, v in found.errors),
    )


def _row(claim: Claim, counted: Sequence[ItemTaken]) -> bool:
    """Are these several pieces of metal, each a thing of its own (E5)?"""
    pieces = {(taken.ref, claim.evidence[taken.index].member) for taken in counted}
    metal = all(not taken.group for taken in counted)
    return metal and len(counted) >= ROW and len(pieces) == len(counted)


def _beside_a_row(
    pairs: Sequence[tuple[int, int, float]],
    values: Mapping[int, float],
    counted: frozenset[int],
    spread: float,
) -> Iterator[tuple[int, int, float]]:
    """The pairs that are not both of the row, with its spread in their doubt; the worst first."""
    found = []
    for one, other, score in pairs:
        if (one in counted) != (other in counted):
            off = abs(values[one] - values[other])
            half = off / score if score else 0.0
            doubt = math.hypot(half, COVER * spread)
            found.append((one, other, off / doubt if doubt else 0.0))
    yield from sorted(found, key=lambda pair: -pair[2])


def sources(ground: Ground, ref: str, claim: Claim, taken: ItemTaken) -> Errors:
    """The independent sources of a figure's error, by name; `ref` is the claim that it is given in.

    Picks bear their pixels, so that only a pick that was taken over is shared. A person's reading
    of metal shares the tape with other readings of the same record.
    """
    found = ground.measured.get(taken.measured)
    if found is not None and found.errors:
        record = ground.library.measurements.get(found.ref.partition("/")[2])
        return tuple((_picked(record, label), effect) for label, effect in found.errors)
    u = (taken.half95_mm or 0.0) / COVER
    own = f"figure|{ref}|{taken.index}"
    if taken.group:
        return ((own, u),)
    tape = min(TAPE * abs(taken.value_mm or 0.0), u)
    return ((f"tape|{taken.ref.partition('#')[0]}|", tape), (own, math.sqrt(u * u - tape * tape)))


def _picked(record: Measurement | None, label: str) -> str:
    """The name of a source, with the pixels of a pick that is the measurement's own."""
    kind, _, rest = label.partition("|")
    if kind != "pick" or record is None:
        return label
    photo, _, name = rest.partition("|")
    point = name.partition(":")[0]
    for pick in record.picks:
        on = (pick.photo or "").partition("#")[0] or photo
        if pick.point == point and pick.at and on == photo:
            return f"{label}@{pick.at[0]:g},{pick.at[1]:g}"
    return label
