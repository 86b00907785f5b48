"""A cutting card's page: the sheet as it was printed, and whether it still holds.

Figures and words are those of the register, never those of today: a card that was recalled shows
what stands on the paper at the bench, and beneath it what moved.
"""

from __future__ import annotations

import string
from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.cards import RECALL, CardStanding, IssueStanding
from archive.core.rounding import show_mm, times_in_100
from archive.records.card import Card, CardClaim, Cut, Issue, printed
from archive.records.part import Part
from archive.site import words
from archive.site.addresses import CARDS, page_of
from archive.site.cautions import CAUTIONS, Caution
from archive.site.context import Context
from archive.site.foreseen import MovedShown, moved
from archive.site.page import Cell, Frame, Grade, Link, Page, ReasonShown, Thumb
from archive.site.square import holds, square
from archive.site.treatments import TreatmentLine, on_card, touches

STATES = {
    "unchanged": "unchanged",
    "changed": "changed; nothing that matters to this card",
    "recall": "recall",
    "superseded": "superseded",
    "withdrawn": "withdrawn",
}
HEADINGS = {
    "mock-up": "Mock-up only, in card or scrap.",
    "trial": "Trial stock only. Not for the aircraft.",
    "cut": "Cut for display.",
    "original": "Work on an original.",
}
BOXES = ("Mock-up tried", "Cleared by", "Made by", "Date")
"""What somebody fills in with a pencil, besides the sizes as made."""

ON_ORIGINAL = ("Cleared by", "Done by", "Date", "Hours")
"""The same where an original is worked on."""

PROVISIONAL = "build-provisionally"

THUMBS = 3
FROM = 3


@dataclass(frozen=True, slots=True)
class SizeShown:
    """A size: its letter, its words, the figure with its error, what a person chose to make it to
    ("" where nobody did), what must be held, and how often a piece so made fits."""

    letter: str
    says: str
    make_to: str
    size: str
    other: str
    hold: str
    fits: str
    grade: Grade | None
    measured_from: str
    leave: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WordsShown:
    """What a card says without a figure: a shape, a material, a finish."""

    aspect: str
    says: str
    grade: Grade | None
    measured_from: str


@dataclass(frozen=True, slots=True)
class IssueLine:
    """An issue in a list: as printed, when, by whom, how it stands; `again` says that a piece is
    to be looked at, `recall` that the sheet is to be fetched back.
    """

    anchor: str
    printed: str
    signed: str
    step: str
    state: str
    recall: bool
    again: bool
    matter: tuple[MovedShown, ...]
    quiet: tuple[MovedShown, ...]
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class CardLine:
    """A card in a list, with its issues and those called back, the newest first."""

    link: Link
    part: Link
    state: str
    recall: bool
    cut: tuple[str, ...]
    issues: tuple[IssueLine, ...]
    called: tuple[IssueLine, ...]


@dataclass(frozen=True, slots=True)
class CardShown:
    """All that a card's page and its paper say."""

    number: str
    issue: int
    code: str
    printed: str
    day: str
    signed: str
    heading: str
    provisional: str
    original: bool
    treatments: tuple[TreatmentLine, ...]
    part: Link
    part_number: str
    zone: str
    place: str
    make: str
    configuration: str
    touches: str
    sizes: tuple[SizeShown, ...]
    others: tuple[WordsShown, ...]
    thumbs: tuple[Thumb, ...]
    held: str
    holds: tuple[str, ...]
    mark: str
    cautions: tuple[Caution, ...]
    boxes: tuple[str, ...]
    square: str
    square_side: int
    square_says: str
    line: CardLine


def pages(context: Context) -> Iterator[Page]:
    """The page of every card of which an issue can be read."""
    for card in context.library.cards.values():
        standing = context.findings.cards.get(card.ref)
        if standing is not None and card.issues:
            yield Page(
                f"cards/{card.id}.html",
                "card",
                _frame(context, card, standing),
                shown(context, card),
            )


def recalls(context: Context) -> tuple[CardLine, ...]:
    """The cards of which something is called back, by number."""
    return tuple(line(context, one) for one in context.findings.cards.values() if one.calls)


def of_part(context: Context, ref: str) -> tuple[CardLine, ...]:
    """The cards of a part, the newest number first."""
    found = [one for one in context.findings.cards.values() if one.part == ref]
    return tuple(line(context, one) for one in reversed(found))


