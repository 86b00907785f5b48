"""YAML as a tree of nodes with their places: every scalar is text, and nothing is guessed from it.

The C parser does the work where it is there, the pure one otherwise; both stop at the tree, so
that `0123`, `NO` and `12:30` arrive as they were written. Aliases, tags and deep nesting are
refused. A syntax error costs the field that it is in, not the whole record.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml
from yaml.composer import Composer
from yaml.parser import Parser
from yaml.reader import Reader
from yaml.scanner import Scanner

from archive.core.problems import Problem, Where
from archive.read.syntax import explain

try:
    from yaml._yaml import CParser
except ImportError:  # PyYAML was built without its C part
    CParser: Any = None  # type: ignore[no-redef]

MAX_DEPTH = 50
MAX_BLOCKS = 300
"""How many fields a file with a syntax error is cut into at most, to save the others."""

PLAIN = "?"
"""The tag that every node without a tag of its own gets: no type is worked out."""

Pair = tuple[yaml.Node, yaml.Node]

_ANCHOR = re.compile(r"(?:^|[\s\[{,])[&*][^\s,\]}]", re.M)
_TAG = re.compile(r"(?:^|[\s\[{,])!", re.M)
_MAYBE_DEEP = re.compile(rf"^ {{{MAX_DEPTH}}}|(?:[-?] ){{5}}", re.M)
_FIELD = re.compile(r"^[^\s#\-\[\]{}&*!|>'\"%@`,][^\n]*", re.M)
_ITEM = re.compile(r"^( *)- ", re.M)


class _NoTypes:
    """Stands in for a resolver: a node is what it is written as."""

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:
        return PLAIN

    def descend_resolver(self, current: Any, index: Any) -> None:
        pass

    def ascend_resolver(self) -> None:
        pass

    def check_resolver_prefix(self, depth: Any, path: Any, kind: Any, *more: Any) -> bool:
        return False


class PureLoader(_NoTypes, Reader, Scanner, Parser, Composer):
    """The composer in Python alone."""

    def __init__(self, text: str) -> None:
        Reader.__init__(self, text)
        Scanner.__init__(self)
        Parser.__init__(self)
        Composer.__init__(self)


if CParser is not None:

    class FastLoader(_NoTypes, CParser):
        """The composer in C."""

        def __init__(self, text: str) -> None:
            CParser.__init__(self, text)

    Loader: Any = FastLoader
else:
    Loader = PureLoader


@dataclass(frozen=True, slots=True)
class Composed:
    """The fields of a file, in order, each with its name's node and its value's.

    `lost` are the names of fields that a syntax error took, whole or in part.
    """

    pairs: list[Pair]
    start: tuple[int, int]
    lost: tuple[str, ...] = ()


def compose(path: str, text: str, first_line: int, problems: list[Problem]) -> Composed:
    """The fields written in `text`, which begins on line `first_line` of the file."""
    start = (first_line, 1)
    if _ANCHOR.search(text) and _aliases(path, text, first_line, problems):
        return Composed([], start)
    try:
        root = _root(text)
    except (yaml.YAMLError, RecursionError) as error:
        return _mend(path, text, first_line, error, problems)
    if root is None:
        return Composed([], start)
    if _deep(path, text, root, first_line, problems):
        return Composed([], start)
    if not isinstance(root, yaml.MappingNode):
        says = "Fields are expected here, each as `name: value`."
        problems.append(_problem(path, root, first_line, "fields-expected", says))
        return Composed([], start)
    if _TAG.search(text):
        _tags(path, root, first_line, problems)
    mark = root.start_mark
    return Composed(root.value, (mark.line + first_line, mark.column + 1))


def _root(text: str) -> Any:
    loader = Loader(text)
    try:
        return loader.get_single_node()
    finally:
        dispose = getattr(loader, "dispose", None)
        if dispose is not None:
            dispose()


def _problem(
    path: str, node: Any, first_line: int, code: str, says: str, hint: str = ""
) -> Problem:
    mark = node.start_mark
    return Problem(Where(path, mark.line + first_line, mark.column + 1), code, says, hint)


def _aliases(path: str, text: str, first_line: int, problems: list[Problem]) -> bool:
    """Reports every anchor, and whether there is an alias, without which the tree is still sound.

    What can't be parsed is left to the composer to tell.
    """
    loader = Loader(text)
    try:
        while loader.check_event():
            event = loader.get_event()
            alias = isinstance(event, yaml.AliasEvent)
            if alias or getattr(event, "anchor", None):
                sign = "*" if alias else "&"
                says = f"`{sign}{event.anchor}` is an alias of YAML, which records don't use."
                hint = "Write the value out; a text that begins with & or * goes in quotes."
                problems.append(_problem(path, event, first_line, "yaml-alias", says, hint))
                if alias:
                    return True
    except (yaml.YAMLError, RecursionError):
        return False
    return False


def _deep(path: str, text: str, root: Any, first_line: int, problems: list[Problem]) -> bool:
    """Reports nesting beyond MAX_DEPTH; looks only where the text could hold any."""
    if text.count("[") + text.count("{") <= MAX_DEPTH and not _MAYBE_DEEP.search(text):
        return False
    for node, depth in _walk(root):
        if depth > MAX_DEPTH:
            says = f"The fields are nested more than {MAX_DEPTH} deep here."
            hint = "Take out the repeated brackets or dashes."
            problems.append(_problem(path, node, first_line, "yaml-deep", says, hint))
            return True
    return False


def _tags(path: str, root: Any, first_line: int, problems: list[Problem]) -> None:
    """Reports every tag; the value is still read as what its field declares."""
    for node, _ in _walk(root):
        if node.tag != PLAIN:
            says = "A type tag of YAML stands here; the fields alone give the types."
            hint = "Take out the word that begins with !, or put the text in quotes."
            problems.append(_problem(path, node, first_line, "yaml-tag", says, hint))


def _walk(root: Any) -> Iterator[tuple[Any, int]]:
    """Every node with its depth, without recursion. There are no circles: aliases are refused."""
    todo = [(root, 1)]
    while todo:
        node, depth = todo.pop()
        yield node, depth
        if isinstance(node, yaml.SequenceNode):
            todo += [(item, depth + 1) for item in node.value]
        elif isinstance(node, yaml.MappingNode):
            todo += [(inner, depth + 1) for pair in node.value for inner in pair]


def _mend(
    path: str, text: str, first_line: int, error: Exception, problems: list[Problem]
) -> Composed:
    """The fields that can be read each by itself, once the whole can't be."""
    starts = [found.start() for found in _FIELD.finditer(text)]
    if not 2 <= len(starts) <= MAX_BLOCKS:
        problems.append(explain(path, text, first_line, error))
        return Composed([], (first_line, 1))
    pairs: list[Pair] = []
    lost: list[str] = []
    for start, end in zip([0, *starts[1:]], [*starts[1:], len(text)], strict=True):
        count = len(problems)
        pairs += _block(path, text, start, end, first_line, problems)
        if len(problems) > count:
            lost.append(text[start:end].partition(":")[0].strip())
    if not lost:  # each field reads alone: the fault lies between them
        problems.append(explain(path, text, first_line, error))
    return Composed(pairs, (first_line, 1), tuple(lost))


