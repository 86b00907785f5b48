"""The manual's tables, made from the code: rules, messages and the fields of every record."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from markupsafe import Markup, escape

from archive.core.label_words import WORDS
from archive.core.messages import MESSAGES
from archive.core.rules import (
    CARDS,
    CLEARING,
    DATING,
    ESTIMATING,
    FALLING,
    GRADED_ON,
    GRADING,
    LIFTING,
    MEASURING,
    USING,
    WITNESSING,
)
from archive.core.stock_sizes import STOCK, stock_row
from archive.records.practice import CHANGEABLE
from archive.records.schema import KINDS, SINGLES, YAML_KINDS
from archive.records.spec import Node, Spec, fields_of, key_of
from archive.records.tables import takes

RULES: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys((*WITNESSING, *GRADING, *CLEARING, *FALLING, *LIFTING), "how/grades.html"),
        **dict.fromkeys(CARDS, "how/cards.html"),
        **dict.fromkeys(USING, "how/rights.html"),
        **dict.fromkeys(MEASURING, "how/measuring.html"),
        **dict.fromkeys(ESTIMATING, "how/estimates.html"),
        **dict.fromkeys(DATING, "how/chronology.html"),
    }
)
"""Number of each rule → the page that prints it, with its number as its anchor."""


def table(name: str) -> Markup | None:
    """The table that stands for `{table NAME}`; None for a name that isn't one."""
    made = _TABLES.get(name)
    return made() if made else None


def _rules(rules: Mapping[str, str]) -> Markup:
    rows = Markup("").join(
        Markup('<tr id="{0}"><th scope="row">{0}</th><td>{1}</td></tr>').format(number, says)
        for number, says in rules.items()
    )
    return grid(("Rule", "What it says"), rows)


def _grades() -> Markup:
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{}</td></tr>').format(grade, says)
        for grade, says in GRADED_ON.items()
    )
    return grid(("Grade", "Rests on, at best"), rows)


def _changeable() -> Markup:
    rows = Markup("").join(
        Markup('<tr><th scope="row"><a href="#{0}">{0}</a></th><td>{1}</td></tr>').format(
            rule, Markup(", ").join(Markup("<code>{}</code>").format(name) for name in fields)
        )
        for rule, fields in CHANGEABLE.items()
    )
    return grid(("Rule", "Field that changes it"), rows)


def _stock_rows() -> Markup:
    rows = Markup("").join(
        Markup(
            '<tr><th scope="row"><code>{}</code></th><td data-label="Row">{}</td>'
            '<td data-label="From">{}</td><td data-label="To">{}</td>'
            '<td data-label="How true">± {} mm</td></tr>'
        ).format(name, row.title, row.names[0], row.names[-1], row.true_mm)
        for name, row in ((name, stock_row(name)) for name in STOCK)
    )
    return grid(("Word", "Row", "From", "To", "How true (u)"), rows)


def _messages() -> Markup:
    rows = Markup("").join(
        Markup(
            '<tr id="{0}"><th scope="row"><code>{0}</code></th>'
            '<td data-label="What">{1}</td><td data-label="Usually">{2}</td>'
            '<td data-label="Mend">{3}</td></tr>'
        ).format(word, _coded(one.happened), _coded(one.cause), _coded(one.mend))
        for word, one in MESSAGES.items()
    )
    return grid(("Word", "What happened", "Why it usually does", "What to do"), rows)


def _label_words() -> Markup:
    told = []
    for language, words in WORDS.items():
        rows = Markup("").join(
            Markup('<tr><th scope="row">{}</th><td>{}</td></tr>').format(says, ", ".join(found))
            for says, found in (
                ("Only for what is on the airframe", words.sure),
                ("Only for corroborated or better", words.several),
                ("Only for seen or better", words.pictured),
                ("What is said: one of these must stand there", words.told),
                ("A conjecture: one of these must stand there", words.guessed),
            )
        )
        told.append(Markup("<h3><code>{}</code></h3>").format(language))
        told.append(grid(("Grade", "Beginnings of words"), rows))
    return Markup("").join(told)


def _fields() -> Markup:
    parts = []
    for kind, record in KINDS.items():
        ending = "yaml" if kind in YAML_KINDS else "md"
        parts.append(_record(f"{kind}/ID.{ending}", record))
    parts += [_record(file, record) for file, record in SINGLES.items()]
    return Markup("").join(parts)


def _record(file: str, record: type[Node]) -> Markup:
    told = [Markup("<h3><code>{}</code></h3>").format(file)]
    for place, group in _groups(record, ()):
        if place:
            told.append(Markup("<h4><code>{}</code></h4>").format(" → ".join(place)))
        rows = Markup("").join(_field(name, spec) for name, spec in fields_of(group).items())
        told.append(grid(("Field", "Takes", "What it means"), rows))
    return Markup("").join(told)


def _groups(
    group: type[Node], place: tuple[str, ...]
) -> Iterator[tuple[tuple[str, ...], type[Node]]]:
    """A record and the groups of fields within it, each with the way to it."""
    yield place, group
    for name, spec in fields_of(group).items():
        if spec.node is not None:
            yield from _groups(spec.node, (*place, key_of(name, spec)))


def _field(name: str, spec: Spec) -> Markup:
    return Markup(
        '<tr><th scope="row"><code>{}</code></th><td data-label="Takes">{}</td>'
        '<td data-label="Means">{}</td></tr>'
    ).format(
        key_of(name, spec),
        _coded(takes(spec)),
        _coded(spec.says + (" Must be there." if spec.required else "")),
    )


def _coded(text: str) -> Markup:
    """Text whose `words` in backticks are code."""
    pieces = text.split("`")
    return Markup("").join(
        Markup("<code>{}</code>").format(piece) if place % 2 else escape(piece)
        for place, piece in enumerate(pieces)
    )


def grid(heads: tuple[str, ...], rows: Markup) -> Markup:
    """A table of the manual: its heads, and its rows as they are."""
    head = Markup("").join(Markup('<th scope="col">{}</th>').format(word) for word in heads)
    return Markup(
        '<table class="grid stacked"><thead><tr>{}</tr></thead><tbody>{}</tbody></table>'
    ).format(head, rows)


_TABLES: Mapping[str, Callable[[], Markup]] = MappingProxyType(
    {
        "grades": _grades,
        "witness-rules": lambda: _rules(WITNESSING),
        "grading-rules": lambda: _rules(GRADING),
        "clearing-rules": lambda: _rules(CLEARING),
        "measuring-rules": lambda: _rules(MEASURING),
        "estimating-rules": lambda: _rules(ESTIMATING),
        "dating-rules": lambda: _rules(DATING),
        "falling-rules": lambda: _rules(FALLING),
        "lifting-rules": lambda: _rules(LIFTING),
        "using-rules": lambda: _rules(USING),
        "changeable-rules": _changeable,
        "stock-rows": _stock_rows,
        "card-rules": lambda: _rules(CARDS),
        "messages": _messages,
        "label-words": _label_words,
        "fields": _fields,
    }
)
