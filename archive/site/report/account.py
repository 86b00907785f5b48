"""The report's account of the aircraft: zone by zone and part by part, with claims and evidence."""

from __future__ import annotations

from dataclasses import asdict

from archive.core.verdicts import GRADES
from archive.records.part import Part
from archive.site import words
from archive.site.claim import Bench, ClaimShown, ItemShown
from archive.site.part import SURVIVES, PartShown, shown
from archive.site.report.paper import PaperContext, paragraphs
from archive.site.zone import parts_by_zone

Shows = dict[str, list[tuple[str, str]]]
"""Part's REF → (photograph id, region's name) of each region that shows it."""

ASPECTS = {
    "existence": "That it was there",
    "shape": "Shape",
    "size": "Size",
    "position": "Place",
    "material": "Material",
    "finish": "Finish",
}


def zones(context: PaperContext, shows: Shows) -> list[dict[str, object]]:
    """Each zone with its parts, in the order of their numbers; parts of no zone come last.

    A zone's `photos` are the ids of the photographs that show or speak for its parts and stand in
    no zone before it.
    """
    found: list[dict[str, object]] = []
    pictured: set[str] = set()
    grouped = parts_by_zone(context)
    for number in [*context.library.zones, ""]:
        parts = grouped.get(number, [])
        zone = context.library.zones.get(number)
        if zone is None and not parts:
            continue
        told = [(part, shown(context, part, shows)) for part in parts]
        photos = [id_ for part, page in told for id_ in _photos(part, page)]
        known = context.findings.zones.get(number)
        found.append(
            {
                "ref": f"zones/{number}" if zone else "",
                "title": context.name(f"zones/{number}") if zone else "Parts of no zone",
                "says": (zone.says or "") if zone else "",
                "counts": _counts(context, parts),
                "known": known.grade if known else "",
                "parts": [_part(context, part, page) for part, page in told],
                "photos": [id_ for id_ in dict.fromkeys(photos) if id_ not in pictured],
            }
        )
        pictured.update(photos)
    return found


def _counts(context: PaperContext, parts: list[Part]) -> str:
    """How many parts, what survives of them, and how their claims are graded, in a sentence."""
    left = [part for part in parts if part.survives in ("whole", "fragment")]
    grades = [
        graded.grade
        for part in parts
        for claim in part.claims
        if (graded := context.findings.claims.get(f"{part.ref}#{claim.id}"))
    ]
    tally = [f"{grades.count(grade)} {grade}" for grade in GRADES if grade in grades]
    said = f"{words.capital(words.count(len(parts), 'part'))}, of which {len(left)} survive"
    said += " in whole or in part."
    if tally:
        said += f" {words.capital(words.count(len(grades), 'claim'))}: {', '.join(tally)}."
    return said


def _photos(part: Part, page: PartShown) -> list[str]:
    """Ids of the photographs of a part's page: as found, showing it, and among its evidence."""
    evidence = [item.photo or "" for claim in part.claims for item in claim.evidence]
    thumbs = (*page.as_found_photos, *page.photos)
    refs = [*(thumb.href for thumb in thumbs), *evidence]
    return [ref.partition("#")[0].partition("/")[2] for ref in refs if ref]


def _part(context: PaperContext, part: Part, page: PartShown) -> dict[str, object]:
    return {
        "ref": part.ref,
        "title": context.name(part.ref),
        "survives": SURVIVES.get(part.survives or "", ""),
        "summary": part.summary or "",
        "facts": [asdict(cell) for cell in page.facts],
        "members": [
            ", ".join(filter(None, (one.tag, one.station, one.side, one.survives)))
            for one in page.members
            if one.tag
        ],
        "as_found": [
            text for text in (page.as_found, page.as_found_condition, page.as_found_signed) if text
        ],
        "as_found_photos": [asdict(context.link(thumb.href)) for thumb in page.as_found_photos],
        "photos": [asdict(context.link(thumb.href)) for thumb in page.photos],
        "aspects": [
            {
                "name": ASPECTS.get(aspect.name, words.capital(aspect.name)),
                "claims": [_claim(one, bench) for bench in aspect.benches for one in bench.claims],
            }
            for aspect in page.aspects
        ],
        "treatments": [
            {
                **{
                    key: value
                    for key, value in asdict(one).items()
                    if key not in ("adds", "id", "hazards", "pictures")
                },
                "title": words.capital(words.plain(one.id)),
                "hazards": list(one.hazards),
                "adds": [asdict(link) for link in one.adds],
                "pictures": [asdict(context.link(thumb.href)) for thumb in one.pictures],
            }
            for one in page.treatments
        ],
        "made": [asdict(one) for one in page.made],
        "decisions": [asdict(one.link) for one in page.decisions],
        "questions": [asdict(one.link) for one in page.questions],
        "custody": list(page.custody),
        "loan": page.loan,
        "cautions": [asdict(one) for one in page.hazards],
        "prose": paragraphs(part.prose),
    }


def _claim(claim: ClaimShown, bench: Bench) -> dict[str, object]:
    return {
        "says": claim.says,
        "grade": asdict(claim.grade) if claim.grade else None,
        "size": claim.size,
        "other_size": claim.other_size,
        "facts": list(claim.facts),
        "witnesses": claim.witnesses,
        "rival": bench.rival,
        "items": [_item(item) for item in claim.items],
        "reasons": [
            {"rule": one.rule.text if one.rule else "", "says": one.says} for one in claim.reasons
        ],
        "rulings": [
            f"{one.signed} ruled: {one.grade.words if one.grade else ''}. {one.because}"
            for one in claim.rulings
        ],
        "told": list(claim.told),
    }


def _item(item: ItemShown) -> dict[str, object]:
    return {
        "link": asdict(item.link),
        "quote": item.quote,
        "facts": list(item.facts),
        "taken": item.taken.words if item.taken else "no evidence",
        "why": item.why,
        "rule": item.rule.text if item.rule else "",
        "against": item.against,
        "once_with": item.once_with.text if item.once_with else "",
        "note": item.note,
    }
