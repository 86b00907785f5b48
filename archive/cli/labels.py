"""`witnessmark labels`: the museum's labels on sheets to be cut, as one tagged PDF."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from archive.cli.audiences import view_for
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
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    help="The file to write; nothing is written over.",
)
@click.option("--language", metavar="TAG", default="", help="Such as de; the records' own if none.")
@click.option("--as-of", type=Day(), help="The day it is made for; today if left out.")
def labels(content: Path | None, out: Path, language: str, as_of: date | None) -> None:
    """Set the labels of CONTENT on sheets to be cut, as a tagged PDF.

    Under each stand its word count and the sentence that its grade allows it to begin with. None
    are made while one says more than its grade (exit code 1).
    """
    with told():
        from archive.pipeline import weigh
        from archive.publish.handover import write_one
        from archive.publish.labels import set_labels

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        view = view_for("public", weighed, as_of or today(), "The sheet of labels")
        data, number = set_labels(view, language)
        write_one(out, data)
    click.echo(f"{out}: {number} {'label' if number == 1 else 'labels'}.")
    sys.exit(FINE)
