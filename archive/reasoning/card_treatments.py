"""What a card for an original says of its treatments, and what of that has moved since.

The treatment is printed as it was signed: what is done and nothing else, what comes off and where
that is kept, how each hazard is met, and who signed. Its evidence is what was signed: the treatment
as proposed, the hazards, and the original as it was found (K14).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from archive.core.dates import show_bounds
from archive.core.findings import Reason
from archive.core.moved import Moved
from archive.core.verdicts import PartKnown, Standing
from archive.reasoning.canon import code
from archive.reasoning.decisions import as_signed
from archive.reasoning.docket import CLEARED, DONE
from archive.records.card import CardTreatment, Issue
from archive.records.library import Library
from archive.records.part import Part, Treatment


def treated(
    library: Library,
    part: Part,
    decisions: Mapping[str, Standing],
    known: PartKnown,
    names: Sequence[str],
) -> tuple[CardTreatment, ...]:
    """The lines of a card for treatments of a part, by name, without those that it has no more."""
    every = {one.id: one for one in part.treatments}
    return tuple(
        _line(library, part, every[name], decisions, known) for name in names if name in every
    )


def _line(
    library: Library,
    part: Part,
    treatment: Treatment,
    decisions: Mapping[str, Standing],
    known: PartKnown,
) -> CardTreatment:
    ref = f"{part.ref}#{treatment.id}"
    takes = "nothing" if treatment.takes_nothing else "not said"
    if treatment.removes:
        takes = f"{treatment.removes.what}; kept at {treatment.removes.kept_at}"
    undone = {True: "It can be undone.", False: "It can't be undone."}
    answers = (
        f"{_plain(one.hazard)}: {one.says}" + (f" ({one.licensed})" if one.licensed else "")
        for one in treatment.hazards
    )
    return CardTreatment(
        treatment=treatment.id,
        choice=treatment.choice,
        work=", ".join(_plain(one) for one in treatment.operations) or None,
        takes=takes,
        undone=undone.get(treatment.reversible) if treatment.reversible is not None else None,
        hazards="; ".join(answers) or None,
        signed="; ".join(_signatures(library, ref, decisions, known)) or None,
        evidence=code(as_signed(part, treatment)),
    )


def _signatures(
    library: Library, ref: str, decisions: Mapping[str, Standing], known: PartKnown
) -> Iterator[str]:
    """Who signed for a treatment on the evidence of today, in which role, and when."""
    for name in known.decisions:
        decision = library.decisions[name.partition("/")[2]]
        if ref not in (*decision.about, *decision.leans_on):
            continue
        for one in decision.approvals:
            if one.by in decisions[name].signed_by:
                yield f"{one.by}, {one.role}, {show_bounds(one.on, one.on)}"


def treatments_moved(
    part: Part, issue: Issue, now: Issue, known: PartKnown, worked: bool
) -> Iterator[Moved]:
    """What of a card's treatments is not as it was printed, and which may not be done any more.

    `worked` says that work by this card was noted on it.
    """
    today = {one.treatment: one for one in now.treatments}
    for old in issue.treatments:
        ref = f"{part.ref}#{old.treatment}"
        new = today.get(old.treatment)
        if new is None:
            reason = Reason("K14", "The treatment isn't in the record any more.", (part.ref,))
            yield Moved(ref, "treatment", _words(old), "", reason)
            continue
        says = "What is to be done to the original is not what was signed and printed."
        reason = Reason("K14", says, (ref,))
        if _words(old) != _words(new):
            yield Moved(ref, "treatment", _words(old), _words(new), reason)
        elif old.evidence != new.evidence:
            yield Moved(ref, "treatment", old.evidence or "", new.evidence or "", reason)
        if old.signed != new.signed:
            yield Moved(ref, "signed", old.signed or "", new.signed or "")
        yield from held_or_done(part, issue, known, ref, worked)


def held_or_done(
    part: Part, issue: Issue, known: PartKnown, ref: str, worked: bool
) -> Iterator[Moved]:
    """That a step, or a treatment (by its REF), is not cleared any more, or was carried out."""
    step = issue.step or ""
    finding = known.treatments.get(ref, known.steps[step])
    if finding.verdict == CLEARED:
        return
    for reason in finding.reasons[:1]:
        says = f"This step is held now: {reason.says}"
        if finding.verdict == DONE:
            says = f"This card is spent. {reason.says}"
        rests_on = (part.ref, *(r for r in reason.rests_on if r != part.ref))
        spent = finding.verdict == DONE and worked
        matters = None if spent else Reason("K3", says, rests_on)
        yield Moved(ref, step, CLEARED, finding.verdict, matters)


def _words(one: CardTreatment) -> str:
    """All that a card says of a treatment but the signatures."""
    said = (one.choice, one.work, f"takes off {one.takes}", one.undone, one.hazards)
    return "; ".join(word for word in said if word)


def _plain(word: str | None) -> str:
    return (word or "").replace("-", " ")
