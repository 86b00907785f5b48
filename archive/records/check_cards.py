"""Cutting cards: numbers that are numbers, issues in a row, and a register nobody has altered."""

from __future__ import annotations

import re
from collections.abc import Iterator

from archive.core.problems import Problem, Where
from archive.records.card import code_of
from archive.records.check_names import at
from archive.records.library import Library, nodes_in

_NUMBER = re.compile(r"\d{4,}\Z")


def numbers(library: Library) -> Iterator[Problem]:
    """A card's name is its number."""
    for card in library.cards.values():
        if not _NUMBER.match(card.id):
            says = f"“{card.id}” is no number of a cutting card."
            hint = "Cards are made by `witnessmark card PART`: take this file out."
            yield Problem(Where(card.path), "card-number", says, hint)


def issues(library: Library) -> Iterator[Problem]:
    """Issues count 1, 2, 3; what was cut came from one of them."""
    for card in library.cards.values():
        if card.lost:
            continue
        for place, issue in enumerate(card.issues, 1):
            if issue.issue != place and "issue" not in issue.lost:
                says = f"Issue {place} is called {issue.issue}."
                hint = "Take the file from a copy: issues are numbered by the program."
                yield Problem(at(card, issue, "issue"), "card-issues", says, hint)
        for cut in card.cut:
            if cut.issue is not None and not 1 <= cut.issue <= len(card.issues):
                says = f"There is no issue {cut.issue} that could have been cut from."
                hint = f"The last issue is {len(card.issues)}."
                yield Problem(at(card, cut, "issue"), "card-issues", says, hint)


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
