"""How do we know: a claim in the words that its grade allows, and what may be shown for it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from archive.core.verdicts import Graded
from archive.records.citation import render as cited
from archive.records.claim import Claim
from archive.records.part import Part
from archive.records.schema import split_ref
from archive.site.page import Grade, Link
from archive.site.visitors.edition import Edition, Picture, Said


@dataclass(frozen=True, slots=True)
class EvidenceShown:
    """One thing that speaks for or against a claim: a picture, a paper, or a surviving piece."""

    picture: Picture | None
    link: Link | None
    says: str
    quote: Said
    against: bool


@dataclass(frozen=True, slots=True)
class ClaimShown:
    """A claim for visitors: what it says, how sure that is in one sentence, and the evidence."""

    id: str
    says: Said
    wording: str
    grade: Grade | None
    size: str
    other: str
    evidence: tuple[EvidenceShown, ...]
    more: str


def claims_of(edition: Edition, part: Part) -> tuple[ClaimShown, ...]:
    """A part's claims, the best known first, rivals side by side as they come."""
    return tuple(_claim(edition, part, claim) for claim in part.claims)


def _claim(edition: Edition, part: Part, claim: Claim) -> ClaimShown:
    graded = edition.view.findings.claims.get(f"{part.ref}#{claim.id}")
    size, other = edition.size(graded)
    return ClaimShown(
        id=claim.id,
        says=edition.foreign(claim.says or ""),
        wording=wording(edition, graded),
        grade=grade_in(edition, graded),
        size=size,
        other=other,
        evidence=tuple(_evidence(edition, claim, graded)) if graded else (),
        more=edition.t("withheld.evidence") if graded and graded.finding.reasons else "",
    )


def grade_in(edition: Edition, graded: Graded | None) -> Grade | None:
    """The mark of a claim's grade in the words of the language."""
    if graded is None:
        return None
    line = graded.grade.rpartition(" ")[2]
    return Grade(edition.t(f"grade.{line}"), line, True)


def wording(edition: Edition, graded: Graded | None) -> str:
    """The sentence that a grade allows a label to begin with."""
    if graded is None:
        return ""
    line = graded.grade.rpartition(" ")[2]
    key = f"wording.{line}"
    if line in ("corroborated", "seen"):
        years = _years(edition, graded)
        if years:
            said = edition.t(f"{key}.pictured", years=years)
        else:
            said = edition.t(f"{key}.other")
    else:
        said = edition.t(key)
    return f"{said} {edition.t('wording.unsettled')}" if graded.not_settled else said


def _years(edition: Edition, graded: Graded) -> str:
    """The years of the photographs that may be shown for it: `1932`, `1932–1934`."""
    years: set[int] = set()
    for item in graded.items:
        dated = edition.view.findings.dates.get(item.ref.partition("#")[0])
        if item.cap and not item.against and item.ref.startswith("photos/") and dated:
            years |= {day.year for day in (dated.earliest, dated.latest) if day}
    if not years:
        return ""
    first, last = min(years), max(years)
    return str(first) if first == last else f"{first}–{last}"


def _evidence(edition: Edition, claim: Claim, graded: Graded) -> list[EvidenceShown]:
    found = []
    for item in graded.items:
        if not (item.cap or item.against):
            continue
        written = claim.evidence[item.index]
        kind, id_, _ = split_ref(item.ref)
        picture = edition.picture(id_, 320) if kind == "photos" else None
        if picture is not None:  # straight to the place on it
            picture = replace(picture, href=edition.href(item.ref))
        found.append(
            EvidenceShown(
                picture=picture,
                link=edition.link(item.ref.partition("#")[0]) if picture is None else None,
                says=_says(edition, kind, id_),
                quote=edition.foreign(written.quote or "") if kind == "sources" else Said(""),
                against=item.against,
            )
        )
    return found


def _says(edition: Edition, kind: str, id_: str) -> str:
    if kind == "sources":
        source = edition.library.sources[id_]
        return cited(source.citation) if source.citation else ""
    return edition.t(f"evidence.{kind}")
