"""The permanent address of every record and piece: the same page and anchor in every build.

Anchors of pieces are their own names. What a page itself puts up begins with `_`, which no name of
a record can, so that the two never clash.
"""

from __future__ import annotations

from urllib.parse import quote

from archive.records.schema import KINDS, SINGULAR, split_ref

SEARCH_FOLDER = "search/"
THEME = "theme"
PEOPLE = "people.html"
AIRCRAFT = "aircraft.html"
HOLDING = "what-holds-what.html"
BENCH = "measuring-bench.html"
STATES = "what-has-moved.html"
ESTIMATES = "estimates.html"
CARDS = "cards.html"
RIGHTS = "rights.html"
EDITIONS = "editions.html"
RIGHTS_TABLE = "rights.csv"
TEMPLATES = {"a4": "A4", "letter": "Letter"}
"""Papers that templates are set for, and what they are called."""

_ON_AIRCRAFT = {kind: singular for singular, kind in SINGULAR.items()}


def page_of(ref: str) -> str:
    """The page that a canonical REF stands on, from the site's root; "" for a kind with no page.

    >>> page_of("parts/nose-bowl#rivet-pitch"), page_of("events/raised")
    ('parts/nose-bowl.html', 'aircraft.html')
    """
    kind, id_, _ = split_ref(ref)
    if kind in KINDS or kind == "zones":
        return f"{kind}/{id_}.html"
    if kind == "people":
        return PEOPLE
    if kind in ("events", "configurations", "sisters"):
        return AIRCRAFT
    return ""


def address(ref: str) -> str:
    """Page and anchor of a canonical REF, from the site's root; "" for a kind with no page.

    >>> address("photos/slipway-1932#port-chine"), address("events/raised")
    ('photos/slipway-1932.html#port-chine', 'aircraft.html#event-raised')
    """
    kind, id_, piece = split_ref(ref)
    page = page_of(ref)
    if page == PEOPLE:
        piece = id_
    elif page == AIRCRAFT:
        piece = f"{_ON_AIRCRAFT[kind]}-{id_}"
    return f"{page}#{piece}" if page and piece else page


def template_of(ref: str, paper: str) -> str:
    """The template of a measurement's plane, set for a paper of `TEMPLATES`.

    >>> template_of("measurements/stripe-slipway", "a4")
    'templates/stripe-slipway-a4.pdf'
    """
    return f"templates/{ref.partition('/')[2]}-{paper}.pdf"


def root_of(page: str) -> str:
    """The way from a page back to the site's root: "" or "../" as often as it lies deep.

    >>> root_of("index.html"), root_of("parts/nose-bowl.html")
    ('', '../')
    """
    return "../" * page.count("/")


def href(root: str, target: str) -> str:
    """A relative link to a page of the site, written so that any browser reads it from a disk."""
    path, hash_, anchor = target.partition("#")
    return root + quote(path) + hash_ + quote(anchor)
