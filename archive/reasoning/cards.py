"""Cutting cards against today's findings: what a card leans on, what moved, and does it matter.

The rules are numbered in `core.rules` (K1 to K13); the lines are those of `differences`, and what
only a card can tell: words, tolerances, hazards and the mark, as printed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from archive.core.cards import (
    CHANGED,
    RECALL,
    SUPERSEDED,
    UNCHANGED,
    WITHDRAWN,
    CardStanding,
    IssueStanding,
)
from archive.core.findings import Finding, Reason
from archive.core.kept import Kept, KeptClaim, KeptDecision
from archive.core.lengths import COVER
from archive.core.moved import Moved
from archive.core.rounding import show_mm
from archive.core.rules import RULE_SET
from archive.core.verdicts import Findings, Graded, PartKnown, Standing
from archive.reasoning.card_treatments import held_or_done, treated, treatments_moved
from archive.reasoning.clearance import in_force
from archive.reasoning.differences import between
from archive.records.card import Card, CardClaim, CardDecision, Issue, code_of
from archive.records.library import Library, nodes_in
from archive.records.part import Part

BY_WORDS = frozenset({"shape", "position", "material", "finish"})
"""Aspects that a piece is made by as they are worded; a size is made by its figure."""

DECIDED = frozenset({"cut", "original"})
"""Steps that ask for a signed decision."""

PLACES = 4
"""Of a chance."""

UNASKED = frozenset({"mock-up"})
"""Steps that are open at any grade: a grade that falls doesn't matter to them."""


def drawn(
    library: Library,
    part: Part,
    step: str,
    claims: Mapping[str, Graded],
    decisions: Mapping[str, Standing],
    known: PartKnown,
    treatments: Sequence[str] = (),
) -> Issue:
    """The issue of a card for this part and step as it would be printed today, without number,
    day, name and code. For work on an original, `treatments` are what is done by it, by name.
    """
    by_ref = {f"{part.ref}#{claim.id}": claim for claim in part.claims}
    lines = []
    for graded in in_force(library, part, claims):
        claim, held = by_ref[graded.ref], graded.held
        lines.append(
            CardClaim(
                claim=claim.id,
                aspect=claim.aspect,
                says=" ".join((claim.says or "").split()),
                grade=graded.grade,
                settled=not graded.not_settled,
                witnesses=graded.witnesses,
                evidence=graded.state,
                value_mm=round(held.value_mm, 6) if held else None,
                half95_mm=None
                if held is None or held.half95_mm is None
                else round(held.half95_mm, 6),
                tolerance_mm=round(claim.tolerance.mm, 6) if claim.tolerance else None,
                make_to_mm=round(claim.made_to.says.mm, 6)
                if claim.made_to and claim.made_to.says
                else None,
                measured_from=claim.measured_from,
                leave=claim.leave.text if claim.leave else None,
            )
        )
    target = library.aircraft.target if library.aircraft else None
    return Issue(
        step=step,
        rules=RULE_SET,
        configuration=target.partition("/")[2] if target else None,
        hazards=part.hazards,
        mark=part.mark.what if part.mark else None,
        mark_place=part.mark.place if part.mark else None,
        claims=tuple(lines),
        decisions=tuple(
            CardDecision(
                decision=ref.partition("/")[2],
                choice=library.decisions[ref.partition("/")[2]].choice,
                state=decisions[ref].state,
                evidence=decisions[ref].evidence_state,
            )
            for ref in sorted(known.decisions)
            if step in DECIDED
        ),
        treatments=treated(library, part, decisions, known, treatments),
    )


def drawn_from(
    library: Library, findings: Findings, part: Part, step: str, treatments: Sequence[str] = ()
) -> Issue:
    """`drawn` on all findings."""
    known = findings.parts[part.ref]
    return drawn(library, part, step, findings.claims, findings.decisions, known, treatments)


def card_standings(
    library: Library,
    claims: Mapping[str, Graded],
    decisions: Mapping[str, Standing],
    parts: Mapping[str, PartKnown],
    only: Collection[str] | None = None,
) -> dict[str, CardStanding]:
    """How each card stands, by REF; `only` those for these parts."""
    found = {}
    for card in library.cards.values():
        if only is not None and card.part not in only:
            continue
        issues = tuple(_issue(library, card, one, claims, decisions, parts) for one in card.issues)
        found[card.ref] = CardStanding(card.ref, card.part or "", issues)
    return found