def line(context: Context, standing: CardStanding) -> CardLine:
    """A card in a list."""
    card = context.library.cards[standing.ref.partition("/")[2]]
    lines = [
        _issue_line(context, issue, one)
        for issue, one in zip(card.issues, standing.issues, strict=True)
    ]
    return CardLine(
        link=Link(card.title, context.href(card.ref)),
        part=context.link(standing.part) if standing.part else Link("no part"),
        state=STATES[standing.state],
        recall=standing.state == RECALL,
        cut=tuple(
            f"{_worked(card, one.issue)} issue {one.issue}: {context.signed(one.by, one.on)}"
            + (f", {one.made}" if one.made else "")
            + _since(context, one)
            for one in card.cut
        ),
        issues=tuple(reversed(lines)),
        called=tuple(one for one in reversed(lines) if one.recall or one.again),
    )


def _worked(card: Card, number: int | None) -> str:
    original = any(one.issue == number and one.step == "original" for one in card.issues)
    return "Worked on by" if original else "Made from"


def _since(context: Context, cut: Cut) -> str:
    """What became of a piece, in words."""
    if cut.scrapped:
        because = f": {cut.scrapped.because}" if cut.scrapped.because else ""
        return f". Scrapped, {context.signed(cut.scrapped.by, cut.scrapped.on)}{because}"
    if look := cut.looked_at:
        says = f": {look.says}" if look.says else ""
        who = context.signed(look.by, look.on)
        return f". Held against issue {look.against}, {who}{says}"
    return ""


def _issue_line(context: Context, issue: Issue, standing: IssueStanding) -> IssueLine:
    lines = [(one, moved(context, one)) for one in standing.moved]
    told = tuple(r for r in standing.finding.reasons if r.rule in ("K11", "K12", "K13"))
    return IssueLine(
        anchor=f"_{standing.printed}",
        printed=standing.printed,
        signed=context.signed(issue.by, issue.on) if issue.by else words.day(issue.on),
        step=": ".join(
            filter(
                None,
                (
                    words.STEPS.get(issue.step or "", ""),
                    ", ".join(words.plain(one.treatment) for one in issue.treatments),
                ),
            )
        ),
        state=STATES[standing.state],
        recall=standing.out,
        again=bool(standing.pieces),
        matter=tuple(shown for one, shown in lines if one.matters),
        quiet=tuple(shown for one, shown in lines if not one.matters),
        reasons=context.told(told),
    )


def _frame(context: Context, card: Card, standing: CardStanding) -> Frame:
    part = context.link(card.part) if card.part else None
    return context.frame(
        card,
        label="Cutting card",
        here="cards",
        up=Link("Cutting cards", context.page(CARDS)),
        cells=(
            Cell("Part", part.text if part else "", part.href if part else ""),
            Cell("Issue", str(card.issues[-1].issue or "")),
            Cell("Stands", STATES[standing.state]),
            Cell("Issued", words.day(card.issues[-1].on)),
        ),
    )


