"""`witnessmark audit`: every file that is not as it was listed, and what rests on it."""

from __future__ import annotations

import fnmatch
import hashlib
import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archive.cli.check import count
from archive.cli.exits import (
    ALTERED,
    CONTENT,
    FINE,
    UNREADABLE,
    WRONG_USE,
    Day,
    content_folder,
    epilog,
    private_cache,
    stop,
    today,
    told,
)

if TYPE_CHECKING:
    from archive.core.fixity import Damage, Listed, Seen

_TEXTS = (".md", ".yaml", ".yml", ".txt")
_MOST_NAMED = 12


@dataclass(frozen=True)
class Audit:
    """What an audit found. `read` of `files` files were read, `read_bytes` of their bytes."""

    listed: bool
    files: int
    read: int
    read_bytes: int
    faults: tuple[str, ...]
    damage: tuple[Damage, ...]
    resting: Mapping[str, tuple[str, ...]]
    top: str

    @property
    def serious(self) -> list[Damage]:
        """What is altered, gone or could not be checked."""
        return [line for line in self.damage if not line.harmless]

    def as_json(self) -> dict[str, object]:
        """The audit as plain values, for `--json`."""
        return {
            "listed": self.listed,
            "files": self.files,
            "read": self.read,
            "list_sum": self.top,
            "list_faults": list(self.faults),
            "damage": [
                {**line.as_json(), "resting": list(self.resting.get(line.path, ()))}
                for line in self.damage
            ],
        }


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE, ALTERED))
@click.argument("content", type=CONTENT, required=False)
@click.option("--list", "renew", is_flag=True, help="Write checksums.txt anew, if nothing is hurt.")
@click.option(
    "--accept",
    multiple=True,
    metavar="PATH",
    help="With --list: PATH was changed or taken out on purpose. A pattern such as 'photos/*' too.",
)
@click.option(
    "--against",
    metavar="SUM",
    help="The list's own sum, as it was printed: tells whether the list itself was rewritten.",
)
@click.option(
    "--sample",
    type=click.IntRange(1, 99),
    metavar="PERCENT",
    help="Read only so many files in a hundred, others each day; all names are looked at.",
)
@click.option("--as-of", type=Day(), help="The day that chooses the sample; today if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
def audit(
    content: Path | None,
    renew: bool,
    accept: tuple[str, ...],
    against: str | None,
    sample: int | None,
    as_of: date | None,
    as_json: bool,
) -> None:
    """Name every file of CONTENT that is altered, missing, renamed or swapped since it was listed.

    The list is CONTENT/checksums.txt, which `sha256sum -c` reads too. A sum finds damage, not
    forgery: print the list's own sum (--list shows it), keep it elsewhere, and give it to
    --against. Nothing is written but the list, and that only when --list asks for it.
    """
    if renew and (sample or against):
        stop(WRONG_USE, "--list reads every file: it goes with neither --sample nor --against.")
    if accept and not renew:
        stop(WRONG_USE, "--accept goes with --list.")
    with told():
        folder = _folder(content)
        found, seen = _audit(folder, sample, (as_of or today()).isoformat())
        if renew:
            _renew(folder, found, seen, accept)
            sys.exit(FINE)
    forged = against is not None and _plain(against) != found.top[: len(_plain(against))]
    if against is not None and len(_plain(against)) < 16:
        stop(WRONG_USE, "Give at least the first 16 characters of the list's sum.")
    if as_json:
        plain = {**found.as_json(), "fits_the_printed_sum": None if against is None else not forged}
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
    else:
        _tell(found, forged, sample)
    sys.exit(ALTERED if found.serious or found.faults or forged else FINE)


def _folder(content: Path | None) -> Path:
    """The folder to audit; one whose aircraft.yaml is gone is audited all the same, by its list."""
    from archive.read.checksums import LIST
    from archive.read.load import NotContent

    given = content or Path("content")
    if (given / LIST).is_file():
        return given
    folder = content_folder(content)
    if not folder.is_dir():
        raise NotContent(f"{folder} is no folder.")
    return folder


def _audit(folder: Path, sample: int | None, day: str) -> tuple[Audit, dict[str, Seen]]:
    from archive.cli.build import shown_progress
    from archive.core.fixity import Seen, compare
    from archive.read.checksums import files_of, look, read_list
    from archive.read.load import NotContent, removed_paths

    try:
        listed = read_list(folder)
    except OSError as error:
        raise NotContent(f"{folder / 'checksums.txt'} can't be read: {error.strerror}.") from error
    lines: Mapping[str, Listed] = listed.lines if listed else {}
    names = [path for path, _ in files_of(folder)]
    chosen = set(names)
    if sample:
        order = sorted(
            (path for path in names if path in lines),
            key=lambda path: hashlib.sha256(
                f"{day} {path}".encode(errors="surrogateescape")
            ).digest(),
        )
        passed = set(order[max(1, round(len(order) * sample / 100)) :])
        chosen -= passed
    total = sum((folder / path).stat().st_size for path in chosen if (folder / path).is_file())
    done = 0
    with shown_progress() as progress:

        def tell(size: int) -> None:
            nonlocal done
            done += size
            progress("reading", done, total)

        seen = look(folder, chosen.__contains__, lines, listed.made if listed else None, tell)
    unread = {path: Seen(lines[path].sha256) for path in names if path not in chosen}
    damage = compare(lines, {**seen, **unread}, removed_paths(folder)) if listed else ()
    return (
        Audit(
            listed is not None,
            len(names),
            len(seen),
            done,
            listed.faults if listed else (),
            damage,
            _resting(folder, [line for line in damage if not line.harmless]),
            listed.top if listed else "",
        ),
        seen,
    )


def _resting(folder: Path, damage: Sequence[Damage]) -> dict[str, tuple[str, ...]]:
    """What rests on each damaged file, by its path; nothing where the folder can't be weighed."""
    if not damage:
        return {}
    from archive.pipeline import weigh
    from archive.read.load import NotContent
    from archive.reasoning.damage import resting_on
    from archive.records.schema import canonical_ref

    try:
        weighed = weigh(folder, private_cache(folder))
    except NotContent:
        return {}
    refs = {record.path: record.ref for record in weighed.library.records}
    found = {}
    for line in damage:
        ref = refs.get(line.path)
        if ref is None:
            kind, _, name = line.path.partition("/")
            ref = canonical_ref(f"{kind}/{name.partition('.')[0]}")
        if ref:
            found[line.path] = resting_on(weighed.library, weighed.findings, ref)
    return found


def _renew(folder: Path, found: Audit, seen: Mapping[str, Seen], accept: tuple[str, ...]) -> None:
    from archive.write.checksums import write_list

    for pattern in accept:
        if not any(fnmatch.fnmatchcase(line.path, pattern) for line in found.damage):
            stop(WRONG_USE, f"Nothing at {pattern} differs from the list.")
    left = [
        line
        for line in found.serious
        if not (line.what == "edited" and line.path.endswith(_TEXTS))
        and not any(fnmatch.fnmatchcase(line.path, pattern) for pattern in accept)
    ]
    unreadable = sorted(path for path, its in seen.items() if its.unreadable)
    if unreadable:
        stop(
            UNREADABLE,
            f"{unreadable[0]} can't be read, so it can't be listed: "
            f"{seen[unreadable[0]].unreadable}.",
        )
    if left:
        for line in left:
            _tell_line(line, found.resting.get(line.path, ()))
        stop(
            ALTERED,
            f"The list is left as it was: {count(left, 'file')} would be listed as hurt as it is.",
            "Put them back, or name each with --accept if it was changed or taken out on purpose.",
        )
    path = write_list(folder, seen, datetime.now(UTC))
    click.echo(f"{path}: {count(seen, 'file')} listed.")
    click.echo("The list's own sum; print it, and keep it apart from the folder:")
    click.echo(f"    {spaced(hashlib.sha256(path.read_bytes()).hexdigest())}")


def spaced(sum_: str) -> str:
    """A sum in groups of eight, as people read it out.

    >>> spaced("0123456789abcdef")
    '01234567 89abcdef'
    """
    return " ".join(sum_[n : n + 8] for n in range(0, len(sum_), 8))


def _plain(typed: str) -> str:
    return "".join(typed.split()).lower()


def _tell(found: Audit, forged: bool, sample: int | None) -> None:
    if not found.listed:
        click.echo(f"{count(range(found.files), 'file')}, and no list to hold them against.")
        click.echo("    Make one with: witnessmark audit --list")
        return
    for fault in found.faults:
        click.echo(f"checksums.txt: {fault}")
        click.echo("    Take the list from another holder before you believe what it says.")
    if forged:
        click.echo(
            "checksums.txt: It is not the list whose sum was printed: somebody made it anew."
        )
        click.echo(f"    Its sum is {spaced(found.top)}.")
    for line in found.damage:
        _tell_line(line, found.resting.get(line.path, ()))
    serious, fresh = len(found.serious), len(found.damage) - len(found.serious)
    read = f"{found.read} of {found.files} files read ({found.read_bytes:,} bytes)"
    hurt = f"{serious or 'none'} altered, missing or unchecked"
    click.echo(f"{read}: {hurt}, {fresh or 'none'} not listed yet.")
    if sample and found.read < found.files:
        click.echo(
            f"    A sample: damage inside the {found.files - found.read} files that were not read "
            "would not be seen today. Another day reads others."
        )


def _tell_line(line: Damage, resting: tuple[str, ...]) -> None:
    from archive.read.walk import printable

    click.echo(f"{printable(line.path)}: {line.what}: {line.says}")
    if resting:
        named = ", ".join(resting[:_MOST_NAMED])
        more = len(resting) - _MOST_NAMED
        click.echo(f"    On it rest: {named}{f', and {more} more' if more > 0 else ''}.")
    if line.hint:
        click.echo(f"    {line.hint}")