def _issue(
    library: Library,
    card: Card,
    issue: Issue,
    claims: Mapping[str, Graded],
    decisions: Mapping[str, Standing],
    parts: Mapping[str, PartKnown],
) -> IssueStanding:
    part = library.parts.get((card.part or "").partition("/")[2])
    known = parts.get(card.part or "")
    reasons: list[Reason] = []
    if issue is not card.issues[-1]:
        says = f"Issue {card.issues[-1].issue} took its place."
        reasons.append(Reason("K11", says, (card.ref,)))
    if card.withdrawn is not None:
        says = f"It was withdrawn: {card.withdrawn.because or 'no reason is given'}"
        reasons.append(Reason("K11", says.rstrip(".") + ".", (card.ref,)))
    lines: tuple[Moved, ...]
    if _unsound(card, issue):
        says = "The register's lines of it can't be read, or aren't those that were printed."
        lines = (Moved(card.ref, "record", "as printed", "not so", Reason("K10", says)),)
    elif part is None or known is None or issue.step is None:
        reason = Reason("K3", "The part isn't in the record any more.", (card.ref,))
        lines = (Moved(card.ref, "record", "a part", "", reason),)
    else:
        lines = tuple(_moved(library, part, issue, claims, decisions, known, bool(card.cut)))
    matters = [line.matters for line in lines if line.matters]
    last = issue is card.issues[-1]
    pieces = tuple(_pieces(card, issue)) if matters else ()
    if pieces:
        done = "The original was worked on by it" if issue.step == "original" else "Made from it"
        piece = "original" if issue.step == "original" else "piece"
        says = f"{done} already ({'; '.join(pieces)}): look at the {piece} again."
        matters.append(Reason("K12", says, (card.ref,)))
    earlier = bool(matters) and not last and card.withdrawn is None
    out = earlier and issue.issue not in [one.issue for one in card.returned]
    if out:
        says = "Nobody has noted that this sheet came back: fetch it."
        matters.append(Reason("K13", says, (card.ref,)))
    if not last:
        state = SUPERSEDED
    elif card.withdrawn is not None:
        state = WITHDRAWN
    else:
        state = RECALL if matters else CHANGED if lines else UNCHANGED
    finding = Finding(state, (*reasons, *matters))
    fits = () if _unsound(card, issue) else tuple(_fits(issue))
    return IssueStanding(
        card=card.ref,
        issue=issue.issue or 0,
        code=issue.code or "",
        finding=finding,
        moved=lines,
        fits=fits,
        out=out or state == RECALL,
        pieces=pieces,
    )


def _fits(issue: Issue) -> Iterator[tuple[str, float]]:
    """Of each size with a tolerance: the chance that a piece made to what is printed fits."""
    for one in issue.claims:
        if one.value_mm is None or not one.half95_mm or one.tolerance_mm is None:
            continue
        from archive.metrology.chances import chance_within

        off = 0.0 if one.make_to_mm is None else one.make_to_mm - one.value_mm
        chance = chance_within(off, one.tolerance_mm, one.half95_mm / COVER)
        yield one.claim or "", round(chance, PLACES)


def _unsound(card: Card, issue: Issue) -> bool:
    lost = any(one.lost for one in (card, *nodes_in(issue)))
    return lost or issue.code != code_of(card.id, card.part, issue)


def _pieces(card: Card, issue: Issue) -> Iterator[str]:
    """Who made a piece and when, of those that are held to this issue.

    A piece is held to the issue that it was cut from, or that it was looked at against since; one
    whose issue isn't there, to every issue.
    """
    numbers = {one.issue for one in card.issues}
    for cut in card.cut:
        if cut.scrapped is not None and not cut.scrapped.lost:
            continue
        look = cut.looked_at if cut.looked_at and not cut.looked_at.lost else None
        held_to = look.against if look and look.against in numbers else cut.issue
        if held_to == issue.issue or held_to not in numbers:
            yield f"{cut.by or 'somebody'}, {cut.on or 'no day'}"


def _moved(
    library: Library,
    part: Part,
    issue: Issue,
    claims: Mapping[str, Graded],
    decisions: Mapping[str, Standing],
    known: PartKnown,
    worked: bool,
) -> Iterator[Moved]:
    step = issue.step or ""
    names = tuple(one.treatment for one in issue.treatments)
    now = drawn(library, part, step, claims, decisions, known, names)
    lines = between(library, _kept(part, issue), _kept(part, now))
    told = {(line.ref, line.what) for line in lines}
    for line in lines:
        if line.what != "made":
            yield _for_step(line, step)
    yield from _claims(library, part, issue, now, told)
    if names:
        yield from treatments_moved(part, issue, now, known, worked)
    else:
        yield from held_or_done(part, issue, known, part.ref, worked)
    yield from _warnings(part, issue, now)


def _for_step(line: Moved, step: str) -> Moved:
    """A line with its reason only where it matters to this step."""
    if line.matters is None or line.better:
        return replace(line, matters=None)
    if line.what == "size":
        return line
    if step in UNASKED:
        return replace(line, matters=None)
    # For trial stock neither the floor for a cut nor a signature matters.
    if step == "trial" and (
        line.what == "decision"
        or line.matters.rule == "I2"
        or (line.matters.rule == "I1" and "trial" not in line.matters.says)
    ):
        return replace(line, matters=None)
    return line