def shown(context: Context, card: Card) -> CardShown:
    """A card as it was printed last."""
    issue = card.issues[-1]
    part = context.library.parts.get((card.part or "").partition("/")[2])
    as_printed = printed(card, issue)
    address = (context.library.aircraft.site if context.library.aircraft else None) or ""
    told = holds(address, page_of(card.part or ""), as_printed)
    path, side = square(told)
    known = context.findings.parts.get(card.part or "")
    cut = known.steps["cut"] if known and issue.step in ("mock-up", "trial") else None
    held = cut is not None and cut.verdict == "hold"
    original = issue.step == "original"
    letters = iter(_letters())
    fits = dict(context.findings.cards[card.ref].issues[-1].fits)
    sizes = tuple(
        _size(context, card, one, next(letters), fits.get(one.claim or ""))
        for one in issue.claims
        if one.value_mm is not None and not original
    )
    return CardShown(
        number=card.id,
        issue=issue.issue or 0,
        code=issue.code or "",
        printed=as_printed,
        day=words.day(issue.on),
        signed=context.signed(issue.by, issue.on) if issue.by else words.day(issue.on),
        heading=HEADINGS.get(issue.step or "", ""),
        provisional=_provisional(issue),
        original=original,
        treatments=tuple(on_card(context, issue, one) for one in issue.treatments),
        part=context.link(card.part or ""),
        part_number=(part.number or part.id) if part else "",
        zone=context.name(part.zone) if part and part.zone else "",
        place=_place(context, part),
        make="" if original else _make(part),
        configuration=context.library.title(f"configurations/{issue.configuration}")
        if issue.configuration
        else "",
        touches=touches(context, part, issue),
        sizes=sizes,
        others=tuple(
            WordsShown(
                one.aspect or "",
                one.says or "",
                Grade.of(one.grade or "", one.settled is False),
                "" if original else one.measured_from or "",
            )
            for one in issue.claims
            if original or one.value_mm is None
        ),
        thumbs=_thumbs(context, card, issue),
        held="hold" if held else "",
        holds=tuple(reason.says for reason in cut.reasons[:3]) if cut and held else (),
        mark=""
        if original
        else ", ".join(filter(None, (f"“{issue.mark}”" if issue.mark else "", issue.mark_place))),
        cautions=tuple(CAUTIONS[one] for one in issue.hazards if one in CAUTIONS),
        boxes=ON_ORIGINAL if original else (*BOXES, *(f"As made, {one.letter}" for one in sizes)),
        square=path,
        square_side=side,
        square_says=f"A square that holds {told}",
        line=line(context, context.findings.cards[card.ref]),
    )


def _provisional(issue: Issue) -> str:
    if issue.step != "cut" or all(one.choice != PROVISIONAL for one in issue.decisions):
        return ""
    return "Built provisionally, by a signed decision: what is only seen may turn out otherwise."


def _letters() -> Iterator[str]:
    """A, B, … Z, A2, B2, …"""
    yield from string.ascii_uppercase
    for number in range(2, 1000):
        yield from (f"{letter}{number}" for letter in string.ascii_uppercase)


def _size(
    context: Context, card: Card, one: CardClaim, letter: str, fits: float | None
) -> SizeShown:
    size, other = context.both(one.value_mm, one.half95_mm)
    chosen = one.make_to_mm
    return SizeShown(
        letter=letter,
        says=one.says or "",
        make_to="" if chosen is None else " or ".join(context.both(chosen, None)),
        size=size,
        other=other,
        hold="" if one.tolerance_mm is None else show_mm(one.tolerance_mm, None, context.units),
        fits="" if fits is None else f"fits {times_in_100(fits)}",
        grade=Grade.of(one.grade or "", one.settled is False),
        measured_from=one.measured_from or "",
        leave=one.leave or "",
        sources=_sources(context, f"{card.part}#{one.claim}"),
    )


def _sources(context: Context, ref: str) -> tuple[str, ...]:
    """The records that a claim leans on, by their short names, as many as a card has room for."""
    graded = context.findings.claims.get(ref)
    if graded is None:
        return ()
    found = [one.ref.partition("/")[2] for one in graded.items if one.cap and not one.against]
    names = list(dict.fromkeys(found))
    return (*names[:FROM], *(["…"] if len(names) > FROM else []))


def _thumbs(context: Context, card: Card, issue: Issue) -> tuple[Thumb, ...]:
    """The photographs that carry most of what the card says, once each."""
    found: dict[str, str] = {}
    for one in issue.claims:
        graded = context.findings.claims.get(f"{card.part}#{one.claim}")
        for item in graded.items if graded else ():
            kind, _, rest = item.ref.partition("/")
            if kind == "photos" and item.cap and not item.against:
                photo, _, piece = rest.partition("#")
                found.setdefault(photo, piece)
    return tuple(
        context.thumb(photo, "", piece)
        for photo, piece in list(found.items())[:THUMBS]
        if photo in context.library.photos
    )


def _place(context: Context, part: Part | None) -> str:
    if part is None:
        return ""
    station = f"station {context.length(part.station)}" if part.station is not None else ""
    return ", ".join(filter(None, (words.plain(part.side), station)))


def _make(part: Part | None) -> str:
    """How many, and of which hand."""
    if part is None:
        return ""
    missing = [member.tag or "" for member in part.members if member.survives is not True]
    hand = f"{part.side} hand" if part.side in ("port", "starboard") else ""
    count = f"{len(missing)}" if part.members else "1"
    return ", ".join(filter(None, (count, hand)))
