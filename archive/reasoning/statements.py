"""What the records say about when things happened, as statements that bound moments.

The rules are numbered in `core.rules` (T1 to T10).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from archive.core.dates import Dating, show_dating
from archive.core.findings import Reason
from archive.reasoning.exposures import PUBLISHED, Exposures
from archive.reasoning.lives import Life, event_name
from archive.reasoning.said import (
    ABSENCES,
    AIRCRAFT,
    CALENDAR,
    DAY,
    PARTS,
    RECORDS,
    WRITTEN,
    Order,
    Statement,
)
from archive.records.aircraft import Event, Sister
from archive.records.library import Library
from archive.records.photo import Photo, PhotoDate
from archive.records.source import Source
from archive.records.spec import Judged

COPIES = frozenset(
    {
        "later-print",
        "copy-negative",
        "copy-print",
        "halftone",
        "photocopy",
        "scan",
    }
)
"""Generations on which a written date is likely to be the copy's own (T4)."""


def after(one: str, other: str) -> Order:
    """`one` comes later than `other`."""
    return Order(one, other, -1)


def no_older(one: str, other: str) -> Order:
    """`one` comes no earlier than `other`; it may be the same moment."""
    return Order(one, other, 0)


def together(one: str, other: str) -> tuple[Order, Order]:
    """Both are the same moment."""
    return Order(one, other, 0), Order(other, one, 0)


def within(moment: str, dating: Dating) -> tuple[Order, ...]:
    """A moment lies within a date's bounds."""
    return (*not_before(moment, dating), *not_later(moment, dating))


def not_before(moment: str, dating: Dating) -> tuple[Order, ...]:
    """A moment lies no earlier than the first instant of a date's first day."""
    first = dating.earliest
    return (Order(moment, CALENDAR, -DAY * first.toordinal()),) if first else ()


def not_later(moment: str, dating: Dating) -> tuple[Order, ...]:
    """A moment lies no later than the last instant of a date's last day."""
    last = dating.latest
    return (Order(CALENDAR, moment, DAY * last.toordinal() + DAY - 1),) if last else ()


def stopped(sentence: str) -> str:
    """The sentence with its stop, where people left that out."""
    return sentence if sentence.endswith((".", "!", "?", "…")) else f"{sentence}."


def named(library: Library, ref: str) -> str:
    """What a moment or a feature is called in a sentence."""
    found = library.get(ref)
    if isinstance(found, Event):
        return event_name(found)
    if isinstance(found, Sister):
        return found.mark or found.id
    return library.title(ref).rstrip(".")


def of_lives(library: Library, lives: tuple[Life, ...]) -> Iterator[Statement]:
    """T1, T2 and T10: the dates of events, the order that states and fitted parts give them."""
    aircraft = library.aircraft
    if aircraft is None:
        return
    for life in lives:
        for ref, event in life.events.items():
            if event.when and (bounds := within(ref, event.when)):
                name = event_name(event)
                says = f"“{name}” is dated {show_dating(event.when)}."
                check = f"the date of “{name}” and what it rests on"
                reason = Reason("T1", says, (ref, *event.evidence))
                yield Statement(reason, (bounds,), AIRCRAFT, check, aircraft, event, "when")
        for ref, state in life.states.items():
            orders = tuple(
                after(end, start) for start in life.starts(ref) for end in life.ends(ref)
            )
            if orders:
                says = f"“{state.name}” begins before it ends."
                reason = Reason("T2", says, (ref, *life.starts(ref), *life.ends(ref)))
                check = f"after and before of “{state.name}”"
                yield Statement(reason, (orders,), AIRCRAFT, check, aircraft, state, "before")
    for id_, sister in library.sisters.items():
        if sister.built and (bounds := within(f"sisters/{id_}", sister.built)):
            says = f"{sister.mark or id_} was built {show_dating(sister.built)}."
            reason = Reason("T10", says, (f"sisters/{id_}",))
            check = f"when {sister.mark or id_} was built"
            yield Statement(reason, (bounds,), AIRCRAFT, check, aircraft, sister, "built")
    seen: set[tuple[str, str]] = set()
    for part in library.parts.values():
        fitted = part.fitted
        if not fitted or not fitted.since or not fitted.until:
            continue
        pair = (fitted.since, fitted.until)
        if pair not in seen and set(pair) <= set(lives[0].events):
            seen.add(pair)
            reason = Reason(
                "T2", f"“{part.title}” was fitted before it was taken off.", (part.ref,)
            )
            order = ((after(fitted.until, fitted.since),),)
            yield Statement(
                reason, order, PARTS, f"fitted of “{part.title}”", part, fitted, "until"
            )


