"""`witnessmark report`: the restoration report, as one tagged PDF."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from archive.audience.view import View
    from archive.pipeline import Weighed


@click.command(epilog=epilog(FINE, PROBLEMS, WRONG_USE, UNREADABLE))
@click.argument("content", type=CONTENT, required=False)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    help="The file to write; nothing is written over.",
)
@click.option(
    "--for",
    "audience",
    type=click.Choice(["public", "record"]),
    default="public",
    show_default=True,
    help="Whom it is for: anybody, or the record's own keepers, who get sealed records too.",
)
@click.option("--as-of", type=Day(), help="The day it speaks of; today if left out.")
def report(content: Path | None, out: Path, audience: str, as_of: date | None) -> None:
    """Set the restoration report of CONTENT as a tagged PDF (PDF/UA-1).

    It tells the aircraft's history and states, how the evidence was weighed, every part with its
    claims, every decision with its reasons and dissent, the registers, hazards, open questions,
    the numbered sources and an index. Display only.

    The public's holds only what may go on the web on the day, and is not made where the public's
    site would not be (exit code 1). The record's ends with the sums of all files.
    """
    with told():
        from archive.pipeline import weigh
        from archive.publish.handover import write_one

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        view = view_for(audience, weighed, as_of or today(), "The public's report")
        data = report_of(weighed, view)
        write_one(out, data)
    click.echo(f"{out}: {len(data):,} bytes.")
    sys.exit(FINE)


def report_of(weighed: Weighed, view: View) -> bytes:
    """The report's PDF; for the record's keepers with the sums of all the files that they have."""
    from archive.publish.report import set_report

    files = files_in(weighed.folder) if view.audience == "record" else {}
    return set_report(view, weighed.pictures, sums_of(files), private_cache(weighed.folder))


def files_in(folder: Path) -> dict[str, Path]:
    """Every file of the content folder, by its path; refused where one can't be read."""
    from archive.publish.refusal import Refused
    from archive.read.checksums import LIST, files_of

    found = {}
    for path, why in files_of(folder):
        if why:
            raise Refused(
                "pack-unreadable",
                f"{path} can't be handed over: {why}.",
                "Put the file itself in its place, or take it out of the folder.",
            )
        found[path] = folder / path
    if (folder / LIST).is_file():
        found[LIST] = folder / LIST
    return found


def sums_of(files: Mapping[str, Path]) -> dict[str, str]:
    """The sha256 of each file, by its path."""
    found = {}
    for path, file in files.items():
        with file.open("rb") as opened:
            found[path] = hashlib.file_digest(opened, "sha256").hexdigest()
    return found
