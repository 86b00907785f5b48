"""Exit codes, and the ways in which a command ends early."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import NoReturn

import click

FINE = 0
PROBLEMS = 1
WRONG_USE = 2
UNREADABLE = 3
ALTERED = 4
NOT_CLEARED = 5
STOPPED = 130
"""What shells give for Ctrl-C: 128 and the signal's number (common practice, no source)."""

MEANINGS = {
    FINE: "fine",
    PROBLEMS: "problems in the content",
    WRONG_USE: "wrong use",
    UNREADABLE: "the content can't be read, or the site can't be written",
    ALTERED: "files altered or missing",
    NOT_CLEARED: "not cleared, or not permitted",
    STOPPED: "stopped by Ctrl-C",
}


def today() -> date:
    """Today by this computer's clock, or by SOURCE_DATE_EPOCH where that is set.

    The variable is that of the reproducible-builds project's specification: seconds since 1970.
    """
    seconds = os.environ.get("SOURCE_DATE_EPOCH", "")
    if seconds.isascii() and seconds.isdigit():
        return datetime.fromtimestamp(int(seconds), UTC).date()
    return date.today()


def epilog(*codes: int) -> str:
    """The last line of a command's help: the exit codes that it can give.

    >>> epilog(FINE, WRONG_USE)
    'Exit codes: 0 fine; 2 wrong use; 130 stopped by Ctrl-C.'
    """
    return f"Exit codes: {'; '.join(f'{code} {MEANINGS[code]}' for code in (*codes, STOPPED))}."


def stop(code: int, says: str, hint: str = "") -> NoReturn:
    """Say a sentence on standard error, with a way out, and end with an exit code."""
    click.echo(says, err=True)
    if hint:
        click.echo(f"    {hint}", err=True)
    sys.exit(code)


def say_no_more() -> None:
    """The reader went away (`clear … | head -1`): what is left to print goes nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())


@contextmanager
def told() -> Iterator[None]:
    """Turn what the stages raise on purpose into a sentence and an exit code."""
    from archive.core.atomic import CannotWrite
    from archive.publish.refusal import Refused
    from archive.read.load import NotContent

    try:
        yield
    except NotContent as error:
        stop(UNREADABLE, str(error))
    except Refused as error:
        stop(WRONG_USE, error.says, error.hint)
    except CannotWrite as error:
        stop(UNREADABLE, error.says, error.hint)


def content_folder(given: Path | None) -> Path:
    """The content folder: as given, else found from here by its aircraft.yaml."""
    from archive.read.load import find_content

    return given if given is not None else find_content(Path("."))


def private_cache(folder: Path) -> Path | None:
    """The program's cache for a content folder; None where there can be none."""
    from archive.core.atomic import CannotWrite
    from archive.core.cache import cache_dir

    try:
        return cache_dir(folder)
    except CannotWrite:
        return None


class Day(click.ParamType[date]):
    """A day as YYYY-MM-DD."""

    name = "YYYY-MM-DD"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> date:
        """The day, or click's own complaint about it."""
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(str(value))
        except ValueError:
            self.fail(f"{value!r} is no day; write it as 2027-05-28.", param, ctx)


class OneOf(click.ParamType[str]):
    """A word of a list that the records know, fetched only where the word is needed.

    `--help` of all commands then loads none of the stages.
    """

    def __init__(self, words: Callable[[], Iterable[str]]) -> None:
        self._words = words
        self.name = "word"

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:
        """The words, as click writes a choice."""
        return f"[{'|'.join(self._words())}]"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        """The word, or click's own complaint about it."""
        return click.Choice(list(self._words())).convert(value, param, ctx)


CONTENT = click.Path(path_type=Path, file_okay=False, readable=False)
