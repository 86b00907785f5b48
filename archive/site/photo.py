"""A photograph's page: the picture, its named regions, what stands on it, what leans on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from archive.core.images import PictureSet
from archive.records.photo import Photo
from archive.records.spec import Judged
from archive.site import words
from archive.site.addresses import BENCH, href
from archive.site.claim import grade_of
from archive.site.context import Context
from archive.site.dating import DatingShown, dating, when
from archive.site.drawn import Drawn, drawn, measurable
from archive.site.foreseen import FallShown, fall
from archive.site.markdown import Prose
from archive.site.metal import MetalShown, metal
from archive.site.page import Cell, Frame, Grade, Link, Page, ReasonShown
from archive.site.related import RelatedShown, related

KINDS = {
    "period": "period photograph",
    "as-found": "as found",
    "mock-up": "mock-up",
    "document": "a paper",
}


Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class TilesShown:
    """The deep-zoom tiles of a picture, as the page's script reads them."""

    folder: str
    width: int
    height: int
    tile: int
    overlap: int
    least: int
    most: int


@dataclass(frozen=True, slots=True)
class PictureShown:
    """The picture in its sizes."""

    src: str
    srcset: str
    width: int
    height: int
    alt: str
    tiles: TilesShown | None


@dataclass(frozen=True, slots=True)
class RegionShown:
    """A named patch: its corners in the picture's pixels, its number's place in per cent."""

    number: int
    id: str
    name: str
    points: str
    left: str
    top: str
    link: Link | None
    ruled: str


@dataclass(frozen=True, slots=True)
class JudgedShown:
    """A judgement: what it says, who made it, and why."""

    label: str
    says: str
    signed: str
    because: str


@dataclass(frozen=True, slots=True)
class LeaningShown:
    """A claim that leans on the record."""

    link: Link
    grade: Grade | None


@dataclass(frozen=True, slots=True)
class WitnessShown:
    """The witness that the record counts with."""

    says: str
    members: tuple[Link, ...]
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class SeenShown:
    """A thing that is seen on the picture, or seen to be absent."""

    link: Link
    says: str


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """All that a photograph's page says."""

    picture: PictureShown | None
    alter: bool
    full_width: int
    full_height: int
    regions: tuple[RegionShown, ...]
    retouched: tuple[str, ...]
    retouched_says: tuple[str, ...]
    front: str
    back: str
    dating: DatingShown | None
    judged: tuple[JudgedShown, ...]
    rulings: tuple[JudgedShown, ...]
    source: Link | None
    credit: str
    witness: WitnessShown | None
    related: tuple[RelatedShown, ...]
    leaning: tuple[LeaningShown, ...]
    fall: FallShown | None
    seen: tuple[SeenShown, ...]
    bench: str
    drawn: Drawn
    metal: MetalShown | None
    named_by: tuple[Link, ...]
    facts: tuple[Cell, ...]
    prose: Prose


def pages(context: Context) -> Iterator[Page]:
    """The page of every photograph."""
    for photo in context.library.photos.values():
        yield Page(
            f"photos/{photo.id}.html", "photo", _frame(context, photo), _shown(context, photo)
        )


def _frame(context: Context, photo: Photo) -> Frame:
    group = context.findings.groups.get(context.findings.group_of.get(photo.ref, ""))
    dates = photo.date
    source = context.library.get(photo.source) if photo.source else None
    return context.frame(
        photo,
        label="Photograph",
        here="photographs",
        up=Link("Photographs", context.page("photographs.html")),
        cells=(
            Cell("Kind", KINDS.get(photo.shows_what or "", "")),
            Cell("Taken", when(context.findings.dates.get(photo.ref))),
            Cell("Airframe", airframe(context, photo.airframe, photo.sister)),
            Cell("Witness", f"one, in {len(group.members)} items" if group else ""),
            Cell("Generation", words.plain(getattr(source, "generation", None))),
            Cell("Stated", words.dated(dates.stated) if dates else ""),
        ),
        scripts=("photo", "beside"),
    )


def airframe(context: Context, value: Any, sister: str | None) -> str:
    """Whose aircraft a record tells of, in words."""
    if sister:
        return context.library.title(sister)
    return words.AIRFRAMES.get(words.bare(value) or "", "")


