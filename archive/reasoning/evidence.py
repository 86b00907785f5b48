"""How one item of evidence is taken for a claim: the best grade that it can lend alone, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from archive.core.verdicts import GRADES, ItemTaken
from archive.reasoning.independence import ancestry, source_of
from archive.reasoning.patches import overlap
from archive.reasoning.states import CANNOT, MAY, fitted_in, shown_in
from archive.records.claim import Claim, Evidence
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import Photo, Region
from archive.records.source import Source

ON, MATCHED, CORROBORATED, SEEN, SAID, CONJECTURE = GRADES
NONE = ""
MATTERS = frozenset(
    [
        "shows_what",
        "source",
        "airframe",
        "flipped",
        "retouched",
        "regions",
        "configurations",
        "same_negative",
        "monochrome",
        "derived_from",
        "sitting",
        "generation",
        "discredited",
        "first_hand",
        "dated",
        "consent",
        "citation",
    ]
)
"""Fields of a photograph or a source on which a grade can turn (G25)."""
_RANK = {**{grade: index for index, grade in enumerate(GRADES)}, NONE: len(GRADES)}
FIGURED = frozenset({"size", "position"})
"""Aspects that need a figure with its error (G20)."""


@dataclass(frozen=True, slots=True)
class Taking:
    """What the rules make of an item before copies are counted: cap, rule, sentence, firmness."""

    cap: str
    rule: str
    says: str
    firm: bool = True
    image: bool = False
    clear: bool = False


def rank(grade: str) -> int:
    """0 for the best grade; what is no evidence comes after conjecture."""
    return _RANK[grade]


def lower(one: str, other: str) -> str:
    """The lower of two grades."""
    return max(one, other, key=rank)


def take(
    library: Library, groups: Mapping[str, str], part: Part, claim: Claim, index: int
) -> tuple[ItemTaken, Taking]:
    """How item `index` of a claim's evidence is taken; `groups` gives the group of each item."""
    item = claim.evidence[index]
    if item.lost:
        ref = item.photo or item.source or item.part or item.survey or ""
        taking = Taking(NONE, "G25", f"Its own lines can't be read: {', '.join(item.lost)}.")
    elif item.photo:
        ref, taking = item.photo, _photo(library, claim, item)
    elif item.source:
        ref, taking = item.source, _source(library, claim, item, item.source)
    elif item.part:
        ref, taking = item.part, _metal(library, part, claim, item)
    elif item.survey:
        ref = item.survey
        taking = Taking(ON, "G1", f"Measured on the remains: {library.title(item.survey)}.")
    else:
        ref, taking = "", Taking(NONE, "G23", "It names no record.")
    taking = _absence(item, taking)
    taking = _figure(claim, item, taking)
    value = item.value
    taken = ItemTaken(
        index=index,
        ref=ref,
        group=groups.get(ref.partition("#")[0], ""),
        cap=taking.cap,
        rule=taking.rule,
        says=taking.says,
        against=bool(item.against),
        value_mm=value.mm if value else None,
        half95_mm=value.half95_mm if value else None,
    )
    return taken, taking


def _absence(item: Evidence, taking: Taking) -> Taking:
    if not item.absent or not taking.cap or item.would_have_shown:
        return taking
    return Taking(
        NONE, "G15", "It does not show the thing, but nobody says that it would have shown here."
    )


def _figure(claim: Claim, item: Evidence, taking: Taking) -> Taking:
    if claim.aspect not in FIGURED or not taking.cap or item.against:
        return taking
    if item.value is None and item.measured:
        says = (
            "Its size is to come from a measurement, which this version of the program can't "
            "work out yet; until then it gives no figure."
        )
        return Taking(NONE, "G20", says)
    if item.value is None:
        return Taking(NONE, "G20", f"It gives no figure for the {claim.aspect}.")
    if item.value.half95_mm is None:
        says = f"{item.value.text} comes without an error, so nobody can say how far to trust it."
        return Taking(lower(taking.cap, SAID), "G20", says, taking.firm, taking.image)
    return taking


# Metal


