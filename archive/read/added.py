"""What runs of `add` took in, as `added/RUN.yaml` keeps it: what came from where, and its sum."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import yaml

from archive.core.arrivals import AddedFile, Run
from archive.core.problems import Problem, Where
from archive.read.front import text_of
from archive.read.nodes import compose

FOLDER = "added"
MAX_BYTES = 1 << 24

_NAME = re.compile(r"\d{4}-\d{2}-\d{2}-(\d{1,6})\Z")
_PATH = re.compile(r"(?:photos|sources)/[a-z0-9][a-z0-9-]*\.(?:md|jpg|png|tif|webp)\Z")
_SUM = re.compile(r"[0-9a-f]{64}\Z")


def run_names(folder: Path) -> list[str]:
    """The runs that a content folder remembers, oldest first."""
    place = folder / FOLDER
    if place.is_symlink() or not place.is_dir():
        return []
    names = (entry.name.removesuffix(".yaml") for entry in os.scandir(place))
    return sorted((name for name in names if _NAME.match(name)), key=_order)


def is_path(text: object) -> bool:
    """Whether a text is the path of a file that a run may have added, right inside its folder."""
    return isinstance(text, str) and bool(_PATH.match(text))


def _order(name: str) -> tuple[str, int]:
    return name[:10], int(name[11:])


def next_name(folder: Path, day: str) -> str:
    """The name of the next run on a day: `2027-06-04-1`, `2027-06-04-2` …"""
    last = max((_order(n)[1] for n in run_names(folder) if n.startswith(day)), default=0)
    return f"{day}-{last + 1}"


def read_run(folder: Path, name: str) -> Run | Problem:
    """One run; a problem where its file is gone or isn't as the program wrote it.

    Only plain files right inside photos/ and sources/ are believed: whoever edits the register
    can't make the program touch another file.
    """
    path = f"{FOLDER}/{name}.yaml"
    try:
        with open(folder / path, "rb") as file:
            data = file.read(MAX_BYTES)
    except OSError as error:
        says = f"The run can't be read: {error.strerror or error}."
        return Problem(Where(path), "run-damaged", says, "Take it from a copy.")
    problems: list[Problem] = []
    pairs = compose(path, text_of(path, data, problems), 1, problems).pairs
    fields = {key.value: value for key, value in pairs if isinstance(key, yaml.ScalarNode)}
    files, day = fields.get("files"), fields.get("on")
    if problems or not isinstance(files, yaml.MappingNode) or not isinstance(day, yaml.ScalarNode):
        return _damaged(path, "It isn't as the program wrote it.")
    found = []
    for key, value in files.value:
        line = {k.value: v.value for k, v in value.value} if _is_group(value) else {}
        sha256, origin = line.get("sha256"), line.get("from", "")
        if not is_path(key.value):
            return _damaged(path, "It names a file that no run can have added.")
        if not (isinstance(sha256, str) and _SUM.match(sha256)):
            return _damaged(path, f"The checksum of {key.value} is missing.")
        found.append(AddedFile(key.value, sha256, str(origin)))
    return Run(name, str(day.value), tuple(found))


def _is_group(node: yaml.Node) -> bool:
    return isinstance(node, yaml.MappingNode) and all(
        isinstance(part, yaml.ScalarNode) for pair in node.value for part in pair
    )


def _damaged(path: str, says: str) -> Problem:
    hint = "Take it from a copy, or take out by hand what the run added."
    return Problem(Where(path), "run-damaged", says, hint)


def text_of_run(run: Run) -> str:
    """The text of a run's file, which `read_run` reads back the same."""
    lines = [
        "# Kept by `witnessmark add`, and read by the program: nobody needs to edit it.",
        f"# `witnessmark add --undo {run.name}` takes these files back, if they are unchanged.",
        f"on: {run.on}",
        "files:",
    ]
    for one in run.files:
        fields = {"sha256": one.sha256, **({"from": one.origin} if one.origin else {})}
        lines.append(f"  {json.dumps(one.path)}: {json.dumps(fields, ensure_ascii=False)}")
    return "\n".join(lines) + "\n"
