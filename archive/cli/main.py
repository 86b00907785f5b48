"""The `witnessmark` command: what it can do, and what its exit codes mean."""

from __future__ import annotations

import click

import archive
from archive.cli.build import build
from archive.cli.check import check
from archive.cli.exits import EPILOG
from archive.cli.find import find
from archive.cli.impact import impact
from archive.cli.new import new
from archive.cli.schema import schema
from archive.cli.sign import sign
from archive.cli.state import state
from archive.cli.why import why


@click.group(epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(archive.__version__, prog_name="witnessmark")
def main() -> None:
    """Keeps the evidence for rebuilding an aircraft, weighs it, and makes an offline site of it.

    Start with `witnessmark new DIR`, or read the manual in any site that was built.
    Figures are for static display only: never approved data for flight.
    """


for command in (new, check, build, find, why, impact, sign, state, schema):
    main.add_command(command)
