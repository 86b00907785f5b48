"""`witnessmark check`: every problem of a content folder, with its place."""

from __future__ import annotations

import json
import sys
from collections.abc import Sized
from datetime import date
from pathlib import Path

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    PROBLEMS,
    UNREADABLE,
    WRONG_USE,
    Day,
    content_folder,
    epilog,
    private_cache,
    today,
    told,
)


@click.command(epilog=epilog(FINE, PROBLEMS, WRONG_USE, UNREADABLE))
@click.argument("content", type=CONTENT, required=False)
@click.option("--as-of", type=Day(), help="The day asked about; today if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print the problems as JSON.")
def check(content: Path | None, as_of: date | None, as_json: bool) -> None:
    """Name every problem in CONTENT, with its place and a way to mend it.

    CONTENT is the folder with aircraft.yaml in it; ./content where it is left out. Advice is
    printed too, but only problems make the exit code 1.
    """
    day = as_of or today()
    with told():
        from archive.audience.recalled import recall_advice
        from archive.cli.audiences import recalls
        from archive.pipeline import weigh

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=day)
        told_of = recall_advice(recalls(weighed, day))
    problems = sorted((*weighed.problems, *told_of))
    serious = [problem for problem in problems if not problem.advice]
    if as_json:
        click.echo(json.dumps([p.as_json() for p in problems], ensure_ascii=False, indent=2))
    else:
        for problem in problems:
            click.echo(str(problem))
        records = sum(1 for _ in weighed.library.records)
        advice = len(problems) - len(serious)
        click.echo(f"{records} records: {count(serious, 'problem')}, {advice} advice.")
    sys.exit(PROBLEMS if serious else FINE)


def count(items: Sized, word: str) -> str:
    """A number and its noun.

    >>> count([1], "problem"), count([], "problem")
    ('1 problem', 'no problems')
    """
    number = len(items)
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"
