"""A source's page: its citation, its family of copies, what leans on it, its rights, its words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from archive.records.citation import CSL_TYPES
from archive.records.citation import render as cited
from archive.records.source import Source
from archive.records.spec import Judged
from archive.site import words
from archive.site.context import Context
from archive.site.foreseen import FallShown, fall
from archive.site.markdown import Prose
from archive.site.page import Cell, Frame, Link, Page, Thumb
from archive.site.photo import (
    JudgedShown,
    LeaningShown,
    WitnessShown,
    airframe,
    leaning,
    witness,
)

BASES = {
    "own": "our own",
    "permission": "by permission",
    "public-domain": "public domain",
    "orphan": "holder not found",
    "unknown": "not known",
}
EXTENTS = {
    "publication": "for publication",
    "all-use": "for all use: it is no evidence any more",
    "return-or-destroy": "with its return or destruction",
}
DEEPEST = 24


@dataclass(frozen=True, slots=True)
class CopyShown:
    """One item of a family of copies, and what was made from it."""

    link: Link
    generation: str
    here: bool
    made: tuple[CopyShown, ...]


@dataclass(frozen=True, slots=True)
class GrantShown:
    """A permission for one use."""

    use: str
    facts: tuple[str, ...]
    credit: str
    letter: Link | None


@dataclass(frozen=True, slots=True)
class LogShown:
    """A line in the log of asking."""

    on: str
    says: str
    letter: Link | None


@dataclass(frozen=True, slots=True)
class SourceShown:
    """All that a source's page says."""

    citation: str
    reliability: str
    judged: tuple[JudgedShown, ...]
    family: tuple[CopyShown, ...]
    witness: WitnessShown | None
    within: Link | None
    holds: tuple[Link, ...]
    photos: tuple[Thumb, ...]
    leaning: tuple[LeaningShown, ...]
    fall: FallShown | None
    named_by: tuple[Link, ...]
    rights: tuple[Cell, ...]
    rights_because: str
    grants: tuple[GrantShown, ...]
    log: tuple[LogShown, ...]
    consent: tuple[str, ...]
    transcript: tuple[str, ...]
    facts: tuple[Cell, ...]
    prose: Prose


@dataclass(frozen=True)
class Kin:
    """Who was made from whom, and which photographs are pictures of which source."""

    made: Mapping[str, tuple[str, ...]]
    photos: Mapping[str, tuple[str, ...]]
    within: Mapping[str, tuple[str, ...]]


def kin_of(context: Context) -> Kin:
    """The families of all sources, read once for all pages."""
    made: dict[str, list[str]] = {}
    photos: dict[str, list[str]] = {}
    within: dict[str, list[str]] = {}
    for source in context.library.sources.values():
        for parent in source.derived_from:
            made.setdefault(parent.partition("#")[0], []).append(source.ref)
        if source.within:
            within.setdefault(source.within, []).append(source.ref)
    for photo in context.library.photos.values():
        if photo.source:
            photos.setdefault(photo.source, []).append(photo.id)
    return Kin(*({ref: tuple(found) for ref, found in m.items()} for m in (made, photos, within)))


def pages(context: Context) -> Iterator[Page]:
    """The page of every source."""
    kin = kin_of(context)
    for source in context.library.sources.values():
        yield Page(
            f"sources/{source.id}.html",
            "source",
            _frame(context, source),
            _shown(context, source, kin),
        )


def citation(source: Source) -> str:
    """The citation in one line, without marks."""
    return cited(source.citation) if source.citation else ""


def _frame(context: Context, source: Source) -> Frame:
    return context.frame(
        source,
        label="Source",
        here="sources",
        up=Link("Sources", context.page("sources.html")),
        cells=(
            Cell("Kind", kind_of(source)),
            Cell("Generation", words.plain(source.generation)),
            Cell("Made", made_on(source)),
            Cell("Held by", source.holder or ""),
            Cell(
                "Box, folder",
                ", ".join(filter(None, (source.box, source.folder))),
            ),
            Cell("Negative", source.negative or ""),
        ),
    )


def kind_of(source: Source) -> str:
    """What kind of item it is, in a word; "" where it isn't said."""
    if source.citation is None or not source.citation.type:
        return ""
    kind = source.citation.type
    return (
        source.citation.genre or CSL_TYPES.get(kind) or words.plain(kind).partition(" ")[2] or kind
    )


def made_on(source: Source) -> str:
    """When a source was made: as argued, else as cited."""
    issued = words.dated(source.citation.issued) if source.citation else ""
    return words.dated(words.bare(source.dated)) or issued


