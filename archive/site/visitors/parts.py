"""A part's page, "how do we know?", and the list of all parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.audience.public_findings import WITHHELD_EVIDENCE
from archive.core.originality import Share
from archive.records.part import Part
from archive.site.page import Link, Page
from archive.site.visitors.edition import Edition, Picture, Said
from archive.site.visitors.knowing import ClaimShown, claims_of

THEME = "visitors"

SLUGS = {
    "original, in place": "in-place",
    "original, repaired": "repaired",
    "of the period, from another aircraft": "elsewhere",
    "new, copied from an original": "copied",
    "new, from photographs and papers": "pictured",
    "new, a conjecture": "conjectural",
    "left off": "left-off",
    "kept beside the aircraft": "beside",
    "not decided yet": "undecided",
    "not on the aircraft at that time": "not-then",
}
"""Kind of original or new work → its key among the words."""


@dataclass(frozen=True, slots=True)
class ChoiceShown:
    """A decision in short: what was chosen, why, and whether it is being looked at again."""

    link: Link
    choice: str
    because: Said
    again: str


@dataclass(frozen=True, slots=True)
class PartShown:
    """All that a part's page says."""

    summary: Said
    label: Said
    kinds: tuple[tuple[str, str], ...]
    lead: ClaimShown | None
    claims: tuple[ClaimShown, ...]
    choices: tuple[ChoiceShown, ...]
    pictures: tuple[Picture, ...]
    marks: tuple[str, ...]
    zone: Link
    stories: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part in the list of all."""

    link: Link
    language: str
    kinds: str


@dataclass(frozen=True, slots=True)
class PartsShown:
    """All parts, zone by zone."""

    zones: tuple[tuple[Said, tuple[PartRow, ...]], ...]


def pages(edition: Edition) -> Iterator[Page]:
    """The list of parts, then the page of each."""
    yield Page(
        edition.path("parts.html"),
        "parts",
        edition.frame("parts.html", edition.t("parts.title"), edition.site.name, "parts"),
        _list(edition),
        THEME,
    )
    deep = edition.deep()
    shows = shown_on(deep)
    for part in deep.library.parts.values():
        page = f"parts/{part.id}.html"
        frame = deep.frame(page, deep.text(part, "title").text, deep.t("parts.label"), "parts")
        yield Page(deep.path(page), "part", frame, _part(deep, part, shows), THEME)


def shown_on(edition: Edition) -> dict[str, list[str]]:
    """Part's REF → ids of the photographs with a region that shows it, once each."""
    found: dict[str, dict[str, None]] = {}
    for photo in edition.library.photos.values():
        for region in photo.regions:
            if region.part:
                found.setdefault(region.part.partition("#")[0], {})[photo.id] = None
    return {ref: list(ids) for ref, ids in found.items()}


def kinds_of(edition: Edition, ref: str) -> tuple[tuple[str, str], ...]:
    """What a part is on the aircraft: (key, words), with a count where it is of two kinds."""
    known = edition.view.originality.get(ref)
    shares: tuple[Share, ...] = known.shares if known else ()
    told = []
    for share in shares:
        key = SLUGS[share.kind]
        words = edition.t(f"kinds.{key}")
        if len(shares) > 1:
            words = edition.t("kinds.counted", kind=words, n=share.pieces)
        told.append((key, words))
    return tuple(told)


def choice_of(edition: Edition, ref: str) -> ChoiceShown:
    """A decision in short."""
    decision = edition.library.decisions[ref.partition("/")[2]]
    standing = edition.view.findings.decisions.get(ref)
    because = edition.text(decision, "because")
    if because.text == WITHHELD_EVIDENCE:
        because = Said(edition.t("withheld.reason"))
    return ChoiceShown(
        link=edition.link(ref),
        choice=edition.t(f"choices.{decision.choice}") if decision.choice else "",
        because=because,
        again=edition.t("choices.again") if standing and standing.state == "reopened" else "",
    )


def _part(edition: Edition, part: Part, shows: dict[str, list[str]]) -> PartShown:
    claims = claims_of(edition, part)
    known = edition.view.findings.parts.get(part.ref)
    lead = (known.lead if known else "").partition("#")[2]
    used = {
        item.picture.href.partition("#")[0]
        for claim in claims
        for item in claim.evidence
        if item.picture is not None
    }
    pictures = (edition.picture(id_, 320) for id_ in shows.get(part.ref, ()))
    return PartShown(
        summary=edition.text(part, "summary"),
        label=edition.text(part, "label"),
        kinds=kinds_of(edition, part.ref),
        lead=next((claim for claim in claims if claim.id == lead), None),
        claims=claims,
        choices=tuple(
            choice_of(edition, ref)
            for ref in (known.decisions if known else ())
            if ref.partition("/")[2] in edition.library.decisions
        ),
        pictures=tuple(one for one in pictures if one is not None and one.href not in used),
        marks=tuple(
            edition.t("parts.marked", what=made.what, mark=made.new_mark)
            for made in part.made
            if made.new_mark and made.what
        ),
        zone=Link(edition.name(part.zone).text, edition.href(part.zone)) if part.zone else Link(""),
        stories=edition.links(
            story.ref for story in edition.library.stories.values() if part.ref in story.about
        ),
    )


def _list(edition: Edition) -> PartsShown:
    zones: dict[str, list[PartRow]] = {}
    for part in edition.library.parts.values():
        told = edition.text(part, "title")
        row = PartRow(
            Link(told.text, edition.href(part.ref)),
            told.language,
            "; ".join(words for _, words in kinds_of(edition, part.ref)),
        )
        zones.setdefault(part.zone or "", []).append(row)
    return PartsShown(
        tuple((edition.name(zone), tuple(rows)) for zone, rows in sorted(zones.items()))
    )
