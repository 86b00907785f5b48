"""Which bits are real: the three views by what stands there, and the tally by its stated basis."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from archive.core.originality import IN_PLACE, KINDS, OFF, REPAIRED, Originality, Share
from archive.site.context import Context
from archive.site.general_arrangement import Drawing, ViewDrawn, draw
from archive.site.page import Link, Page
from archive.site.visitors.addresses import anchor
from archive.site.visitors.edition import Edition, Said
from archive.site.visitors.parts import SLUGS, THEME, kinds_of

INKS = {"all": "airframe", "some": "corroborated", "none": "none"}
"""How much of a zone is original → the hatch it gets: more ink, more of it is old."""


@dataclass(frozen=True, slots=True)
class TallyRow:
    """One kind: so many pieces, and so much surface and mass of those for which they are known."""

    words: str
    pieces: int
    area: str
    mass: str


@dataclass(frozen=True, slots=True)
class ZoneShown:
    """A zone: how much of it is old in words, its parts by kind."""

    anchor: str
    number: str
    name: Said
    ink: str
    says: str
    parts: tuple[tuple[Link, str], ...]


@dataclass(frozen=True, slots=True)
class RealShown:
    """All that the page says; `known` says of how many parts surface and mass are recorded."""

    drawing: Drawing | None
    zones: tuple[ZoneShown, ...]
    fitted: tuple[TallyRow, ...]
    off: tuple[TallyRow, ...]
    known: str
    inks: tuple[tuple[str, str], ...]


def pages(edition: Edition) -> Iterator[Page]:
    """The page, alone."""
    known = edition.view.originality
    zones = tuple(_zone(edition, number) for number in edition.library.zones)
    fitted = [one for one in known.values() if any(s.kind in KINDS for s in one.shares)]
    measured = sum(any(s.area_m2 is not None for s in one.shares) for one in fitted)
    weighed = sum(any(s.mass_kg is not None for s in one.shares) for one in fitted)
    shown = RealShown(
        drawing=_drawing(edition, {zone.number: zone for zone in zones}),
        zones=zones,
        fitted=tuple(_tally(edition, known.values(), KINDS)),
        off=tuple(_tally(edition, known.values(), OFF)),
        known=edition.t("real.known", n=len(fitted), area=measured, mass=weighed),
        inks=tuple((ink, edition.t(f"real.{key}")) for key, ink in INKS.items()),
    )
    frame = edition.frame("real.html", edition.t("real.title"), edition.site.name, "real")
    yield Page(edition.path("real.html"), "real", frame, shown, THEME)


def _shares(originals: Iterable[Originality]) -> list[Share]:
    return [share for one in originals for share in one.shares]


def _tally(
    edition: Edition, originals: Iterable[Originality], kinds: tuple[str, ...]
) -> Iterator[TallyRow]:
    """Pieces, surface and mass by kind: never a bare share of an unnamed whole."""
    shares = _shares(originals)
    for kind in kinds:
        found = [share for share in shares if share.kind == kind]
        areas = [share.area_m2 for share in found if share.area_m2 is not None]
        masses = [share.mass_kg for share in found if share.mass_kg is not None]
        yield TallyRow(
            edition.t(f"kinds.{SLUGS[kind]}"),
            sum(share.pieces for share in found),
            f"{sum(areas):.1f} m²" if areas else "",
            f"{sum(masses):.1f} kg" if masses else "",
        )


def _zone(edition: Edition, number: str) -> ZoneShown:
    zone = edition.library.zones[number]
    here = [one for one in edition.view.originality.values() if one.zone == number]
    fitted = [share for share in _shares(here) if share.kind in KINDS]
    pieces = sum(share.pieces for share in fitted)
    old = sum(share.pieces for share in fitted if share.kind in (IN_PLACE, REPAIRED))
    key = "none" if not old else "all" if old == pieces else "some"
    return ZoneShown(
        anchor=anchor(f"zones/{number}"),
        number=number,
        name=edition.foreign(zone.name or ""),
        ink=INKS[key],
        says=edition.t("real.pieces", old=old, n=pieces) if pieces else edition.t("real.nothing"),
        parts=tuple(
            (edition.link(one.part), "; ".join(words for _, words in kinds_of(edition, one.part)))
            for one in here
        ),
    )


def _drawing(edition: Edition, zones: dict[str, ZoneShown]) -> Drawing | None:
    """The general arrangement with its zones inked by what is old in them."""
    drawing = draw(Context(edition.view, edition.pictures, edition.site))
    if drawing is None:
        return None

    def inked(view: ViewDrawn) -> ViewDrawn:
        found = tuple(
            replace(
                zone,
                href=f"#{zones[zone.number].anchor}",
                says=f"{zones[zone.number].name.text}: {zones[zone.number].says}",
                line=zones[zone.number].ink,
            )
            for zone in view.zones
        )
        return replace(view, zones=found, name=edition.t(f"views.{view.key}"))

    metres = max(1, round(drawing.scale_px and float(drawing.scale_says.split()[0])))
    return replace(
        drawing,
        views=tuple(map(inked, drawing.views)),
        alone=tuple(map(inked, drawing.alone)),
        scale_says=edition.t.many("real.metre", metres),
    )
