"""What moves with the approvals of work: signatures that fall, and treatments that they allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from archive.core.findings import Reason
from archive.core.moved import Moved
from archive.core.verdicts import Findings, PartKnown, Standing
from archive.reasoning.docket import CLEARED, HOLD
from archive.records.library import Library


def letters(library: Library) -> Iterator[tuple[str, str]]:
    """Each decision that is signed by letter, with the letter's REF."""
    for decision in library.decisions.values():
        for letter in dict.fromkeys(approval.letter for approval in decision.approvals):
            if letter is not None:
                yield decision.ref, letter


def approvals_moved(
    before: Findings, decisions: Mapping[str, Standing], parts: Mapping[str, PartKnown]
) -> Iterator[Moved]:
    """Signatures that count no longer, or again, while the evidence that was signed stands; and,
    where a part has several, the treatments that go from cleared to hold or back.
    """
    for ref in sorted({*before.decisions} & {*decisions}):
        old, new = before.decisions[ref], decisions[ref]
        was, now = (", ".join(sorted(one.signed_by)) for one in (old, new))
        if was != now and old.evidence_state == new.evidence_state:
            falls = len(new.signed_by) < len(old.signed_by)
            says = "A signature counts no longer: its letter falls." if falls else ""
            says = says or "A signature counts again."
            yield Moved(ref, "signed", was, now, Reason("I4", says, (ref,)))
    for ref in sorted({*before.parts} & {*parts}):
        yield from _treatments(before.parts[ref], parts[ref])


def _treatments(before: PartKnown, after: PartKnown) -> Iterator[Moved]:
    if len(after.treatments) < 2:
        return
    for ref in sorted({*before.treatments} & {*after.treatments}):
        was, now = (known.treatments[ref].verdict for known in (before, after))
        if {was, now} == {CLEARED, HOLD}:
            says = f"Work on the original goes from {was} to {now}."
            yield Moved(ref, "original", was, now, Reason("I5", says, (ref,)))
