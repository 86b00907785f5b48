"""What editions carried that went out: taken down from a view, and held against today's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date

from archive.audience.crew import is_sealed
from archive.audience.view import View
from archive.core.date_words import day_words
from archive.core.findings import Finding, Reason
from archive.core.problems import Problem, Where
from archive.core.publications import Carried, Publication, Recalled
from archive.core.verdicts import Findings
from archive.reasoning.labels import grade_of_part
from archive.reasoning.rights import permission
from archive.records.library import Library
from archive.records.spec import Record

USE = "web"
GONE = "gone"
LISTED = 3
"""Records that one line of advice names; the page and the command name them all."""


def carried_by(view: View) -> dict[str, Carried]:
    """REF → what the public's view shows of it: every record, every claim with its grade."""
    found: dict[str, Carried] = {}
    for record in view.library.records:
        if record.kind in ("aircraft", "zones", "people", "cards"):
            continue
        label = getattr(record, "label", None) or ""
        grade = grade_of_part(view.findings, record.ref) if label else ""
        found[record.ref] = Carried(grade, " ".join(str(label).split()))
    for part, claim in view.library.claims():
        ref = f"{part.ref}#{claim.id}"
        graded = view.findings.claims.get(ref)
        if graded:
            found[ref] = Carried(_grade(graded.grade, graded.not_settled))
    return dict(sorted(found.items()))


def recalled(
    publications: Iterable[Publication], library: Library, findings: Findings, public: View
) -> tuple[Recalled, ...]:
    """Each edition against today's, oldest first; `public` is the public's view of the day."""
    return tuple(
        Recalled(
            one,
            tuple(_withdrawn(one, library, public)),
            tuple(_labels(one, library, findings, public)),
            tuple(_moved(one, findings)),
        )
        for one in publications
    )


def recall_advice(found: Iterable[Recalled]) -> Iterator[Problem]:
    """Advice for each edition whose holders must be told."""
    for one in found:
        if not one.to_tell:
            continue
        out = one.publication
        refs = [ref for ref, _ in one.withdrawn] + [ref for ref, _ in one.labels]
        named = ", ".join(refs[:LISTED]) + (
            f" and {len(refs) - LISTED} more" * (len(refs) > LISTED)
        )
        day = day_words(out.on.year, out.on.month, out.on.day)
        whom = "; ".join(out.copies) or "nobody is named"
        yield Problem(
            Where(out.path),
            "edition-to-correct",
            f"The edition of {day} carried what may not be shown so any more: {named}.",
            f"Tell those who hold copies ({whom}) and make the edition anew: witnessmark build "
            "--for public --publish.",
            advice=True,
        )


def recalled_for(found: Iterable[Recalled], whole: Library, seen: Library) -> tuple[Recalled, ...]:
    """The same, without records of the `whole` library that the readers of `seen` don't know of."""

    def may(ref: str) -> bool:
        return seen.get(ref) is not None or whole.get(ref) is None

    return tuple(
        replace(
            one,
            withdrawn=tuple((ref, _bare(why, may)) for ref, why in one.withdrawn if may(ref)),
            labels=tuple((ref, says) for ref, says in one.labels if may(ref)),
            moved=tuple(line for line in one.moved if may(line[0])),
        )
        for one in found
    )


def _bare(finding: Finding, may: Callable[[str], bool]) -> Finding:
    reasons = tuple(
        replace(reason, rests_on=tuple(filter(may, reason.rests_on))) for reason in finding.reasons
    )
    return replace(finding, reasons=reasons)


def _withdrawn(one: Publication, library: Library, public: View) -> Iterator[tuple[str, Finding]]:
    for ref in one.carried:
        if "#" not in ref and public.library.get(ref) is None:
            yield ref, _why(library, ref, public.as_of)


def _why(library: Library, ref: str, as_of: date) -> Finding:
    """Why a record is not shown today."""
    record = library.get(ref)
    if record is None:
        return Finding(GONE, (Reason("", "It is in the record no longer.", ()),))
    if ref.startswith(("photos/", "sources/")):
        found = permission(library, ref, USE, as_of)
        if not found.permitted:
            return found.finding
    sealed = isinstance(record, Record) and is_sealed(record)
    says = "It is sealed." if sealed else "It tells of what is withheld."
    return Finding("withheld", (Reason("", says, (ref,)),))


def _labels(
    one: Publication, library: Library, findings: Findings, public: View
) -> Iterator[tuple[str, str]]:
    for ref, then in one.carried.items():
        part = public.library.parts.get(ref.partition("/")[2]) if ref.startswith("parts/") else None
        if not then.label or part is None or "#" in ref:
            continue
        now = " ".join((part.label or "").split())
        grade = grade_of_part(findings, ref)
        if now != then.label:
            yield (
                ref,
                f"The label reads otherwise today: “{now}”" if now else "It has no label today.",
            )
        elif grade != then.grade:
            yield ref, f"The label was held to {then.grade}; today its grade is {grade}."


def _moved(one: Publication, findings: Findings) -> Iterator[tuple[str, str, str]]:
    for ref, then in one.carried.items():
        if "#" in ref and then.grade:
            graded = findings.claims.get(ref)
            now = _grade(graded.grade, graded.not_settled) if graded else "no longer claimed"
            if now != then.grade:
                yield ref, then.grade, now


def _grade(grade: str, not_settled: bool) -> str:
    return f"{grade}, not settled" if not_settled else grade
