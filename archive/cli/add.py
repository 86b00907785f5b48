"""`witnessmark add`: take pictures into the content folder, with proposed records beside them."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archive.cli.build import shown_progress
from archive.cli.check import count
from archive.cli.exits import (
    CONTENT,
    FINE,
    PROBLEMS,
    UNREADABLE,
    WRONG_USE,
    OneOf,
    content_folder,
    epilog,
    private_cache,
    stop,
    today,
    told,
)
from archive.cli.taking_back import undo

if TYPE_CHECKING:
    from archive.intake.take import Taken


def _kinds() -> Iterable[str]:
    from archive.records.photo import Photo
    from archive.records.spec import fields_of

    return fields_of(Photo)["shows_what"].choices


@click.command(epilog=epilog(FINE, PROBLEMS, WRONG_USE, UNREADABLE))
@click.argument("files", nargs=-1, metavar="FILES…", type=click.Path(path_type=Path))
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--source", metavar="ID", help="The source of all of them; made if it isn't there.")
@click.option(
    "--sheet",
    metavar="FILE.csv|.xlsx",
    type=click.Path(path_type=Path),
    help="Captions, one row a picture; without FILES, the pictures lie beside it.",
)
@click.option("--kind", type=OneOf(_kinds), help="What all of them are.")
@click.option("--as", "who", metavar="WHO", help="Who records: initials or id of people.yaml.")
@click.option("--held-too", is_flag=True, help="Add pictures that are held already all the same.")
@click.option("--no-compare", is_flag=True, help="Don't look for what shows the same.")
@click.option("--dry-run", is_flag=True, help="Write nothing: print what would be written.")
@click.option(
    "--undo",
    "run",
    metavar="[RUN]",
    is_flag=False,
    flag_value="",
    help="Take back what RUN added, the last run if left out, as far as it is unchanged.",
)
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def add(
    files: tuple[Path, ...],
    content: Path | None,
    source: str | None,
    sheet: Path | None,
    kind: str | None,
    who: str | None,
    held_too: bool,
    no_compare: bool,
    dry_run: bool,
    run: str | None,
    as_json: bool,
) -> None:
    """Take pictures in: a copy of each file, unchanged, and a note beside it to be filled in.

    FILES are pictures, or folders of them. What can't be known is left open, as a line that
    `check` tells until somebody has ticked it off; a date in a file is the scan's. Pictures that
    are held already are named and stay out. A bad file is told, and the others still come in;
    what comes in, comes in whole: all that a run writes, or nothing.
    """
    if run is not None:
        if files or source or sheet or kind or who or held_too or no_compare or dry_run:
            stop(WRONG_USE, "--undo takes a run back and adds nothing.", "Leave the rest out.")
        undo(content, run, as_json)
    if not files and sheet is None:
        stop(WRONG_USE, "There is nothing to add.", "Name a picture, a folder, or a sheet.")
    with told():
        from archive.intake.captions import read_captions
        from archive.intake.files import gather
        from archive.intake.take import Asked, take
        from archive.read.load import load
        from archive.read.walk import printable
        from archive.write.adding import add as add_to

        folder = content_folder(content)
        cache = private_cache(folder)
        loaded = load(folder, cache)
        library = loaded.library
        if who and library.person(who) is None:
            stop(WRONG_USE, f"Nobody called {who} stands in people.yaml.", "Add the person first.")
        captions = None
        if sheet is not None:
            if not sheet.is_file():
                stop(WRONG_USE, f"There is no sheet {sheet}.")
            captions = read_captions(sheet, printable(sheet.as_posix()))
        asked = Asked(today(), _source(source), kind, who or "", held_too, not no_compare)
        gathered = gather(files or _beside(sheet), folder)
        with shown_progress() as progress:
            if captions is not None and not captions.usable:
                _end(captions.problems, as_json)
            taken = take(gathered.files, captions, loaded, cache, asked, progress)
            taken.problems[:0] = [*gathered.problems, *(captions.problems if captions else ())]
            name = ""
            if taken.proposals and not dry_run:
                copies = [one.copy for one in taken.proposals]
                notes = [note for one in taken.proposals for note in one.notes]
                day = asked.on.isoformat()
                name = add_to(folder, copies, notes, day, progress).name
    _tell(taken, name, as_json, gathered.passed_over)


def _source(written: str | None) -> str:
    """The id of the source that was named."""
    from archive.read.values import NAME, plain_name
    from archive.records.schema import canonical_ref

    if not written:
        return ""
    ref = canonical_ref(written, ("sources",)) or ""
    kind, _, id_ = ref.partition("/")
    if kind != "sources" or not NAME.match(id_):
        hint = f"Write it as {plain_name(written.rpartition('/')[2])}."
        stop(WRONG_USE, f"“{written}” can't be the id of a source.", hint)
    return id_


def _beside(sheet: Path | None) -> list[Path]:
    return [sheet.parent] if sheet is not None else []


def _end(problems: list[Any], as_json: bool) -> None:
    """The sheet's headings are wrong: nothing was looked at, and nothing is written."""
    if as_json:
        _print({"run": None, "added": [], "held": [], "problems": [p.as_json() for p in problems]})
    for problem in () if as_json else problems:
        click.echo(problem, err=True)
    click.echo("Nothing was added: the sheet has to be mended first.", err=True)
    sys.exit(PROBLEMS)


