"""A group of fields into its dataclass, by its declaration; what is odd or lacks is told."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any, NamedTuple

import yaml

from archive.core.problems import Problem, Where
from archive.read.nodes import Pair
from archive.read.sheet import Sheet, shown
from archive.read.values import READERS, Read, scalar
from archive.records.spec import Judged, Mark, Node, Spec, fields_of, key_of

_NOTHING = frozenset({"", "~", "null"})
"""Written plainly, these are a field left empty, of whatever type."""

_FEW = 16
"""How many words a hint lists at most."""


class _Field(NamedTuple):
    name: str
    spec: Spec
    read: Read


class _Form(NamedTuple):
    """A record class, made ready for reading: its fields by the word in the file."""

    fields: Mapping[str, _Field]
    required: tuple[tuple[str, str], ...]
    needed: tuple[str, ...]


_FORMS: dict[type[Node], _Form] = {}


def _form(cls: type[Node]) -> _Form:
    """The form of a class, made ready once."""
    form = _FORMS.get(cls)
    if form is None:
        form = _FORMS[cls] = _made_ready(cls)
    return form


def _made_ready(cls: type[Node]) -> _Form:
    specs = fields_of(cls)
    keyed = {key_of(name, spec): _Field(name, spec, _reader(spec)) for name, spec in specs.items()}
    required = tuple((f.name, key) for key, f in keyed.items() if f.spec.required)
    # A field that is declared as plain `str` can't be empty: without it the group can't be kept.
    needed = tuple(f.name for f in dataclasses.fields(cls) if f.name in specs and f.type == "str")
    return _Form(keyed, required, needed)


def _reader(spec: Spec) -> Read:
    read = _group if spec.type == "node" else READERS[spec.type]
    return _judged(read) if spec.judged else read


def read_fields(
    sheet: Sheet, pairs: list[Pair], cls: type[Node], start: Mark
) -> tuple[dict[str, Any], dict[str, Mark]]:
    """The values that could be read and the places of all fields written, by field name.

    `marks["!name"]` says that something written in that field could not be read, or that no
    field has that name.
    """
    form = _form(cls)
    marks: dict[str, Mark] = {"": start}
    values: dict[str, Any] = {}
    seen: dict[str, Mark] = {}
    first = sheet.first_line
    problems = sheet.problems
    for key_node, node in pairs:
        key = key_node.value
        mark = key_node.start_mark
        if key_node.__class__ is not yaml.ScalarNode:
            sheet.problem("field-unknown", key_node, "A field's name is a single word.")
            marks["!?"] = (mark.line + first, mark.column + 1)
            continue
        field = form.fields.get(key)
        if key in seen:
            _twice(sheet, key_node, key, seen[key])
            marks[f"!{field.name if field else key}"] = (mark.line + first, mark.column + 1)
            continue
        seen[key] = (mark.line + first, mark.column + 1)
        if field is None:
            _unknown(sheet, key_node, key, form)
            marks[f"!{key}"] = seen[key]
            continue
        mark = node.start_mark
        name = field.name
        marks[name] = (mark.line + first, mark.column + 1)
        count = len(problems)
        spec = field.spec
        if node.__class__ is yaml.ScalarNode and node.value in _NOTHING and not node.style:
            if sheet.comments:
                sheet.comment_after(node, spec.type)
                if len(problems) != count:
                    marks[f"!{name}"] = marks[name]
            continue
        value: Any
        if spec.many:
            value = _list(sheet, node, field, marks)
        elif spec.table:
            value = _table(sheet, node, field, marks)
        else:
            value = field.read(sheet, node, spec)
        if value is not None:
            values[name] = value
        if len(problems) != count:
            marks[f"!{name}"] = marks[name]
    for name, key in form.required:
        if name not in values and f"!{name}" not in marks:
            place = marks.get(name, start)
            _missing(sheet, place, key, fields_of(cls)[name])
    return values, marks


def _list(sheet: Sheet, node: Any, field: _Field, marks: dict[str, Mark]) -> tuple[Any, ...] | None:
    """The items that could be read. One item in place of the list is read as a list of one."""
    spec = field.spec
    if node.__class__ is yaml.SequenceNode:
        items = node.value
    else:
        items = (node,)
        if not spec.one_or_many:
            says = "One value stands here for a list."
            sheet.problem("list-expected", node, says, "Put it in [ ], or on a line with a dash.")
    read, first = field.read, sheet.first_line
    values: list[Any] = []
    groups = spec.type == "node"
    for item in items:
        value = read(sheet, item, spec)
        if value is None:
            continue
        if not groups:
            mark = item.start_mark
            marks[f"{field.name}[{len(values)}]"] = (mark.line + first, mark.column + 1)
        values.append(value)
    return tuple(values) if values else None


def _table(sheet: Sheet, node: Any, field: _Field, marks: dict[str, Mark]) -> dict[str, Any] | None:
    if node.__class__ is not yaml.MappingNode:
        says = "A table is expected here: a name, a colon and a value on each line."
        sheet.problem("table-expected", node, says)
        return None
    values: dict[str, Any] = {}
    seen: dict[str, Mark] = {}
    for key_node, item in node.value:
        key = scalar(sheet, key_node, field.spec)
        if key is None:
            continue
        if key in seen:
            _twice(sheet, key_node, key, seen[key])
            continue
        seen[key] = sheet.mark(key_node)
        value = field.read(sheet, item, field.spec)
        if value is not None:
            values[key] = value
            marks[f"{field.name}[{key}]"] = seen[key]
    return values


def _group(sheet: Sheet, node: Any, spec: Spec) -> Node | None:
    """A group of fields of its own, or None where what it can't do without is not there."""
    cls = spec.node
    assert cls is not None, "a node's spec names its class"
    if node.__class__ is not yaml.MappingNode:
        sheet.problem(
            "group-expected", node, "A group of fields is expected here.", _fields_hint(cls)
        )
        return None
    values, marks = read_fields(sheet, node.value, cls, sheet.mark(node))
    if any(name not in values for name in _form(cls).needed):
        return None
    return cls(marks=marks, **values)


