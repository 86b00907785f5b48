"""Pictures that are related to a photograph's: the answer in plain words, and both to look at."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.likeness import ANOTHER, COPIES, OPEN, Related
from archive.site.context import Context
from archive.site.page import Link, ReasonShown

ANSWERS = {
    COPIES: "Copies of one negative",
    OPEN: "One negative or two: this can't be told from these pictures",
    ANOTHER: "Same scene, another negative",
}


@dataclass(frozen=True, slots=True)
class RelatedShown:
    """A photograph whose picture is related to this page's.

    `asks` are the questions that a person is asked, "" for none; `best` is the one that is nearer
    to the negative, None where the records don't tell.
    """

    id: str
    link: Link
    says: str
    reasons: tuple[ReasonShown, ...]
    asks: tuple[str, ...]
    ruled: str
    best: Link | None


def related(context: Context, ref: str) -> tuple[RelatedShown, ...]:
    """The pictures related to a photograph's: first what a person is asked about, then copies."""
    found = [pair for pair in context.findings.related if pair.beside(ref)]
    return tuple(_shown(context, ref, pair) for pair in sorted(found, key=_order))


def _order(pair: Related) -> tuple[bool, int, str, str]:
    return (not (pair.asks or pair.way_round), list(ANSWERS).index(pair.found.answer), *_refs(pair))


def _refs(pair: Related) -> tuple[str, str]:
    return pair.one, pair.other


def _shown(context: Context, ref: str, pair: Related) -> RelatedShown:
    other = pair.beside(ref)
    ruled = {"same": "Ruled by hand: one negative.", "different": "Ruled by hand: two negatives."}
    return RelatedShown(
        id=f"_beside-{other.partition('/')[2]}",
        link=context.link(other),
        says=ANSWERS[pair.found.answer],
        reasons=context.reasons(pair.finding),
        asks=tuple(filter(None, (pair.asks, pair.way_round))),
        ruled=ruled.get(pair.ruled, ""),
        best=context.link(pair.best) if pair.best else None,
    )
