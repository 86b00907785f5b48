"""The whole report as plain values: chapters, figures, numbers of citations, index, file list."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict

from archive.audience.view import View
from archive.core.rules import CLEARING, ESTIMATING, GRADED_ON, GRADING, MEASURING, WITNESSING
from archive.core.verdicts import GRADES
from archive.site import aircraft, words
from archive.site.dating import when
from archive.site.editions import edition
from archive.site.page import Grade
from archive.site.pages import shown_on, site_of
from archive.site.report import account, registers
from archive.site.report.paper import PaperContext, paragraphs
from archive.site.source import citation


def report(view: View, pictures: Iterable[str], files: Mapping[str, str]) -> dict[str, object]:
    """The report of a view, for the template `report`.

    `pictures` are the ids of the photographs that there is a picture of, called `ID.jpg` in the
    template; `files` gives the sha256 of each file of the record by its path, none where the
    audience doesn't get the files.
    """
    context = PaperContext(view, {}, site_of(view))
    library = context.library
    craft = library.aircraft
    zones = account.zones(context, shown_on(view))
    there = frozenset(pictures) & library.photos.keys()
    placed = _placed(zones)
    rest = [id_ for id_ in library.photos if id_ not in placed]
    order = [id_ for id_ in (*placed, *rest) if id_ in there]
    figures = {f"photos/{id_}": number for number, id_ in enumerate(order, 1)}
    data: dict[str, object] = {
        "title": f"Restoration report: {context.site.name} {context.site.mark}".strip(),
        "language": context.site.language,
        "name": context.site.name,
        "mark": context.site.mark,
        "day": words.day(view.as_of),
        "audience": view.audience,
        "summary": (craft.summary or "") if craft else "",
        "objective": (craft.objective or "") if craft else "",
        "target": library.title(craft.target) if craft and craft.target else "",
        "handover": words.day(craft.handover) if craft else "",
        "tally": _tally(context),
        "aircraft": asdict(aircraft.shown(context)),
        "events": [_when(context, f"events/{one.id}") for one in (craft.events if craft else ())],
        "spells": [
            _spell(context, f"configurations/{one.id}")
            for one in (craft.configurations if craft else ())
        ],
        "people": [
            ", ".join(filter(None, (one.initials, one.name, words.plain(one.role))))
            for one in library.people.values()
        ],
        "grades": [
            {"line": _line(grade), "words": grade, "rests_on": GRADED_ON[grade]} for grade in GRADES
        ],
        "zones": zones,
        "decisions": registers.decisions(context),
        "new_parts": registers.new_parts(context),
        "cards": registers.cards(context) if view.audience == "record" else [],
        "originality": registers.originality(context) if view.originality else None,
        "materials": registers.materials(context),
        "measurements": registers.measurements(context),
        "hazards": registers.hazards(context),
        "unlooked": registers.unlooked(context),
        "kept": registers.kept(context),
        "questions": registers.questions(context),
        "editions": [asdict(edition(context, one)) for one in view.published],
        "stories": [
            {"title": one.title or one.id, "prose": paragraphs(one.prose)}
            for one in library.stories.values()
        ],
        "figures": {ref: _figure(context, ref, number) for ref, number in figures.items()},
        "other_figures": [f"photos/{id_}" for id_ in rest if id_ in there],
        "files": [{"path": path, "sha256": files[path]} for path in sorted(files)],
    }
    numbers = _numbers(data, library.sources)
    data["sources"] = [
        {
            "ref": ref,
            "number": number,
            "title": context.name(ref),
            "citation": citation(library.sources[ref.partition("/")[2]]),
            "holder": library.sources[ref.partition("/")[2]].holder or "",
            "reliability": library.sources[ref.partition("/")[2]].reliability or "",
        }
        for ref, number in numbers.items()
    ]
    data["numbers"] = numbers
    data["rules"] = _rules(data)
    data["anchors"] = [
        *(zone["ref"] for zone in zones if zone["ref"]),
        *library_refs(library.parts),
        *library_refs(library.decisions),
        *library_refs(library.questions),
        *figures,
        *numbers,
    ]
    return data


def library_refs(records: Mapping[str, object]) -> list[str]:
    """The REFs of a kind's records."""
    return [str(getattr(record, "ref", "")) for record in records.values()]


