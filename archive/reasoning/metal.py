"""How metal is taken: what survives, whose it is, whether it was there, and how near it stands."""

from __future__ import annotations

from archive.core.verdicts import GRADES, Measured
from archive.reasoning.ground import Ground
from archive.reasoning.states import CANNOT, MAY, MUST, fitted_in, together
from archive.reasoning.taking import MATCHED, NONE, ON, SAID, SEEN, Taking, lower
from archive.reasoning.trust import unreliable_part
from archive.records.claim import AgreesWith, Claim, Evidence
from archive.records.library import Library
from archive.records.part import Part

SURVIVES = ("whole", "fragment")


def metal(ground: Ground, part: Part, claim: Claim, item: Evidence, named: str) -> Taking:
    """How the surviving part that `named` (a REF, perhaps of one of its claims) names is taken."""
    library = ground.library
    whole = named.partition("#")[0]
    piece = library.parts.get(whole.partition("/")[2])
    if piece is None:
        return Taking(NONE, "G1", "The part named is not in the record.")
    why = unreliable_part(ground, piece)
    if why:
        return Taking(NONE, "G25", f"“{piece.title}” can't be relied on: {why}.")
    if not _survives(piece):
        return Taking(NONE, "G1", f"Nothing survives of “{piece.title}”.")
    barred = _not_ours(library, part, piece)
    if barred:
        return barred
    if piece.airframe in ("sister", "donor"):
        taking = tried(ground, claim, item, f"“{piece.title}” is from a {piece.airframe}")
    elif piece.airframe == "unknown" or piece.status == "unknown":
        taking = Taking(SAID, "G16", f"Nobody knows which aircraft “{piece.title}” came from.")
    else:
        taking = _in_its_time(ground, part, piece, claim, _place(part, piece, item))
    if "#" in named and taking.cap:
        grade = ground.grades.get(named, GRADES[-1])
        if lower(taking.cap, grade) != taking.cap:
            says = f"{taking.says} What is claimed of it here is {grade} itself."
            return Taking(grade, "G1", says, taking.firm)
    return taking


def assemblies(library: Library, part: Part) -> tuple[Part, ...]:
    """A part and the assemblies that it belongs to, inmost first; circles are walked once."""
    chain = [part]
    seen = {part.id}
    while chain[-1].assembly:
        above = library.parts.get(chain[-1].assembly.partition("/")[2])
        if above is None or above.id in seen:
            break
        seen.add(above.id)
        chain.append(above)
    return tuple(chain)


def tried(ground: Ground, claim: Claim, item: Evidence, who: str) -> Taking:
    """A sister's part or a drawing: what a trial on this airframe makes of it (G3)."""
    told = "no trial on this airframe is recorded"
    for trial in item.agrees_with:
        if (trial.record or "").startswith("measurements/"):
            told = _not_as_measured(claim, item, ground.measured.get(trial.record or ""))
            if told:
                continue
            says = f"{who}, and it agrees with what was measured on this airframe: {trial.how}"
            return Taking(MATCHED, "G3", says)
        against = _tried_on(ground.library, trial)
        if against is None:
            told = f"it was tried on {trial.record}, which is no original metal of this airframe"
            if (trial.record or "").startswith("photos/"):
                told = "it is set beside a photograph of this airframe, not beside a measurement"
            continue
        loose = _too_loose(claim, item, trial)
        if loose:
            told = loose
            continue
        says = (
            f"{who}, and {trial.by} tried it on {against}, which is of this airframe: {trial.how}"
        )
        return Taking(MATCHED, "G3", says)
    return Taking(SAID, "G3", f"{who}; {told}.")


def _not_as_measured(claim: Claim, item: Evidence, found: Measured | None) -> str:
    """Why a size doesn't agree with one measured on a photograph of this airframe; "" if it does.

    It agrees within the measurement's own 95 % half-width, which is no wider than the tolerance.
    """
    if found is None or found.value_mm is None or found.half95_mm is None:
        return "the measurement that it is set beside gives no figure"
    if item.value is None:
        return "it gives no figure to set beside the measurement"
    if claim.tolerance is None or found.half95_mm > claim.tolerance.mm:
        return "the measurement that it is set beside is coarser than the job needs"
    if abs(item.value.mm - found.value_mm) > found.half95_mm:
        return "it differs from what was measured on this airframe"
    return ""


