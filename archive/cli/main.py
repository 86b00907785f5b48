"""The `witnessmark` command: what it can do, and what its exit codes mean."""

from __future__ import annotations

import sys
from typing import Any

import click

import archive
from archive.cli.add import add
from archive.cli.audit import audit
from archive.cli.build import build
from archive.cli.card import card
from archive.cli.check import check
from archive.cli.clear import clear
from archive.cli.exits import (
    ALTERED,
    FINE,
    NOT_CLEARED,
    PROBLEMS,
    STOPPED,
    UNREADABLE,
    WRONG_USE,
    epilog,
    say_no_more,
    stop,
)
from archive.cli.export import export
from archive.cli.find import find
from archive.cli.impact import impact
from archive.cli.labels import labels
from archive.cli.measure import measure
from archive.cli.new import new
from archive.cli.report import report
from archive.cli.schema import schema
from archive.cli.sign import sign
from archive.cli.state import state
from archive.cli.why import why

_WRITERS = frozenset({"new", "schema"})
"""Commands that write file by file; all others change nothing until their last step."""


class Commands(click.Group):
    """The commands, ended in a sentence by Ctrl-C and in silence by a reader who has enough."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was named."""
        try:
            try:
                return super().invoke(ctx)
            finally:
                sys.stdout.flush()
        except (KeyboardInterrupt, click.Abort):
            if ctx.invoked_subcommand in _WRITERS:
                stop(STOPPED, "Stopped; what was written until now is still there.")
            stop(STOPPED, "Stopped; nothing was changed.")
        except BrokenPipeError:
            say_no_more()
            sys.exit(FINE)


@click.group(
    cls=Commands,
    epilog=epilog(FINE, PROBLEMS, WRONG_USE, UNREADABLE, ALTERED, NOT_CLEARED),
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(archive.__version__, prog_name="witnessmark")
def main() -> None:
    """Keeps the evidence for rebuilding an aircraft, weighs it, and makes an offline site of it.

    Start with `witnessmark new DIR`, or read the manual in any site that was built.
    Figures are for static display only: never approved data for flight.
    """


for command in (
    new,
    check,
    add,
    build,
    find,
    why,
    clear,
    card,
    measure,
    impact,
    sign,
    state,
    audit,
    export,
    report,
    labels,
    schema,
):
    main.add_command(command)