def _fields_hint(cls: type[Node]) -> str:
    form = _form(cls)
    words = [key for _, key in form.required] or list(form.fields)[:4]
    return f"Write it as {', '.join(f'{word}: …' for word in words)}."


_JUDGED_KEYS = ("is", "by", "on", "because", "at_state")
_PERSON, _DAY, _WORDS = Spec("person", ""), Spec("day", ""), Spec("text", "")


def _judged(read: Read) -> Read:
    """How a judgement is read: `{is, by, on, because}` around what `read` takes."""

    def judgement(sheet: Sheet, node: Any, spec: Spec) -> Judged | None:
        if node.__class__ is yaml.MappingNode:
            return _judgement(sheet, node, spec, read)
        if not spec.bare:
            says = "This is a judgement, and stands here without a name or a day."
            hint = "Write {is: …, by: …, on: …, because: …}."
            sheet.problem("judgement-unsigned", node, says, hint)
            return None
        value = read(sheet, node, spec)
        return None if value is None else Judged(says=value, marks={"": sheet.mark(node)})

    return judgement


def _judgement(sheet: Sheet, node: Any, spec: Spec, read: Read) -> Judged | None:
    marks: dict[str, Mark] = {"": sheet.mark(node)}
    values: dict[str, Any] = {}
    for key_node, item in node.value:
        key = key_node.value
        if not isinstance(key, str) or key not in _JUDGED_KEYS:
            hint = f"A judgement has {', '.join(_JUDGED_KEYS)}."
            says = f"“{shown(str(key))}” isn't a field of a judgement."
            sheet.problem("field-unknown", key_node, says, hint)
            marks[f"!{key if isinstance(key, str) else '?'}"] = sheet.mark(key_node)
            continue
        name = "says" if key == "is" else key
        if name in marks:
            _twice(sheet, key_node, key, marks[name])
            marks[f"!{name}"] = sheet.mark(key_node)
            continue
        marks[name] = sheet.mark(item)
        reads = {"is": read, "by": READERS["person"], "on": READERS["day"]}
        specs = {"is": spec, "by": _PERSON, "on": _DAY}
        value = reads.get(key, READERS["text"])(sheet, item, specs.get(key, _WORDS))
        if value is None:
            marks[f"!{name}"] = marks[name]
        else:
            values[name] = value
    if "says" not in values:
        if "says" not in marks:
            _missing(sheet, marks[""], "is", spec)
        return None
    lacking = [key for key in ("by", "on") if key not in marks]
    if lacking:
        says = f"This judgement lacks {' and '.join(lacking)}."
        sheet.problem("judgement-unsigned", node, says, "Say who judged, and on which day.")
        if not spec.bare:
            return None
    return Judged(marks=marks, **values)


def _twice(sheet: Sheet, node: Any, key: str, first: Mark) -> None:
    again = sheet.mark(node)[0]
    says = f"“{shown(key)}” stands twice: on line {first[0]} and again here, on line {again}."
    sheet.problem("field-twice", node, says, "Keep one of them; the first is the one read.")


def _unknown(sheet: Sheet, node: Any, key: str, form: _Form) -> None:
    near = get_close_matches(key.lower().replace("-", "_"), form.fields, 1, 0.6)
    hint = "Look it up in the manual, which lists the fields of each record."
    if near:
        hint = f"Perhaps {near[0]} is meant."
    elif len(form.fields) <= _FEW:
        hint = f"It can be {', '.join(form.fields)}."
    sheet.problem("field-unknown", node, f"“{shown(key)}” isn't a field here.", hint)


def _missing(sheet: Sheet, place: Mark, key: str, spec: Spec) -> None:
    says = f"The field `{key}` is missing here."
    hint = f"Add `{key}: …`. {spec.says}"
    sheet.problems.append(Problem(Where(sheet.path, *place), "field-missing", says, hint))
