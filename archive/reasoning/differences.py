"""What differs between two sets of findings, line by line, and whether it matters (I1 to I8)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from archive.core.cards import RECALL, CardStanding
from archive.core.findings import Reason
from archive.core.kept import Kept, KeptClaim, KeptDecision, KeptPart
from archive.core.lengths import COVER, show_mm
from archive.core.moved import Moved
from archive.core.rules import RULE_SET
from archive.core.verdicts import Graded, PartKnown, Standing
from archive.reasoning.clearance import NEEDED
from archive.reasoning.decisions import REOPENED, STANDS, SUPERSEDED
from archive.reasoning.docket import CLEARED, HOLD
from archive.reasoning.taking import SAID, SEEN, rank
from archive.records.claim import Claim
from archive.records.library import Library

AGREE, CLASH = "the dates agree", "the dates can't all be true"
_METAL = frozenset({"shape", "size", "material", "position"})
_TOLD = ("trial", "cut", "original")
_STEPS = {"trial": "Trial stock", "cut": "A cut", "original": "Work on the original"}
_FLOORS = ((SAID, "trial stock"), (SEEN, "a cut"))


def keep(
    library: Library,
    claims: Mapping[str, Graded],
    decisions: Mapping[str, Standing],
    parts: Mapping[str, PartKnown],
    cards: Mapping[str, CardStanding],
) -> Kept:
    """Findings in canonical form: lengths in mm to a millionth, REFs in order, no prose."""
    return Kept(
        rule_set=RULE_SET,
        claims={ref: kept_claim(claims[ref]) for ref in sorted(claims)},
        decisions={
            ref: KeptDecision(
                library.decisions[ref.partition("/")[2]].choice or "",
                decisions[ref].state,
                decisions[ref].evidence_state,
            )
            for ref in sorted(decisions)
        },
        parts={
            ref: KeptPart(*(parts[ref].steps[step].verdict for step in _TOLD))
            for ref in sorted(parts)
        },
        cards=dict(sorted(_kept_cards(cards))),
    )


def _kept_cards(cards: Mapping[str, CardStanding]) -> Iterator[tuple[str, str]]:
    for ref, standing in cards.items():
        yield ref, standing.state
        for one in standing.recalled:
            if one is not standing.latest:
                yield f"{ref}#{one.issue}", RECALL


def kept_claim(graded: Graded) -> KeptClaim:
    """One claim's findings in canonical form."""
    held = graded.held
    half = held.half95_mm if held else None
    return KeptClaim(
        grade=graded.grade,
        settled=not graded.not_settled,
        witnesses=graded.witnesses,
        evidence=graded.state,
        value_mm=round(held.value_mm, 6) if held else None,
        u_mm=None if half is None else round(half / COVER, 6),
    )


def between(library: Library, before: Kept, after: Kept) -> tuple[Moved, ...]:
    """Every line that differs, claims first, in the order of their REFs.

    `library` says what each thing needs: tolerances, and what was made.
    """
    lines = [
        *_claims(library, before.claims, after.claims),
        *_decisions(before.decisions, after.decisions),
        *_parts(before.parts, after.parts),
        *_cards(library, before.cards, after.cards),
        *_dates(before, after),
    ]
    return (*lines, *_made(library, lines))


def _both(before: Iterable[str], after: Iterable[str]) -> list[str]:
    return sorted({*before, *after})


def _claims(
    library: Library, before: Mapping[str, KeptClaim], after: Mapping[str, KeptClaim]
) -> Iterator[Moved]:
    units = (library.aircraft.units if library.aircraft else None) or "mm"
    for ref in _both(before, after):
        old, new = before.get(ref), after.get(ref)
        if old == new:
            continue
        claim = library.get(ref)
        mine = claim if isinstance(claim, Claim) else None
        if _words(old) != _words(new):
            floor = _floor(ref, mine, old, new)
            better = old is not None and new is not None and not _worse(old, new)
            yield Moved(ref, "grade", _words(old), _words(new), floor, better)
        sizes = _size(old, units), _size(new, units)
        if (old and (old.value_mm, old.u_mm)) != (new and (new.value_mm, new.u_mm)):
            reason, better = _tolerance(ref, mine, old, new, units)
            if sizes[0] != sizes[1] or reason:
                yield Moved(ref, "size", *sizes, reason, better)
        counts = tuple(str(one.witnesses) if one else "" for one in (old, new))
        if counts[0] != counts[1]:
            yield Moved(ref, "witnesses", counts[0], counts[1])


def _worse(old: KeptClaim, new: KeptClaim) -> bool:
    return rank(new.grade) > rank(old.grade) or (old.settled and not new.settled)


def _words(claim: KeptClaim | None) -> str:
    if claim is None:
        return ""
    return claim.grade if claim.settled else f"{claim.grade}, not settled"


def _size(claim: KeptClaim | None, units: str) -> str:
    if claim is None or claim.value_mm is None:
        return ""
    half = None if claim.u_mm is None else claim.u_mm * COVER
    return show_mm(claim.value_mm, half, units)


def _floor(
    ref: str, claim: Claim | None, old: KeptClaim | None, new: KeptClaim | None
) -> Reason | None:
    if claim is not None and claim.aspect not in NEEDED:
        return None
    for floor, step in reversed(_FLOORS):
        was = old is not None and rank(old.grade) <= rank(floor)
        now = new is not None and rank(new.grade) <= rank(floor)
        if was != now:
            word = "reaches" if now else "falls below"
            return Reason("I1", f"It {word} {floor}, the floor for {step}.", (ref,))
    if old and new and old.settled != new.settled:
        says = "It is settled now." if new.settled else "It is settled no longer: no cut by it."
        return Reason("I2", says, (ref,))
    return None


