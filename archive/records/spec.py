"""How a field of a record is declared: its type, whether it must be there, and what it means.

A record is a frozen dataclass whose fields carry a `Spec`. That one declaration drives reading,
checking, the field tables of the manual and the JSON Schema for editors: there is no second list.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Any, ClassVar, TypeAlias

Mark = tuple[int, int]
NodeClass: TypeAlias = "type[Node]"


_UNSET = object()


def _no_marks() -> Mapping[str, Mark]:
    return {}


@dataclass(frozen=True, slots=True)
class Spec:
    """What may stand in a field.

    `type` is one of TYPES. `choices` are the words of a `choice`. `node` is the dataclass of a
    `node`. `kinds` are the folders that a `ref` may point into (empty: any). `many` makes it a
    list, `table` a mapping from a name to the type. `one_or_many` lets a single value stand for a
    list of one. `pieces` says that the nodes of this list are addressed as `folder/id#piece`.
    `judged` wraps the value in a `Judged`: `{is, by, on, because}` (a bare value is taken too,
    unless `bare` is false). `required` fields must be there. `says` is the sentence of the manual.
    """

    type: str
    says: str
    required: bool = False
    many: bool = False
    table: bool = False
    one_or_many: bool = False
    pieces: bool = False
    judged: bool = False
    bare: bool = True
    choices: tuple[str, ...] = ()
    node: NodeClass | None = None
    kinds: tuple[str, ...] = ()
    signed: bool = False
    key: str = ""


TYPES: Mapping[str, str] = MappingProxyType(
    {
        "text": "text",
        "name": "a name of a-z, 0-9 and -",
        "choice": "one of the words listed",
        "yesno": "yes or no",
        "whole": "a whole number",
        "number": "a number",
        "length": "a length with its unit, as people write it, such as `7 1/4 in +/- 1/8 in`",
        "day": "a day, YYYY-MM-DD",
        "date": "a date in EDTF, such as `1932-07`, `1931~` or `1933-05/1933-08`",
        "person": "initials or id of somebody in people.yaml",
        "ref": "a reference, such as `parts/nose-bowl` or `parts/nose-bowl#rivet-pitch`",
        "point": "two numbers, [x, y]",
        "outline": "a list of at least three points, [[x, y], …]",
        "language": "a language tag, such as `en-GB`",
        "node": "a group of fields",
    }
)


def spec_field(type: str, says: str, **more: Any) -> Any:
    """A dataclass field with a `Spec`; empty is None, () for a list, {} for a table."""
    spec = Spec(type, says, **more)
    default: Any = None
    if spec.many:
        default = ()
    elif spec.table:
        return dataclasses.field(default_factory=dict, metadata={"spec": spec})
    return dataclasses.field(default=default, metadata={"spec": spec})


def text(says: str, **more: Any) -> Any:
    """A field of plain text."""
    return spec_field("text", says, **more)


def one_of(words: tuple[str, ...], says: str, **more: Any) -> Any:
    """A field that takes one of a few words."""
    return spec_field("choice", says, choices=words, **more)


def ref(kinds: tuple[str, ...], says: str, **more: Any) -> Any:
    """A field that names another record of one of the kinds (any kind where none is given)."""
    return spec_field("ref", says, kinds=kinds, **more)


def node(cls: type[Node], says: str, **more: Any) -> Any:
    """A field that holds a group of fields of its own."""
    return spec_field("node", says, node=cls, **more)


@dataclass(frozen=True, kw_only=True)
class Node:
    """A group of fields as read from a file.

    `marks` gives the line and column of the value of each field that was written, by its name
    (`zone`), or its name and index (`mates[1]`); `""` is the place of the group itself, and
    `!name` marks a field of which something could not be read, or a name that no field has.
    """

    marks: Mapping[str, Mark] = dataclasses.field(
        default_factory=_no_marks, repr=False, compare=False
    )

    def mark_of(self, name: str = "") -> Mark:
        """The line and column of a field, else of the group itself, else (0, 0)."""
        found = self.marks.get(name)
        if found is None:
            found = self.marks.get(name.split("[")[0]) or self.marks.get("")
        return found or (0, 0)

    def __getstate__(self) -> dict[str, Any]:
        """What a copy on disk needs: a field left empty is the class's own default."""
        cls = type(self)
        return {
            name: value
            for name, value in self.__dict__.items()
            if name != "ref" and value is not getattr(cls, name, _UNSET)
        }

    @cached_property
    def lost(self) -> tuple[str, ...]:
        """The fields in which something was written that could not be read, in file order.

        Names that no field has, and fields that stand twice, are among them. Whoever weighs a
        group asks this first: with `agianst: yes`, `against` reads as absent.
        """
        return tuple(name[1:] for name in self.marks if name.startswith("!"))


@dataclass(frozen=True, kw_only=True)
class Judged(Node):
    """A judgement that somebody made, by name, on a day, for a reason.

    `says` (written `is`) has the type that the field declares. `at_state` pins a grade to the
    evidence of its day.
    """

    says: Any = None
    by: str | None = None
    on: Any = None
    because: str | None = None
    at_state: str | None = None


@dataclass(frozen=True, kw_only=True)
class Record(Node):
    """What every record has. Its id is its file name; `kind` is its folder."""

    kind: ClassVar[str] = ""
    singular: ClassVar[str] = ""
    what: ClassVar[str] = ""
    prose_allowed: ClassVar[bool] = True

    id: str = ""
    path: str = ""
    prose: str = ""
    prose_line: int = 0
    translations: Mapping[str, Translation] = dataclasses.field(default_factory=dict)

    @cached_property
    def ref(self) -> str:
        """The permanent address, `folder/id`."""
        return f"{self.kind}/{self.id}"


@dataclass(frozen=True, slots=True)
class Translation:
    """A record in another language, from the file `ID.LANG.md` beside it.

    `texts` are the fields of text that it gives besides its title, by their names.
    """

    title: str
    prose: str
    path: str
    texts: Mapping[str, str] = dataclasses.field(default_factory=dict)


def fields_of(cls: type[Node]) -> Mapping[str, Spec]:
    """The declared fields of a record or group, in order: name → Spec (name as Python has it)."""
    cached = _FIELDS.get(cls)
    if cached is None:
        cached = MappingProxyType(
            {f.name: f.metadata["spec"] for f in dataclasses.fields(cls) if "spec" in f.metadata}
        )
        _FIELDS[cls] = cached
    return cached


_FIELDS: dict[type[Node], Mapping[str, Spec]] = {}


def key_of(name: str, spec: Spec) -> str:
    """The word in the file for a field: its `key`, else its name."""
    return spec.key or name
