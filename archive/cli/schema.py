"""`witnessmark schema`: JSON Schema files, so that an editor can complete fields."""

from __future__ import annotations

import json
from pathlib import Path

import click

from archive.cli.exits import FINE, UNREADABLE, WRONG_USE, epilog, told


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE))
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write one file a kind into this folder; printed as one object if left out.",
)
def schema(out: Path | None) -> None:
    """Print the JSON Schema of every kind of record, for completion in an editor."""
    with told():
        from archive.core.atomic import CannotWrite, write_file
        from archive.records.json_schema import all_schemas

        found = all_schemas()
        if out is None:
            click.echo(json.dumps(found, indent=2, ensure_ascii=False))
            return
        try:
            out.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise CannotWrite.because(out, error) from error
        for kind, body in found.items():
            path = out / f"{kind.removesuffix('.yaml')}.schema.json"
            write_file(path, json.dumps(body, indent=2, ensure_ascii=False) + "\n")
            click.echo(str(path))
