"""Which bits are real: what each part is on the aircraft as it is shown, by its records alone.

O1  Not fitted in the target state: not on the aircraft at that time.
O2  A standing decision says what becomes of it: refitted, repaired, kept, left off, or built.
O3  Without one, what survives goes by its declared status; the rest is not decided yet.
O4  What is built new is copied from an original where its claims are on the airframe or matched,
    from photographs and papers where they are corroborated or seen, else a conjecture.
O5  A part of a sister or a donor is of the period, from another aircraft.
O6  Of a row of like parts the survivors are original, the others new.
"""

from __future__ import annotations

from archive.core.findings import Finding, Reason
from archive.core.originality import (
    BESIDE,
    CONJECTURAL,
    COPIED,
    ELSEWHERE,
    IN_PLACE,
    LEFT_OFF,
    NOT_THEN,
    PICTURED,
    REPAIRED,
    UNDECIDED,
    Originality,
    Share,
)
from archive.core.verdicts import GRADES, Findings
from archive.reasoning.metal import assemblies
from archive.reasoning.states import CANNOT, fitted_in
from archive.reasoning.times import Times
from archive.records.library import Library
from archive.records.part import Part

CHOSEN = {
    "refit": IN_PLACE,
    "refit-repaired": REPAIRED,
    "keep-as-found": BESIDE,
    "store-and-copy": BESIDE,
    "leave-off": LEFT_OFF,
    "defer": UNDECIDED,
}
STATUSES = {
    "original-refit": IN_PLACE,
    "original-kept": BESIDE,
    "pattern-only": BESIDE,
    "not-ours": NOT_THEN,
    "quarantine": BESIDE,
}


def originality(library: Library, findings: Findings, times: Times) -> dict[str, Originality]:
    """REF of each part → what it is on the aircraft as it is shown in the target state."""
    return {part.ref: _of(library, findings, times, part) for part in library.parts.values()}


def _of(library: Library, findings: Findings, times: Times, part: Part) -> Originality:
    kind, reason = _kind(library, findings, times, part)
    return Originality(
        part.ref,
        (part.zone or "").partition("/")[2],
        Finding(kind, (reason,)),
        _shares(findings, part, kind),
    )


def _kind(library: Library, findings: Findings, times: Times, part: Part) -> tuple[str, Reason]:
    known = findings.parts.get(part.ref)
    choice, decided = "", ""
    for ref in known.decisions if known else ():
        decision = library.decisions.get(ref.partition("/")[2])
        whole = decision is not None and part.ref in decision.about
        if decision is not None and whole and decision.choice:
            choice, decided = decision.choice, ref
            break
    if choice in CHOSEN:
        return CHOSEN[choice], Reason("O2", "A decision says so.", (decided,))
    if _off_then(library, times, part):
        return NOT_THEN, Reason("O1", "It was not fitted in the state that is shown.", (part.ref,))
    if choice in ("build", "build-provisionally"):
        return _new(findings, part), Reason("O4", "It is built new.", (decided,))
    if part.survives in ("whole", "fragment"):
        kind = STATUSES.get(part.status or "", UNDECIDED)
        if kind == IN_PLACE and part.survives == "fragment":
            kind = REPAIRED
        if kind == UNDECIDED and part.airframe in ("sister", "donor"):
            return ELSEWHERE, Reason("O5", "It comes from another aircraft.", (part.ref,))
        return kind, Reason("O3", "Its record says so.", (part.ref,))
    return UNDECIDED, Reason("O3", "No decision stands.", (part.ref,))


def _off_then(library: Library, times: Times, part: Part) -> bool:
    target = library.aircraft.target if library.aircraft else None
    if target is None:
        return False
    answers = {
        fitted_in(library, times.tightened, one, target) for one in assemblies(library, part)
    }
    return CANNOT in answers


def _new(findings: Findings, part: Part) -> str:
    known = findings.parts.get(part.ref)
    lead = findings.claims.get(known.lead) if known and known.lead else None
    rank = GRADES.index(lead.grade) if lead else len(GRADES)
    if rank <= GRADES.index("matched"):
        return COPIED
    return PICTURED if rank <= GRADES.index("seen") else CONJECTURAL


def _shares(findings: Findings, part: Part, kind: str) -> tuple[Share, ...]:
    extent = part.extent
    area = extent.area_m2 if extent else None
    mass = extent.mass_kg if extent else None
    pieces = len(part.members) or (extent.count if extent and extent.count else 1)
    survive = sum(member.survives is True for member in part.members)
    new = kind in (COPIED, PICTURED, CONJECTURAL)
    if survive and survive < len(part.members) and (new or kind in (IN_PLACE, REPAIRED)):
        made = kind if new else _new(findings, part)
        return (
            Share(IN_PLACE if new else kind, survive, None, mass),
            Share(made, pieces - survive, area, None),
        )
    return (Share(kind, pieces, area, mass),)
