"""`witnessmark state`: keep the findings of today under a name, or compare with those kept."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
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

if TYPE_CHECKING:
    from archive.core.foresight import Change


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE))
@click.argument("name", required=False)
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--as-of", type=Day(), help="The day it is kept on; today if left out.")
@click.option("--replace", "over", is_flag=True, help="Write over a state of the same name.")
@click.option(
    "--changes",
    is_flag=True,
    help="Write nothing: say what has moved since NAME, or since the crew's site was built last.",
)
@click.option("--to", "until", metavar="OTHER", help="With --changes: up to OTHER, not to today.")
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def state(
    name: str | None,
    content: Path | None,
    as_of: date | None,
    over: bool,
    changes: bool,
    until: str | None,
    as_json: bool,
) -> None:
    """Keep the findings of today as NAME, in states/NAME.yaml; the site then shows what has moved.

    Kept are grades, sizes with their errors, counts of witnesses, choices, clearances, cards, and
    days: never prose.
    """
    with told():
        from archive.cli.last_build import since_last_build
        from archive.core.atomic import CannotWrite
        from archive.pipeline import weigh
        from archive.reasoning.foresee import change
        from archive.reasoning.foresee import today as findings_of_today
        from archive.write.states import keep_state

        folder = content_folder(content)
        cache = private_cache(folder)
        weighed = weigh(folder, cache, as_of, clock=today())
        now = findings_of_today(weighed.library, weighed.findings)
        known = {kept.name: kept for kept in weighed.states}
        if not name:
            if not changes or until:
                stop(WRONG_USE, "The state has no name.", "Write it as: witnessmark state NAME")
            found = since_last_build(cache, weighed)
            if found is None:
                hint = "Build it once: witnessmark build"
                stop(WRONG_USE, "No build of the crew's site is remembered here.", hint)
            _tell(found, as_json)
            sys.exit(FINE)
        if changes or until:
            for asked in (name, until):
                if asked and asked not in known:
                    names = ", ".join(known) or "none is kept yet"
                    stop(WRONG_USE, f"There is no state called {asked}.", f"States: {names}")
            _tell(change(weighed.library, known[name], known[until] if until else now), as_json)
            sys.exit(FINE)
        kept = replace(now, name=name, on=as_of or today())
        try:
            path = keep_state(folder, kept, replace=over)
        except CannotWrite as error:
            stop(WRONG_USE, error.says, error.hint)
    if as_json:
        plain = {"name": name, "claims": len(kept.claims), "path": path.as_posix()}
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
    else:
        click.echo(f"{path}: {len(kept.claims)} claims, {len(kept.decisions)} decisions.")
    sys.exit(FINE)


def _tell(found: Change, as_json: bool) -> None:
    until = found.until or "today"
    if as_json:
        lines = [line.as_json() for line in found.moved]
        plain = {"since": found.since, "until": until, "rules": list(found.rules), "moved": lines}
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
        return
    click.echo(f"From {found.since} to {until}: {len(found.moved) or 'no'} lines moved.")
    if found.rules[0] != found.rules[1]:
        click.echo("    The rules have changed too: grades may have moved for that alone.")
    for line in found.moved:
        before, after = line.before or "nothing", line.after or "nothing"
        click.echo(f"  {line.ref}, {line.what}: {before} → {after}")
        if line.matters:
            click.echo(f"       [{line.matters.rule}] {line.matters.says}")
