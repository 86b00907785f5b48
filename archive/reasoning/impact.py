"""If a record falls: what moves, what matters of it, what still stands, and along which parts.

There is no second set of rules here: the same reasoning is run on changed records, and the two
sets of findings are compared line by line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from archive.core.dates import show_bounds
from archive.core.findings import Reason
from archive.core.foresight import Beside, Impact, Moved
from archive.core.verdicts import Clash, Dated, Findings
from archive.reasoning.approvals import approvals_moved
from archive.reasoning.differences import AGREE, CLASH, between, keep
from archive.reasoning.ground import Given
from archive.reasoning.states import CANNOT
from archive.reasoning.supposing import default_for, suppose
from archive.reasoning.weigh import weigh
from archive.records.library import Library

TELLING = ("stories", "questions", "decisions")
"""Kinds of record whose words may need changing when what they tell of moves."""


def impact(
    library: Library,
    before: Findings,
    ref: str,
    what: str = "",
    other: str = "",
    given: Given = Given(),  # noqa: B008  (frozen)
) -> Impact:
    """What moves if `what` (one of SUPPOSITIONS) is supposed of the record `ref`.

    `before` are the findings of the library as it is, with what was `given`. Left out, `what` is
    the default for the record; `other` is what it is `same-as`, or
    the date to which it is `redated`. Raises `supposing.CannotSuppose`.
    """
    ref = ref.partition("#")[0]
    what = what or default_for(library, ref)
    supposed = suppose(library, ref, what, other)
    if what == "rights-revoked":
        return _use_alone(library, ref, supposed.says)
    after = weigh(
        supposed.library,
        given.as_of,
        given.sums,
        given.unfit,
        given.sizes,
        alike=given.alike,
    )
    lines = between(
        library,
        keep(library, before.claims, before.decisions, before.parts, before.cards),
        keep(library, after.claims, after.decisions, after.parts, after.cards),
    )
    grouped = _groups(before, after, supposed.changed)
    days = [
        *days_moved(library, before.dates, after.dates),
        *clashes_moved(ref, before.clashes, after.clashes),
    ]
    leaning = {claim for name in (ref, *supposed.changed) for claim in before.leaning.get(name, ())}
    signed = approvals_moved(before, after.decisions, after.parts)
    return impact_of(library, ref, supposed.says, (*grouped, *days, *signed, *lines), leaning)


def days_moved(
    library: Library, before: Mapping[str, Dated], after: Mapping[str, Dated]
) -> list[Moved]:
    """Events and photographs whose earliest or latest day is another, by REF; and photographs
    that must, may or cannot fall in a state otherwise than before.
    """
    lines = []
    for ref in sorted({*before, *after}):
        old, new = before.get(ref), after.get(ref)
        was, now = day_of(old), day_of(new)
        if was != now:
            lines.append(Moved(ref, "day", was, now))
        if old and new:
            lines += _belongs(library, old, new)
    return lines


def _belongs(library: Library, old: Dated, new: Dated) -> list[Moved]:
    lines = []
    for state, finding in old.states.items():
        was, now = finding.verdict, new.states[state].verdict if state in new.states else ""
        if was == now:
            continue
        reason = None
        if now == CANNOT:
            says = "It can be no evidence for that state."
            reason = Reason("T12", says, (old.ref, state))
        told = (word and f"{word} fall in “{library.title(state)}”" for word in (was, now))
        lines.append(Moved(old.ref, "belongs", next(told), next(told), reason))
    return lines


def clashes_moved(ref: str, before: Iterable[Clash], after: Iterable[Clash]) -> list[Moved]:
    """Clashes of dates that were not there before, and those that are there no longer.

    A clash is told at `ref` where it stands in it, else at the first record that does.
    """
    old, new = ({clash.finding: clash for clash in found} for found in (before, after))
    lines = []
    for finding in dict.fromkeys((*old, *new)):
        if finding in old and finding in new:
            continue
        clash = new.get(finding) or old[finding]
        at = ref if ref in clash.refs else next(iter(clash.refs), ref)
        told = (AGREE, CLASH) if finding in new else (CLASH, AGREE)
        says = " ".join(reason.says for reason in finding.reasons)
        reason = Reason("T11", says, clash.refs)
        matters = reason if finding in new and not clash.advice else None
        lines.append(Moved(at, "conflict", *told, matters, finding not in new))
    return lines


def day_of(dated: Dated | None) -> str:
    """The days between which something happened, in words; "" where it has none."""
    return show_bounds(dated.earliest, dated.latest) if dated else ""


def _groups(before: Findings, after: Findings, changed: Iterable[str]) -> list[Moved]:
    """Witness groups of the changed records that have other members now."""
    lines = []
    for ref in changed:
        old, new = (found.group_of.get(ref, "") for found in (before, after))
        was = before.groups[old].members if old else ()
        now = after.groups[new].members if new else ()
        if was != now:
            lines.append(Moved(ref, "group", _members(was), _members(now)))
    return lines


def _members(members: tuple[str, ...]) -> str:
    if not members:
        return ""
    return "one witness by itself" if len(members) == 1 else f"one witness in {len(members)} items"


def _use_alone(library: Library, ref: str, says: str) -> Impact:
    """What permission was there to use a record for, and who shows it: no grade moves (I7)."""
    kind, _, id_ = ref.partition("/")
    photo = library.photos.get(id_) if kind == "photos" else None
    source_ref = (photo.source if photo else ref) or ""
    source = library.sources.get(source_ref.partition("/")[2])
    rights = source.rights if source else None
    reason = Reason("I7", "Use only: no grade changes.", (ref,))
    lines = [
        Moved(ref, "use", f"granted for {grant.use}", "not granted", reason)
        for grant in (rights.grants if rights else ())
    ] or [Moved(ref, "use", "nothing granted on record", "not granted", reason)]
    told = _telling(library, (ref, source_ref))
    return Impact(ref, says, tuple(lines), (), (), told)


def impact_of(
    library: Library, ref: str, says: str, lines: tuple[Moved, ...], leaning: Iterable[str]
) -> Impact:
    """The impact that lines of differences make; `leaning` are the claims that lean on `ref`."""
    touched = {line.ref for line in lines if line.what in ("grade", "size")}
    parts = sorted({name.partition("#")[0] for name in touched})
    return Impact(
        ref=ref,
        supposed=says,
        moved=lines,
        stands=tuple(sorted(set(leaning) - touched)),
        beside=tuple(_beside(library, parts)),
        told_in=_telling(library, (ref, *parts)) if lines else (),
    )


def _telling(library: Library, refs: Sequence[str]) -> tuple[str, ...]:
    """Who tells of these records: stories, questions, decisions, and parts by their own labels."""
    found = {
        name
        for ref in refs
        for name in library.named_by.get(ref, ())
        if name.partition("/")[0] in TELLING
    }
    labelled = {
        ref
        for ref in refs
        if (part := library.parts.get(ref.removeprefix("parts/"))) and part.label is not None
    }
    return tuple(sorted(found | labelled))


def _beside(library: Library, parts: Iterable[str]) -> list[Beside]:
    """The parts that meet, carry or move with parts whose claims move."""
    found: dict[tuple[str, str], Beside] = {}
    moved = list(parts)
    for ref in moved:
        part = library.parts.get(ref.partition("/")[2])
        if part is None:
            continue
        for how, others in (
            ("mates with", part.mates),
            ("carries", part.attaches),
            ("moves with", part.moves_with),
            ("is the opposite hand of", (part.opposite,) if part.opposite else ()),
        ):
            for other in others:
                whole = other.partition("#")[0]
                if whole not in moved:
                    found.setdefault((ref, whole), Beside(ref, how, whole))
    return list(found.values())