def _metal(library: Library, part: Part, claim: Claim, item: Evidence) -> Taking:
    assert item.part is not None
    piece = library.parts.get(item.part.partition("#")[0].partition("/")[2])
    if piece is None:
        return Taking(NONE, "G1", "The part named is not in the record.")
    if set(piece.lost) & {"survives", "airframe", "origin", "fitted", "replaces", "assembly"}:
        return Taking(NONE, "G25", f"“{piece.title}” can't be read where it matters.")
    if piece.survives == "no":
        return Taking(NONE, "G1", f"Nothing survives of “{piece.title}”.")
    if piece.airframe in ("sister", "donor"):
        return _tried(library, item, f"“{piece.title}” is from a {piece.airframe}")
    if piece.airframe == "unknown":
        return Taking(SAID, "G16", f"Nobody knows which aircraft “{piece.title}” came from.")
    if piece.origin == "ours":
        return Taking(NONE, "G17", f"“{piece.title}” is our own work.")
    if piece.replaces and piece.replaces.partition("/")[2] == part.id:
        return Taking(
            NONE,
            "G17",
            f"“{piece.title}” was put on in place of this part: it says nothing of what was there "
            "before.",
        )
    fitted = fitted_in(library, piece, claim.configuration)
    name = library.title(claim.configuration) if claim.configuration else ""
    if fitted == CANNOT:
        return Taking(NONE, "G17", f"“{piece.title}” was not on the aircraft in “{name}”.")
    taking = _place(part, piece, item)
    if fitted == MAY:
        says = f"“{piece.title}” may or may not have been on the aircraft in “{name}”."
        return Taking(lower(taking.cap, SEEN), "G17", says, firm=False)
    return taking


def _place(part: Part, piece: Part, item: Evidence) -> Taking:
    own = piece.id == part.id or part.ref in (piece.assembly,) or part.assembly == piece.ref
    if own:
        return Taking(ON, "G1", f"“{piece.title}” survives on this airframe.", clear=True)
    if item.witness_mark:
        says = f"The part left its mark on “{piece.title}”, which survives on this airframe."
        return Taking(ON, "G1", says, clear=True)
    mates = {part.opposite, *part.mates, *part.attaches, *part.moves_with}
    if piece.ref in mates or part.ref in {piece.opposite, *piece.mates, *piece.attaches}:
        word = "the opposite hand" if piece.ref == part.opposite else "a mate"
        return Taking(MATCHED, "G2", f"“{piece.title}”, {word}, survives on this airframe.")
    return Taking(
        SAID, "G3", f"“{piece.title}” is another part of this airframe: an analogy, no more."
    )


def _tried(library: Library, item: Evidence, who: str) -> Taking:
    """A sister's part or a drawing: what a trial on this airframe makes of it (G3)."""
    pending = False
    for trial in item.agrees_with:
        kind, _, rest = (trial.record or "").partition("/")
        other = library.parts.get(rest.partition("#")[0]) if kind == "parts" else None
        if other and other.survives in ("whole", "fragment") and other.airframe in (None, "this"):
            says = (
                f"{who}, and it was tried on “{other.title}” of this airframe by {trial.by}: "
                f"{trial.how}"
            )
            return Taking(MATCHED, "G3", says)
        if kind == "surveys":
            says = f"{who}, and it agrees with what was measured on this airframe: {trial.how}"
            return Taking(MATCHED, "G3", says)
        pending = pending or kind in ("measurements", "photos")
    if pending:
        says = (
            f"{who}; it is set beside a measurement on a photograph of this airframe, which this "
            "version of the program can't work out yet."
        )
        return Taking(SAID, "G3", says)
    return Taking(SAID, "G3", f"{who}, and no trial on this airframe is recorded.")


# Photographs


def _photo(library: Library, claim: Claim, item: Evidence) -> Taking:
    assert item.photo is not None
    ref, _, piece = item.photo.partition("#")
    photo = library.photos.get(ref.partition("/")[2])
    if photo is None:
        return Taking(NONE, "G4", "The photograph named is not in the record.")
    region = next((found for found in photo.regions if found.id == piece), None)
    if photo.shows_what == "document":
        if photo.source:
            return _source(library, claim, item, photo.source)
        return Taking(SAID, "G7", f"“{photo.title}” pictures a paper without a source record.")
    if photo.shows_what != "period":
        return Taking(NONE, "G24", f"“{photo.title}” is no period photograph.")
    barred = _barred(library, claim, item, photo, region)
    if barred:
        return barred
    return _period(library, claim, item, photo)


def _barred(
    library: Library, claim: Claim, item: Evidence, photo: Photo, region: Region | None
) -> Taking | None:
    unread = unreadable(library, photo.ref)
    if unread:
        return Taking(NONE, "G25", unread)
    fallen = discredited(library, photo.ref)
    if fallen:
        return Taking(NONE, "G13", f"“{library.title(fallen)}” is discredited.")
    if region and region.outline:
        for patch in photo.retouched:
            if patch.outline and overlap(region.outline, patch.outline):
                return Taking(NONE, "G10", f"“{photo.title}” is retouched here.")
    if is_flipped(photo) and region and not region.ruled and _handed(library, region.part):
        return Taking(NONE, "G11", f"“{photo.title}” is flipped and its side is not ruled here.")
    source = source_of(library, photo.ref)
    if claim.aspect == "size" and source and source.generation == "halftone":
        return Taking(NONE, "G12", f"“{photo.title}” is a halftone: no size is taken off it.")
    mono = photo.monochrome is not False
    if claim.aspect == "finish" and mono and not item.tone_reversal:
        return Taking(NONE, "G14", f"“{photo.title}” is monochrome: it tells no colour.")
    return None


