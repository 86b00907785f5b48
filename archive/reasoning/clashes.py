"""Clashes of dates, told: on the pages of the records concerned, and as problems for `check`."""

from __future__ import annotations

from archive.core.findings import Finding, Reason
from archive.core.problems import Problem
from archive.core.verdicts import Clash
from archive.reasoning.clashing import Clashing
from archive.reasoning.said import ABSENCES
from archive.reasoning.tightening import Tightened
from archive.records.library import Library


def told(tightened: Tightened, clash: Clashing) -> Clash:
    """A clash as a finding: its statements, and which of them were set aside."""
    said = [tightened.said[n] for n in clash.members]
    return Clash(
        finding=Finding("can't all be true", tuple(s.reason for s in said)),
        aside=tuple(i for i, n in enumerate(clash.members) if n in clash.aside),
        check=_check(tightened, clash),
        refs=_refs(tightened, clash),
        advice=tightened.said[clash.aside[0]].stands <= ABSENCES,
    )


def problem_of(library: Library, tightened: Tightened, clash: Clashing) -> Problem:
    """A clash as `check` tells it, at a statement that was set aside.

    Where a sealed record takes part it stands at that record, so that it leaves the pages with it.
    It is advice where all that gave way is a date that nobody had argued for, or a thing seen to be
    absent.
    """
    said = [tightened.said[n] for n in clash.members]
    at = tightened.said[clash.aside[0]]
    sealed = [
        ref
        for statement in said
        for ref in statement.reason.rests_on
        if getattr(library.get(ref.partition("#")[0]), "sealed", None)
    ]
    where = at.where
    if sealed:
        record = library.get(sealed[0].partition("#")[0])
        where = type(where)(getattr(record, "path", where.path))
    sentences = " ".join(s.reason.says for s in said)
    return Problem(
        where,
        "dates-clash",
        f"These can't all be true: {sentences} They rest on {', '.join(_refs(tightened, clash))}.",
        f"One of them is wrong. Look again at {_check(tightened, clash)}. Until then "
        f"{_counted(len(clash.aside), len(said))} for nothing.",
        advice=at.stands <= ABSENCES,
    )


def disputed(tightened: Tightened) -> dict[str, tuple[Reason, ...]]:
    """REF of each photograph and source → the clashes that it stands in, with the way out.

    Clashes that are advice only are left out: what gives way in them does so by its nature.
    """
    found: dict[str, list[Reason]] = {}
    for clash in (told(tightened, one) for one in tightened.clashes):
        if clash.advice:
            continue
        sentences = " ".join(reason.says for reason in clash.finding.reasons)
        says = f"Dates clash, these can't all be true: {sentences} Look again at {clash.check}."
        reason = Reason("T11", says, clash.refs)
        for ref in clash.refs:
            if ref.startswith(("photos/", "sources/")):
                found.setdefault(ref, []).append(reason)
    return {ref: tuple(reasons) for ref, reasons in found.items()}


def notes_on(tightened: Tightened) -> dict[str, tuple[Reason, ...]]:
    """REF → what is to be told of it: clashes that it stands in, written dates that can't be.

    The whole of a clash is a finding of its own.
    """
    found: dict[str, list[Reason]] = {}
    for clash in tightened.clashes:
        refs = _refs(tightened, clash)
        aside = " ".join(tightened.said[n].reason.says for n in clash.aside)
        others = len(clash.members) - len(clash.aside)
        says = f"Set aside, for it can't be true together with what else is known: {aside}"
        if not others:
            says = f"Set aside, for these can't all be true: {aside}"
        for ref in refs:
            found.setdefault(ref, []).append(Reason("T11", says, refs))
    for number, against in tightened.contradicted.items():
        reason = tightened.said[number].reason
        because = [tightened.said[n].reason for n in against]
        word = "It can't be"
        if tightened.off.intersection(against):
            word = "It doesn't count, for it can't be true with what stood stronger"
        says = f"{reason.says} {word}: {' '.join(r.says for r in because)}"
        rests = tuple(dict.fromkeys(r for one in (reason, *because) for r in one.rests_on))
        found.setdefault(reason.rests_on[0], []).append(Reason("T4", says, rests))
    return {ref: tuple(reasons) for ref, reasons in found.items()}


def _refs(tightened: Tightened, clash: Clashing) -> tuple[str, ...]:
    rests = (ref for n in clash.members for ref in tightened.said[n].reason.rests_on)
    return tuple(dict.fromkeys(ref.partition("#")[0] for ref in rests))


def _check(tightened: Tightened, clash: Clashing) -> str:
    return "; ".join(dict.fromkeys(tightened.said[n].check for n in clash.members))


def _counted(aside: int, of: int) -> str:
    if aside == of:
        return "all of them count"
    return "one of them counts" if aside == 1 else f"{aside} of them count"
