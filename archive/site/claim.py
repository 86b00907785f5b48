"""A claim on its part's page: its grade, its evidence item by item, its reasons, its rulings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from archive.core.findings import Finding
from archive.core.verdicts import Graded, ItemTaken
from archive.records.claim import ASPECTS, Claim, Evidence
from archive.records.part import Part
from archive.records.schema import split_ref
from archive.site import estimate
from archive.site.context import Context
from archive.site.estimate import EstimateShown
from archive.site.foreseen import LiftShown, lifts
from archive.site.page import Grade, Link, ReasonShown, Thumb
from archive.site.rectified import plane_of
from archive.site.words import count


@dataclass(frozen=True, slots=True)
class ItemShown:
    """One item of evidence: what it is, what it says, and how it was taken.

    `taken` is the best grade that it can lend, None where it is no evidence; `why` says why.
    `facts` are short words: its reading, the size that it gives, who read it. `plane` leads to the
    plane that it was measured on, laid out at true scale.
    """

    link: Link
    thumb: Thumb | None
    quote: str
    facts: tuple[str, ...]
    measured: Link | None
    plane: Link | None
    taken: Grade | None
    why: str
    rule: Link | None
    against: bool
    once_with: Link | None
    note: str


@dataclass(frozen=True, slots=True)
class RulingShown:
    """A person's own grade, and why."""

    grade: Grade | None
    signed: str
    because: str


@dataclass(frozen=True, slots=True)
class ClaimShown:
    """A claim as its part's page tells it."""

    id: str
    aspect: str
    says: str
    grade: Grade | None
    size: str
    other_size: str
    facts: tuple[str, ...]
    witnesses: str
    items: tuple[ItemShown, ...]
    reasons: tuple[ReasonShown, ...]
    rulings: tuple[RulingShown, ...]
    rivals: tuple[Link, ...]
    told: tuple[str, ...]
    state: str
    estimate: EstimateShown | None
    lifts: tuple[LiftShown, ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """Claims that contradict each other, side by side; or one alone."""

    claims: tuple[ClaimShown, ...]

    @property
    def rival(self) -> bool:
        """Whether there is more than one."""
        return len(self.claims) > 1


@dataclass(frozen=True, slots=True)
class AspectShown:
    """All claims of a part for one aspect."""

    name: str
    benches: tuple[Bench, ...]


def aspects_of(context: Context, part: Part) -> tuple[AspectShown, ...]:
    """A part's claims, aspect by aspect, rivals together."""
    found: list[AspectShown] = []
    for aspect in ASPECTS:
        claims = [claim for claim in part.claims if claim.aspect == aspect]
        if claims:
            benches = tuple(
                Bench(tuple(shown(context, part, claim) for claim in together))
                for together in _gathered(claims)
            )
            found.append(AspectShown(aspect, benches))
    return tuple(found)


def _gathered(claims: list[Claim]) -> Iterable[list[Claim]]:
    """Claims with their rivals, in the order of the file."""
    homes: dict[str, list[Claim]] = {}
    for claim in claims:
        home = homes.get(claim.rival_of or "")
        if home is None:
            home = homes.setdefault(claim.id, [])
        else:
            homes[claim.id] = home
        home.append(claim)
    seen: set[int] = set()
    for home in homes.values():
        if id(home) not in seen and home:
            seen.add(id(home))
            yield home


def shown(context: Context, part: Part, claim: Claim) -> ClaimShown:
    """A claim as its part's page tells it."""
    ref = f"{part.ref}#{claim.id}"
    graded = context.findings.claims.get(ref)
    size, other = context.size(graded)
    facts = []
    if claim.configuration:
        facts.append(f"for {context.library.title(claim.configuration)}")
    if claim.tolerance is not None:
        facts.append(f"the job needs ± {context.length(claim.tolerance)}")
    if claim.applies_to:
        facts.append("holds for " + ", ".join(claim.applies_to))
    if claim.made_to and claim.made_to.says:
        chosen = context.length(claim.made_to.says)
        facts.append(
            f"to be made to {chosen}, {context.signed(claim.made_to.by, claim.made_to.on)}"
        )
    taken = graded.items if graded else ()
    return ClaimShown(
        id=claim.id,
        aspect=claim.aspect or "",
        says=claim.says or "",
        grade=Grade.of(graded.grade, graded.not_settled) if graded else None,
        size=size,
        other_size=other,
        facts=tuple(facts),
        witnesses=count(graded.witnesses, "independent witness", "independent witnesses")
        if graded
        else "",
        items=tuple(_item(context, claim, item) for item in taken),
        reasons=_beyond(context, part, graded) if graded else (),
        rulings=tuple(
            RulingShown(
                Grade.of(ruling.grade or ""),
                context.signed(ruling.by, ruling.on),
                ruling.because or "",
            )
            for ruling in claim.graded
        ),
        rivals=context.links(graded.rivals, part.ref) if graded else (),
        told=graded.told if graded else (),
        state=graded.state if graded else "",
        estimate=_estimate(context, ref),
        lifts=lifts(context, ref),
    )


def _estimate(context: Context, ref: str) -> EstimateShown | None:
    """What the figures come to, where a drawing tells more than the size does."""
    found = context.findings.estimates.get(ref)
    if found is None or found.together is None:
        return None
    return estimate.shown(context, found)


def _beyond(context: Context, part: Part, graded: Graded) -> tuple[ReasonShown, ...]:
    """The reasons that say more than how each item was taken, which stands with the item."""
    told = {(item.says, item.ref) for item in graded.items}
    more = tuple(
        reason
        for reason in graded.finding.reasons
        if not any((reason.says, ref) in told for ref in reason.rests_on)
    )
    return context.reasons(Finding(graded.finding.verdict, more), part.ref)


def _item(context: Context, claim: Claim, item: ItemTaken) -> ItemShown:
    written = claim.evidence[item.index] if item.index < len(claim.evidence) else Evidence()
    facts = []
    if written.absent:
        facts.append("shows that it is not there")
    if written.reading and written.reading != "clear":
        facts.append(f"{written.reading} reading")
    if item.measured and item.value_mm is not None:
        facts.append(f"measures {context.both(item.value_mm, item.half95_mm)[0]}")
    elif written.value is not None and not written.measured:
        facts.append(f"gives {context.length(written.value)}")
    if written.by:
        facts.append(f"read by {context.who(written.by).text}")
    kind, id_, piece = split_ref(item.ref)
    return ItemShown(
        link=context.link(item.ref),
        thumb=context.thumb(id_, piece=piece)
        if kind == "photos" and id_ in context.library.photos
        else None,
        quote=written.quote or "",
        facts=tuple(facts),
        measured=context.link(written.measured) if written.measured else None,
        plane=plane_of(context, written.measured or ""),
        taken=Grade.of(item.cap),
        why=item.says,
        rule=context.rule(item.rule),
        against=item.against,
        once_with=_once_with(context, item),
        note=written.note or "",
    )


def _once_with(context: Context, item: ItemTaken) -> Link | None:
    """The witness that an item counts together with, where it isn't alone."""
    group = context.findings.groups.get(item.group)
    if group is None or len(group.members) < 2:
        return None
    return Link(f"one witness in {len(group.members)} items", context.href(group.best))


def grade_of(graded: Graded | None) -> Grade | None:
    """A claim's grade mark, None where there is none."""
    return Grade.of(graded.grade, graded.not_settled) if graded else None
