"""`witnessmark find`: search the records, as the site's search page does."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    UNREADABLE,
    WRONG_USE,
    content_folder,
    epilog,
    private_cache,
    today,
    told,
)


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE))
@click.argument("words", nargs=-1, required=True)
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--kind", help="Only this kind: part, claim, photograph, source …")
@click.option("--zone", help="Only this zone, by number.")
@click.option("--grade", help="Only claims of this grade.")
@click.option("--limit", type=click.IntRange(1), default=20, show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print the hits as JSON.")
def find(
    words: tuple[str, ...],
    content: Path | None,
    kind: str | None,
    zone: str | None,
    grade: str | None,
    limit: int,
    as_json: bool,
) -> None:
    """Find records by WORDS: all of them, their stems, and the trade's other words for them.

    Quote a "phrase"; end a word with * for all that begin so; part numbers and marks are found
    whole. A word that stands nowhere is tried for slips of the pen. Words may also name a filter:
    kind:part, zone:700, grade:seen.
    """
    with told():
        from archive.audience.crew import crew_view
        from archive.cli.asked import checked
        from archive.pipeline import weigh
        from archive.search.find import look
        from archive.search.index import open_index
        from archive.site.documents import documents

        folder = content_folder(content)
        cache = private_cache(folder)
        weighed = weigh(folder, cache, clock=today())
        view = crew_view(
            weighed.library, weighed.findings, weighed.problems, weighed.images, today()
        )
        line = words[0] if len(words) == 1 else " ".join(quoted(word) for word in words)
        index = open_index(documents(view), cache / "search" if cache else None)
        checked(line, {"kind": kind, "zone": zone, "grade": grade}, index)
        found = look(index, line, kind=kind, zone=zone, grade=grade, limit=limit)
    if as_json:
        click.echo(json.dumps([hit.as_json() for hit in found.hits], ensure_ascii=False, indent=2))
        sys.exit(FINE)
    for word, instead in found.corrected:
        click.echo(f"Nothing has “{word}”; looked for {', '.join(instead)}.")
    for word in found.missing:
        click.echo(f"Nothing has “{word}”, or a word near it.")
    for hit in found.hits:
        click.echo(f"{hit.ref}\n    {hit.title}" + (f" · {hit.grade}" if hit.grade else ""))
    click.echo(f"{len(found.hits)} of {found.total} found.")
    sys.exit(FINE)


def quoted(word: str) -> str:
    """A word of the command line as the search line has it: with its quotes, if it has spaces."""
    return f'"{word}"' if " " in word and '"' not in word and ":" not in word else word
