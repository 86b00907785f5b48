"""A node into a value of the type that its field declares; what doesn't fit is a problem and None.

The declaration alone gives the type. Nothing is guessed from how a value looks, so a text field
takes `0123`, `NO`, `12:30` and `1_000` as they stand.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any

import yaml

from archive.core.dates import parse_day, parse_edtf
from archive.core.lengths import parse_length
from archive.core.problems import Unreadable
from archive.read.sheet import Sheet, shown
from archive.records.schema import canonical_ref, split_ref
from archive.records.spec import TYPES, Spec

Read = Callable[[Sheet, Any, Spec], Any]

NAME = re.compile(r"[a-z0-9][a-z0-9-]*\Z")
LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*\Z")
_REF = re.compile(r"[a-z]+/[a-z0-9][a-z0-9-]*(#[a-z0-9][a-z0-9-]*)?\Z")
_NUMBER = re.compile(r"[-+]?[0-9]{1,15}(\.[0-9]{1,15})?\Z")
_WHOLE = re.compile(r"[0-9]{1,9}\Z")
_LETTERS = str.maketrans({"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ł": "l", "þ": "th"})
_YESNO = {"yes": True, "true": True, "no": False, "false": False}


def scalar(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    """The characters of a single value; a list or a group in its place is a problem."""
    if node.__class__ is yaml.ScalarNode:
        value: str = node.value
        if node.style == "|" or node.style == ">":
            value = value.strip("\n")
        elif sheet.comments and not node.style and spec.type != "ref":
            sheet.comment_after(node, spec.type)
        return value if value.strip() else None
    found = "a list" if isinstance(node, yaml.SequenceNode) else "a group of fields"
    hint = "Take off the [ ] or the dash." if found == "a list" else ""
    if found != "a list":
        hint = "Put a text that has a colon or braces in it in quotes."
    sheet.problem(
        "one-expected", node, f"{found.capitalize()} stands here for {TYPES[spec.type]}.", hint
    )
    return None


def _text(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    return scalar(sheet, node, spec)


def _name(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    value = scalar(sheet, node, spec)
    if value is None or NAME.match(value):
        return value
    says = f"“{shown(value)}” isn't a name: names are of a-z, 0-9 and -."
    sheet.problem("name-unreadable", node, says, f"Write it as {plain_name(value)}.")
    return None


def plain_name(text: str) -> str:
    """The nearest text that is a name.

    >>> plain_name("Tür Ø2"), plain_name("!")
    ('tur-o2', 'name-1')
    """
    spread = unicodedata.normalize("NFKD", text.lower().translate(_LETTERS))
    plain = "".join(c for c in spread if not unicodedata.combining(c))
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-") or "name-1"


def _choice(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    value = scalar(sheet, node, spec)
    if value is None or value in spec.choices:
        return value
    pieces = [piece.strip() for piece in value.split(",")]
    if spec.many and len(pieces) > 1 and all(piece in spec.choices for piece in pieces):
        says = f"“{shown(value)}” is several words in one."
        sheet.problem("word-unknown", node, says, f"Write [{', '.join(pieces)}].")
        return None
    near = get_close_matches(value.lower().replace(" ", "-"), spec.choices, 1, 0.7)
    near = near or get_close_matches(value.lower(), spec.choices, 1, 0.7)
    words = ", ".join(spec.choices)
    hint = f"Perhaps {near[0]} is meant; it can be {words}." if near else f"It can be {words}."
    sheet.problem("word-unknown", node, f"“{shown(value)}” isn't one of the words for this.", hint)
    return None


def _yesno(sheet: Sheet, node: Any, spec: Spec) -> bool | None:
    value = scalar(sheet, node, spec)
    if value is None:
        return None
    if value in _YESNO:
        return _YESNO[value]
    meant = {"y": "yes", "on": "yes", "n": "no", "off": "no"}.get(value.lower(), value.lower())
    hint = f"Write {meant}." if meant in _YESNO else "Write yes or no, or leave the field out."
    says = f"“{shown(value)}” is neither yes nor no."
    sheet.problem("yes-or-no", node, says, hint)
    return None


def _whole(sheet: Sheet, node: Any, spec: Spec) -> int | None:
    value = scalar(sheet, node, spec)
    if value is None or _WHOLE.match(value):
        return None if value is None else int(value)
    says = f"“{shown(value)}” isn't a whole number."
    sheet.problem("whole-expected", node, says, "Write digits alone, such as 12.")
    return None


def _number(sheet: Sheet, node: Any, spec: Spec) -> float | None:
    value = scalar(sheet, node, spec)
    if value is None or _NUMBER.match(value):
        return None if value is None else float(value)
    says = f"“{shown(value)}” isn't a number."
    sheet.problem("number-expected", node, says, "Write it with a point, such as 0.85 or 4010.")
    return None


def _parsed(sheet: Sheet, node: Any, spec: Spec, parse: Callable[[str], Any]) -> Any:
    value = scalar(sheet, node, spec)
    if value is None:
        return None
    try:
        return parse(value)
    except Unreadable as error:
        sheet.problem(error.code, node, error.says, error.hint, error.at)
        return None


def _length(sheet: Sheet, node: Any, spec: Spec) -> Any:
    value = _parsed(sheet, node, spec, parse_length)
    if value is not None and value.mm <= 0 and not spec.signed:
        says = f"“{shown(value.text)}” isn't above nothing, and a size is."
        sheet.problem("length-not-positive", node, says, "Leave the sign off, or the field out.")
        return None
    return value


def _day(sheet: Sheet, node: Any, spec: Spec) -> Any:
    return _parsed(sheet, node, spec, parse_day)


def _date(sheet: Sheet, node: Any, spec: Spec) -> Any:
    return _parsed(sheet, node, spec, parse_edtf)


def _person(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    value = scalar(sheet, node, spec)
    return None if value is None else value.removeprefix("people/").removeprefix("person/")


def _ref(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    value = scalar(sheet, node, spec)
    if value is None:
        return None
    ref = canonical_ref(value, spec.kinds)
    if ref is None or not _REF.match(ref):
        says = f"“{shown(value)}” doesn't name a record."
        sheet.problem("ref-unreadable", node, says, _ref_hint(value, spec))
        return None
    if spec.kinds and split_ref(ref)[0] not in spec.kinds:
        says = f"“{shown(value)}” is of the wrong kind here."
        kinds = " or ".join(f"{kind}/" for kind in spec.kinds)
        sheet.problem("ref-wrong-kind", node, says, f"This field takes {kinds}.")
        return None
    if sheet.comments:
        sheet.comment_after(node, spec.type, ref)
    return ref


def _ref_hint(written: str, spec: Spec) -> str:
    pieces = [canonical_ref(piece.strip(), spec.kinds) for piece in written.split(",")]
    if spec.many and len(pieces) > 1 and all(pieces):
        return f"Write [{', '.join(str(piece) for piece in pieces)}]."
    if NAME.match(written) and spec.kinds:
        return f"Write {' or '.join(f'{kind}/{written}' for kind in spec.kinds)}."
    like = " or ".join(f"{kind}/…" for kind in spec.kinds or ("parts", "photos"))
    return f"Write the folder and the file's name without its ending: {like}."


def _language(sheet: Sheet, node: Any, spec: Spec) -> str | None:
    value = scalar(sheet, node, spec)
    if value is None or LANGUAGE.match(value):
        return value
    says = f"“{shown(value)}” isn't a language tag."
    sheet.problem("language-unreadable", node, says, "Write it as en, en-GB or nb.")
    return None


def _point(sheet: Sheet, node: Any, spec: Spec) -> tuple[float, float] | None:
    if node.__class__ is yaml.SequenceNode and len(node.value) == 2:
        x, y = node.value
        if (
            x.__class__ is yaml.ScalarNode
            and y.__class__ is yaml.ScalarNode
            and _NUMBER.match(x.value)
            and _NUMBER.match(y.value)
        ):
            return float(x.value), float(y.value)
    sheet.problem("point-unreadable", node, "A point is two numbers.", "Write it as [812, 1403].")
    return None


def _outline(sheet: Sheet, node: Any, spec: Spec) -> tuple[tuple[float, float], ...] | None:
    if node.__class__ is not yaml.SequenceNode or len(node.value) < 3:
        says = "An outline is a list of at least three points."
        hint = "Write it as [[812, 1403], [1410, 1440], [1404, 1502]]."
        sheet.problem("outline-unreadable", node, says, hint)
        return None
    points = [_point(sheet, item, spec) for item in node.value]
    if None in points:
        return None
    return tuple(point for point in points if point is not None)


READERS: Mapping[str, Read] = MappingProxyType(
    {
        "text": _text,
        "name": _name,
        "choice": _choice,
        "yesno": _yesno,
        "whole": _whole,
        "number": _number,
        "length": _length,
        "day": _day,
        "date": _date,
        "person": _person,
        "ref": _ref,
        "point": _point,
        "outline": _outline,
        "language": _language,
    }
)
"""Type → how it is read. A `node` is read by `read.fields`."""

assert set(READERS) == set(TYPES) - {"node"}
