"""Why two figures of one size may disagree: the usual explanations, each looked for in the records.

None of them settles anything: they say where to look first (E7).
"""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.findings import Reason
from archive.core.rounding import show_mm
from archive.core.verdicts import Graded, ItemTaken
from archive.reasoning.evidence import is_flipped, units_of
from archive.reasoning.ground import Ground
from archive.reasoning.states import CANNOT, MAY, MUST
from archive.records.claim import Claim
from archive.records.measurement import Measurement
from archive.records.part import Part
from archive.records.photo import Photo

FAR = 0.25
"""A known length stands at most so much nearer than what is measured, in parts of the distance."""
TWICE = 2.0
NONE_FOUND = (
    "Of the usual explanations none is in the record: another state of the aircraft, the other "
    "hand, another plane, a flipped print, a retouched one, two readings of one negative, a half "
    "for a whole."
)


def explanations(ground: Ground, part: Part, claim: Claim, graded: Graded) -> list[Reason]:
    """What the records tell that may explain why the worst pair of a claim's figures disagrees."""
    joined = graded.together
    if joined is None or not joined.pairs:
        return []
    items = {item.index: item for item in graded.items}
    one, other, _ = joined.pairs[0]
    found = list(_Pair(ground, part, claim, items[one], items[other]).all())
    return found or [Reason("E7", NONE_FOUND)]


class _Pair:
    """Two figures that disagree, and the records behind them."""

    def __init__(
        self, ground: Ground, part: Part, claim: Claim, one: ItemTaken, other: ItemTaken
    ) -> None:
        self.ground, self.library = ground, ground.library
        self.part, self.claim = part, claim
        self.items = (one, other)

    def all(self) -> Iterator[Reason]:
        """Every explanation that the records hold."""
        yield from self._one_negative()
        yield from self._state()
        yield from self._hand()
        yield from self._flipped()
        yield from self._retouched()
        yield from self._plane()
        yield from self._half()

    def _photo(self, item: ItemTaken) -> Photo | None:
        kind, _, id_ = item.ref.partition("#")[0].partition("/")
        return self.library.photos.get(id_) if kind == "photos" else None

    def _measurement(self, item: ItemTaken) -> Measurement | None:
        return self.library.measurements.get(item.measured.partition("/")[2])

    def _refs(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(item.ref for item in self.items))

    def _title(self, item: ItemTaken) -> str:
        return f"“{self.library.title(item.ref.partition('#')[0])}”"

    def _one_negative(self) -> Iterator[Reason]:
        one, other = self.items
        if one.group and one.group == other.group:
            says = (
                "Both come from one negative, on which the thing can't differ: one of them was "
                "picked or read on the wrong edge."
            )
            yield Reason("E7", says, self._refs())

    def _state(self) -> Iterator[Reason]:
        dates = self.ground.times.dates
        one, other = (dates.get(item.ref.partition("#")[0]) for item in self.items)
        if one is not None and other is not None:
            for state, found in one.states.items():
                theirs = other.states.get(state)
                words = {found.verdict, theirs.verdict if theirs else ""}
                if words == {MUST, CANNOT}:
                    shows, not_ = self.items if found.verdict == MUST else self.items[::-1]
                    says = (
                        f"{self._title(shows)} shows “{self.library.title(state)}” and "
                        f"{self._title(not_)} does not: the thing may have been altered between."
                    )
                    yield Reason("E7", says, (*self._refs(), state))
                    return
        for item, dated in zip(self.items, (one, other), strict=True):
            state = self.claim.configuration or ""
            found_may = dated.states.get(state) if dated and state else None
            if found_may is not None and found_may.verdict == MAY:
                says = (
                    f"{self._title(item)} may show another state than "
                    f"“{self.library.title(state)}”. {found_may.reasons[0].says}"
                )
                yield Reason("E7", says, (item.ref, state))

    def _hand(self) -> Iterator[Reason]:
        hands = [self._hands(item) for item in self.items]
        if {"port"} in hands and {"starboard"} in hands:
            says = "One was taken on the port side, the other on the starboard: they may differ."
            yield Reason("E7", says, self._refs())

    def _hands(self, item: ItemTaken) -> set[str]:
        record = self._measurement(item)
        names = record.between if record else ()
        return {word for name in names for word in name.split("-") if word in ("port", "starboard")}

    def _flipped(self) -> Iterator[Reason]:
        for item in self.items:
            photo = self._photo(item)
            if photo is not None and is_flipped(photo):
                says = (
                    f"{self._title(item)} is printed the wrong way round: look whether its picks "
                    "are on the hand that is meant."
                )
                yield Reason("E7", says, (item.ref,))

    def _retouched(self) -> Iterator[Reason]:
        for item in self.items:
            group = self.ground.groups.get(item.group)
            for ref in group.members if group else ():
                photo = self.library.photos.get(ref.partition("/")[2])
                if photo is not None and photo.shows_what == "period" and photo.retouched:
                    says = f"“{photo.title}” was worked over in places: edges may be drawn."
                    yield Reason("E7", says, (item.ref, ref))
                    break

    def _plane(self) -> Iterator[Reason]:
        """How much nearer the known length would have to stand for the two figures to agree."""
        for item, other in (self.items, self.items[::-1]):
            record = self._measurement(item)
            if record is None or record.method not in ("scale", "circle") or not other.value_mm:
                continue
            nearer = 1 - (item.value_mm or 0.0) / other.value_mm
            if abs(nearer) > FAR:
                continue
            word = "nearer to the camera" if nearer > 0 else "farther from the camera"
            how = f"{abs(nearer):.0%} of the camera's distance"
            if record.camera_distance is not None:
                units = units_of(self.library)
                how = show_mm(round(abs(nearer) * record.camera_distance.mm, -1), None, units)
            says = (
                f"“{record.title}” goes by a known length beside it; it would come to the other "
                f"figure if that stood {how} {word} than what is measured."
            )
            yield Reason("E7", says, (record.ref, *self._placed(record)))

    def _placed(self, record: Measurement) -> tuple[str, ...]:
        """The records that a measurement's known lengths come from."""
        return tuple(known.known for known in record.references if known.known)

    def _half(self) -> Iterator[Reason]:
        one, other = sorted(self.items, key=lambda item: abs(item.value_mm or 0.0))
        if not one.value_mm or not other.value_mm:
            return
        half = (TWICE * (one.half95_mm or 0.0)) ** 2 + (other.half95_mm or 0.0) ** 2
        if abs(TWICE * one.value_mm - other.value_mm) <= half**0.5:
            says = "One is twice the other: a radius for a diameter, or half a span for a whole."
            yield Reason("E7", says, self._refs())
