"""`witnessmark impact`: if a record falls, what falls with it, and what still stands."""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
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
from archive.core.rules import SUPPOSITIONS

if TYPE_CHECKING:
    from archive.core.foresight import Impact

TAKES = {"same-as": "=REF", "redated": "=DATE"}
WHAT = "  ".join(f"{what}{TAKES.get(what, '')}" for what in SUPPOSITIONS)


@click.command(
    epilog=epilog(FINE, WRONG_USE, UNREADABLE),
    help=f"""What moves if REF falls: before and after, line by line.

    REF is a photograph, a source, or any other record. Nothing is written: the same reasoning is
    run on changed records, and the findings are compared. --if WHAT says what is supposed of it:

    {WHAT}

    Left out, it is discredited; gone, where there is no source behind it. Rights touch use alone.
    """,
)
@click.argument("ref")
@click.option(
    "--if", "what", metavar="WHAT", help="What is supposed of it; discredited if left out."
)
@click.option("--as-of", type=Day(), help="The day asked about; today if left out.")
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print the impact as JSON.")
def impact(
    ref: str, what: str | None, as_of: date | None, content: Path | None, as_json: bool
) -> None:
    """What moves if REF falls."""
    what, _, other = (what or "").strip().replace(" ", "=", 1).partition("=")
    if what and what not in SUPPOSITIONS:
        stop(WRONG_USE, f"“{what}” can't be supposed.", f"Suppose one of these: {WHAT}")
    with told():
        from archive.pipeline import weigh
        from archive.reasoning.impact import impact as impact_of
        from archive.reasoning.supposing import CannotSuppose
        from archive.records.check_names import nearest
        from archive.records.schema import canonical_ref

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        name = canonical_ref(ref) or ref
        if weighed.library.get(name) is None:
            known = [record.ref for record in weighed.library.records]
            stop(WRONG_USE, f"There is no {ref}.", nearest(name, known))
        try:
            if what == "same-as":
                other = canonical_ref(other, (name.partition("/")[0],)) or other
            found = impact_of(weighed.library, weighed.findings, name, what, other, weighed.given)
        except CannotSuppose as error:
            stop(WRONG_USE, error.says, error.hint)
    if as_json:
        click.echo(json.dumps(found.as_json(), ensure_ascii=False, indent=2))
    else:
        _print(found)
    sys.exit(FINE)


def _print(found: Impact) -> None:
    click.echo(f"{found.ref}: {found.finding.verdict}")
    click.echo(f"    If: {found.supposed}")
    for line in found.moved:
        before, after = line.before or "nothing", line.after or "nothing"
        click.echo(f"  {line.ref}, {line.what}: {before} → {after}")
        if line.matters:
            click.echo(f"       [{line.matters.rule}] {line.matters.says}")
    if found.stands:
        click.echo("  Still stands without it:")
        for ref in found.stands:
            click.echo(f"       {ref}")
    if found.beside:
        click.echo("  Look at what is beside it:")
        for one in found.beside:
            click.echo(f"       {one.part} {one.how} {one.other}")
    if found.told_in:
        click.echo("  Told in:")
        for ref in found.told_in:
            click.echo(f"       {ref}{', on its label' if ref.startswith('parts/') else ''}")
