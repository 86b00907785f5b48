"""Where the visitors' edition keeps each record: the same place in every build and language."""

from __future__ import annotations

from archive.records.schema import split_ref

OWN_PAGES = ("parts", "photos", "stories")
"""Kinds whose records have a page of their own."""

TOGETHER = {
    "sources": "papers.html",
    "decisions": "choices.html",
    "questions": "questions.html",
    "zones": "real.html",
    "events": "time.html",
    "configurations": "time.html",
    "sisters": "time.html",
    "people": "credits.html",
}
"""Kind → the page on which all its records stand, each at an anchor."""


def visitor_address(ref: str) -> str:
    """Page and anchor of a canonical REF, from a language's root; "" for a kind with no page.

    >>> visitor_address("parts/rudder#colour"), visitor_address("events/raised")
    ('parts/rudder.html#colour', 'time.html#_events-raised')
    """
    kind, id_, piece = split_ref(ref)
    if kind in OWN_PAGES:
        return f"{kind}/{id_}.html" + (f"#{piece}" if piece else "")
    return f"{TOGETHER[kind]}#{anchor(ref)}" if kind in TOGETHER else ""


def anchor(ref: str) -> str:
    """The anchor of a record on the page where it stands with others."""
    kind, id_, _ = split_ref(ref)
    return f"_{kind}-{id_}"