def of_source(library: Library, exposures: Exposures, source: Source) -> Iterator[Statement]:
    """T3, T4 and T6: when a source was made, and that it is no older than what it was made from."""
    title, cited = source.title, source.citation
    if exposures.trusted(source.ref):
        issued = cited.issued if cited else None
        if source.dated is not None:
            found = _argued(source.dated, source.ref, f"“{title}”")
            if found:
                reason, bounds = found
                check = f"the date argued for “{title}”"
                yield Statement(reason, (bounds,), RECORDS, check, source, source, "dated")
        elif issued is not None and cited is not None and not _loose(issued):
            bounds = within(source.ref, issued)
            published = cited.type in PUBLISHED
            if bounds and published:
                says = f"“{title}” was published {show_dating(issued)}."
                reason = Reason("T6", says, (source.ref,))
                check = f"the date of issue of “{title}”"
                yield Statement(reason, (bounds,), RECORDS, check, source, cited, "issued")
            elif bounds:
                says = f"“{title}” is catalogued as of {show_dating(issued)}."
                reason = Reason("T4", says, (source.ref,))
                check = f"who dated “{title}”, and from what"
                yield Statement(reason, (bounds,), WRITTEN, check, source, cited, "issued")
    for index, other in enumerate(exposures.made_from(source)):
        says = f"“{title}” was made from “{library.title(other)}”, so it is no older."
        reason = Reason("T6", says, (source.ref, other))
        check = f"what “{title}” was made from"
        yield Statement(
            reason,
            ((no_older(source.ref, other),),),
            RECORDS,
            check,
            source,
            source,
            f"derived_from[{index}]",
        )
    container = exposures.published_in(source)
    if container:
        says = f"“{title}” was published in “{library.title(container)}”."
        reason = Reason("T6", says, (source.ref, container))
        check = f"whether “{title}” came out in “{library.title(container)}”"
        order = ((no_older(container, source.ref),),)
        yield Statement(reason, order, RECORDS, check, source, source, "within")


def of_photo(
    library: Library, exposures: Exposures, life: Life | None, photo: Photo
) -> Iterator[Statement]:
    """T3 to T10: everything that is said about when a photograph was taken.

    `life` is the life of the aircraft that it shows, None where nobody says which.
    """
    title = photo.title
    other = exposures.same_as(photo)
    if other:
        named = library.title(other)
        says = f"“{title}” comes from “{named}”: one exposure, one day."
        if other.startswith("photos/"):
            says = f"“{title}” and “{named}” are pictures of one print: one exposure, one day."
        orders = together(photo.ref, other)
        reason = Reason("T5", says, (photo.ref, other))
        check = f"whether “{title}” really comes from “{named}”"
        yield Statement(reason, (orders,), RECORDS, check, photo, photo, "source")
    made = exposures.made_as(photo)
    if made and made != other:
        says = f"“{title}” is a picture of “{library.title(made)}”, which was made no earlier."
        reason = Reason("T6", says, (photo.ref, made))
        check = f"whether “{title}” is a picture of “{library.title(made)}”"
        order = ((no_older(made, photo.ref),),)
        yield Statement(reason, order, RECORDS, check, photo, photo, "source")
    twin = exposures.same_file(photo)
    if twin:
        says = f"“{title}” and “{library.title(twin)}” have one and the same picture file."
        reason = Reason("T5", says, (photo.ref, twin))
        check = f"which file belongs to “{title}”"
        orders = together(photo.ref, twin)
        yield Statement(reason, (orders,), RECORDS, check, photo, photo, "file")
    for twin in exposures.proved(photo):
        says = f"“{title}” and “{library.title(twin)}” share grain or dust: one negative."
        reason = Reason("T5", says, (photo.ref, twin))
        check = f"whether the pictures of “{title}” and “{library.title(twin)}” are of one negative"
        orders = together(photo.ref, twin)
        yield Statement(reason, (orders,), RECORDS, check, photo, photo, "file")
    for ruling in photo.same_negative:
        twin = (ruling.photo or "").partition("#")[0]
        if ruling.is_same == "same" and twin in exposures.photos and twin != photo.ref:
            says = (
                f"{ruling.by} ruled that “{title}” and “{library.title(twin)}” are of one "
                f"negative: {ruling.because}"
            )
            orders = together(photo.ref, twin)
            reason = Reason("T5", stopped(says), (photo.ref, twin))
            check = f"the ruling that “{title}” and “{library.title(twin)}” are of one negative"
            yield Statement(reason, (orders,), RECORDS, check, photo, ruling, "is_same")
    if photo.date:
        yield from _dates(exposures, photo, photo.date)
    if life:
        if life.sister:
            yield from _built(library, photo, life)
        if photo.shows:
            yield from _seen(library, photo, life)
        if photo.configurations:
            yield from _ruled(library, photo, life)


