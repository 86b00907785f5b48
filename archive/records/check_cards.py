"""Cutting cards: numbers that are numbers, issues in a row, and a register nobody has altered."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from archive.core.problems import Problem, Where
from archive.records.card import code_of
from archive.records.check_names import at
from archive.records.library import Library, nodes_in
from archive.records.spec import Node

_NUMBER = re.compile(r"\d{4,}\Z")


def numbers(library: Library) -> Iterator[Problem]:
    """A card's name is its number."""
    for card in library.cards.values():
        if not _NUMBER.match(card.id):
            says = f"“{card.id}” is no number of a cutting card."
            hint = "Cards are made by `witnessmark card PART`: take this file out."
            yield Problem(Where(card.path), "card-number", says, hint)


def issues(library: Library) -> Iterator[Problem]:
    """Issues count 1, 2, 3; what was cut, looked at or brought back was of one of them."""
    for card in library.cards.values():
        if card.lost:
            continue
        for place, issue in enumerate(card.issues, 1):
            if issue.issue != place and "issue" not in issue.lost:
                says = f"Issue {place} is called {issue.issue}."
                hint = "Take the file from a copy: issues are numbered by the program."
                yield Problem(at(card, issue, "issue"), "card-issues", says, hint)
        last = len(card.issues)
        named: list[tuple[Node, str, Any, int, str]] = [
            (cut, "issue", cut.issue, 1, "a piece could have been made from") for cut in card.cut
        ]
        named += [
            (look, "against", look.against, cut.issue or 1, "it could be held against")
            for cut in card.cut
            if (look := cut.looked_at)
        ]
        named += [(one, "issue", one.issue, 1, "could come back") for one in card.returned]
        for node, key, number, first, what in named:
            if number is not None and not first <= number <= last:
                says = f"There is no issue {number} that {what}."
                yield Problem(at(card, node, key), "card-issues", says, f"The last is {last}.")


def unaltered(library: Library) -> Iterator[Problem]:
    """What the register holds of an issue is what its check code was made from."""
    for card in library.cards.values():
        for issue in card.issues:
            if card.lost or any(line.lost for line in nodes_in(issue)):
                continue
            if issue.code != code_of(card.id, card.part, issue):
                says = f"Issue {issue.issue} isn't what was printed: its check code doesn't fit."
                hint = "Take the file from a copy, or issue the card anew."
                yield Problem(at(card, issue, "code"), "card-altered", says, hint)
