"""`witnessmark sign`: put a name under a decision, pinned to the evidence of the day."""

from __future__ import annotations

import dataclasses
import sys
from datetime import date
from pathlib import Path
from typing import Any

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    NOT_CLEARED,
    UNREADABLE,
    WRONG_USE,
    Day,
    content_folder,
    epilog,
    private_cache,
    stop,
    today,
    told,
)


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE, NOT_CLEARED))
@click.argument("ref")
@click.option("--as", "who", required=True, help="Who signs: initials or id of people.yaml.")
@click.option("--letter", help="The letter that it came by, a source.")
@click.option("--on", "day", type=Day(), help="The day of the signature; today if left out.")
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
def sign(ref: str, who: str, letter: str | None, day: date | None, content: Path | None) -> None:
    """Sign the decision REF, pinned to the evidence as it stands: if that moves, it reopens.

    One line is added to the decision's file; all others stay as they are. A superseded decision is
    not signed, nor one of which lines can't be read, nor is any on a day still to come. Owner,
    lender and museum sign by letter, or whoever policy.yaml names.
    """
    if day is not None and day > today():
        hint = "A signature counts from its day on. Check the year, or sign when the day has come."
        stop(WRONG_USE, f"{day} is still to come.", hint)
    with told():
        from archive.pipeline import weigh
        from archive.reasoning.decisions import SUPERSEDED
        from archive.records.check_names import nearest
        from archive.records.decision import Approval
        from archive.records.policy import needs_letter
        from archive.records.schema import canonical_ref
        from archive.records.source import Source
        from archive.write.edit import add_item

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), clock=today())
        library = weighed.library
        name = canonical_ref(ref, ("decisions",)) or ref
        standing = weighed.findings.decisions.get(name)
        if standing is None:
            known = nearest(name, list(weighed.findings.decisions))
            stop(WRONG_USE, f"{ref} is no decision.", known)
        decision = library.decisions[name.partition("/")[2]]
        person = library.person(who)
        if person is None:
            stop(WRONG_USE, f"Nobody called {who} stands in people.yaml.", "Add the person first.")
        kept = canonical_ref(letter, ("sources",)) if letter else None
        if letter and not isinstance(library.get(kept or ""), Source):
            hint = nearest(kept or letter, [source.ref for source in library.sources.values()])
            stop(WRONG_USE, f"There is no source {letter}.", hint)
        if not kept and needs_letter(library.policy, person.role):
            hint = "Keep the letter as a source, and name it: --letter sources/ID"
            stop(NOT_CLEARED, f"The {person.role} signs by letter, and none is named.", hint)
        if standing.state == SUPERSEDED:
            hint = f"Sign {standing.superseded_by}, which took its place."
            stop(NOT_CLEARED, f"{name} is superseded.", hint)
        if decision.lost or any(one.lost for one in decision.approvals):
            hint = "Mend it first: `witnessmark check` says what is wrong."
            stop(NOT_CLEARED, f"Lines of {decision.path} can't be read.", hint)
        initials = person.initials or person.id
        mine = [
            one
            for one in decision.approvals
            if library.person(one.by) == person and not (one.on and one.on > today())
        ]
        if mine and mine[-1].state == standing.evidence_state:
            click.echo(f"{initials} has signed this evidence already, on {mine[-1].on}.")
            sys.exit(FINE)
        on = day or today()
        approval = Approval(
            by=initials,
            on=on,
            role=person.role or "signed",
            state=standing.evidence_state,
            letter=kept,
        )
        item = {
            "by": initials,
            "on": on.isoformat(),
            "role": approval.role or "",
            "state": standing.evidence_state,
            **({"letter": kept} if kept else {}),
        }

        def signed(before: Any) -> Any:
            return dataclasses.replace(before, approvals=(*before.approvals, approval))

        add_item(folder, decision, "approvals", item, signed)
    click.echo(f"{name}: {initials}, {approval.role}, signed evidence {approval.state} on {on}.")
    sys.exit(FINE)
