"""The records that are proposed for one picture: its note, and its source's where it has none yet.

Nothing is invented. What the sheet or the file doesn't tell is left out of the fields, and named
in one line that begins with `- [ ]`, which `check` tells until a person has ticked it off.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from archive.core.arrivals import Carried, Copy, NewNote
from archive.core.images import ImageFacts
from archive.imaging.arrivals import Arrival
from archive.intake.alike import Alike
from archive.intake.captions import Row
from archive.intake.files import Incoming
from archive.intake.told import credit_of, scanned_on, taken_perhaps, title_of

ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "TIFF": ".tif", "WEBP": ".webp"}
SUM_SHOWN = 16
MOST_BRACKETS = 40
MOST_ALIKE = 3


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A picture that may be taken in, with all that is known of it before anybody looks."""

    incoming: Incoming
    facts: ImageFacts
    arrival: Arrival
    row: Row | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be written for one picture.

    `photo` and `source` are ids ("" without a source); `notes` are the photograph's and, where
    this picture brings it, the new source's. `left_open` is what a person has to add.
    """

    incoming: Incoming
    photo: str
    source: str
    notes: tuple[NewNote, ...]
    copy: Copy
    left_open: tuple[str, ...]


def propose(
    one: Newcomer,
    photo: str,
    source: str,
    brings: Mapping[str, Any] | None,
    kind: str | None,
    who: str,
    on: date,
    like: tuple[Alike, ...] = (),
) -> Proposal:
    """The proposal for one picture under the ids given; `source` is "" where it has none.

    `brings` are the fields that are known of the source, where the picture brings a new one.
    `like` is what shows the same: a question in the note, for a person to settle. `kind` is what
    the run was told of all its pictures, None where it was told nothing; `who` is the recorder, or
    ""; `on` is the day.
    """
    facts, arrival = one.facts, one.arrival
    fields = _filled(one.row.fields) if one.row else {}
    told_title = fields.get("title")
    title = told_title or title_of(arrival.carried)
    scan = dict(fields.get("scan") or {})
    scanned = scanned_on(arrival.carried, on)
    if scanned:
        scan.setdefault("on", scanned.isoformat())
    if arrival.dpi:
        scan.setdefault("dpi", arrival.dpi)
    told_kind = fields.get("kind") or kind
    note = {
        "title": title or words_of(one.incoming.name),
        "number": fields.pop("number", None),
        "by": fields.pop("by", None) or who or None,
        "on": fields.pop("on", None) or on.isoformat(),
        "kind": told_kind or "period",
        "source": source or None,
        "file": {
            "sha256": facts.sha256[:SUM_SHOWN],
            "size": [facts.width_px, facts.height_px],
        },
        **{word: value for word, value in fields.items() if word not in _PLACED},
        "scan": scan or None,
    }
    left_open = (*_open(note, title, told_kind, arrival.carried), *_likes(like))
    notes = [NewNote(f"photos/{photo}.md", _filled(note), _prose(one, left_open))]
    if brings is not None:
        notes.append(_source(one, photo, source, brings, str(note["title"]), told_kind, who, on))
    path = f"photos/{photo}{ENDINGS[facts.format]}"
    copy = Copy(path, one.incoming.path, facts.sha256, facts.bytes)
    return Proposal(one.incoming, photo, source, tuple(notes), copy, left_open)


_PLACED = frozenset({"title", "kind", "source", "scan", "file"})


def words_of(name: str) -> str:
    """A file's name as words, for want of a title.

    >>> words_of("box 3/IMG_0231.JPG")
    'IMG 0231'
    """
    stem = name.rpartition("/")[2].rpartition(".")[0] or name.rpartition("/")[2]
    return " ".join(stem.replace("_", " ").split()) or "Without a name"


def _open(
    note: Mapping[str, Any], title: str | None, kind: str | None, carried: tuple[Carried, ...]
) -> tuple[str, ...]:
    found = []
    if not title:
        found.append("a title of its own")
    if not kind:
        found.append("whether it is a period photograph")
    if not (note.get("date") or {}):
        perhaps = taken_perhaps(carried)
        found.append("when it was taken" + (f" ({_perhaps(*perhaps)})" if perhaps else ""))
    if not note.get("airframe") and note["kind"] in ("period", "as-found"):
        found.append("which aircraft it shows")
    if note["kind"] in ("period", "document") and not (note.get("front") or note.get("back")):
        found.append("what is written on the front and the back")
    if not note.get("source"):
        found.append("its source")
    return tuple(found)


def _likes(like: tuple[Alike, ...]) -> list[str]:
    told = [f"{one.called} ({one.says})" for one in like[:MOST_ALIKE]]
    return [f"how it stands to {'; to '.join(told)}"] if told else []


def _perhaps(day: str, one: Carried) -> str:
    return f"the file says {day} under {one.standard} {one.name}: does the print bear it out?"


def _prose(one: Newcomer, left_open: tuple[str, ...]) -> str:
    """The line to be ticked off, the caption, and what the file says, as it stands there."""
    pieces = []
    if left_open:
        pieces.append(f"- [ ] Still open: {'; '.join(left_open)}.")
    said = [f"file name: {one.incoming.name}"]
    if one.row and one.row.caption:
        said += [f"caption in the sheet: {' '.join(one.row.caption.split())}"]
    said += [str(carried) for carried in one.arrival.carried]
    pieces.append("What came with the file, as it stands there and unproved:")
    pieces.append("\n".join(f"    {line}" for line in _harmless(said)))
    return "\n\n".join(pieces) + "\n"


def _harmless(lines: list[str]) -> list[str]:
    """The lines, without brackets where there are so many that no page could be set of them."""
    printable = ["".join(c if c.isprintable() else " " for c in line).strip() for line in lines]
    if sum(line.count("[") for line in printable) < MOST_BRACKETS:
        return printable
    return [line.replace("[", "(").replace("]", ")") for line in printable]


_TYPES = {"document": "document"}


def _source(
    one: Newcomer,
    photo: str,
    id_: str,
    brings: Mapping[str, Any],
    photo_title: str,
    kind: str | None,
    who: str,
    on: date,
) -> NewNote:
    fields = _filled(brings)
    title = fields.pop("title", None)
    # A source that was given a name is shared, perhaps; one without is this picture's alone.
    shared = id_ != photo
    stand_in = id_.replace("-", " ").capitalize() if shared else f"The item behind “{photo_title}”"
    rights = dict(fields.pop("rights", None) or {})
    rights.setdefault("basis", "unknown")
    credit = credit_of(one.arrival.carried)
    if credit:
        rights.setdefault("credit", credit)
    citation = dict(fields.pop("citation", None) or {})
    type_ = citation.pop("type", None) or _TYPES.get(kind or "", "graphic")
    note = {
        "title": title or stand_in,
        "number": fields.pop("number", None),
        "by": fields.pop("by", None) or who or None,
        "on": fields.pop("on", None) or on.isoformat(),
        "citation": {"type": type_, **citation},
        **fields,
        "rights": rights,
    }
    lacking = {
        "a title of its own": title or not shared,
        "what it is and who holds it": note.get("holder"),
        "who made it": citation.get("author"),
        "how far it is from the first making": note.get("generation"),
        "what it was made from": note.get("derived_from"),
        "the rights": rights["basis"] != "unknown",
    }
    left_open = "; ".join(what for what, there in lacking.items() if not there)
    prose = f"- [ ] Still open: {left_open}.\n" if left_open else ""
    return NewNote(f"sources/{id_}.md", _filled(note), prose)


def _filled(fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields in which something is said: blanks and line ends alone are nothing."""
    return {
        word: value
        for word, value in fields.items()
        if value is not None and not (isinstance(value, str) and not value.strip())
    }
