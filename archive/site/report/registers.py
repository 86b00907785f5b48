"""The report's registers: decisions, new parts, materials, measurements, hazards, questions."""

from __future__ import annotations

from dataclasses import asdict

from archive.core.originality import KINDS, OFF, Share
from archive.site import words
from archive.site.card import line as card_line
from archive.site.cautions import CAUTIONS
from archive.site.decision import shown as decision_shown
from archive.site.decision import state_of
from archive.site.question import shown as question_shown
from archive.site.report.paper import PaperContext, paragraphs


def decisions(context: PaperContext) -> list[dict[str, object]]:
    """Every decision with its options, reasons, dissent and signatures, oldest first."""
    records = sorted(
        context.library.decisions.values(), key=lambda one: (str(one.on or ""), one.ref)
    )
    found: list[dict[str, object]] = []
    for decision in records:
        page = decision_shown(context, decision)
        found.append(
            {
                "ref": decision.ref,
                "number": decision.number or "",
                "title": context.name(decision.ref),
                "written": context.signed(decision.by, decision.on),
                "day": words.day(decision.on),
                "question": page.question,
                "choice": page.choice,
                "because": page.because,
                "state": page.state,
                "standing": [one.says for one in page.standing],
                "options": [
                    {
                        "says": option.says,
                        "chosen": option.chosen,
                        "for": [asdict(link) for link in option.speaks_for],
                        "against": [asdict(link) for link in option.against],
                        "facts": list(option.facts),
                    }
                    for option in page.options
                ],
                "about": [asdict(link) for link in page.about],
                "leans_on": [
                    {"link": asdict(one.link), "grade": one.grade.words if one.grade else ""}
                    for one in page.leans_on
                ],
                "dissent": [
                    {"who": one.who.text, "on": one.on, "says": one.says} for one in page.dissent
                ],
                "approvals": [
                    {
                        "who": one.who.text,
                        "on": one.on,
                        "role": one.says,
                        "letter": asdict(one.link) if one.link else None,
                    }
                    for one in page.approvals
                ],
                "supersedes": [asdict(link) for link in page.supersedes],
                "superseded_by": asdict(page.superseded_by) if page.superseded_by else None,
                "reversible": page.reversible,
                "review": page.review,
                "configuration": context.library.title(decision.configuration)
                if decision.configuration
                else "",
                "prose": paragraphs(decision.prose),
                "signed": "; ".join(
                    ", ".join(filter(None, (one.who.text, one.says))) for one in page.approvals
                ),
                "log_state": state_of(context, decision.ref),
            }
        )
    return found


def new_parts(context: PaperContext) -> list[dict[str, object]]:
    """Every piece that was made new: what, from which card, of what, its mark, by whom."""
    return [
        {
            "part": asdict(context.link(part.ref)),
            "what": made.what or "",
            "material": made.material or "",
            "mark": made.new_mark or "",
            "place": made.mark_place or "",
            "card": made.card or "",
            "made": context.signed(made.by, made.on),
        }
        for part in context.library.parts.values()
        for made in part.made
    ]


def cards(context: PaperContext) -> list[dict[str, object]]:
    """Every cutting card: its part, its issues as printed, what was cut from it, how it stands."""
    found: list[dict[str, object]] = []
    for standing in context.findings.cards.values():
        told = card_line(context, standing)
        found.append(
            {
                "card": told.link.text,
                "part": asdict(told.part),
                "issues": [one.printed for one in standing.issues],
                "state": told.state,
                "cut": list(told.cut),
            }
        )
    return found


def materials(context: PaperContext) -> list[dict[str, object]]:
    """Every claim of a material or a finish, with its grade."""
    found: list[dict[str, object]] = []
    for part, claim in context.library.claims():
        if claim.aspect in ("material", "finish"):
            graded = context.findings.claims.get(f"{part.ref}#{claim.id}")
            grade = graded.grade if graded else ""
            if graded and graded.not_settled:
                grade += ", not settled"
            found.append(
                {
                    "part": asdict(context.link(part.ref)),
                    "says": claim.says or "",
                    "grade": grade,
                }
            )
    return found


def measurements(context: PaperContext) -> list[dict[str, object]]:
    """Every measurement: what it gives with its error, or why it gives nothing."""
    found: list[dict[str, object]] = []
    for measurement in context.library.measurements.values():
        measured = context.findings.measurements.get(measurement.ref)
        size = other = ""
        if measured and measured.value_mm is not None:
            size, other = context.both(measured.value_mm, measured.half95_mm)
        laid = measured is not None and bool(measured.laid_over)
        found.append(
            {
                "title": context.name(measurement.ref),
                "method": words.plain(measurement.method),
                "photos": [
                    asdict(context.link(ref if "/" in ref else f"photos/{ref}"))
                    for ref in measurement.photos
                ],
                "size": size,
                "other": other,
                "refused": (measured.refused or "") if measured else "",
                "says": measured.finding.verdict if laid and measured else "",
            }
        )
    return found


