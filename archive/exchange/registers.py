"""The registers: the records as plain tables, one a kind, as CSV files or sheets of a workbook."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from archive.audience.view import View
from archive.core.cells import Cell, table
from archive.core.dates import Dating, show_bounds, show_dating
from archive.records.citation import render
from archive.records.spec import Judged


@dataclass(frozen=True, slots=True)
class Register:
    """One table: a name, its column heads, its rows."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def registers(view: View) -> list[Register]:
    """All registers of a view, each in the order of its records."""
    return [
        Register(name, columns, tuple(rows(view))) for name, (columns, rows) in _REGISTERS.items()
    ]


def as_csv(register: Register) -> bytes:
    """A register as CSV; `core.cells.restored` gives back the text of a cell."""
    return table(register.columns, register.rows)


def as_workbook(tables: list[Register]) -> bytes:
    """Registers as one workbook, a sheet each; the same tables give the same bytes."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell

    book = Workbook(write_only=True)
    # The library stamps the hour of writing, which would make every workbook another one.
    book.properties.created = book.properties.modified = datetime(2000, 1, 1)
    for register in tables:
        sheet = book.create_sheet(register.name)
        sheet.append(list(register.columns))
        for row in register.rows:
            cells = []
            for value in row:
                cell = WriteOnlyCell(sheet, None)
                if isinstance(value, str):
                    cell.value = "".join(c for c in value if c >= " " or c in "\n\t")
                    cell.data_type = "s"  # text, even where it begins like a formula
                else:
                    cell.value = value
                cells.append(cell)
            sheet.append(cells)
    out = io.BytesIO()
    book.save(out)
    return _dateless(out.getvalue())


def _dateless(data: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for entry in old.infolist():
            kept = zipfile.ZipInfo(entry.filename, (1980, 1, 1, 0, 0, 0))
            kept.compress_type = zipfile.ZIP_DEFLATED
            content = old.read(entry)
            if entry.filename == "docProps/core.xml":
                content = _without_hour(content)
            new.writestr(kept, content)
    return out.getvalue()


def _without_hour(xml: bytes) -> bytes:
    return re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"2000-01-01T00:00:00Z", xml)


def _said(value: object) -> str:
    if isinstance(value, Judged):
        value = value.says
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return show_dating(value) if isinstance(value, Dating) else str(value)


def _photographs(view: View) -> Iterator[tuple[Cell, ...]]:
    for photo in view.library.photos.values():
        dated = view.findings.dates.get(photo.ref)
        facts = view.images.get(photo.id)
        yield (
            photo.ref,
            photo.number,
            photo.title,
            photo.shows_what,
            photo.source,
            show_bounds(dated.earliest, dated.latest) if dated else "",
            _said(photo.airframe),
            _said(photo.flipped),
            view.findings.group_of.get(photo.ref, ""),
            facts.width_px if facts else None,
            facts.height_px if facts else None,
            facts.sha256 if facts else "",
        )


def _sources(view: View) -> Iterator[tuple[Cell, ...]]:
    for source in view.library.sources.values():
        rights = source.rights
        yield (
            source.ref,
            source.number,
            source.title,
            render(source.citation) if source.citation else "",
            source.holder,
            source.box,
            source.folder,
            source.negative,
            source.generation,
            "; ".join(source.derived_from),
            _said(source.airframe),
            _said(source.discredited),
            view.findings.group_of.get(source.ref, ""),
            rights.basis if rights else "",
            rights.holder if rights else "",
            rights.credit if rights else "",
        )


def _parts(view: View) -> Iterator[tuple[Cell, ...]]:
    for part in view.library.parts.values():
        known = view.findings.parts.get(part.ref)
        steps = known.steps if known else {}
        yield (
            part.ref,
            part.number,
            part.title,
            part.zone,
            part.system,
            part.side,
            part.survives,
            part.status,
            part.tag,
            part.shelf,
            *(steps[step].verdict if step in steps else "" for step in ("mock-up", "trial", "cut")),
        )


def _claims(view: View) -> Iterator[tuple[Cell, ...]]:
    for part, claim in view.library.claims():
        ref = f"{part.ref}#{claim.id}"
        graded = view.findings.claims.get(ref)
        held = graded.held if graded else None
        yield (
            ref,
            part.title,
            claim.aspect,
            claim.says,
            claim.configuration,
            graded.grade if graded else "",
            ("no" if graded.not_settled else "yes") if graded else "",
            graded.witnesses if graded else None,
            held.value_mm if held else None,
            held.half95_mm if held else None,
            claim.tolerance.mm if claim.tolerance else None,
            "; ".join(item.ref for item in graded.items if item.ref) if graded else "",
        )


def _measurements(view: View) -> Iterator[tuple[Cell, ...]]:
    for measurement in view.library.measurements.values():
        found = view.findings.measurements.get(measurement.ref)
        yield (
            measurement.ref,
            measurement.title,
            measurement.method,
            "; ".join(measurement.photos),
            found.value_mm if found else None,
            found.half95_mm if found else None,
            found.refused if found else "",
        )


def _decisions(view: View) -> Iterator[tuple[Cell, ...]]:
    for decision in view.library.decisions.values():
        standing = view.findings.decisions.get(decision.ref)
        yield (
            decision.ref,
            decision.number,
            decision.title,
            decision.question,
            decision.choice,
            decision.because,
            standing.state if standing else "",
            "; ".join(f"{a.role}: {a.by}, {a.on}" for a in decision.approvals),
            "; ".join(f"{d.by}: {d.says}" for d in decision.dissent),
            "; ".join(decision.supersedes),
        )


def _questions(view: View) -> Iterator[tuple[Cell, ...]]:
    for question in view.library.questions.values():
        yield (
            question.ref,
            question.title,
            question.question,
            question.would_settle,
            _said(question.by_when),
            question.settled.says if question.settled else "",
        )


def _treatments(view: View) -> Iterator[tuple[Cell, ...]]:
    for part in view.library.parts.values():
        known = view.findings.parts.get(part.ref)
        for one in part.treatments:
            ref = f"{part.ref}#{one.id}"
            found = known.treatments.get(ref) if known else None
            taken, done = one.removes, one.done
            yield (
                ref,
                part.title,
                part.zone,
                one.choice,
                "; ".join(one.operations),
                taken.what if taken else "nothing" if one.takes_nothing else "",
                taken.kept_at if taken else "",
                _said(one.reversible),
                "; ".join(one.after),
                found.verdict if found else "",
                done.by if done else "",
                _said(done.began) if done else "",
                _said(done.on) if done else "",
                done.says if done else "",
                "; ".join(done.materials) if done else "",
                done.deviations if done else "",
                done.hours if done else None,
                "; ".join(done.before) if done else "",
                "; ".join(done.after) if done else "",
            )


def _new_parts(view: View) -> Iterator[tuple[Cell, ...]]:
    for part in view.library.parts.values():
        for made in part.made:
            yield (
                part.ref,
                part.title,
                part.zone,
                made.what,
                made.material,
                made.new_mark,
                made.mark_place,
                made.card,
                made.by,
                _said(made.on),
            )


_REGISTERS: dict[str, tuple[tuple[str, ...], Callable[[View], Iterator[tuple[Cell, ...]]]]] = {
    "photographs": (
        (
            "ref",
            "number",
            "title",
            "kind",
            "source",
            "taken",
            "airframe",
            "flipped",
            "counts_once_with",
            "width_px",
            "height_px",
            "sha256",
        ),
        _photographs,
    ),
    "sources": (
        (
            "ref",
            "number",
            "title",
            "citation",
            "holder",
            "box",
            "folder",
            "negative",
            "generation",
            "derived_from",
            "airframe",
            "discredited",
            "counts_once_with",
            "rights_basis",
            "rights_holder",
            "credit",
        ),
        _sources,
    ),
    "parts": (
        (
            "ref",
            "number",
            "title",
            "zone",
            "system",
            "side",
            "survives",
            "status",
            "tag",
            "shelf",
            "mock_up",
            "trial",
            "cut",
        ),
        _parts,
    ),
    "claims": (
        (
            "ref",
            "part",
            "aspect",
            "says",
            "configuration",
            "grade",
            "settled",
            "witnesses",
            "value_mm",
            "half95_mm",
            "tolerance_mm",
            "evidence",
        ),
        _claims,
    ),
    "measurements": (
        ("ref", "title", "method", "photographs", "value_mm", "half95_mm", "refused"),
        _measurements,
    ),
    "decisions": (
        (
            "ref",
            "number",
            "title",
            "question",
            "choice",
            "because",
            "standing",
            "approvals",
            "dissent",
            "supersedes",
        ),
        _decisions,
    ),
    "questions": (
        ("ref", "title", "question", "would_settle", "by_when", "settled"),
        _questions,
    ),
    "treatments": (
        (
            "ref",
            "part",
            "zone",
            "choice",
            "operations",
            "takes_off",
            "kept_at",
            "reversible",
            "after",
            "stands",
            "done_by",
            "begun",
            "done_on",
            "done",
            "materials",
            "deviations",
            "hours",
            "photographs_before",
            "photographs_after",
        ),
        _treatments,
    ),
    "new-parts": (
        ("part", "title", "zone", "what", "material", "mark", "mark_place", "card", "by", "on"),
        _new_parts,
    ),
}
"""Name → its column heads and what makes its rows."""