def _tried_on(library: Library, trial: AgreesWith) -> str | None:
    """What of this airframe's own metal a trial was made on, in words; None where it was none."""
    kind, _, rest = (trial.record or "").partition("/")
    if kind == "parts":
        part = library.parts.get(rest.partition("#")[0])
    elif kind == "surveys":
        found = library.get(trial.record or "")
        named = getattr(found, "part", None)
        part = library.parts.get(named.partition("/")[2]) if named else None
    else:
        return None
    return f"“{part.title}”" if part is not None and original_metal(part) else None


def original_metal(part: Part) -> bool:
    """Is a part the maker's own metal of this airframe, so that a trial can be made on it?"""
    if not _survives(part) or part.airframe not in (None, "this"):
        return False
    return part.origin in (None, "maker") and part.status not in ("not-ours", "quarantine")


def _too_loose(claim: Claim, item: Evidence, trial: AgreesWith) -> str:
    if claim.aspect not in ("size", "position") or claim.tolerance is None:
        return ""
    if trial.within is None:
        return "nobody says how closely the trial agreed"
    needed = claim.tolerance.mm
    own = item.value.half95_mm if item.value and item.value.half95_mm is not None else 0.0
    if max(trial.within.mm, own) > needed:
        return f"it agreed within {trial.within.text}, and the job needs {claim.tolerance.text}"
    return ""


def _survives(piece: Part) -> bool:
    if piece.members:
        return any(member.survives for member in piece.members)
    return piece.survives in SURVIVES


def _not_ours(library: Library, part: Part, piece: Part) -> Taking | None:
    """Metal that is no evidence for the part, whoever's it is (G17)."""
    name = f"“{piece.title}”"
    if piece.origin == "ours":
        return Taking(NONE, "G17", f"{name} is our own work.")
    if piece.status in ("not-ours", "quarantine"):
        return Taking(NONE, "G17", f"{name} is set aside: {piece.status.replace('-', ' ')}.")
    if piece.id == part.id:
        return None
    if piece.origin == "earlier-restoration":
        return Taking(NONE, "G17", f"{name} is an earlier restorer's work, not the maker's.")
    for above in assemblies(library, piece):
        if above.id != part.id and _took_the_place(library, above, part):
            says = (
                f"{name} was put on in place of this part: it says nothing of what was there "
                "before."
            )
            return Taking(NONE, "G17", says)
    return None


def _took_the_place(library: Library, piece: Part, part: Part) -> bool:
    """Did a part, or one before it, take the place of the other?"""
    seen: set[str] = set()
    step: Part | None = piece
    while step is not None and step.replaces and step.id not in seen:
        seen.add(step.id)
        if step.replaces.partition("/")[2] == part.id:
            return True
        step = library.parts.get(step.replaces.partition("/")[2])
    return False


def _in_its_time(ground: Ground, part: Part, piece: Part, claim: Claim, taking: Taking) -> Taking:
    """The same, once asked whether the metal was on the aircraft at the time of the claim."""
    library, tightened = ground.library, ground.times.tightened
    whole = assemblies(library, piece)
    answers = [fitted_in(library, tightened, one, claim.configuration) for one in whole]
    if claim.configuration is None and piece.id != part.id:
        answers += [together(tightened, one, part) for one in whole]
    name = library.title(claim.configuration) if claim.configuration else "the time of this part"
    if CANNOT in answers:
        return Taking(NONE, "G17", f"“{piece.title}” was not on the aircraft in “{name}”.")
    if MAY in answers:
        says = f"“{piece.title}” may or may not have been on the aircraft in “{name}”."
        return Taking(lower(taking.cap, SEEN), "G17", says, firm=False)
    assert set(answers) <= {MUST}
    return taking


def _place(part: Part, piece: Part, item: Evidence) -> Taking:
    """How near a surviving piece stands to the part that the claim is about (G1, G2)."""
    if piece.id == part.id or piece.assembly == part.ref:
        return Taking(ON, "G1", f"“{piece.title}” survives on this airframe.", clear=True)
    if item.witness_mark:
        says = f"The part left its mark on “{piece.title}”, which survives on this airframe."
        return Taking(ON, "G1", says, clear=True)
    mates = {part.opposite, *part.mates, *part.attaches, *part.moves_with}
    if piece.ref in mates or part.ref in {piece.opposite, *piece.mates, *piece.attaches}:
        word = "the opposite hand" if piece.ref == part.opposite else "a mate"
        return Taking(MATCHED, "G2", f"“{piece.title}”, {word}, survives on this airframe.")
    return Taking(
        SAID, "G3", f"“{piece.title}” is another part of this airframe: an analogy, no more."
    )
