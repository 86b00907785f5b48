"""What the pictures themselves say of who goes with whom, beside what people have ruled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from archive.core.findings import Finding, Reason
from archive.core.likeness import COPIES, OPEN, Likeness, Related
from archive.core.problems import Problem, Where
from archive.reasoning.independence import (
    ancestry,
    generation_rank,
    group_of,
    witness_groups,
)
from archive.records.library import Library
from archive.records.photo import Photo, SameNegative
from archive.records.source import GENERATIONS
from archive.records.spec import Judged

NO_SUMS: Mapping[str, str] = MappingProxyType({})


def related(
    library: Library, sums: Mapping[str, str] = NO_SUMS, likenesses: Iterable[Likeness] = ()
) -> tuple[Related, ...]:
    """Pairs of photographs whose pictures are related, in the order of the answers.

    `sums` gives the checksum of each photograph's file, by id; `likenesses` the answers about those
    files. Of several notes to one file the first in the library stands for all: they are one
    witness in any case.
    """
    photo_of: dict[str, Photo] = {}
    for id_, photo in library.photos.items():
        if id_ in sums:
            photo_of.setdefault(sums[id_], photo)
    rulings = _rulings(library)
    found = []
    for likeness in likenesses:
        one, other = photo_of.get(likeness.one), photo_of.get(likeness.other)
        if one and other and likeness.related:
            ruling = rulings.get(frozenset((one.ref, other.ref)))
            found.append(_related(library, one, other, likeness, ruling))
    if not any(pair.asks for pair in found):
        return tuple(found)
    whose = group_of(witness_groups(library, sums, found))
    return tuple(
        replace(pair, asks="") if whose[pair.one] == whose[pair.other] else pair for pair in found
    )


def belonging(library: Library) -> list[tuple[str, ...]]:
    """Ids of photographs that the records put together: of one source or what it was made from, of
    one sitting, or showing one event. Their pictures are compared whatever they look like."""
    found: dict[str, list[str]] = {}
    for photo in library.photos.values():
        words = {ref for ref in ancestry(library, photo.ref) if ref.startswith("sources/")}
        words |= {
            f"sitting {source.sitting}"
            for ref in words
            if (source := library.sources.get(ref.partition("/")[2])) and source.sitting
        }
        words |= {
            one.feature or "" for one in photo.shows if (one.feature or "").startswith("events/")
        }
        for word in sorted(filter(None, words)):
            found.setdefault(word, []).append(photo.id)
    return sorted({tuple(ids) for ids in found.values() if len(ids) > 1})


def questions(library: Library, pairs: Iterable[Related]) -> Iterator[Problem]:
    """What a person is asked about pictures that are related, as advice."""
    for pair in pairs:
        photo = library.photos[pair.one.partition("/")[2]]
        where = Where(photo.path)
        if pair.asks:
            hint = (
                "Look at the difference on the photograph's page, then add same_negative: "
                f"- {{photo: {pair.other.partition('/')[2]}, is: same, by: …, on: …, because: …}} "
                "(or is: different)."
            )
            yield Problem(where, "negative-to-rule", pair.asks, hint, advice=True)
        if pair.way_round:
            hint = "Find out which is right, then add flipped: {is: yes, by: …, on: …, because: …}."
            yield Problem(where, "way-round-to-settle", pair.way_round, hint, advice=True)
        if pair.ruled == "different" and pair.found.answer == COPIES:
            says = (
                f"It is ruled to be another negative than “{library.title(pair.other)}”, and the "
                "two share grain or dust."
            )
            hint = "Look again: retouching and crops look like another negative, grain can't."
            yield Problem(where, "ruled-against-grain", says, hint, advice=True)


def _rulings(library: Library) -> dict[frozenset[str], SameNegative]:
    """What people ruled of each pair; where two rulings clash, "same" (the clash is told apart)."""
    found: dict[frozenset[str], SameNegative] = {}
    for photo in library.photos.values():
        for ruling in photo.same_negative:
            other = (ruling.photo or "").partition("#")[0]
            pair = frozenset((photo.ref, other))
            if (
                ruling.is_same
                and len(pair) == 2
                and (pair not in found or ruling.is_same == "same")
            ):
                found[pair] = ruling
    return found


def _related(
    library: Library,
    one: Photo,
    other: Photo,
    found: Likeness,
    ruling: SameNegative | None,
) -> Related:
    ruled = (ruling.is_same or "") if ruling else ""
    refs = (one.ref, other.ref)
    names = f"“{one.title}” and “{other.title}”"
    reasons = [Reason(*_told(found, names), refs)]
    if ruling and ruling.is_same:
        word = "one negative" if ruled == "same" else "two negatives"
        says = f"{ruling.by or 'Somebody'} ruled that they are {word}: {ruling.because or ''}"
        reasons.append(Reason("W3", says, refs))
    asks = ""
    if found.answer == OPEN and not ruled:
        asks = f"{names} agree wherever they can be compared: one negative, or two from one stand?"
    return Related(
        one=one.ref,
        other=other.ref,
        found=found,
        finding=Finding(found.answer, tuple(reasons)),
        ruled=ruled,
        asks=asks,
        way_round=_way_round(one, other, found, names),
        best=_best(library, one, other),
    )


def _told(found: Likeness, names: str) -> tuple[str, str]:
    """The rule, and what was seen, in plain words."""
    how = "".join(
        (
            ", one turned over" if found.mirrored else "",
            ", one a negative of the other" if found.negative else "",
        )
    )
    if found.answer == COPIES:
        return "W6", (
            f"{names} share grain or dust{how}: the fine detail of {found.grain_places} bare "
            f"places agrees (correlation {found.grain:.2f}) where the one lies right on the other, "
            f"{found.grain_z:.0f} standard deviations above what chance gives beside."
        )
    if found.answer == OPEN:
        why = (
            "they lie at one place of their scans, where a scanner's own pattern is shared too"
            if found.same_place
            else "no grain can be read in both"
        )
        return "W7", (
            f"{names} agree in {found.agreeing:.0%} of the places that can be compared{how}, "
            f"nothing is seen to have moved, and {why}: a copy, or a second exposure from the same "
            "stand."
        )
    return "W8", (f"{names} show one scene, and are two negatives: {_moved(found)}.")


def _moved(found: Likeness) -> str:
    if found.moved >= 0.04:
        return f"{found.moved:.0%} of what can be compared is there, but elsewhere"
    return f"the view has turned by {found.keystone_px:.0f} pixels over the picture"


def _way_round(one: Photo, other: Photo, found: Likeness, names: str) -> str:
    """The question that a mirrored match raises until exactly one of the two is ruled flipped."""
    if found.answer not in (COPIES, OPEN):
        return ""
    flipped = [_is_flipped(photo) for photo in (one, other)]
    if found.mirrored and flipped.count(True) != 1:
        return f"{names} match with one turned over: which is printed the wrong way round?"
    if not found.mirrored and flipped.count(True) == 1:
        return f"{names} match as they are, and only one of them is said to be flipped."
    return ""


def _is_flipped(photo: Photo) -> bool | None:
    value = photo.flipped
    says = value.says if isinstance(value, Judged) else value
    return says if isinstance(says, bool) else None


def _best(library: Library, one: Photo, other: Photo) -> str:
    """The one of the better generation; "" where both are alike, or nobody says."""
    ranks = [generation_rank(library, photo.ref) for photo in (one, other)]
    if ranks[0] == ranks[1] or max(ranks) == len(GENERATIONS):
        return ""
    return one.ref if ranks[0] < ranks[1] else other.ref
