"""`witnessmark export`: the record in forms that other programs and later readers open."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import click

import archive
from archive.cli.audiences import view_for
from archive.cli.exits import (
    CONTENT,
    FINE,
    PROBLEMS,
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
from archive.cli.report import files_in, report_of

if TYPE_CHECKING:
    from archive.audience.view import View
    from archive.pipeline import Weighed

KINDS = {
    "bag": "a folder for the handover, with sums that any tool checks (RFC 8493)",
    "ro-crate": "the same contents, described as an RO-Crate, without the bag",
    "csv": "a folder of registers, one table a kind",
    "xlsx": "the registers as one workbook",
    "csl": "the sources as CSL-JSON",
    "bibtex": "the sources as BibTeX",
    "ris": "the sources as RIS",
    "jsonld": "what came from what, as JSON-LD in the terms of PROV-O and schema.org",
    "prov": "the same as PROV-JSON",
    "iiif": "a folder of the photographs for IIIF viewers, for a web host; needs --base",
}
"""Each form, and what it is."""


@click.command(
    epilog=epilog(FINE, PROBLEMS, WRONG_USE, UNREADABLE),
    help="""Write the record as KIND to PATH, which must not be there yet.

    \b
    """
    + "\n    ".join(f"{kind:<9} {what}" for kind, what in KINDS.items()),
)
@click.argument("kind", type=click.Choice(list(KINDS)), metavar="KIND")
@click.argument("content", type=CONTENT, required=False)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Where to write it.")
@click.option(
    "--for",
    "audience",
    type=click.Choice(["record", "public"]),
    default="record",
    show_default=True,
    help="Whom it is for: the record's own keepers get everything, sealed records too; the public "
    "what may go on the web on the day.",
)
@click.option("--base", metavar="ADDRESS", help="The web address that the folder will stand at.")
@click.option("--as-of", type=Day(), help="The day it is made for; today if left out.")
def export(
    kind: str,
    content: Path | None,
    out: Path,
    audience: str,
    base: str | None,
    as_of: date | None,
) -> None:
    """Write the record in another form."""
    if kind == "iiif" and base is None:
        stop(
            WRONG_USE,
            "IIIF names its pictures by their whole address: say where the folder will stand.",
            "Give --base, such as --base https://museum.example/qk-41/",
        )
    if base is not None:
        parts = urlsplit(base)
        if parts.scheme not in ("http", "https") or not parts.netloc:
            stop(WRONG_USE, f"“{base}” is no web address.", "Write it as https://museum.example/")
        base = base if base.endswith("/") else f"{base}/"
    with told():
        from archive.pipeline import weigh

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        view = view_for(audience, weighed, as_of or today(), "The export")
        says = _write(kind, view, weighed, folder, out, base)
    click.echo(f"{out}: {says}")
    sys.exit(FINE)


def _write(
    kind: str, view: View, weighed: Weighed, folder: Path, out: Path, base: str | None
) -> str:
    """Write one form; gives what was written, in words."""
    from archive.cli.check import count
    from archive.exchange import cited, linked
    from archive.exchange.registers import as_csv, as_workbook, registers
    from archive.publish import handover

    names = base or linked.NOWHERE
    if kind == "bag":
        by = f"witnessmark {archive.__version__}"
        number = handover.write_bag(
            view,
            _files(view, folder),
            out,
            names,
            _site(view, weighed, folder),
            by,
            report_of(weighed, view),
        )
        return f"a bag of {number} files. Check it with: sha256sum -c manifest-sha256.txt"
    if kind == "ro-crate":
        handover.write_crate(
            view,
            _files(view, folder),
            out,
            names,
            _site(view, weighed, folder),
            report_of(weighed, view),
        )
        return "an RO-Crate."
    if kind == "iiif":
        cache = private_cache(folder)
        keep = cache / "pictures" if cache else out.with_name(f".{out.name}-pictures")
        number = handover.write_iiif(view, weighed.pictures, out, names, keep)
        return f"{number} photographs. Begin at {names}collection.json"
    if kind == "csv":
        tables = registers(view)
        with handover.placed(out) as stage:
            for table in tables:
                (stage / f"{table.name}.csv").write_bytes(as_csv(table))
        return f"{count(tables, 'register')}."
    makers: dict[str, Callable[[], bytes]] = {
        "xlsx": lambda: as_workbook(registers(view)),
        "csl": lambda: cited.csl_json(view).encode(),
        "bibtex": lambda: cited.bibtex(view).encode(),
        "ris": lambda: cited.ris(view).encode(),
        "jsonld": lambda: linked.json_ld(view, names).encode(),
        "prov": lambda: linked.prov_json(view, names).encode(),
    }
    data = makers[kind]()
    handover.write_one(out, data)
    return f"{len(data):,} bytes."


def _files(view: View, folder: Path) -> dict[str, Path]:
    """Every file of the content folder; none for the public, who may not have the records."""
    return {} if view.audience == "public" else files_in(folder)


def _site(view: View, weighed: Weighed, folder: Path) -> Callable[[Path], None]:
    from archive.cli.build import shown_progress
    from archive.publish.inputs import fingerprint
    from archive.publish.site import publish

    def make(place: Path) -> None:
        inputs = fingerprint(folder, str(place))
        cache = private_cache(folder)
        with shown_progress() as progress:
            publish(view, folder, weighed.pictures, place, cache, inputs, progress)

    return make
