"""`witnessmark new`: a small commented starter folder."""

from __future__ import annotations

from pathlib import Path

import click

from archive.cli.exits import FINE, UNREADABLE, WRONG_USE, epilog, stop, told


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE))
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
def new(directory: Path) -> None:
    """Write a small, commented content folder into DIR, to begin from.

    DIR must be empty or not there yet: nothing is overwritten.
    """
    with told():
        from archive.write.starter import Occupied, new_folder

        try:
            new_folder(directory)
        except Occupied as error:
            stop(WRONG_USE, error.says, error.hint)
    click.echo(f"{directory} is ready. Next:")
    click.echo(f"    witnessmark check {directory}")
    click.echo(f"    witnessmark build {directory}")
