"""`witnessmark add --undo`: take back what a run added, as far as nobody has touched it since."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import NoReturn

import click

from archive.cli.check import count
from archive.cli.exits import FINE, UNREADABLE, WRONG_USE, content_folder, private_cache, stop, told


def undo(content: Path | None, name: str, as_json: bool) -> NoReturn:
    """Undo the run of that name, or the last one where it is empty, and end."""
    with told():
        from archive.core.problems import Problem
        from archive.read.added import read_run, run_names
        from archive.read.load import load
        from archive.write.taking_back import take_back

        folder = content_folder(content)
        names = run_names(folder)
        if not names or (name and name not in names):
            says = f"There is no run {name}." if name else "No run is remembered here."
            known = f"Runs: {', '.join(names[-5:])}" if names else ""
            stop(WRONG_USE, says, known)
        run = read_run(folder, name or names[-1])
        if isinstance(run, Problem):
            stop(UNREADABLE, str(run))
        library = load(folder, private_cache(folder)).library
        done = take_back(folder, run, library.named_by)
    if as_json:
        plain = {
            "run": run.name,
            "taken_back": list(done.files),
            "left": [{"path": path, "because": why} for path, why in done.left],
            "aside": str(done.aside) if done.aside else None,
        }
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
        sys.exit(FINE)
    for path in done.files:
        click.echo(f"{path}: taken back")
    for path, why in done.left:
        click.echo(f"{path}: left, {why}")
    click.echo(f"Run {run.name}: {count(done.files, 'file')} taken back, {len(done.left)} left.")
    if done.aside:
        click.echo(f"    They lie in {done.aside} until you delete that folder.")
    sys.exit(FINE)