def _period(library: Library, claim: Claim, item: Evidence, photo: Photo) -> Taking:
    clear = item.reading in (None, "clear")
    whose = _word(photo.airframe) or "unknown"
    if whose != "this":
        words = {
            "sister": "shows a sister",
            "type": "shows the type",
            "unknown": "shows an aircraft that nobody has named",
        }
        return Taking(SAID, "G16", f"“{photo.title}” {words[whose]}.", image=True)
    if item.reading == "possible":
        return Taking(SAID, "G8", f"“{photo.title}” reads as possible only.", image=True)
    shown, ruling = shown_in(photo, claim.configuration)
    state = library.title(claim.configuration) if claim.configuration else ""
    if shown == CANNOT and ruling:
        says = f"“{photo.title}” cannot show “{state}” ({ruling.by}: {ruling.because})"
        return Taking(NONE, "G9", says)
    reading = item.reading or "clear"
    if shown == MAY:
        why = f"{ruling.by}: {ruling.because}" if ruling else "nobody has ruled on it yet"
        says = f"“{photo.title}” may show “{state}”, or may not ({why})."
        return Taking(SEEN, "G9", says, firm=False, image=True, clear=clear)
    says = f"“{photo.title}” shows it; the reading is {reading}."
    if item.tone_reversal:
        says = f"In “{photo.title}” the two tones have changed places: that is evidence of colour."
    return Taking(SEEN, "G4", says, image=True, clear=clear)


# Papers and words


def _source(library: Library, claim: Claim, item: Evidence, ref: str) -> Taking:
    source = library.sources.get(ref.partition("#")[0].partition("/")[2])
    if source is None:
        return Taking(NONE, "G7", "The source named is not in the record.")
    unread = unreadable(library, source.ref)
    if unread:
        return Taking(NONE, "G25", unread)
    fallen = discredited(library, source.ref)
    if fallen:
        return Taking(NONE, "G13", f"“{library.title(fallen)}” is discredited.")
    withdrawn = source.consent.withdrawn if source.consent else None
    if withdrawn and withdrawn.extent in ("all-use", "return-or-destroy"):
        return Taking(NONE, "G13", f"Consent to use “{source.title}” was taken back.")
    if item.agrees_with:
        return _tried(library, item, f"“{source.title}” is a drawing or a paper of another hand")
    if item.reading == "possible":
        return Taking(SAID, "G8", f"“{source.title}” reads as possible only.")
    whose = _word(source.airframe) or "this"
    if whose != "this":
        return Taking(SAID, "G16", f"“{source.title}” is not about this airframe.")
    kind = source.citation.type if source.citation else None
    if kind == "interview":
        return Taking(SAID, "G7", f"“{source.title}” is told from memory.")
    if _word(source.first_hand) is True and _is_dated(source):
        says = f"“{source.title}” is first-hand and dated."
        return Taking(SEEN, "G7", says, clear=item.reading in (None, "clear"))
    return Taking(SAID, "G7", f"“{source.title}” is words: first-hand and a date are wanting.")


def unreadable(library: Library, item: str) -> str:
    """A sentence where lines that matter can't be read in an item or in what it was made from."""
    for ref in ancestry(library, item.partition("#")[0]):
        record = library.get(ref)
        if isinstance(record, Photo | Source):
            lost = MATTERS.intersection(record.lost)
            if lost:
                return f"“{library.title(ref)}” can't be read where it matters: {min(lost)}."
    return ""


def discredited(library: Library, item: str) -> str:
    """The REF of the discredited source that an item is or was made from; "" where none is."""
    for ref in ancestry(library, item.partition("#")[0]):
        source = source_of(library, ref) if ref.startswith("sources/") else None
        if source is not None and _word(source.discredited) is True:
            return source.ref
    return ""


def is_flipped(photo: Photo) -> bool:
    """Has a person ruled that this print is the wrong way round?"""
    return _word(photo.flipped) is True


def _handed(library: Library, ref: str | None) -> bool:
    part = library.parts.get(ref.partition("#")[0].partition("/")[2]) if ref else None
    return part is not None and (part.side in ("port", "starboard") or bool(part.opposite))


def _is_dated(source: Source) -> bool:
    dating = _word(source.dated)
    if dating is None and source.citation:
        dating = source.citation.issued
    return dating is not None and dating.latest is not None


def _word(judged: Any) -> Any:
    return getattr(judged, "says", None) if judged is not None else None
