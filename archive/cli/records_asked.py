"""The records behind a question: whether one is there, what can be asked of, what is leant on."""

from __future__ import annotations

from collections.abc import Iterable

from archive.cli.exits import WRONG_USE, stop
from archive.core.findings import Finding, Reason
from archive.records.check_names import nearest
from archive.records.library import Library, pieces_of
from archive.records.schema import INNER, KINDS, canonical_ref
from archive.records.spec import Record


def recorded(library: Library, ref: str) -> list[tuple[str, Finding]]:
    """That a record, or a piece of one, is there, where nothing is concluded of it."""
    kind, _, id_ = ref.partition("/")
    there = library.person(id_) if kind == "people" else library.get(ref)
    if there is None:
        return []
    reason = Reason("", "It is in the record; nothing is concluded of it.")
    return [(ref, Finding("recorded", (reason,)))]


def part_asked(library: Library, written: str) -> str:
    """The REF of the part that is meant: by its id, its REF, or the number that its pages show.

    Where there is none, or two have the number, it says so and ends the command.
    """
    known = {part.ref: part for part in library.parts.values()}
    name = canonical_ref(written, ("parts",)) or written
    if name in known:
        return name
    number = written.strip().casefold()
    found = [ref for ref, part in known.items() if (part.number or "").casefold() == number]
    if len(found) == 1:
        return found[0]
    if found:
        stop(WRONG_USE, f"{written} is the number of {' and '.join(found)}.", "Name one of them.")
    stop(WRONG_USE, f"There is no part {written}.", nearest(name, list(known)))


def names(library: Library) -> list[str]:
    """Every REF that can be asked about, pieces of records too."""
    found = [f"{kind}/{id_}" for kind in (*KINDS, *INNER) for id_ in library.of_kind(kind)]
    return [*found, *(f"{whole}#{piece}" for whole in found for piece in _pieces(library, whole))]


def _pieces(library: Library, ref: str) -> Iterable[str]:
    record = library.get(ref)
    return pieces_of(record) if record is not None else ()


def leant_on(library: Library, ref: str, finding: Finding) -> set[str]:
    """The paths of the files of a record and of those that its finding rests on."""
    files = {"zones": library.zones_file, "people": library.people_file}
    paths = set()
    for whole in (name.partition("#")[0] for name in (ref, *finding.rests_on)):
        kind = whole.partition("/")[0]
        record = files.get(kind, library.aircraft) if kind in INNER else library.get(whole)
        if isinstance(record, Record):
            paths.add(record.path)
    return paths