def picture(context: Context, photo_id: str, alt: str) -> PictureShown | None:
    """A photograph's picture in all its sizes, None where it may not be shown."""
    made = context.pictures.get(photo_id)
    if made is None or not made.sizes:
        return None
    middle = next((size for size in made.sizes if size.width_px >= 800), made.sizes[-1])
    return PictureShown(
        src=href(context.root, middle.path),
        srcset=", ".join(
            f"{href(context.root, size.path)} {size.width_px}w" for size in made.sizes
        ),
        width=middle.width_px,
        height=middle.height_px,
        alt=alt,
        tiles=_tiles(context, made),
    )


def may_alter(context: Context, photo: Photo) -> bool:
    """Whether this audience may see the picture drawn on, turned over or toned.

    The public may where the source's rights say so; a picture of ours without a source may be too.
    """
    if context.view.audience != "public":
        return True
    if not photo.source:
        return photo.shows_what in ("as-found", "mock-up")
    source = context.library.sources.get(photo.source.partition("/")[2])
    return bool(source and source.rights and source.rights.overprint)


def _tiles(context: Context, made: PictureSet) -> TilesShown | None:
    tiles = made.tiles
    if tiles is None:
        return None
    return TilesShown(
        href(context.root, tiles.folder),
        tiles.width_px,
        tiles.height_px,
        tiles.tile_px,
        tiles.overlap_px,
        0,
        len(tiles.levels) - 1,
    )


def _shown(context: Context, photo: Photo) -> PhotoShown:
    facts = context.view.images.get(photo.id)
    size = (facts.width_px, facts.height_px) if facts else (0, 0)
    source = context.library.sources.get((photo.source or "").partition("/")[2])
    naming = context.library.named_by.get(photo.ref, ())
    scan = photo.scan
    return PhotoShown(
        picture=picture(context, photo.id, photo.alt or photo.title or ""),
        alter=may_alter(context, photo),
        full_width=size[0],
        full_height=size[1],
        regions=_regions(context, photo, size),
        retouched=tuple(_points(patch.outline) for patch in photo.retouched),
        retouched_says=tuple(patch.says or "" for patch in photo.retouched),
        front=photo.front or "",
        back=photo.back or "",
        dating=dating(context, photo.ref),
        judged=tuple(_judged(context, photo)),
        rulings=tuple(_rulings(context, photo)),
        source=context.link(photo.source) if photo.source else None,
        credit=(source.rights.credit or "") if source and source.rights else "",
        witness=witness(context, photo.ref),
        related=related(context, photo.ref),
        leaning=leaning(context, photo.ref),
        fall=fall(context, photo.ref),
        seen=tuple(
            SeenShown(
                context.link(one.feature or ""),
                "seen"
                if one.is_seen == "seen"
                else "not there" + ("; it would have shown" if one.would_have_shown else ""),
            )
            for one in photo.shows
        ),
        bench=context.page(f"{BENCH}#{photo.id}") if facts and measurable(photo) else "",
        drawn=drawn(context, photo, size[0]),
        metal=metal(context, photo.ref),
        named_by=context.links(
            ref
            for ref in naming
            if ref.partition("/")[0] in ("decisions", "questions", "stories", "sources")
        ),
        facts=tuple(
            cell
            for cell in (
                Cell("Frame", words.FRAMES.get(photo.frame or "", "")),
                Cell("Lens", words.LENSES.get(photo.lens or "", "")),
                Cell("Scan", f"{scan.dpi} dots an inch" if scan and scan.dpi else ""),
                Cell(
                    "Scanned",
                    ", ".join(filter(None, (scan.by, words.day(scan.on)))) if scan else "",
                ),
                Cell("Pixels", f"{size[0]} × {size[1]}" if size[0] else ""),
                Cell("Checksum", facts.sha256[:16] if facts else ""),
                Cell("Recorded", context.signed(photo.by, photo.on)),
                Cell("For", photo.purpose or ""),
            )
            if cell.text
        ),
        prose=context.prose(photo.prose),
    )


