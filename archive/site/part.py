"""A part's page: five answers on one screen, then all that is claimed of it, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.findings import Finding, Reason
from archive.core.verdicts import STEPS as STEP_ORDER
from archive.core.verdicts import Graded, PartKnown
from archive.records.part import Member, Part
from archive.site import words
from archive.site.card import CardLine, of_part
from archive.site.cautions import CAUTIONS, Caution
from archive.site.claim import AspectShown, aspects_of, grade_of
from archive.site.context import Context
from archive.site.decision import DecisionBrief, brief
from archive.site.markdown import Prose
from archive.site.page import Cell, Frame, Grade, Link, Page, ReasonShown, Row, Thumb
from archive.site.question import QuestionBrief
from archive.site.question import brief as question_brief
from archive.site.treatments import TreatmentShown, treatments

SURVIVES = {
    "whole": "It survives whole.",
    "fragment": "A fragment survives.",
    "no": "Nothing of it survives.",
}
STATUSES = {
    "original-refit": "original, to be refitted",
    "original-kept": "original, kept in store",
    "pattern-only": "a pattern only",
    "unknown": "not known",
    "not-ours": "not ours",
    "quarantine": "in quarantine",
}
LINE = 108
"""Characters of an answer that keep it within four lines at 360 px."""


@dataclass(frozen=True, slots=True)
class Five:
    """What, how big, how sure, why, may I cut: each within four lines of a telephone's screen.

    `big` and `error` are the size in the first units, `other` in the other; where none is held
    `no_size` says so. `about` says which claim the mark is of. `clear` names the steps that are
    cleared, `held` those that are not, `done` the work that was carried out and is open no more.
    """

    what: str
    big: str
    error: str
    other: str
    no_size: str
    sure: Grade | None
    about: str
    why: str
    lead: Link | None
    clear: str
    held: str
    done: str


@dataclass(frozen=True, slots=True)
class StepShown:
    """One step of clearance, and what stops it."""

    name: str
    verdict: str
    held: bool
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class MadeShown:
    """A piece that was made new, and how it can be told from old work."""

    what: str
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MemberShown:
    """One of a row of like parts."""

    tag: str
    station: str
    side: str
    survives: str


@dataclass(frozen=True, slots=True)
class PartShown:
    """All that a part's page says."""

    five: Five
    hazards: tuple[Caution, ...]
    aspects: tuple[AspectShown, ...]
    steps: tuple[StepShown, ...]
    decisions: tuple[DecisionBrief, ...]
    questions: tuple[QuestionBrief, ...]
    photos: tuple[Thumb, ...]
    neighbours: tuple[Row, ...]
    as_found: str
    as_found_condition: str
    as_found_signed: str
    as_found_photos: tuple[Thumb, ...]
    treatments: tuple[TreatmentShown, ...]
    made: tuple[MadeShown, ...]
    cards: tuple[CardLine, ...]
    members: tuple[MemberShown, ...]
    custody: tuple[str, ...]
    loan: str
    facts: tuple[Cell, ...]
    named_by: tuple[Link, ...]
    prose: Prose


def pages(context: Context, shows: dict[str, list[tuple[str, str]]]) -> Iterator[Page]:
    """The page of every part. `shows`: part id → (photograph id, region's name) that show it."""
    for part in context.library.parts.values():
        path = f"parts/{part.id}.html"
        yield Page(path, "part", _frame(context, part), shown(context, part, shows))


def _frame(context: Context, part: Part) -> Frame:
    zone = context.link(part.zone) if part.zone else None
    target = context.library.aircraft.target if context.library.aircraft else None
    places = [
        context.length(value)
        for value in (part.station, part.butt_line, part.water_line)
        if value is not None
    ]
    return context.frame(
        part,
        label="Part",
        here="zones",
        up=zone,
        cells=(
            Cell(
                "Zone", zone.text.removeprefix("Zone ") if zone else "", zone.href if zone else ""
            ),
            Cell("For", context.library.title(target) if target else ""),
            Cell("Side", words.plain(part.side)),
            Cell("Station", places[0] if part.station is not None else ""),
            Cell("Tag", part.tag or ""),
            Cell("Shelf", part.shelf or ""),
        ),
    )