def _print(plain: object) -> None:
    click.echo(json.dumps(plain, ensure_ascii=False, indent=2))


def _tell(taken: Taken, run: str, as_json: bool, passed_over: int) -> None:
    serious = [problem for problem in taken.problems if not problem.advice]
    if as_json:
        _print(_plain(taken, run))
        sys.exit(PROBLEMS if serious else FINE)
    for problem in taken.problems:
        click.echo(problem, err=True)
    for one, same, how in taken.held:
        click.echo(f"{one.told}: held already as {same} ({how}).")
    for proposal in taken.proposals:
        source = f", source {proposal.source}" if proposal.source else ""
        new = " (new)" if len(proposal.notes) > 1 else ""
        click.echo(f"{proposal.incoming.told} → photos/{proposal.photo}{source}{new}")
        for like in taken.like.get(proposal.incoming.path, ()):
            click.echo(f"    like {like.called}: {like.says}")
        if not run:
            _show(proposal)
    if passed_over:
        click.echo(f"{count(range(passed_over), 'file')} in the folders passed over: no pictures.")
    added = count(taken.proposals, "picture")
    left = f"; {count(serious, 'problem')}, left out" if serious else ""
    held = f"; {len(taken.held)} held already" if taken.held else ""
    if run:
        click.echo(f"Run {run}: {added} added{held}{left}.")
        click.echo(f"    Take it back with: witnessmark add --undo {run}")
    elif taken.proposals:
        click.echo(f"Nothing was written; {added} would be added{held}{left}.")
    else:
        click.echo(f"Nothing was added{held}{left}.")
    sys.exit(PROBLEMS if serious else FINE)


def _show(proposal: Any) -> None:
    """Exactly what would be written for one picture."""
    from archive.write.note import text_of

    copy = proposal.copy
    click.echo(f"  {copy.path}: an unchanged copy, {copy.bytes:,} bytes, sha256 {copy.sha256}")
    for note in proposal.notes:
        click.echo(f"  {note.path}:")
        for line in text_of(note).splitlines():
            click.echo(f"    | {line}".rstrip())


def _plain(taken: Taken, run: str) -> dict[str, object]:
    from archive.write.note import text_of

    return {
        "run": run or None,
        "added": [
            {
                "file": one.incoming.told,
                "photo": f"photos/{one.photo}",
                "source": f"sources/{one.source}" if one.source else None,
                "sha256": one.copy.sha256,
                "left_open": list(one.left_open),
                "like": [
                    {"as": like.called, "answer": like.answer}
                    for like in taken.like.get(one.incoming.path, ())
                ],
                "writes": {
                    one.copy.path: None,
                    **{note.path: text_of(note) for note in one.notes},
                },
            }
            for one in taken.proposals
        ],
        "held": [{"file": one.told, "same_as": same, "how": how} for one, same, how in taken.held],
        "problems": [problem.as_json() for problem in taken.problems],
    }
