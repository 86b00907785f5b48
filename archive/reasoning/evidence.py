"""How one item of evidence is taken for a claim: the best grade that it can lend alone, and why."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from archive.core.dates import show_bounds
from archive.core.rounding import show_mm
from archive.core.verdicts import Dated, ItemTaken, Measured
from archive.reasoning.disputes import disputed_by, disputes
from archive.reasoning.ground import Ground
from archive.reasoning.independence import source_of
from archive.reasoning.metal import metal, tried
from archive.reasoning.patches import overlap
from archive.reasoning.states import CANNOT, MAY, MUST, shown_when_off
from archive.reasoning.taking import NONE, SAID, SEEN, Taking, lower
from archive.reasoning.trust import discredited, taken_back, unreliable
from archive.records.claim import Claim, Evidence
from archive.records.library import Library
from archive.records.part import Part
from archive.records.photo import Photo, Region
from archive.records.source import Source

FIGURED = frozenset({"size", "position"})
"""Aspects that need a figure with its error (G20)."""


def take(ground: Ground, part: Part, claim: Claim, index: int) -> tuple[ItemTaken, Taking]:
    """How item `index` of a claim's evidence is taken."""
    item = claim.evidence[index]
    ref = item.photo or item.source or item.part or item.survey or ""
    taking = _circled(ground, item, ref) or _kind(ground, part, claim, item)
    taking = _reading(item, taking)
    taking = _absence(item, taking)
    found = ground.measured.get(item.measured) if item.measured else None
    taking = _figure(ground.library, claim, item, taking, found)
    clashes = disputes(ground, part, claim, item, taking.cap)
    taking = replace(taking, disputed=clashes) if clashes else taking
    value_mm, half95_mm = _size(item, found)
    taken = ItemTaken(
        index=index,
        ref=ref,
        group=ground.group_of.get(ref.partition("#")[0], ""),
        cap=taking.cap,
        rule=taking.rule,
        says=taking.says,
        against=bool(item.against),
        value_mm=value_mm,
        half95_mm=half95_mm,
        measured=found.ref if found and found.value_mm is not None else "",
        disputed=disputed_by(clashes),
    )
    return taken, taking


def _kind(ground: Ground, part: Part, claim: Claim, item: Evidence) -> Taking:
    if item.lost:
        return Taking(NONE, "G25", f"Its own lines can't be read: {', '.join(item.lost)}.")
    if item.rival and not item.against:
        return Taking(NONE, "G25", "It names a rival but does not say `against: yes`.")
    if item.photo:
        return _photo(ground, part, claim, item)
    if item.source:
        return _source(ground, claim, item, item.source)
    if item.part:
        return metal(ground, part, claim, item, item.part)
    if item.survey:
        return _survey(ground, part, claim, item, item.survey)
    return Taking(NONE, "G23", "It names no record.")


def _circled(ground: Ground, item: Evidence, ref: str) -> Taking | None:
    leans = {ref, item.measured, *(trial.record for trial in item.agrees_with)}
    if not leans & ground.circular:
        return None
    return Taking(NONE, "G18", "It leans on a claim that leans on this one: a circle.")


def _reading(item: Evidence, taking: Taking) -> Taking:
    """A possible reading is said at most, whatever it is read from (G8)."""
    if item.reading != "possible" or not taking.cap or taking.cap == SAID:
        return taking
    return replace(taking, cap=lower(taking.cap, SAID), rule="G8", clear=False)


def _absence(item: Evidence, taking: Taking) -> Taking:
    if not item.absent or not taking.cap or item.would_have_shown:
        return taking
    return Taking(
        NONE, "G15", "It does not show the thing, but nobody says that it would have shown here."
    )


def _size(item: Evidence, found: Measured | None) -> tuple[float | None, float | None]:
    """The size that an item gives and its 95 % half-width: as measured, else as written."""
    if item.measured:
        return (found.value_mm, found.half95_mm) if found else (None, None)
    return (item.value.mm, item.value.half95_mm) if item.value else (None, None)