def _placed(zones: list[dict[str, object]]) -> list[str]:
    """Ids of the photographs that stand with a zone, in order."""
    found: list[str] = []
    for zone in zones:
        photos = zone["photos"]
        assert isinstance(photos, list)
        found += photos
    return list(dict.fromkeys(found))


def _tally(context: PaperContext) -> list[str]:
    library = context.library
    survive = [part for part in library.parts.values() if part.survives in ("whole", "fragment")]
    claims = list(context.findings.claims.values())
    open_ = [one for one in library.questions.values() if one.settled is None]
    return [
        f"{words.count(len(library.parts), 'part')} in {words.count(len(library.zones), 'zone')};"
        f" of {len(survive)} something survives.",
        f"{words.capital(words.count(len(claims), 'claim'))}, each with its evidence and a grade;"
        f" {sum(one.not_settled for one in claims)} not settled.",
        f"{words.capital(words.count(len(library.photos), 'photograph'))} and"
        f" {words.count(len(library.sources), 'source')}, as"
        f" {words.count(len(context.findings.groups), 'independent origin')}.",
        f"{words.capital(words.count(len(library.decisions), 'decision'))};"
        f" {words.count(len(open_), 'open question')}.",
    ]


def _when(context: PaperContext, ref: str) -> str:
    return words.capital(when(context.findings.dates.get(ref)))


def _spell(context: PaperContext, ref: str) -> str:
    """When a state began and when it ended, as the chronology has it."""
    spell = context.findings.spells.get(ref)
    if spell is None:
        return ""
    begins, ends = when(spell.begins), when(spell.ends)
    said = filter(None, (f"began {begins}" if begins else "", f"ended {ends}" if ends else ""))
    return words.capital("; ".join(said))


def _line(grade: str) -> str:
    shown = Grade.of(grade)
    return shown.line if shown else ""


def _figure(context: PaperContext, ref: str, number: int) -> dict[str, object]:
    photo = context.library.photos[ref.partition("/")[2]]
    source = context.library.sources.get((photo.source or "").partition("/")[2])
    rights = source.rights if source else None
    return {
        "ref": ref,
        "number": number,
        "src": f"{photo.id}.jpg",
        "title": context.name(ref),
        "alt": photo.alt or f"A picture that nobody has described yet: {context.name(ref)}",
        "when": words.capital(when(context.findings.dates.get(ref))),
        "credit": (rights.credit or rights.holder or "") if rights else "",
        "statement": (rights.statement or "") if rights else "",
        "source": asdict(context.link(photo.source)) if photo.source else None,
    }


def _numbers(data: object, sources: Mapping[str, object]) -> dict[str, int]:
    """REF of each source → its number, in the order in which the report cites them."""
    order = dict.fromkeys(ref for ref in _hrefs(data) if ref.startswith("sources/"))
    known = {f"sources/{id_}" for id_ in sources}
    cited = [ref for ref in order if ref in known]
    return {ref: number for number, ref in enumerate([*cited, *sorted(known.difference(cited))], 1)}


def _hrefs(value: object) -> Iterator[str]:
    """Every link's target, in the order of the values."""
    if isinstance(value, dict):
        target = value.get("href")
        if isinstance(target, str):
            yield target
        for inner in value.values():
            yield from _hrefs(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _hrefs(inner)


def _rules(data: object) -> list[dict[str, str]]:
    """The rules that the report names, each with its words."""
    known = {**WITNESSING, **GRADING, **CLEARING, **MEASURING, **ESTIMATING}
    named = {rule for rule in _named(data) if rule in known}
    return [{"rule": rule, "says": known[rule]} for rule in known if rule in named]


def _named(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        rule = value.get("rule")
        if isinstance(rule, str):
            yield rule
        for inner in value.values():
            yield from _named(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _named(inner)
