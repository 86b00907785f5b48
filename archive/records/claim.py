"""A claim: one thing said of one part, and the evidence for and against it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.core.stock_sizes import STOCK
from archive.core.verdicts import GRADES
from archive.records.common import Signed
from archive.records.spec import Node, node, one_of, ref, spec_field, text

ASPECTS = ("existence", "shape", "size", "position", "material", "finish")
READINGS = ("clear", "probable", "possible")


@dataclass(frozen=True, kw_only=True)
class AgreesWith(Signed):
    """A trial that shows a sister's part or a maker's drawing to agree with this airframe."""

    record: str | None = ref(
        ("parts", "measurements", "photos", "surveys"), "What it was tried on.", required=True
    )
    how: str | None = text("How it was tried, and what was seen.", required=True)
    within: Any = spec_field("length", "How closely they agreed.")


@dataclass(frozen=True, kw_only=True)
class Evidence(Node):
    """One item for or against a claim: just one of photo, source, part or survey."""

    photo: str | None = ref(("photos",), "A photograph, best a region of it.")
    source: str | None = ref(("sources",), "A paper or an interview.")
    part: str | None = ref(("parts",), "What survives, or a witness mark on it.")
    survey: str | None = ref(("surveys",), "A measured point.")
    reading: str | None = one_of(READINGS, "How well it reads; clear where left out.")
    measured: str | None = ref(("measurements",), "The measurement that gives the value.")
    value: Any = spec_field("length", "The size that it gives.", signed=True)
    member: str | None = text("Which of the part's members was measured, by tag.")
    quote: str | None = text("Its words, or what is seen, verbatim.")
    against: bool | None = spec_field("yesno", "`yes` where it speaks against the claim.")
    rival: str | None = spec_field("name", "The rival claim that it speaks for.")
    absent: bool | None = spec_field("yesno", "`yes` where it shows that the thing is not there.")
    would_have_shown: bool | None = spec_field(
        "yesno", "For an absence: would the thing have shown here?"
    )
    witness_mark: bool | None = spec_field(
        "yesno", "`yes` where the missing part left this mark on the piece named by `part`."
    )
    tone_reversal: bool | None = spec_field(
        "yesno", "`yes` where two tones change places between photographs."
    )
    agrees_with: tuple[AgreesWith, ...] = node(
        AgreesWith, "Trials on this airframe, for a sister's part or a drawing.", many=True
    )
    by: str | None = spec_field("person", "Who read it.")
    note: str | None = text("Anything a reader needs.")


@dataclass(frozen=True, kw_only=True)
class Ruling(Signed):
    """A person's own grade for a claim, pinned to the evidence of that day."""

    grade: str | None = one_of(GRADES, "The grade.", required=True, key="is")
    because: str | None = text("Why.", required=True)
    at_state: str | None = text("The evidence state it was made on, as the page prints it.")


@dataclass(frozen=True, kw_only=True)
class Claim(Node):
    """One thing said of a part, for one aspect of it."""

    id: str = spec_field("name", "Its name, for `parts/…#name`.", required=True)
    aspect: str | None = one_of(ASPECTS, "What it is about.", required=True)
    says: str | None = text("The claim, as a sentence.", required=True)
    configuration: str | None = ref(
        ("configurations",), "For which state; left out: for the whole time the part was fitted."
    )
    tolerance: Any = spec_field("length", "What the job needs, as ±.")
    stock: str | None = one_of(
        STOCK, "The row of stock sizes that its maker would have taken it from."
    )
    made_to: Any = spec_field(
        "length",
        "The figure that a person chose to make it to, with the reason.",
        judged=True,
        bare=False,
    )
    measured_from: str | None = text("For the card: the edge, pin or line that it is set out from.")
    leave: Any = spec_field("length", "For the card: what to leave over, to be trimmed at the fit.")
    rival_of: str | None = spec_field("name", "The claim of this part that it contradicts.")
    applies_to: tuple[str, ...] = text("The members it holds for, by tag.", many=True)
    evidence: tuple[Evidence, ...] = node(Evidence, "What speaks for it and against.", many=True)
    graded: tuple[Ruling, ...] = node(Ruling, "Rulings by persons.", many=True)
