"""A state of the findings, written under its name: one line a claim, figures and verdicts only."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from archive.core.atomic import CannotWrite, write_file
from archive.core.kept import Kept
from archive.read.states import FOLDER, is_name


def keep_state(folder: Path, kept: Kept, *, replace: bool = False) -> Path:
    """Write `kept` into the content folder, in one step, and give its file.

    Raises `CannotWrite` where the name can't be one, where a state of that name is there already
    (unless `replace`), or where the disk refuses.
    """
    path = folder / FOLDER / f"{kept.name}.yaml"
    if not is_name(kept.name):
        hint = "Use a-z, 0-9 and -, such as before-the-letter."
        raise CannotWrite(path, f"“{kept.name}” can't be the name of a state.", hint)
    if path.exists() and not replace:
        hint = "Choose another name, or write over it with --replace."
        raise CannotWrite(path, f"There is a state called {kept.name} already.", hint)
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotWrite.because(path.parent, error) from error
    write_file(path, text_of_state(kept))
    return path


def text_of_state(kept: Kept) -> str:
    """The text of a state's file; the same findings on the same day give the same text."""
    return "\n".join(_lines(kept)) + "\n"


def _lines(kept: Kept) -> Iterator[str]:
    yield "# Kept by `witnessmark state`, and read by the program: nobody needs to edit it."
    yield f"on: {kept.on.isoformat() if kept.on else ''}"
    yield f"rules: {kept.rule_set}"
    yield "claims:"
    for ref, claim in kept.claims.items():
        fields = {
            "grade": claim.grade,
            "settled": "yes" if claim.settled else "no",
            "witnesses": claim.witnesses,
            "evidence": claim.evidence,
        }
        figures = {"value_mm": claim.value_mm, "u_mm": claim.u_mm}
        yield _line(ref, {**fields, **{n: v for n, v in figures.items() if v is not None}})
    yield "decisions:"
    for ref, one in kept.decisions.items():
        yield _line(ref, {"choice": one.choice, "state": one.state, "evidence": one.evidence})
    yield "parts:"
    for ref, part in kept.parts.items():
        yield _line(ref, {"trial": part.trial, "cut": part.cut, "original": part.original})
    if kept.cards:
        yield "cards:"
        for ref, state in kept.cards.items():
            yield _line(ref, {"state": state})
    if kept.dates is not None:
        yield "dates:"
        for ref, day in kept.dates.items():
            yield _line(ref, {"day": day})
    if kept.clashing:
        yield "clashing:"
        for ref in kept.clashing:
            yield _line(ref, {"dates": "clash"})


def _line(ref: str, fields: dict[str, object]) -> str:
    """`  "parts/x#y": {"grade": "seen", …}`: JSON, which YAML reads too."""
    return f"  {json.dumps(ref)}: {json.dumps(fields, ensure_ascii=False)}"
