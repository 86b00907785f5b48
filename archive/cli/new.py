"""`witnessmark new`: a small commented starter folder."""

from __future__ import annotations

from pathlib import Path

import click

from archive.cli.exits import EPILOG, WRONG_USE, stop, told


@click.command(epilog=EPILOG)
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
def new(directory: Path) -> None:
    """Write a small, commented content folder into DIR, to begin from.

    DIR must be empty or not there yet: nothing is overwritten.
    """
    with told():
        from archive.write.starter import NotEmpty, new_folder

        try:
            new_folder(directory)
        except NotEmpty as error:
            stop(WRONG_USE, str(error), "Name a folder that is empty, or not there yet.")
    click.echo(f"{directory} is ready. Next:")
    click.echo(f"    witnessmark check {directory}")
    click.echo(f"    witnessmark build {directory}")
