"""What could be tried on a claim: each kind of evidence that it lacks, as changed records."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from archive.core.dates import parse_edtf
from archive.core.lengths import Length, show_mm
from archive.core.verdicts import Graded, ItemTaken
from archive.reasoning import requests
from archive.reasoning.evidence import FIGURED, is_dated
from archive.reasoning.ground import Ground
from archive.reasoning.metal import original_metal
from archive.reasoning.supposing import with_photo, with_source
from archive.reasoning.taking import CORROBORATED, MATCHED, ON, SAID, SEEN, rank
from archive.reasoning.trust import discredited, taken_back
from archive.records.citation import Citation
from archive.records.claim import AgreesWith, Claim, Evidence
from archive.records.library import EMPTY, Library
from archive.records.part import Part
from archive.records.photo import InConfiguration, Photo, RuledRegion
from archive.records.source import Source
from archive.records.spec import Judged

PHOTO, COLOUR, PAPER, DRAWING, PIECE = "~photo", "~colour", "~paper", "~drawing", "~piece"
"""Ids of what isn't found yet: `~` can stand in no record's name."""

IN_HER_TIME = Judged(says=parse_edtf("../1900"))
"""A date that no state of any aircraft ends before: of her time, whichever that was."""


@dataclass(frozen=True, slots=True)
class Attempt:
    """One thing to try: its rule, the request, and the claim (and records) as they would be.

    `at_most` is a grade that it can't lift the claim above; `library` is None where the
    records stay as they are.
    """

    rule: str
    asks: str
    claim: Claim
    at_most: str
    rests_on: tuple[str, ...] = ()
    library: Library | None = None


def plenty(library: Library) -> tuple[Library, Library]:
    """The library with what might be found laid beside it; and what might be found alone."""
    this = Judged(says="this")
    photos: dict[str, Photo] = {}
    for state in ("", *(f"configurations/{id_}" for id_ in library.configurations)):
        rulings = (InConfiguration(configuration=state, is_in="must"),) if state else ()
        for kind in (PHOTO, COLOUR):
            id_ = of_state(kind, state)
            photos[id_] = Photo(
                id=id_,
                title="a photograph not found yet",
                shows_what="period",
                airframe=this,
                monochrome=kind == PHOTO,
                configurations=rulings,
            )
    paper = Source(
        id=PAPER,
        title="a paper not found yet",
        airframe=this,
        first_hand=Judged(says=True),
        dated=IN_HER_TIME,
    )
    drawing = replace(paper, id=DRAWING, citation=Citation(type="figure"))
    piece = Part(id=PIECE, title="a piece not found yet", survives="fragment")
    sources, parts = {PAPER: paper, DRAWING: drawing}, {PIECE: piece}
    extra = replace(EMPTY, photos=photos, sources=sources, parts=parts)
    return (
        replace(
            library,
            photos={**library.photos, **photos},
            sources={**library.sources, **sources},
            parts={**library.parts, **parts},
        ),
        extra,
    )


def of_state(kind: str, state: str | None) -> str:
    """The id of a photograph not found yet that shows a configuration (a REF)."""
    return f"{kind}-{(state or '').partition('/')[2]}"


def attempts(ground: Ground, part: Part, claim: Claim, now: Graded) -> Iterator[Attempt]:
    """What could be tried on a claim, in the order of the rules, the cheapest first.

    The library of the `ground` has what might be found laid beside it (`plenty`).
    """
    each = _Claim(ground, part, claim, now)
    tried = [a for item in now.items if not item.against for a in each.mended(item)]
    yield from sorted(tried, key=lambda attempt: int(attempt.rule[1:]))
    yield from each.tighter()
    if rank(now.grade) > rank(CORROBORATED) or now.not_settled:
        yield from each.found()
    yield from each.metal()


@dataclass(frozen=True, slots=True)
class _Claim:
    """One claim, and what can be made of it."""

    ground: Ground
    part: Part
    claim: Claim
    now: Graded

    @property
    def library(self) -> Library:
        """The records, and what might be found."""
        return self.ground.library

    # What is held already

    def mended(self, item: ItemTaken) -> Iterator[Attempt]:
        """What could be made of one item of evidence that is held, but lends too little."""
        written = self.claim.evidence[item.index]
        title = self.library.title(item.ref.partition("#")[0]) if item.ref else ""
        photo = self.library.photos.get(item.ref.partition("#")[0].partition("/")[2])
        if not (item.ref.startswith("photos/")):
            photo = None
        if item.rule == "G15":
            asks = f"Say whether {requests.name(self.part)} would have shown in “{title}”."
            yield self._with("L3", asks, item, would_have_shown=True)
        gauge = self.ground.measured.get(written.measured or "")
        if item.rule == "G20" and gauge is not None:
            name = self.library.title(gauge.ref)
            asks = f"A figure from the measurement “{name}”, which gives none: {gauge.way_out}"
            figured = self._with("L4", asks, item, value=self._figure(), measured=None)
            yield replace(figured, rests_on=(item.ref, gauge.ref, *gauge.finding.rests_on))
        elif item.rule == "G20" and not written.measured:
            asks = f"A figure for {self._asked()} from “{title}”, with its error{self._no_wider()}."
            yield self._with("L4", asks, item, value=self._figure())
        if item.rule == "G3" and not written.agrees_with:
            yield from self._trial(item, title)
        if written.reading in ("possible", "probable") and item.cap:
            look = "A better scan, or the negative, of" if photo else "A second reading of"
            asks = f"{look} “{title}”, so that {requests.name(self.part)} reads clear there."
            yield self._with("L6", asks, item, reading="clear")
        if photo is not None:
            yield from self._picture(item, photo)
        yield from self._origin(item, photo)

    def _with(self, rule: str, asks: str, item: ItemTaken, **changes: Any) -> Attempt:
        """The claim with one item read or told otherwise."""
        evidence = list(self.claim.evidence)
        evidence[item.index] = replace(evidence[item.index], **changes)
        claim = replace(self.claim, evidence=tuple(evidence))
        return Attempt(rule, asks, claim, ON, (item.ref,))

    def _trial(self, item: ItemTaken, title: str) -> Iterator[Attempt]:
        on = self._survivor()
        if on is None:
            return
        asks = (
            f"Offer up “{title}” to “{on.title}” of this airframe, and record what that says of "
            f"{self._asked()}."
        )
        trial = AgreesWith(record=on.ref, how="supposed", within=self._figure())
        attempt = self._with("L5", asks, item, agrees_with=(trial,))
        yield replace(attempt, rests_on=(item.ref, on.ref))

    def _survivor(self) -> Part | None:
        """A piece of this airframe that something can be offered up to."""
        part = self.part
        beside = (part.ref, part.opposite, part.assembly, *part.mates, *part.attaches)
        for ref in beside:
            other = self.library.parts.get((ref or "").partition("#")[0].partition("/")[2])
            if other is not None and original_metal(other):
                return other
        return None

    def _picture(self, item: ItemTaken, photo: Photo) -> Iterator[Attempt]:
        state = self.claim.configuration
        title = photo.title or photo.id
        if item.rule == "G9" and item.cap and state:
            others = tuple(r for r in photo.configurations if r.configuration != state)
            ruling = InConfiguration(configuration=state, is_in="must", because="supposed")
            changed = replace(photo, configurations=(*others, ruling))
            when = requests.within(self.library, self.part, self.claim)
            asks = f"A ruling, with its reason, that “{title}” shows “{self.library.title(state)}”"
            asks += f": taken {when}." if when else "."
            yield self._photo("L1", asks, changed, (photo.ref, state))
        if item.rule == "G11":
            piece = item.ref.partition("#")[2]
            regions = tuple(
                replace(r, ruled=RuledRegion(part=self.part.ref)) if r.id == piece else r
                for r in photo.regions
            )
            asks = f"A ruling on which side “{title}” shows at {piece}: the print is flipped."
            yield self._photo("L2", asks, replace(photo, regions=regions), (item.ref,))
        if item.rule == "G10":
            asks = f"A print of “{title}” without the retouching, or its negative."
            yield self._photo("L9", asks, replace(photo, retouched=()), (item.ref,))

    def _photo(self, rule: str, asks: str, photo: Photo, rests_on: tuple[str, ...]) -> Attempt:
        library = with_photo(self.library, photo)
        return Attempt(rule, asks, self.claim, ON, rests_on, library)

    def _origin(self, item: ItemTaken, photo: Photo | None) -> Iterator[Attempt]:
        """What could be found out about where an item comes from."""
        behind = photo.source if photo else item.ref.partition("#")[0]
        source = self.library.sources.get((behind or "").partition("/")[2])
        if not (behind or "").startswith("sources/"):
            source = None
        if item.rule == "G16":
            yield from self._named(item, photo, source)
        if source is None:
            return
        if item.rule == "G7" and item.cap == SAID and not self._is_memory(source):
            dated = source.dated if is_dated(source) else IN_HER_TIME
            changed = replace(source, first_hand=Judged(says=True), dated=dated)
            asks = f"Who wrote “{source.title}”, on which day, and did they see the thing?"
            yield self._source("L7", asks, changed)
        if item.rule == "G12":
            changed = replace(source, generation="vintage-print")
            asks = f"The photograph behind the halftone “{source.title}”: a print or the negative."
            yield self._source("L10", asks, changed)
        if item.rule == "G13" and not taken_back(self.library, item.ref):
            fallen = self.library.get(discredited(self.library, item.ref))
            if isinstance(fallen, Source):
                by = fallen.discredited.by or "somebody"
                asks = f"A second opinion on “{fallen.title}”, which {by} has discredited."
                yield self._source("L11", asks, replace(fallen, discredited=None))

    @staticmethod
    def _is_memory(source: Source) -> bool:
        return source.citation is not None and source.citation.type == "interview"

    def _source(self, rule: str, asks: str, source: Source) -> Attempt:
        library = with_source(self.library, source)
        return Attempt(rule, asks, self.claim, ON, (source.ref,), library)

    def _named(
        self, item: ItemTaken, photo: Photo | None, source: Source | None
    ) -> Iterator[Attempt]:
        """The aircraft named, where nobody knows it: what is known to be a sister stays one."""
        this = Judged(says="this")
        if photo is not None:
            asks = f"Which aircraft is on “{photo.title}”? Its mark, or a repair that ours has."
            yield Attempt("L8", asks, self.claim, ON, (photo.ref,), self._all_named(photo))
        elif source is not None and (source.airframe is None or source.airframe.says == "unknown"):
            asks = f"Of which aircraft does “{source.title}” tell?"
            yield self._source("L8", asks, replace(source, airframe=this))
        elif item.ref.startswith("parts/"):
            piece = self.library.parts.get(item.ref.partition("#")[0].partition("/")[2])
            if piece is not None and piece.airframe == "unknown":
                asks = f"From which aircraft did “{piece.title}” come? A number, or a fit."
                parts = {**self.library.parts, piece.id: replace(piece, airframe="this")}
                library = replace(self.library, parts=parts)
                yield Attempt("L8", asks, self.claim, ON, (piece.ref,), library)

    def _all_named(self, photo: Photo) -> Library:
        """The records with the aircraft named on every print of one negative that names none."""
        this = Judged(says="this")
        group = self.ground.groups.get(self.ground.group_of.get(photo.ref, ""))
        library = self.library
        for ref in group.members if group else (photo.ref,):
            record = library.get(ref)
            said = getattr(getattr(record, "airframe", None), "says", None)
            if isinstance(record, Photo) and said in (None, "unknown"):
                library = with_photo(library, replace(record, airframe=this))
            elif isinstance(record, Source) and said == "unknown":
                library = with_source(library, replace(record, airframe=this))
        return library

    def tighter(self) -> Iterator[Attempt]:
        """The figure that is held, with an error no wider than the tolerance."""
        held, needed = self.now.held, self.claim.tolerance
        if held is None or needed is None or (held.half95_mm or needed.mm * 2) <= needed.mm:
            return
        whole = held.taken_from.partition("#")[0]
        for item in self.now.items:
            if item.index != self._lead():
                continue
            gauge = self.ground.measured.get(held.measured)
            title = self.library.title(gauge.ref if gauge else whole)
            how = "Measure it again" if gauge or whole.startswith("parts/") else "A tighter figure"
            asks = f"{how}, on “{title}” or beside it, to {self._needed()}."
            if gauge and gauge.would_halve:
                asks += f" {gauge.would_halve}"
            tight = self._with("L12", asks, item, value=self._figure(), measured=None)
            yield replace(tight, rests_on=(item.ref, gauge.ref) if gauge else (item.ref,))
            return

    def _lead(self) -> int:
        """The place of the item whose figure counts most in what is held; -1 for none."""
        joined, held = self.now.together, self.now.held
        if joined is not None and joined.value_mm is not None:
            return max(joined.counted, key=lambda pair: (pair[1], -pair[0]))[0]
        same = (
            item.index
            for item in self.now.items
            if held and (item.ref, item.value_mm) == (held.taken_from, held.value_mm)
        )
        return next(same, -1)

    # What isn't found yet

    def found(self) -> Iterator[Attempt]:
        """Papers and photographs that somebody may have."""
        library, part, claim = self.library, self.part, self.claim
        over = tuple(other.ref for other in requests.over(library, part))
        best = CORROBORATED if self.now.grade == SEEN or self.now.not_settled else SEEN
        if claim.aspect != "shape":
            paper = Evidence(source=f"sources/{PAPER}", quote="…", value=self._figure())
            asks = requests.paper(library, part, claim)
            yield self._add("L13", asks, paper, best)
        if claim.aspect == "finish":
            colour = Evidence(photo=f"photos/{of_state(COLOUR, claim.configuration)}")
            asks = requests.picture(library, part, claim, "A colour photograph")
            asks = f"{asks[:-1]}; or a second one in which two tones change places."
            yield self._add("L15", asks, colour, best, over)
            return
        photo = Evidence(
            photo=f"photos/{of_state(PHOTO, claim.configuration)}", value=self._figure()
        )
        lead = "A photograph of another occasion" if self.now.witnesses else "A photograph"
        yield self._add("L14", requests.picture(library, part, claim, lead), photo, best, over)

    def metal(self) -> Iterator[Attempt]:
        """A sister's part, the opposite hand, the part itself or its mark."""
        if rank(self.now.grade) <= rank(ON) and not self.now.not_settled:
            return
        part, aspect = self.part, self._asked()
        name, figure = requests.name(part), self._figure()
        survivor = self._survivor()
        if survivor is not None:
            sisters = [s.mark or s.id for s in self.library.sisters.values()]
            whose = f"{name} of {' or '.join(sisters)}" if sisters else f"{name} of a sister"
            asks = (
                f"A works drawing, or {whose}, offered up to “{survivor.title}” of this airframe "
                f"to learn {aspect}."
            )
            trial = AgreesWith(record=survivor.ref, how="supposed", within=figure)
            paper = Evidence(source=f"sources/{DRAWING}", agrees_with=(trial,), value=figure)
            yield self._add("L16", asks, paper, MATCHED, (survivor.ref,))
        other = self.library.parts.get((part.opposite or "").partition("/")[2])
        if other is not None and other.survives == "no":
            found = {**self.library.parts, other.id: replace(other, survives="fragment")}
            item = Evidence(part=other.ref, value=figure)
            attempt = self._add(
                "L17",
                f"{requests.name(other)}, the opposite hand, or a piece of it.",
                item,
                MATCHED,
                (other.ref,),
            )
            yield replace(attempt, library=replace(self.library, parts=found))
        mark = Evidence(part=f"parts/{PIECE}", witness_mark=True, value=figure)
        beside_it = tuple(dict.fromkeys((*part.mates, *part.attaches)))[:3]
        where = " or ".join(f"“{self.library.title(ref)}”" for ref in beside_it)
        beside = f" on {where}" if where else ""
        if part.survives in ("whole", "fragment"):
            asks = f"Look on what survives of {name} for {aspect}: an edge, a hole, a trace."
        else:
            asks = f"A rub, hole, paint edge or other mark that {name} left{beside}."
        yield self._add("L18", asks, mark, ON, (part.ref, *beside_it))

    def _add(
        self, rule: str, asks: str, item: Evidence, at_most: str, rests_on: tuple[str, ...] = ()
    ) -> Attempt:
        """The claim with one item more."""
        claim = replace(self.claim, evidence=(*self.claim.evidence, item))
        return Attempt(rule, asks, claim, at_most, rests_on)

    def _asked(self) -> str:
        return requests.aspect_of(self.claim)

    def _figure(self) -> Length | None:
        """The figure that is held, as tight as the job needs; some figure where none is held."""
        if self.claim.aspect not in FIGURED:
            return None
        held, needed = self.now.held, self.claim.tolerance
        told = [item.value_mm for item in self.now.items if item.value_mm is not None]
        value = held.value_mm if held else next(iter(told), 100.0)
        half: float = needed.mm if needed is not None else (held and held.half95_mm) or 1.0
        return Length(value, half, False, "supposed")

    def _needed(self) -> str:
        units = (self.library.aircraft.units if self.library.aircraft else None) or "mm"
        return f"± {show_mm(self.claim.tolerance.mm, None, units)}"

    def _no_wider(self) -> str:
        return f", no wider than {self._needed()}" if self.claim.tolerance is not None else ""
