"""Claims and their evidence: one thing named, one value, rivals that are rivals."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.records.check_names import at, nearest
from archive.records.claim import Claim, Evidence
from archive.records.library import Library
from archive.records.part import Part

_NAMED = ("photo", "source", "part", "survey")


def _evidence(library: Library) -> Iterator[tuple[Part, Claim, Evidence]]:
    for part, claim in library.claims():
        for item in claim.evidence:
            yield part, claim, item


def one_thing_named(library: Library) -> Iterator[Problem]:
    """An item of evidence names just one photo, source, part or survey."""
    for part, claim, item in _evidence(library):
        named = [field for field in _NAMED if getattr(item, field)]
        if len(named) > 1:
            says = f"This item names {' and '.join(named)} at once."
            hint = "Make an item of each."
            later = max(at(part, item, field) for field in named)
            yield Problem(later, "evidence-two", says, hint)
        elif not named and not any(field in item.lost for field in _NAMED):
            says = f"This item for {claim.id} names nothing that it comes from."
            hint = "Add photo:, source:, part: or survey:."
            yield Problem(at(part, item), "evidence-nothing", says, hint)


def one_value(library: Library) -> Iterator[Problem]:
    """A value is measured or given, not both."""
    for part, _, item in _evidence(library):
        if item.measured and item.value is not None:
            says = "This item gives a value of its own and a measurement."
            hint = "The measurement brings its value along: take out value:, or measured:."
            yield Problem(at(part, item, "value"), "value-twice", says, hint)


def sizes(library: Library) -> Iterator[Problem]:
    """A size is above nothing; only positions may be negative."""
    for part, claim, item in _evidence(library):
        if claim.aspect == "size" and item.value is not None and item.value.mm <= 0:
            says = f"“{item.value.text}” isn't above nothing, and {claim.id} is about a size."
            hint = "Leave the sign off; if a position is meant, write aspect: position."
            yield Problem(at(part, item, "value"), "size-not-positive", says, hint)


def rivals_against(library: Library) -> Iterator[Problem]:
    """What speaks for a rival speaks against the claim that it stands under."""
    for part, claim, item in _evidence(library):
        if item.rival and item.against is not True and not item.lost:
            says = f"This item speaks for {item.rival}, and isn't marked as against {claim.id}."
            hint = "Add against: yes, or take rival: out."
            yield Problem(at(part, item, "rival"), "rival-without-against", says, hint)


def rivals(library: Library) -> Iterator[Problem]:
    """A rival is another claim of the same part and aspect."""
    for part in library.parts.values():
        claims = {claim.id: claim for claim in part.claims}
        for claim in part.claims:
            other = claim.rival_of
            if other == claim.id:
                says = f"{claim.id} is called a rival of itself."
                hint = "Name the claim that it contradicts."
                yield Problem(at(part, claim, "rival_of"), "rival-itself", says, hint)
            elif other and other not in claims and "claims" not in part.lost:
                says = f"There is no claim {other} in this part."
                yield Problem(
                    at(part, claim, "rival_of"), "rival-unknown", says, nearest(other, claims)
                )
            elif other and other in claims and _apart(claim, claims[other]):
                about = f"{claim.id} is about {claim.aspect}, and {other}"
                says = f"{about} about {claims[other].aspect}."
                hint = "Rivals are about one aspect: correct it, or take rival_of out."
                yield Problem(at(part, claim, "rival_of"), "rival-aspect", says, hint)
            for item in claim.evidence:
                if item.rival and item.rival not in claims and "claims" not in part.lost:
                    says = f"There is no claim {item.rival} in this part."
                    hint = nearest(item.rival, claims)
                    yield Problem(at(part, item, "rival"), "rival-unknown", says, hint)


def _apart(one: Claim, other: Claim) -> bool:
    return bool(one.aspect and other.aspect and one.aspect != other.aspect)


def members(library: Library) -> Iterator[Problem]:
    """A claim applies to members that the part has, and tags are not shared."""
    for part in library.parts.values():
        tags: set[str] = set()
        for member in part.members:
            if member.tag and member.tag in tags:
                says = f"The tag {member.tag} is given to two members."
                yield Problem(at(part, member, "tag"), "name-twice", says, "Give one another tag.")
            tags.add(member.tag or "")
        for claim in part.claims:
            for index, tag in enumerate(claim.applies_to):
                if tag not in tags and "members" not in part.lost:
                    says = f"This part has no member tagged {tag}."
                    where = at(part, claim, f"applies_to[{index}]")
                    yield Problem(where, "member-unknown", says, nearest(tag, tags))
            for item in claim.evidence:
                yield from _measured_member(library, part, item)


def _measured_member(library: Library, part: Part, item: Evidence) -> Iterator[Problem]:
    """The member that a figure is of belongs to the part that is named."""
    there = library.parts.get((item.part or "").partition("#")[0].partition("/")[2])
    tags = {member.tag or "" for member in there.members} if there else set()
    if item.member and item.member not in tags and not (there and "members" in there.lost):
        says = f"The part named has no member tagged {item.member}."
        where = at(part, item, "member")
        yield Problem(where, "member-unknown", says, nearest(item.member, tags))


def measured_there(library: Library) -> Iterator[Problem]:
    """A value said to be measured on a photograph was measured on that one."""
    for part, _, item in _evidence(library):
        measurement = library.measurements.get((item.measured or "").partition("/")[2])
        if measurement is None or not item.photo or not measurement.photos:
            continue
        photo = item.photo.partition("#")[0]
        if photo not in {ref.partition("#")[0] for ref in measurement.photos}:
            says = f"{measurement.ref} wasn't taken on {photo}."
            hint = f"It was taken on {', '.join(measurement.photos)}."
            yield Problem(at(part, item, "measured"), "measured-elsewhere", says, hint)