def _tolerance(
    ref: str, claim: Claim | None, old: KeptClaim | None, new: KeptClaim | None, units: str
) -> tuple[Reason | None, bool]:
    """Why a size that moves matters to its tolerance, and whether that is for the better."""
    needed = claim.tolerance.mm if claim is not None and claim.tolerance is not None else None
    if needed is None:
        return None, False
    needs = f"± {show_mm(needed, None, units)}"
    was = old is not None and old.u_mm is not None and old.u_mm * COVER <= needed
    now = new is not None and new.u_mm is not None and new.u_mm * COVER <= needed
    if was and not now:
        return Reason("I3", f"It is held no longer to the {needs} it needs.", (ref,)), False
    if old and new and old.value_mm is not None and new.value_mm is not None:
        by = abs(new.value_mm - old.value_mm)
        if by > needed:
            says = f"It moves by {show_mm(by, None, units)}, and the job needs {needs}."
            return Reason("I3", says, (ref,)), False
    if now and not was:
        return Reason("I3", f"It is held to the {needs} it needs.", (ref,)), True
    return None, False


def _decisions(
    before: Mapping[str, KeptDecision], after: Mapping[str, KeptDecision]
) -> Iterator[Moved]:
    for ref in _both(before, after):
        old, new = before.get(ref), after.get(ref)
        if old == new:
            continue
        if (old and old.choice) != (new and new.choice):
            yield Moved(ref, "choice", old.choice if old else "", new.choice if new else "")
        if (old and old.state) != (new and new.state):
            reason, better = None, False
            if new and new.state == REOPENED:
                reason = Reason("I4", "Its evidence is not what was signed: reopened.", (ref,))
            elif old and new and old.state == REOPENED and new.state == STANDS:
                reason, better = Reason("I4", "It stands again.", (ref,)), True
            states = old.state if old else "", new.state if new else ""
            yield Moved(ref, "decision", *states, reason, better)
        elif old and new and old.evidence != new.evidence and new.state != SUPERSEDED:
            yield Moved(ref, "evidence", old.evidence, new.evidence)


def _parts(before: Mapping[str, KeptPart], after: Mapping[str, KeptPart]) -> Iterator[Moved]:
    for ref in _both(before, after):
        old, new = before.get(ref), after.get(ref)
        for step in _TOLD:
            was: str = getattr(old, step, "")
            now: str = getattr(new, step, "")
            if was == now or (step == "original" and "" in (was, now)):
                continue
            reason = None
            if {was, now} == {CLEARED, HOLD}:
                reason = Reason("I5", f"{_STEPS[step]} goes from {was} to {now}.", (ref,))
            yield Moved(ref, step, was, now, reason)


def _cards(
    library: Library, before: Mapping[str, str], after: Mapping[str, str]
) -> Iterator[Moved]:
    for name in _both(before, after):
        was, now = before.get(name, ""), after.get(name, "")
        if was == now:
            continue
        ref, _, issue = name.partition("#")
        reason = None
        if now == RECALL:
            card = library.cards.get(ref.partition("/")[2])
            says = "It must come back from the bench."
            if issue:
                says = f"Issue {issue}, which was superseded, must come back from the bench."
            cut = " It was worked from already." if card and card.cut else ""
            reason = Reason("I8", f"{says}{cut}", (ref,))
        elif was == RECALL:
            says = f"Issue {issue} need not" if issue else "It need not"
            reason = Reason("I8", f"{says} come back any more.", (ref,))
        if issue:
            was, now = (state and f"issue {issue}: {state}" for state in (was, now))
        yield Moved(ref, "card", was, now, reason, not now.endswith(RECALL))


def _dates(before: Kept, after: Kept) -> Iterator[Moved]:
    """Days that are others, and conflicts of dates that came or went; where both kept them."""
    if before.dates is None or after.dates is None:
        return
    for ref in _both(before.dates, after.dates):
        was, now = before.dates.get(ref, ""), after.dates.get(ref, "")
        if was != now:
            yield Moved(ref, "day", was, now)
    for ref in sorted({*before.clashing} ^ {*after.clashing}):
        words = (AGREE, CLASH) if ref in after.clashing else (CLASH, AGREE)
        yield Moved(ref, "conflict", *words)


def _made(library: Library, lines: Iterable[Moved]) -> Iterator[Moved]:
    """Parts that were cut already, of which a claim moves in grade or size."""
    touched: dict[str, list[str]] = {}
    for line in lines:
        claim = library.get(line.ref) if line.what in ("grade", "size") else None
        if isinstance(claim, Claim) and claim.aspect in _METAL:
            touched.setdefault(line.ref.partition("#")[0], []).append(line.ref)
    for ref, claims in touched.items():
        part = library.parts.get(ref.partition("/")[2])
        if part is None or not part.made:
            continue
        what = "; ".join(made.what or "a piece" for made in part.made)
        says = f"Made already: {what}. Find it, and look at it again."
        reason = Reason("I6", says, (ref, *dict.fromkeys(claims)))
        yield Moved(ref, "made", "made", "look at it again", reason)
