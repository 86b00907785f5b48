"""Named states of the findings, as `witnessmark state` kept them in `states/NAME.yaml`."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from archive.core.kept import Kept, KeptClaim, KeptDecision, KeptPart
from archive.core.problems import Problem, Where
from archive.core.verdicts import GRADES
from archive.read.front import text_of
from archive.read.nodes import compose

FOLDER = "states"
MAX_BYTES = 1 << 24
"""The largest state that is read: 16 MiB, which holds well over 100,000 claims."""

_NAME = re.compile(r"[a-z0-9][a-z0-9-]*\Z")
_HINT = "Take it from a copy, or keep the state anew with `witnessmark state NAME --replace`."


class _Damaged(ValueError):
    """What a state file says can't be what the program wrote."""


@dataclass(frozen=True, slots=True)
class States:
    """The states that could be read, oldest first, and what is wrong with the others."""

    kept: tuple[Kept, ...]
    problems: tuple[Problem, ...]


def is_name(text: str) -> bool:
    """Whether a text can be the name of a state: `a-z`, `0-9` and `-`, as of any record."""
    return bool(_NAME.match(text)) and len(text) <= 100


def read_states(folder: Path) -> States:
    """Every state of a content folder; a damaged one is a problem, never an error."""
    kept: list[Kept] = []
    problems: list[Problem] = []
    for name, file in _files(folder / FOLDER):
        path = f"{FOLDER}/{name}.yaml"
        try:
            with open(file, "rb") as handle:
                data = handle.read(MAX_BYTES + 1)
        except OSError as error:
            says = f"The state can't be read: {error.strerror or error}."
            problems.append(Problem(Where(path), "state-damaged", says, "Check its permissions."))
            continue
        found = read_state(path, name, data)
        if isinstance(found, Problem):
            problems.append(found)
        else:
            kept.append(found)
    kept.sort(key=lambda one: (str(one.on or ""), one.name))
    return States(tuple(kept), tuple(problems))


def read_state(path: str, name: str, data: bytes) -> Kept | Problem:
    """One state from the bytes of its file, or the problem that keeps it from being read."""
    if len(data) > MAX_BYTES:
        return Problem(Where(path), "state-damaged", "The state is larger than 16 MiB.", _HINT)
    problems: list[Problem] = []
    text = text_of(path, data, problems)
    pairs = compose(path, text, 1, problems).pairs
    if problems:
        return Problem(problems[0].where, "state-damaged", problems[0].says, _HINT)
    try:
        return _kept(name, dict(_plain(pairs)))
    except (_Damaged, ValueError) as error:
        says = f"This is not as the program wrote it: {error}."
        return Problem(Where(path), "state-damaged", says, _HINT)


def _files(folder: Path) -> Iterator[tuple[str, str]]:
    """(name, file) of each state; links are left alone, for they may lead out of the folder."""
    if folder.is_symlink() or not folder.is_dir():
        return
    for entry in sorted(os.scandir(folder), key=lambda e: e.name):
        name = entry.name.removesuffix(".yaml")
        if name != entry.name and is_name(name) and entry.is_file(follow_symlinks=False):
            yield name, entry.path


def _plain(pairs: list[tuple[yaml.Node, yaml.Node]]) -> Iterator[tuple[str, Any]]:
    """Nodes as plain values: text, and tables of them; anything else is damage."""
    for key, value in pairs:
        if not isinstance(key, yaml.ScalarNode):
            raise _Damaged("a name is expected")
        if isinstance(value, yaml.ScalarNode):
            yield key.value, value.value
        elif isinstance(value, yaml.MappingNode):
            yield key.value, dict(_plain(value.value))
        else:
            raise _Damaged(f"{key.value} holds a list")


def _kept(name: str, found: Mapping[str, Any]) -> Kept:
    return Kept(
        rule_set=int(_text(found, "rules")),
        name=name,
        on=date.fromisoformat(_text(found, "on")),
        claims={ref: _claim(line) for ref, line in _table(found, "claims")},
        decisions={
            ref: KeptDecision(_text(line, "choice"), _text(line, "state"), _text(line, "evidence"))
            for ref, line in _table(found, "decisions")
        },
        parts={
            ref: KeptPart(_text(line, "trial"), _text(line, "cut"), str(line.get("original", "")))
            for ref, line in _table(found, "parts")
        },
        cards={ref: _text(line, "state") for ref, line in _table(found, "cards")},
        dates={ref: _text(line, "day") for ref, line in _table(found, "dates")}
        if "dates" in found
        else None,
        clashing=tuple(ref for ref, _ in _table(found, "clashing")),
    )


def _claim(line: Mapping[str, Any]) -> KeptClaim:
    grade, settled = _text(line, "grade"), _text(line, "settled")
    if grade not in GRADES or settled not in ("yes", "no"):
        raise _Damaged(f"{grade}, {settled} is no grade")
    return KeptClaim(
        grade=grade,
        settled=settled == "yes",
        witnesses=int(_text(line, "witnesses")),
        evidence=_text(line, "evidence"),
        value_mm=float(line["value_mm"]) if "value_mm" in line else None,
        u_mm=float(line["u_mm"]) if "u_mm" in line else None,
    )


def _text(line: Mapping[str, Any], name: str) -> str:
    found = line.get(name)
    if not isinstance(found, str):
        raise _Damaged(f"{name} is missing")
    return found


def _table(found: Mapping[str, Any], name: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    table = found.get(name)
    if table == "" or table is None:
        return
    if not isinstance(table, dict):
        raise _Damaged(f"{name} is no table")
    for ref, line in table.items():
        if not isinstance(line, dict):
            raise _Damaged(f"{ref} has no line of its own")
        yield ref, line
