"""`witnessmark build`: the offline site of a content folder."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archive.cli.audiences import recalls, view_for
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
    stop,
    today,
    told,
)

if TYPE_CHECKING:
    from archive.audience.view import View
    from archive.core.foresight import Change
    from archive.pipeline import Weighed


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
@click.option("--publish", is_flag=True, help="Record what the public's edition carried.")
@click.option("--to", "copies", multiple=True, metavar="WHO", help="With --publish: who gets it.")
def build(
    content: Path | None,
    audience: str,
    out: Path | None,
    as_of: date | None,
    publish: bool,
    copies: tuple[str, ...],
) -> None:
    """Make the offline site of CONTENT; open its index.html by double-click.

    Problems in the content are printed, and the site is made of all that could be read. Only what
    changed is made again, and the old site stands until the new one is whole.

    The public's is the visitors' edition: it holds only what may go on the web on the day. It is
    not made while rights contradict themselves, while a label says more than its grade, or while
    words of a withheld record stand in what the public would read (exit code 1). With --publish
    what it carried is recorded in publications/; each later build for the public names what
    editions that went out carried and may not be shown any more, and whom to tell.
    """
    if (publish and audience != "public") or (copies and not publish):
        hint = "Write it as: witnessmark build --for public --publish --to WHO"
        stop(WRONG_USE, "Only an edition for the public is published, and to somebody.", hint)
    day = as_of or today()
    with told():
        from archive.publish.inputs import fingerprint
        from archive.publish.memory import PageMemory
        from archive.publish.site import program_digest

        folder = content_folder(content)
        out = out or folder.resolve().parent / "build" / audience
        cache = private_cache(folder)
        inputs = fingerprint(folder, program_digest(), audience, day.isoformat(), str(out))
        memory = PageMemory(cache, out)
        if not publish and memory.nothing_changed(inputs):
            problems = _remembered(cache, out)
            if problems is not None:
                _tell(problems, f"Nothing changed. {out / 'index.html'}")
                sys.exit(PROBLEMS if problems else FINE)
        from archive.cli.last_build import remember_build, since_last_build
        from archive.pipeline import weigh
        from archive.publish.site import publish as make_site

        with shown_progress() as progress:
            weighed = weigh(
                folder,
                cache,
                as_of,
                clock=day,
                compare=None,
                progress=lambda done, total: progress("pictures compared", done, total),
            )
        standing = "An earlier one still stands there, with what it showed then."
        view = view_for(
            audience, weighed, day, "The public's site", standing if out.exists() else ""
        )
        with shown_progress() as progress:
            made = make_site(view, folder, weighed.pictures, out, cache, inputs, progress)
        went = _recorded(folder, view, made.build, copies) if publish else ""
    lines = [str(p) for p in (*weighed.problems, *made.problems) if not p.advice]
    _remember(cache, out, lines)
    _tell(lines, f"{made.made} pages made, {made.kept} kept. {out / 'index.html'}")
    if audience == "crew":
        _tell_moved(since_last_build(cache, weighed))
        remember_build(cache, weighed, day)
    if audience == "public":
        _tell_recalls(weighed, day)
    if went:
        click.echo(went)
    sys.exit(PROBLEMS if lines else FINE)


def _recorded(folder: Path, view: View, build: str, copies: tuple[str, ...]) -> str:
    """Record the edition in the content folder; gives where, in words."""
    from archive.audience.recalled import carried_by
    from archive.core.publications import Publication
    from archive.write.publications import keep_publication

    carried = carried_by(view)
    kept = keep_publication(
        folder, Publication("", view.as_of, view.audience, build, copies, carried)
    )
    whom = "; ".join(copies) or "nobody named yet: add them to `copies`"
    return f"Recorded in {kept.path}: {len(carried)} records and claims; copies: {whom}."


def _tell_moved(found: Change | None) -> None:
    """What has moved since the crew's site was built last, as far as a step turns on it."""
    if found is None or not found.moved:
        return
    matter = [line for line in found.moved if line.matters]
    click.echo(f"Since the last build {count(found.moved, 'line')} moved.")
    for line in matter:
        before, after = line.before or "nothing", line.after or "nothing"
        click.echo(f"  {line.ref}, {line.what}: {before} → {after}")
    if matter and len(matter) < len(found.moved):
        click.echo(f"  On the other {len(found.moved) - len(matter)} no step turns.")


def _tell_recalls(weighed: Weighed, day: date) -> None:
    """What earlier editions carried that this one doesn't, and whom to tell: all of it."""
    for one in recalls(weighed, day):
        if one.to_tell or one.moved:
            out = one.publication
            must = "must be corrected" if one.to_tell else "says otherwise than this one"
            click.echo(f"The edition of {out.on.isoformat()} {must} ({out.path}):")
            for ref, why in one.withdrawn:
                click.echo(f"  {ref}: {' '.join(reason.says for reason in why.reasons)}")
            for ref, says in one.labels:
                click.echo(f"  {ref}: {says}")
            for ref, then, now in one.moved:
                click.echo(f"  {ref}: was {then}, is {now}")
            click.echo(f"  Tell: {'; '.join(out.copies) or 'nobody is named'}.")


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
