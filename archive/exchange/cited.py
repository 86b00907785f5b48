"""Citations for other programs: CSL-JSON, BibTeX and RIS, from the same fields.

CSL-JSON after the schema of the Citation Style Language 1.0.2; RIS after the tag list of its 2011
description; BibTeX after the entry types of its standard styles (1988), with `@misc` for what they
have no type for.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping

from archive.audience.view import View
from archive.core.dates import Dating
from archive.records.citation import CSL_TYPES, Citation, render
from archive.records.source import Source
from archive.records.spec import fields_of, key_of

_NAMES = ("author", "recipient", "interviewer")
_PLAIN_DATE = re.compile(r"(\d{4})(?:-(0[1-9]|1[0-2])(?:-(\d\d))?)?[?~%]?")

_BIBTEX = {
    "article-journal": "article",
    "article-magazine": "article",
    "article-newspaper": "article",
    "book": "book",
    "chapter": "incollection",
    "manuscript": "unpublished",
    "pamphlet": "booklet",
    "report": "techreport",
}
_RIS = {
    "article-journal": "JOUR",
    "article-magazine": "MGZN",
    "article-newspaper": "NEWS",
    "book": "BOOK",
    "chapter": "CHAP",
    "figure": "FIGURE",
    "graphic": "ART",
    "manuscript": "UNPB",
    "map": "MAP",
    "motion_picture": "MPCT",
    "pamphlet": "PAMP",
    "patent": "PAT",
    "personal_communication": "PCOMM",
    "report": "RPRT",
    "standard": "STAND",
    "webpage": "ELEC",
}


def csl_json(view: View) -> str:
    """Every source as one item of CSL-JSON, by id, as text."""
    items = [csl_item(source) for source in _cited(view)]
    return json.dumps(items, ensure_ascii=False, indent=2) + "\n"


def csl_item(source: Source) -> dict[str, object]:
    """One source as an item of CSL-JSON; its `id` is the source's own."""
    citation = source.citation or Citation()
    item: dict[str, object] = {"id": source.id}
    for name, spec in fields_of(Citation).items():
        value = getattr(citation, name)
        if not value:
            continue
        key = key_of(name, spec)
        if name in _NAMES:
            item[key] = [_name(written) for written in value]
        elif name == "issued":
            item[key] = csl_date(value)
        else:
            item[key] = value
    item.setdefault("type", "document")
    if not citation.title:
        item["title"] = source.title or source.id
    if not citation.archive and source.holder:
        item["archive"] = source.holder
    return item


def csl_date(dating: Dating) -> dict[str, object]:
    """A date as CSL has it: parts where the text is plain days, else the words as they stand."""
    ends = [_PLAIN_DATE.fullmatch(end) for end in dating.text.split("/")]
    parts = [[int(part) for part in end.groups() if part] for end in ends if end]
    if len(parts) != len(ends) or len(parts) > 2:
        return {"literal": dating.words or dating.text}
    found: dict[str, object] = {"date-parts": parts}
    if dating.approximate or dating.uncertain:
        found["circa"] = True
    return found


def bibtex(view: View) -> str:
    """Every source as a BibTeX entry; the key is the source's id."""
    return "\n".join(_bibtex_entry(source) for source in _cited(view))


def ris(view: View) -> str:
    """Every source as a RIS record, with the line ends (CR LF) that the format asks for."""
    lines: list[str] = []
    for source in _cited(view):
        lines += [*_ris_record(source), ""]
    return "\r\n".join(lines)


def _cited(view: View) -> Iterable[Source]:
    return view.library.sources.values()


def _name(written: str) -> dict[str, str]:
    if written.startswith("{") and written.endswith("}"):
        return {"literal": written[1:-1]}
    family, comma, given = written.partition(",")
    return {"family": family.strip(), "given": given.strip()} if comma else {"literal": written}


def _year(citation: Citation) -> str:
    days = [day for day in (citation.issued.earliest, citation.issued.latest) if day]
    years = list(dict.fromkeys(f"{day.year:04}" for day in days))
    return "–".join(years)


def _bibtex_entry(source: Source) -> str:
    c = source.citation or Citation()
    kind = _BIBTEX.get(c.type or "", "misc")
    fields: dict[str, str | None] = {
        "author": " and ".join(_bibtex_name(name) for name in c.author) or None,
        "title": c.title or source.title,
        "year": _year(c) if c.issued else None,
        "journal" if kind == "article" else "booktitle": c.container_title,
        "publisher": c.publisher,
        "address": c.publisher_place,
        "volume": c.volume,
        "number": c.issue,
        "pages": re.sub(r"(?<=\d)\s*[-–]\s*(?=\d)", "--", c.page) if c.page else None,
        "edition": c.edition,
        "howpublished": (c.genre or CSL_TYPES.get(c.type or "") or None)
        if kind == "misc"
        else None,
        "institution": c.publisher if kind == "techreport" else None,
        "url": c.url,
        "note": render(c) if kind in ("misc", "unpublished") else c.note,
    }
    lines = [f"  {name} = {{{_tex(value)}}}," for name, value in fields.items() if value]
    return "\n".join([f"@{kind}{{{source.id},", *lines, "}", ""])


def _bibtex_name(written: str) -> str:
    name = _name(written)
    return f"{{{name['literal']}}}" if "literal" in name else f"{name['family']}, {name['given']}"


_TEX: Mapping[str, str] = {
    "\\": r"\textbackslash{}",
    "{": r"\{",
    "}": r"\}",
    "%": r"\%",
    "#": r"\#",
    "$": r"\$",
    "&": r"\&",
    "_": r"\_",
    "~": r"\textasciitilde{}",
    "^": r"\textasciicircum{}",
}


def _tex(text: str) -> str:
    """The text for BibTeX: what TeX would act on is written out. A body's braces are kept."""
    if text.startswith("{") and text.endswith("}"):
        return "{" + _tex(text[1:-1]) + "}"
    return "".join(_TEX.get(c, c) for c in " ".join(text.split()))


def _ris_record(source: Source) -> list[str]:
    c = source.citation or Citation()
    pages = re.split(r"\s*[-–]\s*", c.page, maxsplit=1) if c.page else []
    found = csl_date(c.issued).get("date-parts") if c.issued else None
    day = found[0] if isinstance(found, list) else []
    pairs: list[tuple[str, str | None]] = [
        ("TY", _RIS.get(c.type or "", "GEN")),
        ("ID", source.id),
        *(("AU", written.strip("{}")) for written in c.author),
        ("TI", c.title or source.title),
        ("T2", c.container_title),
        ("PY", f"{day[0]:04}" if day else None),
        # Year, month, day and words, with what isn't known left empty.
        (
            "DA",
            "/".join([*(f"{part:02}" for part in day), *[""] * (4 - len(day))]) if day else None,
        ),
        ("PB", c.publisher),
        ("CY", c.publisher_place),
        ("VL", c.volume),
        ("IS", c.issue),
        ("SP", pages[0] if pages else None),
        ("EP", pages[1] if len(pages) > 1 else None),
        ("ET", c.edition),
        ("M3", c.genre or c.medium),
        ("AN", c.archive_location or source.negative),
        ("DB", c.archive or source.holder),
        ("CN", c.call_number),
        ("UR", c.url),
        ("N1", c.note),
        ("ER", ""),
    ]
    return [f"{tag}  - {' '.join(value.split())}" for tag, value in pairs if value is not None]
