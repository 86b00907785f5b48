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
        from archive.core.atomic import CannotWrite
        from archive.write.starter import new_folder

        try:
            new_folder(directory)
        except CannotWrite as error:
            stop(WRONG_USE, error.says, error.hint)
    click.echo(f"{directory} is ready. Next:")
    click.echo(f"    witnessmark check {directory}")
    click.echo(f"    witnessmark build {directory}")
