"""Hints at when copyright may have ended in the United States, after a published chart.

Cornell University Library, "Copyright Term and the Public Domain" (the chart of P. Hirtle), here
from memory for works that were not made abroad: before 95 years ago published, public domain;
published 1931 to 1963, public domain unless there was a notice and a renewal; 1964 to 1977, 95
years with a notice; unpublished with an unknown maker, 120 years from the making. A hint is where
to look; it is no advice, it allows nothing, and other countries count otherwise.
"""

from __future__ import annotations

from archive.core.dates import Dating, Day
from archive.records.source import Source
from archive.records.spec import Judged

PUBLISHED = frozenset(
    [
        "article-journal",
        "article-magazine",
        "article-newspaper",
        "book",
        "chapter",
        "map",
        "pamphlet",
        "patent",
        "periodical",
        "standard",
    ]
)
PUBLISHED_YEARS, UNPUBLISHED_YEARS = 95, 120


def hint(source: Source, as_of: Day) -> str:
    """A sentence about a source's term in the United States; "" where nothing can be said.

    The latest day of its date counts, and the calendar year after the last one protected.
    """
    dated = source.dated.says if isinstance(source.dated, Judged) else source.dated
    made = source.citation.issued if source.citation else None
    kind = source.citation.type if source.citation else None
    told = made if kind in PUBLISHED else (dated or made)
    latest = told.latest if isinstance(told, Dating) else None
    if latest is None:
        return ""
    year = latest.year
    if kind not in PUBLISHED:
        ends = year + UNPUBLISHED_YEARS
        if as_of.year > ends:
            return f"If never published, and its maker is unknown: free since {ends + 1}."
        return f"If never published, and its maker is unknown: to the end of {ends}."
    ends = year + PUBLISHED_YEARS
    if as_of.year > ends:
        return f"Published in {year}: free since {ends + 1}."
    if year <= 1963:
        return f"Published in {year}: free if it had no notice, or was not renewed; else {ends}."
    if year <= 1977:
        return f"Published in {year}: free if it had no notice; else to the end of {ends}."
    return f"Published in {year}: protected."