def shown(context: Context, part: Part, shows: dict[str, list[tuple[str, str]]]) -> PartShown:
    """All that a part's page says. `shows`: part's REF → (photograph id, region's name)."""
    known = context.findings.parts.get(part.ref)
    naming = context.library.named_by.get(part.ref, ())
    found = part.as_found
    return PartShown(
        five=five(context, part, known),
        hazards=tuple(CAUTIONS[hazard] for hazard in part.hazards if hazard in CAUTIONS),
        aspects=aspects_of(context, part),
        steps=_steps(context, known, part.ref),
        decisions=tuple(brief(context, ref) for ref in known.decisions) if known else (),
        questions=tuple(
            question_brief(context, ref) for ref in naming if ref.startswith("questions/")
        ),
        photos=tuple(
            context.thumb(photo, caption, piece)
            for photo, piece, caption in _pictured(context, part, shows)
        ),
        neighbours=_neighbours(context, part),
        as_found=(found.position or "") if found else "",
        as_found_condition=(found.condition or "") if found else "",
        as_found_signed=context.signed(found.by, found.on) if found else "",
        as_found_photos=tuple(
            context.thumb(ref.partition("/")[2].partition("#")[0])
            for ref in (found.photos if found else ())
            if ref.partition("/")[2].partition("#")[0] in context.library.photos
        ),
        treatments=treatments(context, part, known),
        made=tuple(
            MadeShown(
                made.what or "",
                tuple(
                    filter(
                        None,
                        (
                            made.material or "",
                            f"from card {made.card}" if made.card else "",
                            f"marked “{made.new_mark}”" if made.new_mark else "",
                            made.mark_place or "",
                            context.signed(made.by, made.on),
                        ),
                    )
                ),
            )
            for made in part.made
        ),
        cards=of_part(context, part.ref),
        members=tuple(_member(context, member) for member in part.members),
        custody=part.custody,
        loan=_loan(context, part),
        facts=_facts(context, part),
        named_by=context.links(
            ref for ref in naming if ref.partition("/")[0] in ("stories", "surveys")
        ),
        prose=context.prose(part.prose),
    )


def five(context: Context, part: Part, known: PartKnown | None) -> Five:
    """The five answers, short enough to stand on one screen."""
    lead = context.findings.claims.get(known.lead) if known and known.lead else None
    sized = context.findings.claims.get(known.size) if known and known.size else None
    big, other = context.size(sized)
    held: list[str] = []
    clear: list[str] = []
    done: list[str] = []
    for step in ("mock-up", "trial", "cut", "original"):
        finding = known.steps.get(step) if known else None
        told = {"cleared": clear, "hold": held, "done": done}
        if finding is not None and finding.verdict in told:
            told[finding.verdict].append(words.STEPS[step].lower())
    claim = context.library.get(lead.ref) if lead else None
    reasons = _decisive(lead) if lead else ()
    survives = SURVIVES.get(part.survives or "", "")
    summary = words.beginning(part.summary or part.title or part.id, LINE - len(survives))
    return Five(
        what=f"{summary.rstrip('.')}. {survives}" if not summary.endswith("…") else summary,
        big=big.partition(" ± ")[0],
        error=big.partition(" ± ")[2],
        other=other,
        no_size=""
        if big
        else (
            "No size held yet."
            if known and known.size
            else "No size is claimed."
            if part.claims
            else "Nothing is claimed yet."
        ),
        sure=grade_of(lead),
        about=words.beginning(str(getattr(claim, "says", "") or ""), 66) if lead else "No claims.",
        why=words.beginning(" ".join(reason.says for reason in reasons), LINE - 20)
        if reasons
        else "Nothing is recorded that would say.",
        lead=Link("All reasons", context.href(lead.ref)) if lead else None,
        clear=words.capital(", ".join(clear)),
        held=words.capital(", ".join(held)),
        done=words.capital(", ".join(done)),
    )


