"""`witnessmark why`: the numbered reasons behind a claim, a decision, a witness or a day."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    NOT_CLEARED,
    UNREADABLE,
    WRONG_USE,
    Day,
    OneOf,
    content_folder,
    epilog,
    private_cache,
    stop,
    today,
    told,
)

if TYPE_CHECKING:
    from archive.core.findings import Finding
    from archive.core.permissions import Permission
    from archive.core.verdicts import Findings


def _uses() -> Iterable[str]:
    from archive.records.source import USES

    return USES


CAUTION = "Display only; figures are never approved data for flight."


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE, NOT_CLEARED))
@click.argument("ref")
@click.option("--use", type=OneOf(_uses), help="Ask whether REF may be put to this use.")
@click.option("--as-of", type=Day(), help="The day asked about; today if left out.")
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print the finding as JSON.")
def why(ref: str, use: str | None, as_of: date | None, content: Path | None, as_json: bool) -> None:
    """Why REF stands as it does: its verdict, and the numbered reasons with what they rest on.

    REF is a claim (`parts/nose-bowl#rivet-pitch`), a part (what it is cleared for), a treatment of
    an original (`parts/nose-bowl#straighten`), a decision, a zone (`zones/700`), a photograph (what
    it counts as one witness with, whether it agrees with the metal, and when it was taken), a
    source (what it counts as one witness with), or an event (when it happened). Of other records
    nothing is concluded. Problems in the records leant on are printed below the reasons. Of a claim
    it also says what would lift it.

    With --use it answers another question of a photograph or a source: may we show it so? What is
    not said to be allowed is withheld (exit code 5).
    """
    if use is not None:
        _may_we(ref, use, as_of or today(), content, as_json)
    with told():
        from archive.cli.records_asked import leant_on, names, recorded
        from archive.pipeline import weigh
        from archive.reasoning.lift import lift_of
        from archive.records.check_names import nearest
        from archive.records.schema import canonical_ref

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        name = canonical_ref(ref) or ref
        library = weighed.library
        findings = findings_for(weighed.findings, name) or recorded(library, name)
        if not findings:
            stop(WRONG_USE, f"There is no {ref}.", nearest(name, names(library)))
        faults = [
            [p for p in weighed.problems if not p.advice and p.where.path in paths]
            for paths in (leant_on(library, name, finding) for _, finding in findings)
        ]
        steps = lift_of(library, weighed.findings, name, weighed.given)
    caution = CAUTION if name.startswith("parts/") else ""
    if as_json:
        plain = [
            {"asks": asks, **finding.as_json(), "problems": [p.as_json() for p in problems]}
            | ({"caution": caution} if caution else {})
            for (asks, finding), problems in zip(findings, faults, strict=True)
        ]
        dated = weighed.findings.dates.get(name)
        if dated is not None:
            every = sorted({problem for problems in faults for problem in problems})
            about = {"dated": dated.as_json(), "problems": [p.as_json() for p in every]}
            metal = weighed.findings.agreement(name)
            plain = [plain[0] | about | ({"metal": metal[1].finding.as_json()} if metal else {})]
        if name in weighed.findings.claims:
            plain[0]["lifts"] = [step.as_json() for step in steps]
        if name in weighed.findings.estimates:
            plain[0]["estimate"] = weighed.findings.estimates[name].as_json()
        click.echo(json.dumps(plain[0] if len(plain) == 1 else plain, ensure_ascii=False, indent=2))
    else:
        for asks, finding in findings:
            _tell(asks, finding)
        if name in weighed.findings.estimates:
            _tell("What its figures come to", weighed.findings.estimates[name].finding)
        if steps:
            click.echo("What would lift it, the cheapest first:")
        for step in steps:
            click.echo(f"  [{step.rule}] {step.asks}\n       → {step.outcome}")
        told_of = sorted({problem for problems in faults for problem in problems})
        if told_of:
            click.echo("Problems in the records leant on:")
        for problem in told_of:
            click.echo(str(problem))
        if caution:
            click.echo(caution)
    sys.exit(FINE)


def _may_we(ref: str, use: str, as_of: date, content: Path | None, as_json: bool) -> NoReturn:
    """Answer whether REF may be put to a use on a day: 0 permitted, 5 withheld."""
    with told():
        from archive.cli.records_asked import names
        from archive.read.load import load
        from archive.reasoning.rights import permission
        from archive.records.check_names import nearest
        from archive.records.schema import canonical_ref

        folder = content_folder(content)
        library = load(folder, private_cache(folder)).library
        name = (canonical_ref(ref) or ref).partition("#")[0]
        if library.get(name) is None:
            stop(WRONG_USE, f"There is no {ref}.", nearest(name, names(library)))
        if not name.startswith(("photos/", "sources/")):
            hint = "Ask it of a photograph or a source."
            stop(WRONG_USE, f"No rights are recorded for {name}.", hint)
        found = permission(library, name, use, as_of)
    if as_json:
        click.echo(json.dumps(found.as_json(), ensure_ascii=False, indent=2))
    else:
        _tell_use(found)
    sys.exit(FINE if found.permitted else NOT_CLEARED)


def _tell_use(found: Permission) -> None:
    _tell(f"{found.ref}, {found.use}", found.finding)
    if not found.permitted:
        return
    if found.credit:
        click.echo(f"Credit line: {found.credit}")
    click.echo(f"May be cropped: {'yes' if found.crop else 'no'}")
    click.echo(f"May be drawn on: {'yes' if found.overprint else 'no'}")
    if found.until:
        click.echo(f"Until: {found.until}")
    for condition in found.conditions:
        click.echo(condition)
    for owed in found.owed:
        click.echo(f"Owed: {owed.says}" + (f" (settled {owed.settled})" if owed.settled else ""))


def _tell(asks: str, finding: Finding) -> None:
    click.echo(f"{asks}: {finding.verdict}")
    for number, reason in enumerate(finding.reasons, 1):
        rule = f"[{reason.rule}] " if reason.rule else ""
        click.echo(f"  {number}. {rule}{reason.says}")
        for record in reason.rests_on:
            click.echo(f"       {record}")


def findings_for(findings: Findings, ref: str) -> list[tuple[str, Finding]]:
    """What was found about a canonical REF: (what is asked, finding); empty where it is unknown."""
    if ref in findings.claims:
        graded = findings.claims[ref]
        asks = f"{ref}, evidence {graded.state}"
        if graded.not_settled:
            asks += ", not settled"
        return [(asks, graded.finding)]
    if ref in findings.parts:
        return [(f"{ref}, {step}", found) for step, found in findings.parts[ref].steps.items()]
    of_part = findings.parts.get(ref.partition("#")[0])
    if of_part is not None and ref in of_part.treatments:
        return [(f"{ref}, original", of_part.treatments[ref])]
    if ref in findings.decisions:
        standing = findings.decisions[ref]
        return [(f"{ref}, evidence {standing.evidence_state}", standing.finding)]
    if ref.startswith("zones/") and ref.partition("/")[2] in findings.zones:
        return [(ref, findings.zones[ref.partition("/")[2]].finding)]
    if ref in findings.group_of:
        group = findings.groups[findings.group_of[ref]]
        counted = (f"{ref}, {len(group.members)} items", group.finding)
        if group.beside:
            counted = (counted[0], replace(counted[1], reasons=counted[1].reasons + group.beside))
        metal = findings.agreement(ref)
        agrees = [(f"{ref}, by {metal[0]}", metal[1].finding)] if metal else []
        return [counted, *agrees, *_dated(findings, ref)]
    return _dated(findings, ref)


def _dated(findings: Findings, ref: str) -> list[tuple[str, Finding]]:
    """When something happened, its states, and what was not used; empty for what has no day."""
    from archive.core.findings import Finding

    dated = findings.dates.get(ref)
    if dated is None:
        return []
    found = [
        (f"{ref}, taken" if ref.startswith("photos/") else f"{ref}, happened", one)
        for one in (dated.earliest_finding, dated.latest_finding)
    ]
    found += [(f"{ref}, in {state}", one) for state, one in dated.states.items()]
    if dated.told:
        found.append((f"{ref}, said of its day", Finding("not used", dated.told)))
    return found
