"""A want of evidence as a request in shop words: from where, of when, with what out of the way."""

from __future__ import annotations

from typing import Any

from archive.core.date_words import day_words
from archive.records.claim import Claim
from archive.records.library import Library
from archive.records.part import Part

COWLING = "7110"
"""The JASC code of an engine's cowling, which lies over what belongs to the engine."""

DOORS = ("52", "5350")
"""JASC codes (or their beginnings) of doors, hatches and fairings."""

ASPECTS = {"existence": "whether it was there"}
"""Aspects that a request tells in other words than "the size of it"."""


def view_of(part: Part) -> str:
    """From where a part is seen: "from port"."""
    return {
        "port": "from port",
        "starboard": "from starboard",
        "both": "from either side",
    }.get(part.side or "", "from either side, or from ahead or astern")


def over(library: Library, part: Part) -> list[Part]:
    """The parts that lie over a part and must be off before it is seen."""
    chapter = (part.system or "")[:2]
    found = []
    for ref in dict.fromkeys((*part.attaches, *part.mates)):
        other = library.parts.get(ref.partition("#")[0].partition("/")[2])
        code = (other.system if other else None) or ""
        engine = code.startswith(COWLING) and "71" <= chapter <= "85"
        hung = code.startswith(DOORS) and ref in part.attaches
        if other and (engine or hung) and not (part.system or "").startswith(COWLING):
            found.append(other)
    return found


def opened(library: Library, part: Part) -> str:
    """What must be off to see a part: "with “Port cowl” off"; "" where nothing lies over it."""
    names = [name(other) for other in over(library, part)]
    return f"with {' and '.join(names)} off" if names else ""


def within(library: Library, part: Part, claim: Claim) -> str:
    """Between which days: "after 11 June 1932 and before May 1933"; "" where nothing bounds it."""
    state = library.configurations.get((claim.configuration or "").partition("/")[2])
    if state is not None:
        starts, ends = state.after, state.before
    else:
        fitted = part.fitted
        starts = (fitted.since,) if fitted and fitted.since else ()
        ends = (fitted.until,) if fitted and fitted.until else ()
    since = [day for ref in starts if (day := _bound(library, ref, last=True))]
    until = [day for ref in ends if (day := _bound(library, ref, last=False))]
    told = []
    if since:
        told.append(f"after {_words(max(since), last=True)}")
    if until:
        told.append(f"before {_words(min(until), last=False)}")
    return " and ".join(told)


def _bound(library: Library, ref: str, last: bool) -> Any:
    """The latest day (with `last`) or the earliest of an event; None where it has none."""
    event = library.events.get(ref.partition("/")[2])
    if event is None or event.when is None:
        return None
    return event.when.latest if last else event.when.earliest


def _words(day: Any, last: bool) -> str:
    """A day in words; the last (or first) day of a month is told by the month alone."""
    edge = day.replace(day=1) if not last else type(day).fromordinal(day.toordinal() + 1)
    if edge.day == 1 and (last or day.day == 1):
        return day_words(day.year, day.month)
    return day_words(day.year, day.month, day.day)


def name(part: Part) -> str:
    """A part as a sentence names it, in quotation marks: titles have commas of their own."""
    return f"“{part.title or part.id}”"


def aspect_of(claim: Claim) -> str:
    """What is asked about, in words: "its size", "whether it was there"."""
    return ASPECTS.get(claim.aspect or "", f"its {claim.aspect}")


def picture(library: Library, part: Part, claim: Claim, of: str = "A photograph") -> str:
    """A photograph that somebody should look for, as a sentence."""
    mark = library.aircraft.mark if library.aircraft and library.aircraft.mark else "the aircraft"
    where = ", ".join(filter(None, (view_of(part), opened(library, part))))
    when = within(library, part, claim)
    told = f"{of} of {mark}, {where}, that shows {name(part)}"
    if when:
        told += f", taken {when}"
    if claim.aspect in ("size", "position"):
        told += "; with something of known length in the same plane"
    return f"{told}."


def paper(library: Library, part: Part, claim: Claim) -> str:
    """A paper that somebody should look for, as a sentence."""
    when = within(library, part, claim)
    dated = f", written {when}" if when else ", with its date"
    return (
        f"A letter, log or works paper by somebody who saw {name(part)}{dated}, that tells "
        f"{aspect_of(claim)}."
    )
