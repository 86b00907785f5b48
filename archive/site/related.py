"""Pictures that are related to a photograph's: the answer in plain words, and both to look at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from archive.core.images import Overlay
from archive.core.likeness import ANOTHER, COPIES, OPEN, Patch, Related
from archive.records.photo import Photo
from archive.site import words
from archive.site.addresses import href
from archive.site.context import Context
from archive.site.page import Link, ReasonShown

ANSWERS = {
    COPIES: "Copies of one negative",
    OPEN: "One negative or two: this can't be told from these pictures",
    ANOTHER: "Same scene, another negative",
}


@dataclass(frozen=True, slots=True)
class PatchShown:
    """A place where the two differ: its number, its box in pixels of the overlay, and words."""

    number: int
    left: float
    top: float
    width: float
    height: float
    says: str


@dataclass(frozen=True, slots=True)
class OverlayShown:
    """The two pictures in one frame, and what differs: three pictures of one size."""

    width: int
    height: int
    first: str
    second: str
    difference: str
    first_title: str
    second_title: str
    how: str
    patches: tuple[PatchShown, ...]


@dataclass(frozen=True, slots=True)
class RelatedShown:
    """A photograph whose picture is related to this page's.

    `asks` are the questions that a person is asked, "" for none; `best` is the one that is nearer
    to the negative, None where the records don't tell.
    """

    id: str
    link: Link
    says: str
    reasons: tuple[ReasonShown, ...]
    asks: tuple[str, ...]
    ruled: str
    best: Link | None
    overlay: OverlayShown | None


def related(context: Context, ref: str) -> tuple[RelatedShown, ...]:
    """The pictures related to a photograph's: first what a person is asked about, then copies."""
    found = [pair for pair in context.findings.related if pair.beside(ref)]
    return tuple(_shown(context, ref, pair) for pair in sorted(found, key=_order))


def _order(pair: Related) -> tuple[bool, int, str, str]:
    return (not (pair.asks or pair.way_round), list(ANSWERS).index(pair.found.answer), *_refs(pair))


def _refs(pair: Related) -> tuple[str, str]:
    return pair.one, pair.other


def _shown(context: Context, ref: str, pair: Related) -> RelatedShown:
    other = pair.beside(ref)
    ruled = {"same": "Ruled by hand: one negative.", "different": "Ruled by hand: two negatives."}
    return RelatedShown(
        id=f"_beside-{other.partition('/')[2]}",
        link=context.link(other),
        says=ANSWERS[pair.found.answer],
        reasons=context.reasons(pair.finding),
        asks=tuple(filter(None, (pair.asks, pair.way_round))),
        ruled=ruled.get(pair.ruled, ""),
        best=context.link(pair.best) if pair.best else None,
        overlay=_overlay(context, pair),
    )


def _overlay(context: Context, pair: Related) -> OverlayShown | None:
    made = context.overlays.get((pair.one, pair.other))
    if made is None:
        return None
    found = pair.found
    how = [
        "turned over" if found.mirrored else "",
        "its tones reversed" if found.negative else "",
    ]
    return OverlayShown(
        width=made.first.width_px,
        height=made.first.height_px,
        first=href(context.root, made.first.path),
        second=href(context.root, made.second.path),
        difference=href(context.root, made.difference.path),
        first_title=context.name(pair.one),
        second_title=context.name(pair.other),
        how=" and ".join(filter(None, how)),
        # Where a thing or the camera moved, everything differs: no place stands out.
        patches=() if found.answer == ANOTHER else tuple(_patches(context, pair, made)),
    )


def _patches(context: Context, pair: Related, made: Overlay) -> Iterator[PatchShown]:
    left, top, right, bottom = made.box
    wide, high = made.first.width_px / (right - left), made.first.height_px / (bottom - top)
    photo = context.library.photos.get(pair.one.partition("/")[2])
    for number, patch in enumerate(pair.found.patches, 1):
        says = (
            f"what is like it stands {patch.moved_px:.0f} pixels off in the other"
            if patch.moved_px
            else "the other shows something else, or nothing"
        )
        where = _region(photo, patch)
        yield PatchShown(
            number=number,
            left=round((patch.left - left) * wide, 1),
            top=round((patch.top - top) * high, 1),
            width=round((patch.right - patch.left) * wide, 1),
            height=round((patch.bottom - patch.top) * high, 1),
            says=f"{where}: {says}" if where else says,
        )


def _region(photo: Photo | None, patch: Patch) -> str:
    """The named regions of the first photograph that a patch lies on, in words."""
    found = [
        region.name or words.plain(region.id)
        for region in (photo.regions if photo else ())
        if region.outline and _meet(region.outline, patch)
    ]
    return ", ".join(found[:2])


def _meet(corners: Sequence[tuple[float, float]], patch: Patch) -> bool:
    """Whether a fifth of the smaller of the two lies within the other, as boxes."""
    across, down = [x for x, _ in corners], [y for _, y in corners]
    wide = min(max(across), patch.right) - max(min(across), patch.left)
    high = min(max(down), patch.bottom) - max(min(down), patch.top)
    mine = (patch.right - patch.left) * (patch.bottom - patch.top)
    theirs = (max(across) - min(across)) * (max(down) - min(down))
    return wide > 0 and high > 0 and 5 * wide * high >= min(mine, theirs)
