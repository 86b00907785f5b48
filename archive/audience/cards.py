"""Cutting cards without a trace of sealed records: a card of a sealed part isn't there at all."""

from __future__ import annotations

import dataclasses

from archive.core.cards import CardStanding, IssueStanding
from archive.core.findings import Finding, Reason
from archive.core.moved import Moved
from archive.records.library import Library


def cards_of(library: Library, sealed: frozenset[str]) -> frozenset[str]:
    """The cards of sealed parts, which are sealed with them."""
    return frozenset(card.ref for card in library.cards.values() if card.part in sealed)


def card_without(standing: CardStanding, sealed: frozenset[str]) -> CardStanding:
    """How a card stands, less every line that is about a sealed record, rests on one or names one.

    Whether it is recalled stays: the crew must know that, if not why.
    """
    issues = tuple(_issue_without(one, sealed) for one in standing.issues)
    return dataclasses.replace(standing, issues=issues)


def _issue_without(standing: IssueStanding, sealed: frozenset[str]) -> IssueStanding:
    def told(reason: Reason | None) -> bool:
        return reason is None or all(_whole(ref) not in sealed for ref in reason.rests_on)

    lines: tuple[Moved, ...] = tuple(
        line for line in standing.moved if _whole(line.ref) not in sealed and told(line.matters)
    )
    reasons = tuple(reason for reason in standing.finding.reasons if told(reason))
    finding = Finding(standing.state, reasons)
    return dataclasses.replace(standing, finding=finding, moved=lines)


def _whole(ref: str) -> str:
    return ref.partition("#")[0]
