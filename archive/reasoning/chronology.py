"""When photographs were taken and events happened: the bounds that all statements give together.

Every bound comes with the chain of statements that gives it, and every contradiction as a set of
statements that can't all be true. The rules are numbered in `core.rules` (T1 to T12).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from types import MappingProxyType

from archive.core.dates import Dating, Day, show_bounds, show_dating
from archive.core.findings import Finding, Reason
from archive.core.likeness import Likeness
from archive.core.verdicts import Dated
from archive.reasoning.alike import related
from archive.reasoning.clashes import disputed, notes_on, problem_of, told
from archive.reasoning.exposures import Exposures
from archive.reasoning.lives import Life, lives_of
from archive.reasoning.memo import Anew
from archive.reasoning.said import CALENDAR, DAY, Statement
from archive.reasoning.spells import spell
from archive.reasoning.statements import of_lives, of_photo, of_source
from archive.reasoning.states import Clocks, deciding, state_of
from archive.reasoning.tightening import Tightened
from archive.reasoning.times import Times
from archive.records.library import Library
from archive.records.photo import Photo

NO_SUMS: Mapping[str, str] = MappingProxyType({})
NO_NOTES: Mapping[str, tuple[Reason, ...]] = MappingProxyType({})


def chronology(
    library: Library,
    sums: Mapping[str, str] = NO_SUMS,
    alike: tuple[Likeness, ...] = (),
    memo: Anew | None = None,
) -> Times:
    """Work out when everything happened, from all that the records say of it.

    `sums` gives the checksum of each photograph's file, by id, as far as known; `alike` are the
    answers about pictures that are related; `memo` is what was found before.
    """
    lives = lives_of(library)
    exposures = Exposures(library, sums, related(library, sums, alike))
    said = [*of_lives(library, lives), *said_by(library, lives, exposures)]
    tightened = Tightened(_fixed(lives), said)
    notes = notes_on(tightened)
    dates = {
        ref: _dated(tightened, ref, {}, notes.get(ref, ())) for life in lives for ref in life.events
    }
    clocks = Clocks(library, tightened, deciding(library, dates))
    dates |= dates_of(clocks, lives, exposures, notes, memo)
    return Times(
        dates=dates,
        spells={ref: spell(life, ref, dates) for life in lives for ref in life.states},
        clashes=tuple(told(tightened, clash) for clash in tightened.clashes),
        problems=tuple(problem_of(library, tightened, clash) for clash in tightened.clashes),
        tightened=tightened,
        deciding=clocks.deciding,
        disputed=disputed(tightened),
    )


def said_by(library: Library, lives: tuple[Life, ...], exposures: Exposures) -> Iterator[Statement]:
    """All that photographs, and sources that hang together with them, say about time."""
    for source in exposures.sources.values():
        yield from of_source(library, exposures, source)
    for photo in exposures.photos.values():
        yield from of_photo(library, exposures, exposures.life_of(lives, photo), photo)


def dates_of(
    clocks: Clocks,
    lives: tuple[Life, ...],
    exposures: Exposures,
    notes: Mapping[str, tuple[Reason, ...]] = NO_NOTES,
    memo: Anew | None = None,
) -> dict[str, Dated]:
    """The days and states of every photograph that has a moment, by REF.

    `notes` is what is to be told of a photograph besides; `memo` what was found before.
    """
    memo = memo or Anew(clocks.library)
    clocks = memo.watch("clocks", clocks)
    watched = {life.sister: memo.watch(f"life {life.sister}", life) for life in lives}
    found: dict[str, Dated] = {}
    for ref, photo in exposures.photos.items():
        life = exposures.life_of(lives, photo)
        argued, told = exposures.argued(photo), notes.get(ref, ())
        own = watched[life.sister] if life else None
        work = partial(_dated_photo, clocks, own, photo.id, argued, told)
        found[ref] = memo.made("dates", ref, work, argued, told, life.sister if life else None)
    return found


def _dated_photo(
    clocks: Clocks, life: Life | None, id_: str, argued: bool, told: tuple[Reason, ...]
) -> Dated:
    photo = clocks.library.photos[id_]
    states = {s: state_of(clocks, life, photo, s) for s in life.states} if life else {}
    dated = _dated(clocks.tightened, photo.ref, states, told)
    return _with_written(dated, photo) if argued else dated


def _fixed(lives: tuple[Life, ...]) -> list[str]:
    """The moments that everything else hangs on: the calendar, every event, sisters built."""
    names = [CALENDAR]
    for life in lives:
        names += [*life.events, *([life.sister] if life.sister else [])]
    return names


def _dated(
    tightened: Tightened, ref: str, states: Mapping[str, Finding], notes: tuple[Reason, ...]
) -> Dated:
    back, onward = tightened.most(ref, CALENDAR), tightened.most(CALENDAR, ref)
    earliest = None if back is None else Day.fromordinal(-back // DAY)
    latest = None if onward is None else Day.fromordinal(onward // DAY)
    said = tightened.said
    first = tuple(said[n].reason for n in tightened.because(ref, CALENDAR))
    last = tuple(said[n].reason for n in reversed(tightened.because(CALENDAR, ref)))
    unbound = (Reason("T12", "Nothing in the record bounds it on this side.", (ref,)),)
    return Dated(
        ref=ref,
        earliest=earliest,
        latest=latest,
        earliest_finding=Finding(
            show_bounds(earliest, None) if earliest else "no earliest day", first or unbound
        ),
        latest_finding=Finding(
            show_bounds(None, latest) if latest else "no latest day", last or unbound
        ),
        states=states,
        told=notes,
    )


def _with_written(found: Dated, photo: Photo) -> Dated:
    """Tell of a written date that lies outside the bounds, where an argued one stood for it."""
    stated: Dating | None = photo.date.stated if photo.date else None
    if stated is None:
        return found
    early = stated.latest and found.earliest and stated.latest < found.earliest
    late = stated.earliest and found.latest and stated.earliest > found.latest
    if not early and not late:
        return found
    says = f"Written on it is {show_dating(stated)}: that is not the day it was taken."
    return Dated(
        found.ref,
        found.earliest,
        found.latest,
        found.earliest_finding,
        found.latest_finding,
        found.states,
        (*found.told, Reason("T4", says, (photo.ref,))),
    )