def hazards(context: PaperContext) -> list[dict[str, object]]:
    """Each hazard that the records name, its caution, and the parts that it is at."""
    at: dict[str, list[str]] = {}
    for part in context.library.parts.values():
        for hazard in part.hazards:
            at.setdefault(hazard, []).append(part.ref)
    return [
        {
            "name": CAUTIONS[hazard].name,
            "says": CAUTIONS[hazard].says,
            "parts": [asdict(context.link(ref)) for ref in at[hazard]],
        }
        for hazard in CAUTIONS
        if hazard in at
    ]


def unlooked(context: PaperContext) -> list[dict[str, object]]:
    """Surviving parts in whose record nobody has said anything of hazards."""
    return [
        asdict(context.link(part.ref))
        for part in context.library.parts.values()
        if part.survives in ("whole", "fragment") and not part.hazards
    ]


def kept(context: PaperContext) -> list[dict[str, object]]:
    """What was taken off or is kept beside the aircraft, and where it is; loans with their day."""
    found: list[dict[str, object]] = []
    for part in context.library.parts.values():
        link = asdict(context.link(part.ref))
        if part.shelf:
            found.append({"part": link, "what": "the part itself", "place": part.shelf})
        found += [
            {
                "part": link,
                "what": treatment.removes.what or "",
                "place": treatment.removes.kept_at or "",
            }
            for treatment in part.treatments
            if treatment.removes
        ]
        if part.loan:
            due = words.day(part.loan.due)
            lender = context.who(part.loan.lender).text
            found.append(
                {
                    "part": link,
                    "what": "a loan",
                    "place": f"to go back to {lender}, {due or 'no day'}",
                }
            )
    return found


def questions(context: PaperContext) -> list[dict[str, object]]:
    """Every question, the open ones first, with what would settle it and who was asked."""
    records = sorted(
        context.library.questions.values(), key=lambda one: (one.settled is not None, one.ref)
    )
    found: list[dict[str, object]] = []
    for question in records:
        page = question_shown(context, question)
        found.append(
            {
                "ref": question.ref,
                "title": context.name(question.ref),
                "question": page.question,
                "would_settle": page.would_settle,
                "about": [asdict(link) for link in page.about],
                "enquiries": [
                    " ".join(
                        filter(
                            None,
                            (
                                f"{one.asked} ({one.signed}).",
                                one.says,
                                f"Answered {one.answered}: {one.answer}" if one.answered else "",
                            ),
                        )
                    )
                    for one in page.enquiries
                ],
                "settled": page.settled,
                "settled_signed": page.settled_signed,
                "settled_by": [asdict(link) for link in page.settled_by],
                "prose": paragraphs(question.prose),
            }
        )
    return found


def originality(context: PaperContext) -> dict[str, object]:
    """What is old and what is new, by kind and by zone, each by a stated basis.

    Pieces are counted for every part; surface and mass only where the records give them, and
    `measured` and `weighed` say of how many fitted parts they do. There is no share in per cent.
    """
    known = context.view.originality
    shares = [share for one in known.values() for share in one.shares]
    fitted = [one for one in known.values() if any(s.kind in KINDS for s in one.shares)]
    return {
        "fitted": [_tally(kind, shares) for kind in KINDS],
        "off": [_tally(kind, shares) for kind in OFF],
        "parts": len(fitted),
        "measured": sum(any(s.area_m2 is not None for s in one.shares) for one in fitted),
        "weighed": sum(any(s.mass_kg is not None for s in one.shares) for one in fitted),
        "zones": [
            {
                "title": context.name(f"zones/{number}"),
                "kinds": [
                    {
                        "kind": kind,
                        "parts": [
                            asdict(context.link(one.part))
                            for one in known.values()
                            if one.zone == number and any(s.kind == kind for s in one.shares)
                        ],
                    }
                    for kind in (*KINDS, *OFF)
                ],
            }
            for number in context.library.zones
        ],
    }


def _tally(kind: str, shares: list[Share]) -> dict[str, object]:
    found = [share for share in shares if share.kind == kind]
    areas = [share.area_m2 for share in found if share.area_m2 is not None]
    masses = [share.mass_kg for share in found if share.mass_kg is not None]
    return {
        "kind": kind,
        "pieces": sum(share.pieces for share in found),
        "area": f"{sum(areas):.1f} m²" if areas else "",
        "mass": f"{sum(masses):.1f} kg" if masses else "",
    }
