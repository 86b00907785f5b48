"""`witnessmark build`: the offline site of a content folder."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import click

from archive.cli.audiences import view_for
from archive.cli.check import count
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
    told,
)


@click.command(epilog=epilog(FINE, PROBLEMS, WRONG_USE, UNREADABLE))
@click.argument("content", type=CONTENT, required=False)
@click.option(
    "--for",
    "audience",
    type=click.Choice(["crew", "public"]),
    default="crew",
    show_default=True,
    help="Whom the site is for: the crew, or visitors.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="The site's folder; build/AUDIENCE beside the content folder if left out.",
)
@click.option("--as-of", type=Day(), help="The day that the pages speak of; today if left out.")
def build(content: Path | None, audience: str, out: Path | None, as_of: date | None) -> None:
    """Make the offline site of CONTENT; open its index.html by double-click.

    Problems in the content are printed, and the site is made of all that could be read. Only what
    changed is made again, and the old site stands until the new one is whole.

    The public's is the visitors' edition: it holds only what may go on the web on the day. It is
    not made while rights contradict themselves, while a label says more than its grade, or while
    words of a withheld record stand in what the public would read (exit code 1).
    """
    day = as_of or date.today()
    with told():
        from archive.publish.inputs import fingerprint
        from archive.publish.memory import PageMemory
        from archive.publish.site import program_digest

        folder = content_folder(content)
        out = out or folder.resolve().parent / "build" / audience
        cache = private_cache(folder)
        inputs = fingerprint(folder, program_digest(), audience, day.isoformat(), str(out))
        memory = PageMemory(cache, out)
        if memory.nothing_changed(inputs):
            problems = _remembered(cache, out)
            if problems is not None:
                _tell(problems, f"Nothing changed. {out / 'index.html'}")
                sys.exit(PROBLEMS if problems else FINE)
        from archive.pipeline import weigh
        from archive.publish.site import publish

        with shown_progress() as progress:
            weighed = weigh(
                folder,
                cache,
                compare=None,
                progress=lambda done, total: progress("pictures compared", done, total),
            )
        standing = "An earlier one still stands there, with what it showed then."
        view = view_for(
            audience, weighed, day, "The public's site", standing if out.exists() else ""
        )
        with shown_progress() as progress:
            made = publish(view, folder, weighed.pictures, out, cache, inputs, progress)
    lines = [str(p) for p in (*weighed.problems, *made.problems) if not p.advice]
    _remember(cache, out, lines)
    _tell(lines, f"{made.made} pages made, {made.kept} kept. {out / 'index.html'}")
    sys.exit(PROBLEMS if lines else FINE)


def _tell(problems: list[str], says: str) -> None:
    for problem in problems:
        click.echo(problem, err=True)
    if problems:
        click.echo(
            f"{count(problems, 'problem')} in the content; the rest is in the site.", err=True
        )
    click.echo(says)


def _notes(cache: Path, out: Path) -> Path:
    import hashlib
    import os

    name = hashlib.sha256(os.fsencode(os.path.realpath(out))).hexdigest()[:16]
    return cache / f"problems-{name}.json"


def _remember(cache: Path | None, out: Path, problems: list[str]) -> None:
    import json

    from archive.core.atomic import CannotWrite, write_file

    if cache is None:
        return
    try:
        write_file(_notes(cache, out), json.dumps(problems), private=True)
    except CannotWrite:
        return


def _remembered(cache: Path | None, out: Path) -> list[str] | None:
    import json

    if cache is None:
        return None
    try:
        found = json.loads(_notes(cache, out).read_text("utf-8"))
    except (OSError, ValueError):
        return None
    return [str(line) for line in found] if isinstance(found, list) else None


@contextmanager
def shown_progress() -> Iterator[Callable[[str, int, int], None]]:
    """A progress display on a terminal; silence in a pipe."""
    if not sys.stderr.isatty():
        yield lambda what, done, total: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bars:
        tasks = {}

        def tell(what: str, done: int, total: int) -> None:
            if what not in tasks:
                tasks[what] = bars.add_task(what, total=total)
            bars.update(tasks[what], completed=done, total=total)

        yield tell