def _figure(
    library: Library, claim: Claim, item: Evidence, taking: Taking, found: Measured | None
) -> Taking:
    if claim.aspect not in FIGURED or not taking.cap or item.against:
        return taking
    if item.measured:
        if found is None:
            return Taking(NONE, "G20", "The measurement named is not in the record.")
        if found.value_mm is None:
            why = found.refused or "a mock-up is compared, not measured."
            return Taking(NONE, "G20", f"It gives no figure: {why}")
        size = show_mm(found.value_mm, found.half95_mm, units_of(library))
        return replace(taking, says=f"{taking.says} It measures {size}.")
    if item.value is None:
        return Taking(NONE, "G20", f"It gives no figure for the {claim.aspect}.")
    if claim.aspect == "size" and item.value.mm <= 0:
        return Taking(NONE, "G20", f"{item.value.text} is no size.")
    if item.value.half95_mm is None:
        says = f"{item.value.text} comes without an error, so nobody can say how far to trust it."
        return Taking(lower(taking.cap, SAID), "G20", says, taking.firm, taking.image)
    return replace(taking, says=f"{taking.says} It gives {item.value.text}.")


def _survey(ground: Ground, part: Part, claim: Claim, item: Evidence, ref: str) -> Taking:
    """A measured point is the metal that it lies on; it tells sizes and positions only."""
    point = ground.library.get(ref)
    on = getattr(point, "part", None)
    if claim.aspect not in FIGURED:
        says = f"A measured point tells no {claim.aspect}: name the piece itself."
        return Taking(NONE, "G1", says)
    if not on:
        says = f"Nobody says which piece “{ground.library.title(ref)}” was measured on."
        return Taking(SAID, "G1", says)
    return metal(ground, part, claim, item, on)


# Photographs


def _photo(ground: Ground, part: Part, claim: Claim, item: Evidence) -> Taking:
    assert item.photo is not None
    library = ground.library
    ref, _, piece = item.photo.partition("#")
    photo = library.photos.get(ref.partition("/")[2])
    if photo is None:
        return Taking(NONE, "G4", "The photograph named is not in the record.")
    region = next((found for found in photo.regions if found.id == piece), None)
    if piece and region is None:
        return Taking(NONE, "G25", f"“{photo.title}” has no region called {piece}.")
    if photo.shows_what == "document":
        if photo.source:
            return _source(ground, claim, item, photo.source)
        return Taking(SAID, "G7", f"“{photo.title}” pictures a paper without a source record.")
    if photo.shows_what != "period":
        return Taking(NONE, "G24", f"“{photo.title}” is no period photograph.")
    barred = _barred(ground, claim, item, photo, region)
    if barred:
        return barred
    return _other_hand(part, photo, region) or _period(ground, part, claim, item, photo)


def _barred(
    ground: Ground, claim: Claim, item: Evidence, photo: Photo, region: Region | None
) -> Taking | None:
    library = ground.library
    why = ground.unfit.get(photo.ref) or unreliable(ground, photo.ref)
    if why:
        return Taking(NONE, "G25", f"“{photo.title}” can't be relied on: {why}.")
    fallen = discredited(library, photo.ref)
    if fallen:
        return Taking(NONE, "G13", f"“{library.title(fallen)}” is discredited.")
    back = taken_back(library, photo.ref)
    if back:
        return Taking(NONE, "G13", f"Consent to use “{library.title(back)}” was taken back.")
    for patch in photo.retouched:
        if region is None:
            says = f"“{photo.title}” is retouched in places, and no region is named."
            return Taking(NONE, "G10", says)
        if patch.outline and region.outline and overlap(region.outline, patch.outline):
            return Taking(NONE, "G10", f"“{photo.title}” is retouched here.")
    if is_flipped(photo) and not _sided(library, region):
        return Taking(NONE, "G11", f"“{photo.title}” is flipped and its side is not ruled here.")
    if claim.aspect == "size" and through_a_screen(ground, photo.ref):
        return Taking(NONE, "G12", f"“{photo.title}” came through a halftone: it gives no size.")
    mono = photo.monochrome is not False
    if claim.aspect == "finish" and mono and not item.tone_reversal:
        return Taking(NONE, "G14", f"“{photo.title}” is monochrome: it tells no colour.")
    return None


