"""Packs and exports on the disk: gathered beside their place and put there in one step."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from archive.audience.view import View
from archive.core.atomic import CannotWrite, flush_folder, write_file
from archive.exchange import bag, cited, crate, iiif, linked
from archive.exchange.registers import as_csv, as_workbook, registers
from archive.pictures.make import make_pictures
from archive.publish.manifest import walk
from archive.publish.ordering import picture_order
from archive.publish.refusal import Refused

READ_ME = """\
What this is
============
The record of the reconstruction of {name}, as it stood on {day}.

site/index.html     open it by double-click; it needs no network and no program
report.pdf          the restoration report, to read or to print
registers/          the registers as tables (CSV, and one workbook)
citations/          every source, as CSL-JSON, BibTeX and RIS
provenance/         who made what from what, as PROV-JSON and JSON-LD
{content}
Figures are for static display only: never approved data for flight.

"""
_CHECK = """
Are the files still whole? In the folder above this one:
    sha256sum -c manifest-sha256.txt
A sum finds damage, not forgery.
"""
_CONTENT = "content/            the records themselves: text, and the pictures as they came\n"
_CHUNK = 1 << 20

REPORT = "report.pdf"
"""Where the restoration report lies in a pack."""

Content = Mapping[str, Path]
"""Path in the content folder → the file."""

SiteMaker = Callable[[Path], None]
"""Makes the site of the pack's audience in the folder that it is given."""


@contextmanager
def placed(out: Path) -> Iterator[Path]:
    """A new folder to fill, put at `out` in one step when the block ends well.

    Raises `Refused` where something is at `out` already, and `CannotWrite` where the disk refuses;
    nothing is then left behind.
    """
    _refuse_taken(out)
    stage = out.with_name(f".{out.name}.{secrets.token_hex(4)}.part")
    try:
        try:
            out.parent.mkdir(parents=True, exist_ok=True)
            stage.mkdir()
            yield stage
            _part_from_the_cache(stage)
            os.rename(stage, out)
            flush_folder(out.parent)
        except OSError as error:
            raise CannotWrite.because(out, error) from error
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def _part_from_the_cache(folder: Path) -> None:
    """Copy every file that is one with a file elsewhere: what is handed over is nobody else's."""
    for path, entry in list(walk(folder)):
        if entry.stat(follow_symlinks=False).st_nlink > 1:
            own = folder / f"{path}.part"
            shutil.copy2(entry.path, own)
            os.replace(own, entry.path)


def exports(view: View, base: str) -> dict[str, bytes]:
    """Path → bytes of every export that is one file, as a pack holds them."""
    tables = registers(view)
    return {
        **{f"registers/{table.name}.csv": as_csv(table) for table in tables},
        "registers/registers.xlsx": as_workbook(tables),
        "citations/sources.json": cited.csl_json(view).encode(),
        "citations/sources.bib": cited.bibtex(view).encode(),
        "citations/sources.ris": cited.ris(view).encode(),
        "provenance/prov.json": linked.prov_json(view, base).encode(),
        "provenance/records.jsonld": linked.json_ld(view, base).encode(),
    }


def write_crate(
    view: View,
    content: Content,
    out: Path,
    base: str,
    make_site: SiteMaker | None,
    report: bytes,
) -> None:
    """The pack as an RO-Crate in the new folder `out`; see `write_bag` for the arguments."""
    with placed(out) as stage:
        _fill(view, content, stage, base, make_site, report)


def write_bag(
    view: View,
    content: Content,
    out: Path,
    base: str,
    make_site: SiteMaker | None,
    by: str,
    report: bytes,
) -> int:
    """The pack as a bag (RFC 8493) in the new folder `out`; gives the number of files in it.

    `content` are the content folder's files where the audience may have the records themselves,
    else none; `base` is what names of records begin with; `by` names the program;
    `report` is the restoration report. A file that is
    being written to meanwhile goes in as it was read: the sums are of the bytes in the bag.
    """
    with placed(out) as stage:
        payload = stage / "data"
        payload.mkdir()
        _fill(view, content, payload, base, make_site, report, _CHECK)
        packed = []
        for path, _ in walk(payload):
            with (payload / path).open("rb") as file:
                size, sums = bag.sums_of(iter(lambda: file.read(_CHUNK), b""))
            packed.append(bag.Packed(path, size, sums))
        tags = bag.tag_files(
            packed,
            view.as_of,
            f"The record of the reconstruction of {_name(view)}. Display only.",
            by,
        )
        for name, data in tags.items():
            write_file(stage / name, data)
    return len(packed)


def _name(view: View) -> str:
    aircraft = view.library.aircraft
    return f"{aircraft.name} {aircraft.mark}" if aircraft else "the aircraft"


def _fill(
    view: View,
    content: Content,
    payload: Path,
    base: str,
    make_site: SiteMaker | None,
    report: bytes,
    check: str = "",
) -> None:
    files: dict[str, bytes] = exports(view, base)
    files[REPORT] = report
    read_me = READ_ME.format(
        name=_name(view), day=view.as_of.isoformat(), content=_CONTENT if content else ""
    )
    files["READ-ME-FIRST.txt"] = f"{read_me}{check}".encode()
    for path, source in content.items():
        target = payload / "content" / path
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)
    if make_site is not None:
        make_site(payload / "site")
        # The lock that guarded its making is not part of the pack.
        for left in payload.glob(".*"):
            shutil.rmtree(left) if left.is_dir() else left.unlink()
    for path, data in files.items():
        target = payload / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
    sizes = [(path, (payload / path).stat().st_size) for path, _ in walk(payload)]
    (payload / crate.METADATA).write_bytes(crate.metadata(view, sizes, view.as_of))


def write_iiif(view: View, files: Mapping[str, Path], out: Path, base: str, cache: Path) -> int:
    """The photographs as a static IIIF service in the new folder `out`; gives how many went in.

    `files` are the picture files by photograph id, `cache` a folder for pictures made before.
    """
    orders = [
        picture_order(view, id_, files[id_], facts, tiles=True, tile_px=iiif.TILE_PX, overlap_px=0)
        for id_, facts in view.images.items()
        if id_ in files
    ]
    with placed(out) as stage:
        made = stage / ".made"
        sets, _ = make_pictures(orders, made, cache)
        for one in sets.values():
            for source, name in iiif.files(one):
                target = stage / name
                target.parent.mkdir(parents=True, exist_ok=True)
                if not target.exists():
                    shutil.copyfile(made / source, target)
        shutil.rmtree(made, ignore_errors=True)
        for path, text in iiif.texts(view, sets, base).items():
            target = stage / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(text, "utf-8")
    return len(sets)


def write_one(out: Path, data: bytes) -> None:
    """One file at `out`, in one step. Raises `Refused` where something is there already."""
    _refuse_taken(out)
    write_file(out, data)


def _refuse_taken(out: Path) -> None:
    if os.path.lexists(out):
        raise Refused(
            "output-taken",
            f"{out} is there already, and is not written over.",
            "Name another place with --out, or move that one away.",
        )
