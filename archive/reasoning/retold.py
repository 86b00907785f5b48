"""The chronology once a few records read otherwise, without working all of it out anew."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from archive.core.findings import Reason
from archive.reasoning.chronology import dates_of, said_by
from archive.reasoning.clashes import disputed
from archive.reasoning.exposures import Exposures
from archive.reasoning.layered import Layered
from archive.reasoning.lives import lives_of
from archive.reasoning.said import AIRCRAFT, CALENDAR, Order, Statement
from archive.reasoning.states import Clocks
from archive.reasoning.tightening import Tightened
from archive.reasoning.times import Times
from archive.records.library import Library


def retold(library: Library, times: Times, items: Iterable[str]) -> Times:
    """The days of a few photographs, by what `library` says of these `items` (REFs).

    `items` are all that hang together with what reads otherwise in it. What else is said of the
    events is taken from `times`, where these items may have had their part in it already.
    """
    names = set(items)
    # In the order of the ids, as they lie in the library.
    ids = [ref.partition("/")[::2] for ref in sorted(names)]
    photos = {k: p for kind, k in ids if kind == "photos" and (p := library.photos.get(k))}
    sources = {k: s for kind, k in ids if kind == "sources" and (s := library.sources.get(k))}
    for source in list(sources.values()):
        outer = library.sources.get((source.within or "").partition("/")[2])
        if outer:
            sources.setdefault(outer.id, outer)
    few = replace(library, photos=photos, sources=sources)
    exposures = Exposures(few, {})
    lives = lives_of(few)
    said = [*_fixed(times.tightened, few), *said_by(few, lives, exposures)]
    tightened = Tightened(times.tightened.fixed, said)
    clocks = Clocks(few, tightened, times.deciding)
    found = dates_of(clocks, lives, exposures)
    clashing = {ref: told for ref, told in times.disputed.items() if ref not in names}
    return replace(
        times,
        dates=Layered(found, times.dates),
        tightened=tightened,
        disputed={**clashing, **disputed(tightened)},
    )


def untold(library: Library, times: Times, numbers: Iterable[int]) -> Times | None:
    """The chronology without some statements, by number.

    None where that takes working everything out anew.
    """
    numbers = tuple(numbers)
    tightened = times.tightened.without(numbers)
    if tightened is None:
        return None
    names = {name.partition("/")[2] for name in photographs_beside(times, numbers)}
    few = replace(library, photos={k: p for k in names if (p := library.photos.get(k))}, sources={})
    clocks = Clocks(few, tightened, times.deciding)
    found = dates_of(clocks, lives_of(few), Exposures(few, {}))
    return replace(times, dates=Layered(found, times.dates), tightened=tightened)


def photographs_beside(times: Times, numbers: Iterable[int]) -> list[str]:
    """The photographs that hang together with what some statements (by number) are about."""
    return [name for name in times.tightened.beside(numbers) if name.startswith("photos/")]


def trusting(times: Times) -> dict[str, list[int]]:
    """Photograph or source → the numbers of those statements about its day that trust it.

    They count no longer once it is discredited, or anything that it was made from.
    """
    found: dict[str, list[int]] = {}
    for number, statement in enumerate(times.tightened.said):
        if statement.field in ("dated", "issued", "stated"):
            found.setdefault(f"{statement.reason.rests_on[0]}", []).append(number)
    return found


def _fixed(tightened: Tightened, library: Library) -> list[Statement]:
    """What is known of every two fixed moments, as one statement of the aircraft's."""
    fixed = tightened.fixed
    orders = [
        Order(one, other, most)
        for one in fixed
        for other in fixed
        if one != other and (most := tightened.most(one, other)) is not None
    ]
    aircraft = library.aircraft
    if aircraft is None or not orders:
        return []
    reason = Reason("T1", "What else is known of the events.", ())
    return [Statement(reason, (tuple(orders),), AIRCRAFT, CALENDAR, aircraft, aircraft, "events")]