def _other_hand(part: Part, photo: Photo, region: Region | None) -> Taking | None:
    """A region that shows the opposite hand is an analogy for this one (G3)."""
    if region is None or not part.opposite:
        return None
    shows = region.ruled.part if region.ruled else region.part
    if shows is None or shows.partition("#")[0] != part.opposite:
        return None
    says = f"“{photo.title}” shows the opposite hand there: an analogy, no more."
    return Taking(SAID, "G3", says, image=True)


def _period(ground: Ground, part: Part, claim: Claim, item: Evidence, photo: Photo) -> Taking:
    library = ground.library
    whose = _whose(ground, photo)
    if whose != "this":
        words = {
            "sister": "shows a sister",
            "type": "shows the type",
            "unknown": "shows an aircraft that nobody has named",
        }
        return Taking(SAID, "G16", f"“{photo.title}” {words[whose]}.", image=True)
    shown, why = _shown(ground, part, claim, photo)
    state = library.title(claim.configuration) if claim.configuration else "the time of this part"
    when = _taken(ground.times.dates[photo.ref])
    if shown == CANNOT:
        return Taking(NONE, "G9", f"“{photo.title}” cannot show “{state}” ({when}). {why}")
    clear = item.reading in (None, "clear")
    if shown == MAY:
        says = f"“{photo.title}” may show “{state}”, or may not ({when}). {why}"
        return Taking(SEEN, "G9", says, firm=False, image=True, clear=clear)
    says = f"“{photo.title}” shows it; the reading is {item.reading or 'clear'}."
    if claim.configuration:
        says += f" It falls in “{state}” ({when}). {why}"
    if item.tone_reversal:
        says = f"In “{photo.title}” the two tones have changed places: that is evidence of colour."
    return Taking(SEEN, "G4", says, image=True, clear=clear)


def _whose(ground: Ground, photo: Photo) -> str:
    """Whose aircraft a photograph shows: of all prints of one negative the most doubtful holds."""
    own: str = _word(photo.airframe) or "unknown"
    found = {own}
    group = ground.groups.get(ground.group_of.get(photo.ref, ""))
    for member in group.members if group else ():
        record = ground.library.get(member)
        said = _word(getattr(record, "airframe", None))
        if said and (isinstance(record, Source) or getattr(record, "shows_what", "") == "period"):
            found.add(said)
    return next((word for word in ("unknown", "sister", "type") if word in found), own)


def _shown(ground: Ground, part: Part, claim: Claim, photo: Photo) -> tuple[str, str]:
    """Whether a photograph was taken in the claim's state: must, may or cannot, and why (G9).

    What excludes one print of a negative excludes all.
    """
    dates = ground.times.dates
    if claim.configuration is None:
        off = shown_when_off(ground.times.tightened, photo, part)
        return (CANNOT, "This part was not fitted then.") if off else (MUST, "")
    group = ground.groups.get(ground.group_of.get(photo.ref, ""))
    for ref in (photo.ref, *(group.members if group else ())):
        found = dates[ref].states.get(claim.configuration) if ref in dates else None
        if found and found.verdict == CANNOT:
            return CANNOT, found.reasons[0].says
    own = dates[photo.ref].states.get(claim.configuration)
    return (own.verdict, own.reasons[0].says) if own else (MAY, "No such state is known.")


def _taken(dated: Dated) -> str:
    """When a photograph was taken, within a sentence."""
    if dated.earliest is None and dated.latest is None:
        return "undated"
    return f"taken {show_bounds(dated.earliest, dated.latest)}"


