"""A part of the aircraft: where it sits, what of it survives, and what is claimed of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.claim import Claim
from archive.records.common import Signed, Titled
from archive.records.spec import Node, node, one_of, ref, spec_field, text

SIDES = ("port", "starboard", "centre", "both")
HAZARDS = (
    "asbestos",
    "cadmium",
    "lead-paint",
    "magnesium",
    "nitrate-dope",
    "nitrate-film",
    "original-covering",
    "radium",
    "stored-energy",
    "sharp-edges",
    "mould",
    "none-found",
)
"""What may hurt; the last says that somebody looked, and found nothing."""

LICENSED = frozenset({"asbestos", "radium", "nitrate-film"})
"""Hazards that only licensed or specialist people deal with (common practice, no source)."""

OPERATIONS = ("trace", "clean", "consolidate", "straighten", "drill", "trim", "patch", "refit")
"""What is done to an original; only the first takes nothing and bends nothing."""

TAKING = ("drill", "trim")
"""Operations that always take material off."""

GENTLE = ("trace", "clean", "consolidate")
"""Operations that leave an original fit to be kept as it was found."""

KEPT_OUT = ("original-kept", "pattern-only")
"""What becomes of an original that does not go back in."""


@dataclass(frozen=True, kw_only=True)
class Member(Node):
    """One of a row of like parts."""

    tag: str | None = text("Its tag, kept as written.", required=True)
    station: Any = spec_field("length", "Where it stands.", signed=True)
    side: str | None = one_of(SIDES, "On which side.")
    survives: bool | None = spec_field("yesno", "Is it still there?")


@dataclass(frozen=True, kw_only=True)
class AsFound(Signed):
    """How it was found, before anybody touched it."""

    photos: tuple[str, ...] = ref(("photos",), "Photographs of it as found.", many=True)
    position: str | None = text("Where it lay.")
    condition: str | None = text("What state it was in.")


@dataclass(frozen=True, kw_only=True)
class Fitted(Node):
    """Between which events it was on the aircraft."""

    since: str | None = ref(("events",), "From this event on.", key="from")
    until: str | None = ref(("events",), "Up to this event.")


@dataclass(frozen=True, kw_only=True)
class Removal(Node):
    """What a treatment takes off, and where that is kept."""

    what: str | None = text("What is taken off.", required=True)
    kept_at: str | None = text("Where it is kept.", required=True)


@dataclass(frozen=True, kw_only=True)
class Answer(Signed):
    """How a hazard is met while the work is done."""

    hazard: str | None = one_of(HAZARDS[:-1], "Which hazard of the part.", required=True)
    says: str | None = text("What is done about it.", required=True)
    licensed: str | None = text("The licensed people or the adviser, where it asks for them.")


@dataclass(frozen=True, kw_only=True)
class Done(Signed):
    """That a treatment was carried out: who did it, and on which day it was finished."""

    began: Any = spec_field("day", "The day it was begun, where that was another.")
    says: str | None = text("What was really done, step by step.", required=True)
    materials: tuple[str, ...] = text("What was used: its kind, maker and batch.", many=True)
    deviations: str | None = text("What was done otherwise than proposed, and why.")
    before: tuple[str, ...] = ref(("photos",), "Photographs from just before.", many=True)
    after: tuple[str, ...] = ref(("photos",), "Photographs from afterwards.", many=True)
    hours: Any = spec_field("number", "How many hours it took.")


@dataclass(frozen=True, kw_only=True)
class Treatment(Node):
    """What may be done to an original, and what was chosen."""

    id: str = spec_field("name", "Its name.", required=True)
    options: tuple[str, ...] = text("The options weighed.", many=True)
    choice: str | None = text("The option chosen.")
    operations: tuple[str, ...] = one_of(
        OPERATIONS, "What is done to the original.", many=True, one_or_many=True
    )
    removes: Removal | None = node(Removal, "What it removes.")
    takes_nothing: bool | None = spec_field("yesno", "`yes` where it takes nothing off.")
    reversible: bool | None = spec_field("yesno", "Can it be undone?")
    adds: tuple[str, ...] = ref(("parts",), "New parts that it brings.", many=True)
    hazards: tuple[Answer, ...] = node(Answer, "How each hazard is met.", many=True)
    proposed: Signed | None = node(Signed, "Who proposed it.")
    after: tuple[str, ...] = spec_field(
        "name",
        "The treatments of this part that must be carried out before it.",
        many=True,
        one_or_many=True,
    )
    done: Done | None = node(Done, "That it was carried out, and how.")


@dataclass(frozen=True, kw_only=True)
class PlannedMark(Node):
    """The mark that will tell a new part from old work."""

    what: str | None = text("What it says.", required=True)
    place: str | None = text("Where it will be.", required=True)


@dataclass(frozen=True, kw_only=True)
class Extent(Node):
    """How much of it there is, for the tally of what is original."""

    area_m2: Any = spec_field("number", "Surface, in square metres.")
    mass_kg: Any = spec_field("number", "Mass, in kilograms.")
    count: Any = spec_field("whole", "How many.")


@dataclass(frozen=True, kw_only=True)
class Loan(Node):
    """On what terms it is here."""

    lender: str | None = spec_field("person", "Who lent it.", key="from")
    agreement: str | None = ref(("sources",), "The agreement.")
    due: Any = spec_field("day", "When it must go back.")
    may_copy: bool | None = spec_field("yesno", "May it be copied?")


@dataclass(frozen=True, kw_only=True)
class Made(Signed):
    """A piece that was made new."""

    what: str | None = text("What was made.", required=True)
    card: str | None = text("From which cutting card, number and issue.")
    material: str | None = text("Of what.")
    new_mark: str | None = text("The mark that tells it from old work.", key="mark")
    mark_place: str | None = text("Where that mark is.")


@dataclass(frozen=True, kw_only=True)
class Part(Titled):
    """A part, surviving or missing, or a row of like parts."""

    kind = "parts"
    singular = "part"
    what = "a part"

    zone: str | None = ref(("zones",), "The zone it belongs to.", required=True)
    system: str | None = text("Its JASC code, four digits, where one fits.")
    summary: str | None = text("What it is, in a sentence.")
    label: str | None = text("What its label beside the exhibit says.")
    side: str | None = one_of(SIDES, "On which side it sits.")
    station: Any = spec_field("length", "Station, aft of the datum.", signed=True)
    butt_line: Any = spec_field(
        "length", "Butt line, to starboard of the centre line.", signed=True
    )
    water_line: Any = spec_field("length", "Water line, above the base line.", signed=True)
    tag: str | None = text("The number on its tag, kept as written.")
    shelf: str | None = text("Where it is kept.")
    assembly: str | None = ref(("parts",), "The assembly it belongs to.")
    opposite: str | None = ref(("parts",), "Its opposite hand.")
    mates: tuple[str, ...] = ref(("parts",), "What it meets, rivets or pins to.", many=True)
    attaches: tuple[str, ...] = ref(("parts",), "What hangs on it.", many=True)
    moves_with: tuple[str, ...] = ref(("parts",), "What must move when it moves.", many=True)
    survives: str | None = one_of(("whole", "fragment", "no"), "What is left of it.", required=True)
    airframe: str | None = one_of(
        ("this", "sister", "donor", "unknown"), "Whose aircraft it came from; this where left out."
    )
    sister: str | None = ref(("sisters",), "Which sister.")
    origin: str | None = one_of(
        ("maker", "operator", "earlier-restoration", "ours"),
        "Who made it; the maker where left out.",
    )
    status: str | None = one_of(
        ("original-refit", "original-kept", "pattern-only", "unknown", "not-ours", "quarantine"),
        "What is to become of it.",
    )
    fitted: Fitted | None = node(Fitted, "When it was on the aircraft.")
    replaces: str | None = ref(("parts",), "The part that it took the place of.")
    members: tuple[Member, ...] = node(Member, "The members of a row of like parts.", many=True)
    as_found: AsFound | None = node(AsFound, "How it was found.")
    hazards: tuple[str, ...] = one_of(
        HAZARDS, "What may hurt whoever handles it.", many=True, one_or_many=True
    )
    extent: Extent | None = node(Extent, "How much of it there is.")
    treatments: tuple[Treatment, ...] = node(
        Treatment, "What may be done to it.", many=True, pieces=True
    )
    custody: tuple[str, ...] = text("Who has had it, oldest first.", many=True)
    loan: Loan | None = node(Loan, "On what terms it is here.")
    lead_days: Any = spec_field("whole", "How many days it takes to make or get.")
    mark: PlannedMark | None = node(
        PlannedMark, "How the new part will be marked, to tell it from old work."
    )
    made: tuple[Made, ...] = node(Made, "What was made new.", many=True)
    claims: tuple[Claim, ...] = node(Claim, "What is claimed of it.", many=True, pieces=True)
