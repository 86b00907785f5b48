"""What rests on a file that is damaged or gone: what names it, and the work it would carry."""

from __future__ import annotations

from archive.core.verdicts import Findings
from archive.reasoning.docket import CLEARED
from archive.records.library import Library


def resting_on(library: Library, findings: Findings, ref: str) -> tuple[str, ...]:
    """REFs of what rests on a whole record, claims first, then the parts that may be cut by them.

    After these come measurements, decisions, and whatever else names it. A record that is gone is
    still named by those that leaned on it.
    """
    claims = [claim for claim in findings.leaning.get(ref, ()) if claim in findings.claims]
    if ref in findings.parts:
        claims += [claim for claim in findings.claims if claim.startswith(f"{ref}#")]
    parts = dict.fromkeys(claim.partition("#")[0] for claim in claims)
    cut = [
        part
        for part in parts
        if part in findings.parts
        and (step := findings.parts[part].steps.get("cut")) is not None
        and step.verdict == CLEARED
    ]
    measured = [
        name
        for name, found in findings.measurements.items()
        if any(rests.partition("#")[0] == ref for rests in found.finding.rests_on)
    ]
    decided = [
        name
        for name, found in findings.decisions.items()
        if any(rests.partition("#")[0] in (ref, *parts) for rests in found.finding.rests_on)
    ]
    named = library.named_by.get(ref, ())
    return tuple(dict.fromkeys([*claims, *cut, *measured, *decided, *named]))