def through_a_screen(ground: Ground, item: str) -> bool:
    """Is an item a halftone, or made from one, on the way to its own roots?"""
    from_screen = ("halftone",)
    todo, seen = [item], set()
    while todo:
        ref = todo.pop()
        if ref in seen:
            continue
        seen.add(ref)
        source = source_of(ground.library, ref)
        if source and source.generation in from_screen:
            return True
        if source and ref.startswith("photos/"):
            todo.append(source.ref)
        if source:
            todo.extend(made.partition("#")[0] for made in source.derived_from)
    return False


# Papers and words


def _source(ground: Ground, claim: Claim, item: Evidence, ref: str) -> Taking:
    library = ground.library
    source = library.sources.get(ref.partition("#")[0].partition("/")[2])
    if source is None:
        return Taking(NONE, "G7", "The source named is not in the record.")
    why = unreliable(ground, source.ref)
    if why:
        return Taking(NONE, "G25", f"“{source.title}” can't be relied on: {why}.")
    fallen = discredited(library, source.ref)
    if fallen:
        return Taking(NONE, "G13", f"“{library.title(fallen)}” is discredited.")
    back = taken_back(library, source.ref)
    if back:
        return Taking(NONE, "G13", f"Consent to use “{library.title(back)}” was taken back.")
    kind = source.citation.type if source.citation else None
    if kind == "interview":
        return Taking(SAID, "G7", f"“{source.title}” is told from memory.")
    if kind == "graphic":
        says = f"“{source.title}” is a picture: name the photograph and its region."
        return Taking(SAID, "G4", says)
    if item.agrees_with and kind == "figure":
        return tried(ground, claim, item, f"“{source.title}” is a drawing")
    whose = _word(source.airframe)
    if whose != "this":
        told = "is not about this airframe" if whose else "does not say which airframe it tells of"
        return Taking(SAID, "G16", f"“{source.title}” {told}.")
    if _word(source.first_hand) is not True or _dating(source) is None:
        says = f"“{source.title}” is words: first-hand and a date are wanting."
        return Taking(SAID, "G7", says)
    if _written_after(library, source):
        return Taking(SAID, "G7", f"“{source.title}” was written when her flying days were over.")
    says = f"“{source.title}” is first-hand and dated."
    return Taking(SEEN, "G7", says, clear=item.reading in (None, "clear"))


def units_of(library: Library) -> str:
    """The units that figures are told in: in or mm."""
    return (library.aircraft.units if library.aircraft else None) or "mm"


def is_flipped(photo: Photo) -> bool:
    """Has a person ruled that this print is the wrong way round?"""
    return _word(photo.flipped) is True


def _sided(library: Library, region: Region | None) -> bool:
    """On a flipped print: is it settled which hand the region shows?"""
    if region is None:
        return False
    if region.ruled:
        return True
    if region.part is None:
        return False
    part = library.parts.get(region.part.partition("#")[0].partition("/")[2])
    return part is not None and part.side not in ("port", "starboard") and not part.opposite


def is_dated(source: Source) -> bool:
    """Is it known when a paper was made, at the latest?"""
    return _dating(source) is not None


def _dating(source: Source) -> Any:
    dating = _word(source.dated)
    if dating is None and source.citation:
        dating = source.citation.issued
    return dating if dating is not None and dating.latest is not None else None


def _written_after(library: Library, source: Source) -> bool:
    """Is it certain that a paper was written after the last state of the aircraft had ended?"""
    ends = [
        event.when.latest
        for state in library.configurations.values()
        for ref in state.before
        if (event := library.events.get(ref.partition("/")[2])) and event.when and event.when.latest
    ]
    dating = _dating(source)
    return bool(ends and dating and dating.earliest and dating.earliest > max(ends))


def _word(judged: Any) -> Any:
    return getattr(judged, "says", None) if judged is not None else None
