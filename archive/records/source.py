"""A source: one physical item that tells something, who holds it, and what it was made from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.citation import Citation
from archive.records.common import Titled
from archive.records.spec import Node, node, one_of, ref, spec_field, text

GENERATIONS = (
    "original",
    "negative",
    "vintage-print",
    "later-print",
    "copy-negative",
    "copy-print",
    "halftone",
    "tracing",
    "transcript",
    "photocopy",
    "scan",
)
AIRFRAMES = ("this", "sister", "type", "unknown")
USES = ("panel", "print", "web", "promotion", "press")


@dataclass(frozen=True, kw_only=True)
class Grant(Node):
    """A permission for one use."""

    use: str | None = one_of(USES, "For which use.", required=True)
    since: Any = spec_field("day", "The first day it holds.", key="from")
    until: Any = spec_field("day", "The last day it holds.")
    territory: str | None = text("Where it holds; `world` for everywhere.")
    one_time: bool | None = spec_field("yesno", "`yes` where it holds for one occasion only.")
    used: Any = spec_field("day", "The day on which a permission for one occasion was used up.")
    credit: str | None = text("The wording that this use asks for.")
    crop: bool | None = spec_field("yesno", "May it be cropped in this use?")
    overprint: bool | None = spec_field("yesno", "May it be drawn on in this use?")
    owes: str | None = text("What it costs: a fee, a copy of the book.")
    settled: Any = spec_field("day", "The day on which that was paid or sent.")
    letter: str | None = ref(("sources",), "The letter that grants it.")


@dataclass(frozen=True, kw_only=True)
class Asked(Node):
    """A line in the log of asking for rights."""

    on: Any = spec_field("day", "The day.", required=True)
    says: str | None = text("What was asked or answered.", required=True)
    by: str | None = spec_field("person", "Who asked or received.")
    letter: str | None = ref(("sources",), "The letter.")


@dataclass(frozen=True, kw_only=True)
class Rights(Node):
    """Who holds the rights, and what they allow. Owning a print isn't owning its copyright."""

    basis: str | None = one_of(
        ("own", "permission", "licence", "public-domain", "orphan", "unknown"),
        "Why it may be used; `licence` is an open one, named by `statement`.",
    )
    because: str | None = text("The reason for the basis.")
    holder: str | None = text("Who holds the rights.")
    statement: str | None = text("The address of a RightsStatements.org or CC statement.")
    credit: str | None = text("The credit line, exactly as asked for.")
    crop: bool | None = spec_field("yesno", "May it be cropped?")
    overprint: bool | None = spec_field("yesno", "May it be drawn on?")
    log: tuple[Asked, ...] = node(Asked, "What was asked and answered.", many=True)
    grants: tuple[Grant, ...] = node(Grant, "What is allowed, use by use.", many=True)
    refused: tuple[str, ...] = one_of(
        USES, "Uses that were asked for and refused.", many=True, one_or_many=True
    )


@dataclass(frozen=True, kw_only=True)
class Withdrawn(Node):
    """Consent taken back."""

    on: Any = spec_field("day", "The day.", required=True)
    by: str | None = text("By whom.", required=True)
    letter: str | None = ref(("sources",), "The letter.")
    extent: str | None = one_of(
        ("publication", "all-use", "return-or-destroy"), "How far it goes.", required=True
    )


@dataclass(frozen=True, kw_only=True)
class Consent(Node):
    """A narrator's consent; it is not copyright, which needs a deed of its own."""

    form: str | None = ref(("sources",), "The signed form.")
    given: Any = spec_field("day", "The day it was given.")
    deed: str | None = ref(("sources",), "The deed or licence of the recording.")
    withdrawn: Withdrawn | None = node(Withdrawn, "If it was taken back.")


@dataclass(frozen=True, kw_only=True)
class Source(Titled):
    """One physical item: a print, a letter, an album, an interview."""

    kind = "sources"
    singular = "source"
    what = "a source"

    citation: Citation | None = node(Citation, "How it is cited.", required=True)
    holder: str | None = text("Who holds it now.")
    box: str | None = text("Box.")
    folder: str | None = text("Folder.")
    negative: str | None = text("Negative number, kept as written.")
    within: str | None = ref(
        ("sources",), "The album or file it is a leaf of; this joins no witnesses."
    )
    generation: str | None = one_of(GENERATIONS, "How far it is from the first making.")
    derived_from: tuple[str, ...] = ref(
        ("sources", "photos"),
        "What it was printed, copied, traced or written from: these count as one witness.",
        many=True,
        one_or_many=True,
    )
    sitting: str | None = spec_field(
        "name", "One roll or one visit: items with the same word are one occasion."
    )
    airframe: Any = one_of(AIRFRAMES, "Whose aircraft it tells of.", judged=True)
    sister: str | None = ref(("sisters",), "Which sister, where it is one.")
    first_hand: Any = spec_field("yesno", "Did its maker see the thing itself?", judged=True)
    dated: Any = spec_field("date", "When it was made, as argued.", judged=True)
    reliability: str | None = text("What speaks for or against trusting it.")
    discredited: Any = spec_field(
        "yesno", "`yes` takes it out of every grade.", judged=True, bare=False
    )
    rights: Rights | None = node(Rights, "Rights and permissions.")
    consent: Consent | None = node(Consent, "An interview's consent.")
    transcript: str | None = text("Its words, verbatim, apart from any reading of them.")
