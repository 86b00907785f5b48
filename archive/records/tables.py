"""The manual's tables of fields, made from the schema: there is no second list to keep in step."""

from __future__ import annotations

from archive.records.schema import KINDS, SINGLES, YAML_KINDS
from archive.records.spec import TYPES, Judged, Node, Record, Spec, fields_of, key_of


def field_table(cls: type[Node]) -> str:
    """The fields of a record or group as a Markdown table: field, what it takes, what it means."""
    rows = ["| field | takes | meaning |", "| --- | --- | --- |"]
    for name, spec in fields_of(cls).items():
        word = f"`{key_of(name, spec)}`" + (" (needed)" if spec.required else "")
        rows.append(f"| {word} | {_cell(takes(spec))} | {_cell(spec.says)} |")
    return "\n".join(rows) + "\n"


def takes(spec: Spec) -> str:
    """What a field takes, in words."""
    if spec.type == "choice":
        what = "one of " + ", ".join(f"`{word}`" for word in spec.choices)
    elif spec.type == "ref":
        kinds = ", ".join(f"`{kind}/`" for kind in spec.kinds) or "any folder"
        what = f"a reference into {kinds}"
    elif spec.type == "node" and spec.node is not None:
        what = f"a group: {_group_name(spec.node)}"
    else:
        what = TYPES[spec.type]
    if spec.type == "length" and not spec.signed:
        what += "; above nothing"
    if spec.many:
        what = f"a list; each {what}" + ("; one needs no list" if spec.one_or_many else "")
    elif spec.table:
        what = f"names, each with {what}"
    if spec.judged:
        what += "; as a judgement `{is, by, on, because}`" + (" or bare" if spec.bare else "")
    return what


def groups_of(cls: type[Node]) -> tuple[type[Node], ...]:
    """The groups within a record, each once, in the order in which they are first met."""
    found: dict[type[Node], None] = {}
    todo = [cls]
    while todo:
        for spec in fields_of(todo.pop(0)).values():
            if spec.node is not None and spec.node not in found:
                found[spec.node] = None
                todo.append(spec.node)
    return tuple(found)


def format_page() -> str:
    """All tables of the content folder's format, as one piece of Markdown with a heading each."""
    pages = [_record(f"{folder}/", cls) for folder, cls in KINDS.items()]
    pages += [_record(name, cls) for name, cls in SINGLES.items()]
    return "\n".join(pages)


def _record(place: str, cls: type[Record]) -> str:
    ending = ".yaml" if place.rstrip("/") in YAML_KINDS else ".md"
    file = f"`{place}ID{ending}`" if place.endswith("/") else f"`{place}`"
    lines = [f"## {file}: {cls.what}", "", field_table(cls)]
    for group in groups_of(cls):
        lines += [f"### {_group_name(group)}", "", _says(group), "", field_table(group)]
    return "\n".join(lines)


def _group_name(cls: type[Node]) -> str:
    """`AsFound` as `as found`."""
    return "".join(f" {c.lower()}" if c.isupper() else c for c in cls.__name__).strip()


def _says(cls: type[Node]) -> str:
    return (cls.__doc__ or "").strip().partition("\n")[0]


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


JUDGEMENT = (
    f"{_says(Judged)} Its fields are `is`, `by`, `on`, `because`, and for a grade `at_state`."
)
"""The sentence of the manual on judged fields."""
