"""What the figures of a claim come to: the axis, the nearest stock size, and the risk of a misfit.

The rules are numbered in `core.rules` (E1 to E10).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from archive.core.estimated import Estimated, FigureTaken, Stock, StockSize, Together
from archive.core.findings import Finding, Reason
from archive.core.rounding import show_mm, times_in_100
from archive.core.stock_sizes import stock_row
from archive.core.verdicts import Graded, ItemTaken
from archive.reasoning.evidence import FIGURED, units_of
from archive.reasoning.explaining import explanations
from archive.reasoning.ground import Ground
from archive.reasoning.memo import Anew
from archive.reasoning.taking import SAID
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import Part

SURE = 0.9
"""A stock size is told from this chance on."""
LEAST = 0.005
"""Stock sizes with less of a chance than this are not listed."""
ROUND_ABOUT = 3.0
"""The axis shows stock sizes within so many half-widths of the value."""
MOST_NEAR = 24
PLACES = 4


def estimates(
    library: Library, ground: Ground, claims: Mapping[str, Graded], memo: Anew
) -> dict[str, Estimated]:
    """REF → what its figures come to, of every claim of size or position with evidence.

    `memo` is what was found before; it watches `ground` and `claims`.
    """

    def work(id_: str, place: int) -> Estimated:
        part = ground.library.parts[id_]
        claim = part.claims[place]
        return estimate(ground, part, claim, claims[f"{part.ref}#{claim.id}"])

    return {
        ref: memo.made("estimate", ref, partial(work, part.id, place), place)
        for part in library.parts.values()
        for place, claim in enumerate(part.claims)
        if claim.aspect in FIGURED and claim.evidence and (ref := f"{part.ref}#{claim.id}")
    }


def estimate(ground: Ground, part: Part, claim: Claim, graded: Graded) -> Estimated:
    """What the figures of one claim come to."""
    library, joined = ground.library, graded.together
    tolerance = claim.tolerance.mm if claim.tolerance else None
    chosen = claim.made_to.says.mm if claim.made_to and claim.made_to.says else None
    stock = _stock(claim, joined)
    outside = _outside(joined, chosen)
    fits = _fits(joined, chosen, tolerance)
    reasons = [*_hanging_together(library, graded)]
    if joined is not None and joined.verdict == "disagree":
        reasons += explanations(ground, part, claim, graded)
    if stock is not None:
        reasons.append(Reason("E8", stock.says))
    if chosen is not None:
        reasons.append(_choice(library, claim, joined, chosen, outside))
    if fits is not None and claim.tolerance:
        figure = "that figure" if chosen is not None else "the value"
        reasons.append(
            Reason(
                "E10",
                f"A part made to {figure} lies within ± {claim.tolerance.text} of the true size "
                f"{times_in_100(fits)}.",
            )
        )
    verdict = joined.verdict if joined else "no figure"
    return Estimated(
        ref=graded.ref,
        lines=tuple(_lines(claim, graded)),
        together=joined,
        stock=stock,
        tolerance_mm=tolerance,
        made_to_mm=chosen,
        outside=outside,
        fits=fits,
        finding=Finding(verdict, tuple(reasons)),
    )


def _lines(claim: Claim, graded: Graded) -> Iterator[FigureTaken]:
    joined = graded.together
    shares = dict(joined.counted) if joined and joined.value_mm is not None else {}
    compared = {i for pair in joined.pairs for i in pair[:2]} if joined else set()
    open_ = joined is not None and joined.value_mm is None
    for item in graded.items:
        written = claim.evidence[item.index]
        if item.value_mm is None and not written.measured:
            continue
        yield FigureTaken(
            index=item.index,
            ref=item.ref,
            measured=written.measured or "",
            kind=_kind(item.ref),
            value_mm=item.value_mm,
            half95_mm=item.half95_mm,
            share=shares.get(item.index, 0.0),
            why=_why(item, item.index in shares, item.index in compared, open_),
        )


def _kind(ref: str) -> str:
    folder = ref.partition("/")[0]
    return {"photos": "photograph", "sources": "paper"}.get(folder, "metal")


def _why(item: ItemTaken, counted: bool, compared: bool, open_: bool) -> str:
    """Why a figure is not counted in; "" where it is."""
    if counted:
        return ""
    if not item.cap or item.value_mm is None:
        return item.says
    if item.against:
        return "It speaks against the claim."
    if item.half95_mm is None:
        return "It comes without an error."
    if open_:
        return "They disagree: none is counted in."
    if compared:
        return "It is weaker than what carries the grade: set beside it, not counted in."
    if item.cap == SAID:
        return "It is only said: not set against what is better."
    return "Another item of its origin counts."


def _hanging_together(library: Library, graded: Graded) -> Iterator[Reason]:
    joined, units = graded.together, units_of(library)
    if joined is None:
        yield Reason("E1", "Nothing that is evidence for it gives a figure with its error.")
        return
    items = {item.index: item for item in graded.items}
    refs = tuple(dict.fromkeys(items[i].ref for i, _ in joined.counted))
    if joined.verdict == "disagree":
        one, other, score = joined.pairs[0]
        pair = [items[one], items[other]]
        told = " and ".join(show_mm(i.value_mm or 0.0, i.half95_mm, units) for i in pair)
        yield Reason(
            "E6",
            f"{told} are {score:.1f} times as far apart as their errors let them be: they "
            "disagree, and no value is taken from them together.",
            tuple(item.ref for item in pair),
        )
        return
    assert joined.value_mm is not None
    value = show_mm(joined.value_mm, joined.half95_mm, units)
    if len(joined.counted) == 1:
        yield Reason("E2", f"One figure carries the grade: {value}.", refs)
    else:
        yield Reason("E3", f"{len(joined.counted)} figures together come to {value}.", refs)
    if joined.scaled > 1:
        yield Reason(
            "E4",
            f"They scatter {joined.scaled:.2f} times as much as their errors say (chi-square "
            f"{joined.chi2:.1f} with {joined.dof} to spare): the error is widened as many times.",
        )
    if joined.spread_mm:
        spread = show_mm(joined.spread_mm, None, units)
        says = f"The pieces truly differ, by {spread} (one standard deviation)."
        yield Reason("E5", says, refs)
    if joined.pairs:
        worst = joined.pairs[0]
        yield Reason(
            "E6",
            f"No two that were set side by side differ by more than {worst[2]:.2f} of the error "
            "of their difference: they agree.",
        )


def _stock(claim: Claim, joined: Together | None) -> Stock | None:
    """The stock sizes that the value may be of; None where no row or no value is known."""
    if not claim.stock or joined is None or joined.value_mm is None or not joined.u_mm:
        return None
    from archive.metrology.stock import likely

    row = stock_row(claim.stock)
    value, half = joined.value_mm, joined.half95_mm or 0.0
    *chances, none = likely(value, joined.u_mm, row.sizes_mm, row.true_mm)
    every = zip(row.names, row.sizes_mm, chances, strict=True)
    ranked = sorted(every, key=lambda one: (-one[2], one[1]))
    inside = [n for n, mm in zip(row.names, row.sizes_mm, strict=True) if abs(mm - value) <= half]
    name, _, best = ranked[0]
    said = name if best >= SURE and len(inside) < 2 else ""
    return Stock(
        row=row.title,
        sizes=tuple(
            StockSize(name, mm, round(chance, PLACES))
            for name, mm, chance in ranked[:4]
            if chance >= LEAST
        ),
        none=round(none, PLACES),
        said=said,
        says=_stock_says(row.title, said, inside, best, none, name),
        near=_near(tuple(zip(row.names, row.sizes_mm, strict=True)), value, half),
    )


def _near(
    row: tuple[tuple[str, float], ...], value: float, half: float
) -> tuple[tuple[str, float], ...]:
    """The sizes round about, of a fine row the nearest, and at least the one on each side."""
    near = sorted(row, key=lambda one: abs(one[1] - value))
    kept = [one for one in near[:MOST_NEAR] if abs(one[1] - value) <= ROUND_ABOUT * half]
    return tuple(sorted(kept or near[:2], key=lambda one: one[1]))


def _stock_says(row: str, said: str, inside: list[str], best: float, none: float, name: str) -> str:
    if said:
        return f"Of {row}: {said}, {times_in_100(best)}."
    if len(inside) > 1:
        some = (
            inside if len(inside) <= 4 else [*inside[:2], f"{len(inside) - 3} others", inside[-1]]
        )
        told = f"{', '.join(some[:-1])} and {some[-1]}"
        word = "both" if len(inside) == 2 else "all"
        return f"Of {row}: {told} {word} lie within the error, so no size is named."
    if none >= SURE:
        return f"Of {row}: none fits, so it was made to another size."
    return f"Of {row}: {name} is the likeliest, {times_in_100(best)}: not sure enough to be named."


def _outside(joined: Together | None, chosen: float | None) -> bool:
    if joined is None or joined.value_mm is None or chosen is None:
        return False
    return abs(chosen - joined.value_mm) > (joined.half95_mm or 0.0)


def _choice(
    library: Library, claim: Claim, joined: Together | None, chosen: float, outside: bool
) -> Reason:
    made_to, units = claim.made_to, units_of(library)
    told = f"{made_to.by} chose {show_mm(chosen, None, units)}: {made_to.because}"
    if outside and joined is not None and joined.value_mm is not None:
        value = show_mm(joined.value_mm, joined.half95_mm, units)
        return Reason("E9", f"{told} It lies outside what the figures say, {value}.")
    if joined is None or joined.value_mm is None:
        return Reason("E9", f"{told} The figures can't tell whether that is right.")
    return Reason("E9", f"{told} It lies within what the figures say.")


def _fits(joined: Together | None, chosen: float | None, tolerance: float | None) -> float | None:
    """The chance that a part made to the chosen figure, else to the value, is near enough."""
    if joined is None or joined.value_mm is None or joined.u_mm is None or tolerance is None:
        return None
    from archive.metrology.chances import chance_within

    off = 0.0 if chosen is None else chosen - joined.value_mm
    return round(chance_within(off, tolerance, joined.u_mm, joined.freedom), PLACES)
