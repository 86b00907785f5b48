"""A zone's page: its parts, how well each is known, and what holds them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.verdicts import PartKnown
from archive.records.part import Part
from archive.records.zone import Zone
from archive.site import words
from archive.site.cautions import CAUTIONS, Caution
from archive.site.claim import grade_of
from archive.site.context import Context
from archive.site.decision import DecisionBrief, brief
from archive.site.holds import choices, holds_of, joined
from archive.site.page import Cell, Frame, Grade, Link, Page, ReasonShown, Thumb
from archive.site.question import QuestionBrief
from archive.site.question import brief as question_brief


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part in its zone's list."""

    link: Link
    summary: str
    grade: Grade | None
    size: str
    held: str
    holds: str


@dataclass(frozen=True, slots=True)
class ZoneShown:
    """All that a zone's page says."""

    says: str
    grade: Grade | None
    reasons: tuple[ReasonShown, ...]
    parts: tuple[PartRow, ...]
    holds: tuple[tuple[str, str], ...]
    hazards: tuple[Caution, ...]
    photos: tuple[Thumb, ...]
    decisions: tuple[DecisionBrief, ...]
    questions: tuple[QuestionBrief, ...]


def pages(context: Context, shows: dict[str, list[tuple[str, str]]]) -> Iterator[Page]:
    """The page of every zone. `shows`: part's REF → (photograph id, region's name)."""
    numbers = list(context.library.zones)
    parts = parts_by_zone(context)
    for place, number in enumerate(numbers):
        zone = context.library.zones[number]
        yield Page(
            f"zones/{number}.html",
            "zone",
            _frame(context, zone, numbers, place, parts.get(number, [])),
            _shown(context, zone, parts.get(number, []), shows),
        )


def parts_by_zone(context: Context) -> dict[str, list[Part]]:
    """Zone number → its parts by id; "" for parts whose zone isn't listed."""
    found: dict[str, list[Part]] = {}
    for part in context.library.parts.values():
        number = (part.zone or "").partition("/")[2]
        found.setdefault(number if number in context.library.zones else "", []).append(part)
    return found


def _frame(
    context: Context, zone: Zone, numbers: list[str], place: int, parts: list[Part]
) -> Frame:
    known = context.findings.zones.get(zone.id)

    def near(index: int) -> Link | None:
        return context.link(f"zones/{numbers[index]}") if 0 <= index < len(numbers) else None

    return Frame(
        site=context.site,
        root=context.root,
        title=zone.name or zone.id,
        label=f"Zone {zone.id}",
        subtitle="",
        cells=(
            Cell("Parts", str(len(parts))),
            Cell("Claims", str(known.claims) if known else "0"),
            Cell("Held", words.count(known.held, "part") if known and known.held else "none"),
        ),
        here="zones",
        up=Link("General arrangement", context.page("index.html")),
        previous=near(place - 1),
        next=near(place + 1),
        ref=f"zones/{zone.id}",
        scripts=("filters",),
    )


def _shown(
    context: Context, zone: Zone, parts: list[Part], shows: dict[str, list[tuple[str, str]]]
) -> ZoneShown:
    known = context.findings.zones.get(zone.id)
    naming = [
        ref
        for target in (f"zones/{zone.id}", *(part.ref for part in parts))
        for ref in context.library.named_by.get(target, ())
    ]
    hazards = dict.fromkeys(hazard for part in parts for hazard in part.hazards)
    pictured = dict.fromkeys(photo for part in parts for photo, _ in shows.get(part.ref, ()))
    rows = tuple(row(context, part) for part in parts)
    return ZoneShown(
        says=zone.says or "",
        grade=Grade.of(known.grade) if known else None,
        reasons=context.reasons(known.finding) if known else (),
        parts=rows,
        holds=choices(one.holds for one in rows),
        hazards=tuple(CAUTIONS[hazard] for hazard in hazards if hazard in CAUTIONS),
        photos=tuple(context.thumb(photo) for photo in pictured),
        decisions=tuple(
            brief(context, ref) for ref in dict.fromkeys(naming) if ref.startswith("decisions/")
        ),
        questions=tuple(
            question_brief(context, ref)
            for ref in dict.fromkeys(naming)
            if ref.startswith("questions/")
        ),
    )


def row(context: Context, part: Part) -> PartRow:
    """A part in a list: its grade, its size, and what it may be used for."""
    known = context.findings.parts.get(part.ref)
    size, _ = context.size(context.findings.claims.get(known.size) if known else None)
    return PartRow(
        link=context.link(part.ref),
        summary=words.beginning(part.summary or "", 120),
        grade=grade_of(context.findings.claims.get(known.lead)) if known else None,
        size=size,
        held=held(known),
        holds=joined(holds_of(known)),
    )


def held(known: PartKnown | None) -> str:
    """The first step that is held, in words; "" where none is."""
    for step in ("mock-up", "trial", "cut"):
        finding = known.steps.get(step) if known else None
        if finding is not None and finding.verdict == "hold":
            return words.STEPS[step].lower()
    return ""