def _decisive(lead: Graded) -> tuple[Reason, ...]:
    """The reasons that carry the grade, before those that say what is no evidence."""
    idle = {item.says for item in lead.items if not item.cap}
    carrying = tuple(reason for reason in lead.finding.reasons if reason.says not in idle)
    return carrying or lead.finding.reasons


def _steps(context: Context, known: PartKnown | None, ref: str) -> tuple[StepShown, ...]:
    if known is None:
        return ()
    found = ((step, known.steps.get(step, Finding(""))) for step in STEP_ORDER)
    return tuple(
        StepShown(
            words.STEPS[step],
            finding.verdict,
            finding.verdict == "hold",
            ()
            if step in ("look", "mock-up") and finding.verdict == "cleared"
            else context.reasons(finding, ref),
        )
        for step, finding in found
        if finding.verdict
    )


def _pictured(
    context: Context, part: Part, shows: dict[str, list[tuple[str, str]]]
) -> Iterator[tuple[str, str, str]]:
    """(photograph, region, caption) for each photograph with a region of this part, once each."""
    seen: set[str] = set()
    for photo, piece in shows.get(part.ref, ()):
        if photo not in seen:
            seen.add(photo)
            region = context.library.get(f"photos/{photo}#{piece}")
            yield photo, piece, str(getattr(region, "name", None) or words.plain(piece))


def _neighbours(context: Context, part: Part) -> tuple[Row, ...]:
    naming = [
        context.library.parts[ref.partition("/")[2]]
        for ref in context.library.named_by.get(part.ref, ())
        if ref.startswith("parts/")
    ]
    whole = [other.ref for other in naming if other.assembly == part.ref]
    meets = [other.ref for other in naming if part.ref in other.mates]
    named = (
        ("Assembly", (part.assembly,) if part.assembly else ()),
        ("Holds", tuple(whole)),
        ("Opposite hand", (part.opposite,) if part.opposite else ()),
        ("Mates with", (*part.mates, *meets)),
        ("Carries", part.attaches),
        ("Moves with it", part.moves_with),
        ("Took the place of", (part.replaces,) if part.replaces else ()),
    )
    return tuple(Row(label, context.links(refs)) for label, refs in named if refs)


def _member(context: Context, member: Member) -> MemberShown:
    survives = {True: "survives", False: "gone", None: ""}[member.survives]
    return MemberShown(
        member.tag or "", context.length(member.station), words.plain(member.side), survives
    )


def _loan(context: Context, part: Part) -> str:
    if part.loan is None:
        return ""
    said = [f"Lent by {context.who(part.loan.lender).text}"]
    if part.loan.due:
        said.append(f"due back {words.day(part.loan.due)}")
    if part.loan.may_copy is not None:
        said.append("may be copied" if part.loan.may_copy else "may not be copied")
    return "; ".join(said) + "."


def _facts(context: Context, part: Part) -> tuple[Cell, ...]:
    fitted = part.fitted
    since = context.library.title(fitted.since) if fitted and fitted.since else ""
    until = context.library.title(fitted.until) if fitted and fitted.until else ""
    return tuple(
        cell
        for cell in (
            Cell("Came from", words.AIRFRAMES.get(part.airframe or "this", "")),
            Cell("Made by", words.plain(part.origin or "maker")),
            Cell("To become", STATUSES.get(part.status or "", "")),
            Cell("On from", since),
            Cell("Off from", until),
            Cell("Station", context.length(part.station)),
            Cell("Butt line", context.length(part.butt_line)),
            Cell("Water line", context.length(part.water_line)),
            Cell("System", part.system or ""),
            Cell("To be marked", f"“{part.mark.what}”, {part.mark.place}" if part.mark else ""),
            Cell("Takes", words.count(part.lead_days, "day") if part.lead_days else ""),
            Cell("Recorded", context.signed(part.by, part.on)),
            Cell("For", part.purpose or ""),
        )
        if cell.text
    )
