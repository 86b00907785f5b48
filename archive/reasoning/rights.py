"""May we? Whether an item may be put to a use on a day: default no, every reason numbered.

Rights are about use, never about truth: nothing here moves a grade.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.dates import Day
from archive.core.findings import Finding, Reason
from archive.core.permissions import PERMITTED, WITHHELD, Owed, Permission, Rights
from archive.core.statements import Statement, statement_of
from archive.reasoning.independence import ancestry, source_of
from archive.reasoning.term_hints import hint
from archive.records.check_rights import clashes
from archive.records.library import Library, nodes_in
from archive.records.source import USES, Grant, Source
from archive.records.source import Rights as Written
from archive.records.spec import Record

WORLD = frozenset({"world", "worldwide", "the world", "everywhere"})
BOUND = ("own", "permission", "licence", "public-domain", "orphan")
"""Bases that say something definite: what was made from such an item is bound by it."""


@dataclass(frozen=True, slots=True)
class _Asked:
    library: Library
    use: str
    as_of: Day


def permission(library: Library, ref: str, use: str, as_of: Day) -> Permission:
    """Whether a photograph or a source may be put to `use` (one of USES) on the day `as_of`.

    `ref` is the REF of a whole record. Raises KeyError where there is no such record, and
    ValueError for a use that isn't one.
    """
    if use not in USES:
        raise ValueError(f"not a use: {use!r}")
    record = library.get(ref)
    if not isinstance(record, Record) or record.kind not in ("photos", "sources"):
        raise KeyError(ref)
    asked = _Asked(library, use, as_of)
    source = source_of(library, ref)
    stops = [*_kept(record)]
    if source is None:
        says = (
            "It names no source, so nothing says whose it is."
            if not getattr(record, "source", None)
            else "Its source isn't in the record."
        )
        stops.append(Reason("U1", says, (ref,)))
        return Permission(ref, use, Finding(WITHHELD, tuple(stops)))
    if source is not record:
        stops += _kept(source)
    own_stops, grounds, terms = _own(asked, source)
    stops += [*own_stops, *_consent(asked, source), *_bound(asked, ref, source)]
    if stops or not grounds:
        return Permission(ref, use, Finding(WITHHELD, tuple(dict.fromkeys(stops))))
    return _with_terms(Permission(ref, use, Finding(PERMITTED, tuple(grounds))), source, terms)


def rights_of(library: Library, as_of: Day) -> dict[str, Rights]:
    """REF of every source and photograph → what may be done with it on that day."""
    items = [*library.sources.values(), *library.photos.values()]
    return {item.ref: _known(library, item.ref, as_of) for item in items}


def _known(library: Library, ref: str, as_of: Day) -> Rights:
    source = library.sources.get(ref.partition("/")[2]) if ref.startswith("sources/") else None
    return Rights(
        ref,
        tuple(permission(library, ref, use, as_of) for use in USES),
        hint(source, as_of) if source else "",
    )


def _kept(record: Record) -> Iterator[Reason]:
    """What keeps a record from everybody, whatever its rights."""
    if getattr(record, "sealed", None):
        yield Reason("U14", "It is sealed.", (record.ref,))
    lost = [name for node in nodes_in(record) for name in node.lost]
    if lost:
        says = f"Something in its note can't be read ({', '.join(sorted(set(lost)))})."
        yield Reason("U1", says, (record.ref,))


def _own(asked: _Asked, source: Source) -> tuple[list[Reason], list[Reason], tuple[Grant, ...]]:
    """What the item's own rights say: what stops the use, what allows it, and the grants used."""
    rights, here = source.rights, (source.ref,)
    if rights is None or rights.basis is None:
        return [Reason("U1", "Nothing is recorded of its rights.", here)], [], ()
    stops = [Reason("U10", says, here) for says in clashes(rights)]
    statement = statement_of(rights.statement) if rights.statement else None
    if asked.use in rights.refused:
        stops.append(Reason("U3", f"Its use for {asked.use} was asked for and refused.", here))
    if rights.basis == "unknown":
        return [*stops, Reason("U1", "Nobody knows who holds its rights.", here)], [], ()
    if rights.basis in ("permission", "orphan"):
        if rights.basis == "orphan" and not (rights.log and rights.because):
            says = "Its holder wasn't found, and no record of the search stands here."
            stops.append(Reason("U9", says, here))
        refused, allowed = _granted(asked, source, rights)
        grounds = [_ground(asked, source, grant) for grant in allowed]
        return [*stops, *(() if allowed else refused)], grounds, allowed
    if rights.basis == "licence":
        return _licensed(asked, source, statement, stops)
    if not rights.because:
        says = {
            "own": "It is called our own, and nothing says how its rights came to be ours.",
            "public-domain": "It is called public domain, and nothing says why.",
        }[rights.basis]
        rule = "U2" if rights.basis == "own" else "U7"
        return [*stops, Reason(rule, says, here)], [], ()
    rule, called = {
        "own": ("U2", "Its rights are our own"),
        "public-domain": ("U7", "It is in the public domain"),
    }[rights.basis]
    return stops, [Reason(rule, f"{called}: {rights.because.rstrip('.')}.", here)], ()