def _dates(exposures: Exposures, photo: Photo, date: PhotoDate) -> Iterator[Statement]:
    if date.argued is not None:
        found = _argued(date.argued, photo.ref, f"“{photo.title}”")
        if found:
            reason, bounds = found
            check = f"the date argued for “{photo.title}”"
            yield Statement(reason, (bounds,), RECORDS, check, photo, date, "argued")
    elif date.stated is not None and not _loose(date.stated):
        if exposures.argued(photo) or not exposures.trusted(photo.ref) or "argued" in date.lost:
            return
        bounds = within(photo.ref, date.stated)
        says = f"On “{photo.title}” stands {show_dating(date.stated)}; nobody has argued a date."
        if exposures.generation(photo) in COPIES:
            bounds = not_later(photo.ref, date.stated)
            says = (
                f"On “{photo.title}” stands {show_dating(date.stated)}; on a copy that is a "
                "latest day, no more."
            )
        if bounds:
            reason = Reason("T4", says, (photo.ref,))
            check = f"what is written on “{photo.title}”, and who wrote it"
            yield Statement(reason, (bounds,), WRITTEN, check, photo, date, "stated")


def _built(library: Library, photo: Photo, life: Life) -> Iterator[Statement]:
    says = f"“{photo.title}” shows {named(library, life.sister)}, which had been built by then."
    reason = Reason("T10", says, (photo.ref, life.sister))
    check = f"which aircraft “{photo.title}” shows"
    order = ((no_older(photo.ref, life.sister),),)
    yield Statement(reason, order, RECORDS, check, photo, photo, "airframe")


def _seen(library: Library, photo: Photo, life: Life) -> Iterator[Statement]:
    for shown in photo.shows:
        feature = (shown.feature or "").partition("#")[0]
        absent = shown.is_seen == "absent"
        if not feature or (absent and not shown.would_have_shown):
            continue
        since, until = life.spell(library, feature)
        ways = _outside(photo.ref, since, until) if absent else _inside(photo.ref, since, until)
        if not ways:
            continue
        name = named(library, feature)
        place = f"{photo.ref}#{shown.region}" if shown.region else photo.ref
        there = _when(library, since, until)
        if absent:
            says = f"“{photo.title}” does not show “{name}”, which would have shown{there}."
            check = f"whether “{name}” would have shown on “{photo.title}”"
        else:
            says = f"“{photo.title}” shows “{name}”{there}."
            check = f"whether “{photo.title}” really shows “{name}”"
        if feature.startswith("parts/"):
            check += f", and between which events “{name}” was fitted"
        reason = Reason("T8" if absent else "T7", says, (place, feature))
        stands = ABSENCES if absent else RECORDS
        yield Statement(reason, ways, stands, check, photo, shown, "feature")


def _ruled(library: Library, photo: Photo, life: Life) -> Iterator[Statement]:
    for ruling in photo.configurations:
        state = ruling.configuration or ""
        if ruling.is_in not in ("must", "cannot") or state not in life.states:
            continue
        starts, ends = life.starts(state), life.ends(state)
        must = ruling.is_in == "must"
        ways = _inside(photo.ref, starts, ends) if must else _outside(photo.ref, starts, ends)
        if ways:
            says = (
                f"{ruling.by} ruled that “{photo.title}” {ruling.is_in} fall in "
                f"“{library.title(state)}”: {ruling.because}"
            )
            reason = Reason("T9", stopped(says), (photo.ref, state))
            check = (
                f"the ruling that “{photo.title}” {ruling.is_in} fall in “{library.title(state)}”"
            )
            yield Statement(reason, ways, RECORDS, check, photo, ruling, "is_in")


def _inside(
    moment: str, since: tuple[str, ...], until: tuple[str, ...]
) -> tuple[tuple[Order, ...], ...]:
    orders = (*(after(moment, event) for event in since), *(after(e, moment) for e in until))
    return (orders,) if orders else ()


def _outside(
    moment: str, since: tuple[str, ...], until: tuple[str, ...]
) -> tuple[tuple[Order, ...], ...]:
    return (
        *((after(event, moment),) for event in since),
        *((after(moment, event),) for event in until),
    )


def _when(library: Library, since: tuple[str, ...], until: tuple[str, ...]) -> str:
    words = [f"from “{named(library, event)}” on" for event in since]
    words += [f"until “{named(library, event)}”" for event in until]
    return f" ({', '.join(words)})" if words else ""


def _argued(judged: Any, moment: str, title: str) -> tuple[Reason, tuple[Order, ...]] | None:
    """T3: the reason and the bounds of a date that somebody argues for; None where it has none."""
    dating: Dating | None = judged.says if isinstance(judged, Judged) else judged
    if dating is None or not (bounds := within(moment, dating)):
        return None
    who = f"{judged.by} dates {title}" if getattr(judged, "by", None) else f"{title} is dated"
    why = f": {judged.because}" if getattr(judged, "because", None) else ""
    return Reason("T3", stopped(f"{who} {show_dating(dating)}{why}"), (moment,)), bounds


def _loose(dating: Dating) -> bool:
    """Is it marked as approximate or uncertain?"""
    return dating.approximate or dating.uncertain