def _kept(part: Part, issue: Issue) -> Kept:
    """An issue as `differences` compares it."""
    return Kept(
        rule_set=issue.rules or 0,
        claims={
            f"{part.ref}#{one.claim}": KeptClaim(
                grade=one.grade or "",
                settled=bool(one.settled),
                witnesses=one.witnesses or 0,
                evidence=one.evidence or "",
                value_mm=one.value_mm,
                u_mm=None if one.half95_mm is None else one.half95_mm / COVER,
            )
            for one in issue.claims
        },
        decisions={
            f"decisions/{one.decision}": KeptDecision(
                one.choice or "", one.state or "", one.evidence or ""
            )
            for one in issue.decisions
        },
    )


def _claims(
    library: Library, part: Part, issue: Issue, now: Issue, told: set[tuple[str, str]]
) -> Iterator[Moved]:
    """What of the claims a card alone can tell: words, tolerances, sizes without one, and that
    something moved beneath a claim.
    """
    units = (library.aircraft.units if library.aircraft else None) or "mm"
    before = {one.claim: one for one in issue.claims}
    after = {one.claim: one for one in now.claims}
    for name in sorted({*before, *after}):
        ref = f"{part.ref}#{name}"
        old, new = before.get(name), after.get(name)
        if old is None or new is None:
            says = "The card has a claim that holds no longer." if old else "A claim came since."
            reason = Reason("K3", says, (ref,)) if old else None
            held = old or new
            words = held.says if held else ""
            yield Moved(
                ref, "words", words or "" if old else "", "" if old else words or "", reason
            )
            continue
        if _words(old) != _words(new):
            says = "The piece is made by these words, and they are others now."
            by_words = new.aspect in BY_WORDS or _set_out(old) != _set_out(new)
            reason = Reason("K4", says, (ref,)) if by_words else None
            yield Moved(ref, "words", _words(old), _words(new), reason)
        if old.tolerance_mm != new.tolerance_mm:
            was, is_ = (
                "" if one is None else f"± {show_mm(one, None, units)}"
                for one in (old.tolerance_mm, new.tolerance_mm)
            )
            says = "The job asks for a closer tolerance than the card does."
            closer = new.tolerance_mm is not None and (
                old.tolerance_mm is None or new.tolerance_mm < old.tolerance_mm
            )
            yield Moved(ref, "tolerance", was, is_, Reason("K7", says, (ref,)) if closer else None)
        if old.make_to_mm != new.make_to_mm:
            says = "Another figure was chosen to make it to."
            was, is_ = (
                "" if one.make_to_mm is None else show_mm(one.make_to_mm, None, units)
                for one in (old, new)
            )
            yield Moved(ref, "figure", was, is_, Reason("K8", says, (ref,)))
        if new.tolerance_mm is None and _beyond(old, new):
            says = "It moves by more than the error that the card gives it."
            yield Moved(
                ref, "figure", _size(old, units), _size(new, units), Reason("K8", says, (ref,))
            )
        if old.evidence != new.evidence and not {(ref, w) for w in ("grade", "size")} & told:
            yield Moved(ref, "evidence", old.evidence or "", new.evidence or "")


def _words(one: CardClaim) -> str:
    """All that a card says of a claim in words."""
    return "; ".join(filter(None, (one.says, *_set_out(one))))


def _set_out(one: CardClaim) -> tuple[str, str]:
    return (
        f"measured from {one.measured_from}" if one.measured_from else "",
        f"leave {one.leave} over" if one.leave else "",
    )


def _beyond(old: CardClaim, new: CardClaim) -> bool:
    if old.value_mm is None or new.value_mm is None:
        return old.value_mm is not new.value_mm
    return bool(abs(new.value_mm - old.value_mm) > (old.half95_mm or 0.0))


def _size(one: CardClaim, units: str) -> str:
    return "" if one.value_mm is None else show_mm(one.value_mm, one.half95_mm, units)


def _warnings(part: Part, issue: Issue, now: Issue) -> Iterator[Moved]:
    """What the card warns of, the state it is for, and the mark that it asks for."""
    if issue.hazards != now.hazards:
        new = [one for one in now.hazards if one not in issue.hazards and one != "none-found"]
        says = "The card doesn't warn of it."
        yield Moved(
            part.ref,
            "hazards",
            ", ".join(issue.hazards).replace("-", " "),
            ", ".join(now.hazards).replace("-", " "),
            Reason("K5", says, (part.ref,)) if new else None,
        )
    if issue.configuration != now.configuration:
        says = "The aircraft is rebuilt to another state than the card says."
        yield Moved(
            part.ref,
            "state",
            issue.configuration or "",
            now.configuration or "",
            Reason("K6", says, (part.ref,)),
        )
    if (issue.mark, issue.mark_place) != (now.mark, now.mark_place):
        was, is_ = (", ".join(filter(None, (one.mark, one.mark_place))) for one in (issue, now))
        says = "The mark that tells the new part from old work is another."
        yield Moved(part.ref, "mark", was, is_, Reason("K9", says, (part.ref,)))