def _regions(context: Context, photo: Photo, size: tuple[int, int]) -> tuple[RegionShown, ...]:
    shown = []
    taken: list[Spot] = []
    for number, region in enumerate(photo.regions, 1):
        corners = region.outline or ()
        part = region.ruled.part if region.ruled else region.part
        spot = _anchor(corners, size, taken)
        if spot:
            taken.append(spot)
        shown.append(
            RegionShown(
                number=number,
                id=region.id,
                name=region.name or words.plain(region.id),
                points=_points(corners),
                left=f"{spot[0]:.2f}%" if spot else "",
                top=f"{spot[1]:.2f}%" if spot else "",
                link=context.link(part) if part else None,
                ruled=context.signed(region.ruled.by, region.ruled.on) if region.ruled else "",
            )
        )
    return tuple(shown)


def _points(corners: Any) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in corners or ())


def _anchor(corners: Any, size: tuple[int, int], taken: list[Spot]) -> Spot | None:
    """Where a region's number stands, per cent from left and top: the corner that has most room."""
    width, height = size
    if not corners or not width or not height:
        return None
    spots = [
        (min(max(100 * x / width, 4.0), 96.0), min(max(100 * y / height, 6.0), 94.0))
        for x, y in corners
    ]

    def room(spot: Spot) -> float:
        ways = ((spot[0] - x) ** 2 + ((spot[1] - y) * height / width) ** 2 for x, y in taken)
        return min(ways, default=1e9)

    return max(spots, key=lambda spot: (min(room(spot), 64.0), -spot[1], -spot[0]))


def _judged(context: Context, photo: Photo) -> Iterator[JudgedShown]:
    dates = photo.date
    if dates and dates.stated is not None:
        yield JudgedShown("Date, as it says", words.dated(dates.stated), "", "")
    for label, value, says in (
        (
            "Date, as argued",
            dates.argued if dates else None,
            words.dated(words.bare(dates.argued)) if dates else "",
        ),
        ("Airframe", photo.airframe, airframe(context, photo.airframe, photo.sister)),
        (
            "Way round",
            photo.flipped,
            "printed the wrong way round"
            if words.bare(photo.flipped)
            else "printed the right way round",
        ),
    ):
        if value is None:
            continue
        judged = value if isinstance(value, Judged) else Judged(says=value)
        yield JudgedShown(label, says, context.signed(judged.by, judged.on), judged.because or "")


def _rulings(context: Context, photo: Photo) -> Iterator[JudgedShown]:
    said = {"must": "it shows this state", "may": "it may show this state", "cannot": "it can't"}
    for one in photo.configurations:
        yield JudgedShown(
            context.library.title(one.configuration or ""),
            said.get(one.is_in or "", ""),
            context.signed(one.by, one.on),
            one.because or "",
        )
    for same in photo.same_negative:
        yield JudgedShown(
            context.library.title(same.photo or ""),
            "one negative" if same.is_same == "same" else "another negative",
            context.signed(same.by, same.on),
            same.because or "",
        )


def witness(context: Context, ref: str) -> WitnessShown | None:
    """The witness that a photograph or source counts with, None where none was concluded."""
    group = context.findings.groups.get(context.findings.group_of.get(ref, ""))
    if group is None:
        return None
    others = tuple(member for member in group.members if member != ref)
    says = "A witness by itself."
    if others:
        says = f"Counts once with {words.count(len(others), 'other item')}."
    if group.once:
        open_ = tuple(
            member
            for one in context.findings.groups.values()
            if one.once == group.once and one.id != group.id
            for member in one.members
        )
        says += f" Until somebody rules, it counts once with {words.count(len(open_), 'more')}."
        others += open_
    reasons = (*(group.finding.reasons if len(group.members) > 1 else ()), *group.beside)
    return WitnessShown(says, context.links(others), context.told(reasons))


def leaning(context: Context, ref: str) -> tuple[LeaningShown, ...]:
    """The claims that lean on a record, with their grades."""
    return tuple(
        LeaningShown(context.link(claim), grade_of(context.findings.claims.get(claim)))
        for claim in context.findings.leaning.get(ref, ())
    )