def _shown(context: Context, source: Source, kin: Kin) -> SourceShown:
    rights = source.rights
    naming = context.library.named_by.get(source.ref, ())
    return SourceShown(
        citation=citation(source),
        reliability=source.reliability or "",
        judged=tuple(_judged(context, source)),
        family=family(context, source.ref, kin),
        witness=witness(context, source.ref),
        within=context.link(source.within) if source.within else None,
        holds=context.links(kin.within.get(source.ref, ())),
        photos=tuple(context.thumb(id_) for id_ in kin.photos.get(source.ref, ())),
        leaning=leaning(context, source.ref),
        fall=fall(context, source.ref),
        named_by=context.links(
            ref for ref in naming if ref.partition("/")[0] in ("decisions", "questions", "stories")
        ),
        rights=tuple(
            cell
            for cell in (
                Cell("Basis", BASES.get(rights.basis or "", "")),
                Cell("Holder", rights.holder or ""),
                Cell("Credit", rights.credit or ""),
                Cell("May be cropped", _yes(rights.crop)),
                Cell("May be drawn on", _yes(rights.overprint)),
                Cell("Statement", rights.statement or ""),
            )
            if cell.text
        )
        if rights
        else (),
        rights_because=(rights.because or "") if rights else "",
        grants=tuple(
            GrantShown(
                grant.use or "",
                tuple(
                    filter(
                        None,
                        (
                            f"until {words.day(grant.until)}" if grant.until else "",
                            grant.territory or "",
                            "once only" if grant.one_time else "",
                        ),
                    )
                ),
                grant.credit or "",
                context.link(grant.letter) if grant.letter else None,
            )
            for grant in (rights.grants if rights else ())
        ),
        log=tuple(
            LogShown(
                words.day(one.on), one.says or "", context.link(one.letter) if one.letter else None
            )
            for one in (rights.log if rights else ())
        ),
        consent=tuple(_consent(source)),
        transcript=tuple(filter(None, (source.transcript or "").split("\n\n"))),
        facts=tuple(
            cell
            for cell in (
                Cell("Airframe", airframe(context, source.airframe, source.sister)),
                Cell("Occasion", words.plain(source.sitting)),
                Cell("Recorded", context.signed(source.by, source.on)),
                Cell("For", source.purpose or ""),
            )
            if cell.text
        ),
        prose=context.prose(source.prose),
    )


def _yes(value: bool | None) -> str:
    return {True: "yes", False: "no", None: ""}[value]


def _judged(context: Context, source: Source) -> Iterator[JudgedShown]:
    for label, value, says in (
        ("Date, as argued", source.dated, words.dated(words.bare(source.dated))),
        ("Airframe", source.airframe, airframe(context, source.airframe, source.sister)),
        (
            "Maker saw it",
            source.first_hand,
            "yes, first-hand" if words.bare(source.first_hand) else "no, heard or copied",
        ),
        (
            "Discredited",
            source.discredited,
            "yes: it is no evidence" if words.bare(source.discredited) else "no",
        ),
    ):
        if value is None:
            continue
        judged = value if isinstance(value, Judged) else Judged(says=value)
        yield JudgedShown(label, says, context.signed(judged.by, judged.on), judged.because or "")


def _consent(source: Source) -> Iterator[str]:
    consent = source.consent
    if consent is None:
        return
    if consent.given:
        yield f"Consent given on {words.day(consent.given)}."
    if consent.withdrawn:
        extent = EXTENTS.get(consent.withdrawn.extent or "", "")
        yield f"Consent withdrawn on {words.day(consent.withdrawn.on)}, {extent}."
    if not consent.deed:
        yield "No deed of the recording is held: consent is not copyright."


def family(context: Context, ref: str, kin: Kin) -> tuple[CopyShown, ...]:
    """The family of copies that a record belongs to, from its roots down; () where it has none."""
    roots = _roots(context, ref)
    trees = tuple(_tree(context, root, ref, kin, ()) for root in roots)
    return trees if any(tree.made for tree in trees) else ()


def _parents(context: Context, ref: str) -> tuple[str, ...]:
    kind, _, id_ = ref.partition("#")[0].partition("/")
    if kind == "sources":
        source = context.library.sources.get(id_)
        return tuple(one.partition("#")[0] for one in source.derived_from) if source else ()
    photo = context.library.photos.get(id_)
    return (photo.source,) if photo and photo.source else ()


def _roots(context: Context, ref: str) -> list[str]:
    found: list[str] = []
    seen: set[str] = set()
    ahead = [ref]
    while ahead:
        one = ahead.pop(0)
        if one in seen:
            continue
        seen.add(one)
        parents = _parents(context, one)
        ahead.extend(parents)
        if not parents:
            found.append(one)
    return found or [ref]


def _tree(context: Context, ref: str, here: str, kin: Kin, above: tuple[str, ...]) -> CopyShown:
    record = context.library.get(ref)
    below = () if ref in above or len(above) > DEEPEST else kin.made.get(ref, ())
    photos = kin.photos.get(ref, ())
    # A paper made from a photograph hangs below the source that the photograph is a picture of.
    through = tuple(made for photo in photos for made in kin.made.get(f"photos/{photo}", ()))
    return CopyShown(
        link=context.link(ref),
        generation=words.plain(getattr(record, "generation", None)),
        here=ref == here,
        made=tuple(
            _tree(context, child, here, kin, (*above, ref))
            for child in dict.fromkeys((*below, *(through if ref not in above else ())))
        ),
    )