def _licensed(
    asked: _Asked, source: Source, statement: Statement | None, stops: list[Reason]
) -> tuple[list[Reason], list[Reason], tuple[Grant, ...]]:
    here = (source.ref,)
    if statement is None or not statement.licence:
        says = "It is said to be under an open licence, and no address of one is given."
        return [*stops, Reason("U8", says, here)], [], ()
    if "nc" in statement.elements and asked.use == "promotion":
        stops.append(Reason("U8", f"{statement.name} isn't for promotion.", here))
    credit = (source.rights.credit if source.rights else None) or ""
    if "by" in statement.elements and not credit:
        stops.append(Reason("U8", f"{statement.name} asks for a credit line; none is given.", here))
    return stops, [Reason("U8", f"It is under an open licence, {statement.name}.", here)], ()


def _granted(
    asked: _Asked, source: Source, rights: Written
) -> tuple[list[Reason], tuple[Grant, ...]]:
    """Why each grant for the use doesn't hold, and those that do."""
    found = [grant for grant in rights.grants if grant.use == asked.use]
    if not found:
        says = f"Nothing is granted for {asked.use}."
        return [Reason("U3", says, (source.ref,))], ()
    stops: list[Reason] = []
    allowed: list[Grant] = []
    for grant in found:
        rests = (source.ref, *filter(None, (grant.letter,)))
        if grant.since and asked.as_of < grant.since:
            stops.append(Reason("U4", f"The grant begins on {grant.since}.", rests))
        elif grant.until and asked.as_of > grant.until:
            stops.append(Reason("U4", f"The grant ended on {grant.until}.", rests))
        elif asked.use == "web" and grant.territory and not everywhere(grant.territory):
            says = f"The grant is for one territory: {grant.territory}."
            stops.append(Reason("U5", says, rests))
        elif grant.one_time and asked.use == "web":
            says = "The grant is for one occasion, and a site is made again."
            stops.append(Reason("U6", says, rests))
        elif grant.one_time and grant.used:
            stops.append(Reason("U6", f"The one occasion was used on {grant.used}.", rests))
        else:
            allowed.append(grant)
    return stops, tuple(allowed)


def _ground(asked: _Asked, source: Source, grant: Grant) -> Reason:
    says = f"Its holder grants {asked.use}"
    if grant.until:
        says += f", until {grant.until}"
    return Reason("U3", f"{says}.", (source.ref, *filter(None, (grant.letter,))))


def _consent(asked: _Asked, source: Source) -> Iterator[Reason]:
    """A narrator's consent, and the deed that is a paper of its own."""
    consent, here = source.consent, (source.ref,)
    kind = source.citation.type if source.citation else None
    if consent is None:
        if kind == "interview":
            yield Reason("U11", "It is an interview, and no consent is recorded.", here)
        return
    if consent.withdrawn is not None:
        letter = tuple(filter(None, (consent.withdrawn.letter,)))
        says = "Consent was taken back"
        if consent.withdrawn.on:
            says += f" on {consent.withdrawn.on}"
        yield Reason("U12", f"{says}.", (*here, *letter))
        return
    if not consent.given or not consent.form:
        yield Reason("U11", "The day or the form of the consent is missing.", here)
    elif consent.given > asked.as_of:
        yield Reason("U11", f"Consent is given from {consent.given} on.", here)
    if not consent.deed:
        says = "No deed or licence of the recording is on file; consent is not copyright."
        yield Reason("U11", says, here)


def _bound(asked: _Asked, ref: str, source: Source) -> Iterator[Reason]:
    """What stands against the things that the item was made from."""
    for name in ancestry(asked.library, ref):
        if name in (ref, source.ref):
            continue
        origin = asked.library.get(name)
        if origin is None:
            yield Reason("U13", "What it was made from isn't in the record.", (name,))
            continue
        if not isinstance(origin, Record):
            continue
        if any(_kept(origin)):
            yield Reason("U13", "What it was made from is withheld altogether.", (name,))
            continue
        if not isinstance(origin, Source):
            continue
        against = any(_consent(asked, origin))
        if not against and origin.rights and origin.rights.basis in BOUND:
            stops, grounds, _ = _own(asked, origin)
            against = bool(stops) or not grounds
        if against:
            says = f"What it was made from may not be used for {asked.use}."
            yield Reason("U13", says, (name,))


def _with_terms(found: Permission, source: Source, grants: tuple[Grant, ...]) -> Permission:
    """The terms that the permission comes with; of several grants the strictest word holds."""
    rights = source.rights
    assert rights is not None
    grant = max(grants, key=lambda one: one.until or Day.max) if grants else None
    statement = statement_of(rights.statement) if rights.statement else None
    altered: dict[str, bool] = {}
    for field in ("crop", "overprint"):
        words = [getattr(rights, field), getattr(grant, field) if grant else None]
        altered[field] = True in words and False not in words
        if statement and "nd" in statement.elements:
            altered[field] = False
    return Permission(
        found.ref,
        found.use,
        found.finding,
        credit=(grant.credit if grant and grant.credit else rights.credit) or "",
        crop=altered["crop"],
        overprint=altered["overprint"],
        until=grant.until if grant else None,
        conditions=tuple(_conditions(grant, statement)),
        owed=tuple(Owed(one.owes, one.settled) for one in grants if one.owes),
        statement=rights.statement or "",
    )


def _conditions(grant: Grant | None, statement: Statement | None) -> Iterator[str]:
    if grant and grant.territory:
        yield f"For {grant.territory}."
    if grant and grant.one_time:
        yield "For one occasion only; note the day with `used:`."
    if statement and "sa" in statement.elements:
        yield f"What is made from it goes out under the same licence, {statement.name}."
    if statement and "nc" in statement.elements:
        yield "Not for sale."


def everywhere(territory: str) -> bool:
    """Whether a territory is the whole world."""
    return territory.strip().rstrip(".").casefold() in WORLD