def _block(
    path: str, text: str, start: int, end: int, first_line: int, problems: list[Problem]
) -> list[Pair]:
    """One field, or of a list the items that can be read; the fault is reported."""
    above = text.count("\n", 0, start)
    block = text[start:end]
    try:
        return _pairs("\n" * above + block)
    except (yaml.YAMLError, RecursionError) as error:
        problems.append(explain(path, "\n" * above + block, first_line, error))
    head, _, body = block.partition("\n")
    found = _ITEM.search(body)
    if found is None or not head.rstrip().endswith(":"):
        return []
    items = [m.start() for m in re.finditer(rf"^{found[1]}- ", body, re.M)]
    if not 2 <= len(items) <= MAX_BLOCKS:
        return []
    kept: list[Pair] = []
    for item, after in zip(items, [*items[1:], len(body)], strict=True):
        blank = "\n" * (body.count("\n", 0, item) + 1)
        try:
            kept += _pairs("\n" * above + head + blank + body[item:after])
        except (yaml.YAMLError, RecursionError):
            continue  # reported above, with the block
    if not kept:
        return []
    key, value = kept[0]
    if not all(isinstance(pair[1], yaml.SequenceNode) for pair in kept):
        return []
    value.value = [item for pair in kept for item in pair[1].value]
    return [(key, value)]


def _pairs(text: str) -> list[Pair]:
    root = _root(text)
    return root.value if isinstance(root, yaml.MappingNode) else []
