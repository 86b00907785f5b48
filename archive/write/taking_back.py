"""Takes back what a run of `add` took in, as far as nobody has touched or used it since."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from archive.core.arrivals import AddedFile, Run
from archive.core.atomic import CannotWrite, write_file
from archive.read.added import FOLDER, text_of_run
from archive.write.moves import (
    OUT,
    drop,
    list_of,
    no_links,
    open_stage,
    out_of,
    put_aside,
    sum_of,
    tidy,
)
from archive.write.turn import my_turn


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What was taken back, and what was left, each with the reason. `aside` is the hidden folder
    that the files lie in now, None where there were none."""

    files: tuple[str, ...]
    left: tuple[tuple[str, str], ...]
    aside: Path | None


def take_back(folder: Path, run: Run, named_by: Mapping[str, tuple[str, ...]]) -> TakenBack:
    """Undo a run, as far as its files are as they were added.

    A picture and its note stay or go together. `named_by` gives the REFs of the records that name
    a record: what another record names stays. The files are not destroyed but kept in a hidden
    folder. Raises `CannotWrite` with the folder as it was.
    """
    no_links(folder)
    with my_turn(folder):
        tidy(folder)
        left = _left(folder, run, named_by)
        gone = [one for one in run.files if one.path not in left]
        there = [one for one in gone if (folder / one.path).exists()]
        register = folder / FOLDER / f"{run.name}.yaml"
        remaining = tuple(one for one in run.files if one.path in left)
        aside = None
        stage = open_stage(folder, OUT, run.name)
        try:
            list_of(stage, there)
            out_of(folder, stage, [one.path for one in there])
            try:
                if remaining:
                    write_file(register, text_of_run(replace(run, files=remaining)))
                else:
                    register.unlink(missing_ok=True)
            except BaseException as error:
                for one in there:
                    (stage / one.path).rename(folder / one.path)
                if isinstance(error, OSError):
                    raise CannotWrite.because(register, error) from error
                raise
        except BaseException:
            drop(stage)
            raise
        if there:
            aside = put_aside(folder, stage, run.name)
        else:
            drop(stage)
    return TakenBack(tuple(one.path for one in there), tuple(left.items()), aside)


def _left(folder: Path, run: Run, named_by: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """Path → why it stays."""
    left: dict[str, str] = {}
    by_record: dict[str, list[AddedFile]] = {}
    for one in run.files:
        by_record.setdefault(one.path.rpartition(".")[0], []).append(one)
    # Photographs first: what stays of them keeps its source.
    for ref in sorted(by_record):
        reasons = {one.path: _changed(folder, one) for one in by_record[ref]}
        reason, which = next(((why, path) for path, why in reasons.items() if why), ("", ""))
        staying = {path.rpartition(".")[0] for path in left}
        others = {
            other for other in named_by.get(ref, ()) if other not in by_record or other in staying
        }
        if not reason and others:
            reason = f"{', '.join(sorted(others))} names it"
        if reason:
            for one in by_record[ref]:
                if os.path.lexists(folder / one.path):
                    left[one.path] = reason if which in ("", one.path) else f"as {which} stays"
    return left


def _changed(folder: Path, one: AddedFile) -> str:
    path = folder / one.path
    if path.is_symlink():
        return "it is a link now"
    try:
        return "" if sum_of(path) == one.sha256 else "it was edited since"
    except FileNotFoundError:
        return ""
    except OSError as error:
        return f"it can't be read ({error.strerror})"
