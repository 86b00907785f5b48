"""Treatments of originals: on the part's page, and on a card for work on one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.core.verdicts import PartKnown
from archive.records.card import CardTreatment, Issue
from archive.records.part import Done, Part
from archive.site import words
from archive.site.context import Context
from archive.site.page import Link, Thumb


@dataclass(frozen=True, slots=True)
class TreatmentShown:
    """A treatment of an original."""

    id: str
    options: tuple[str, ...]
    choice: str
    removes: str
    kept_at: str
    work: str
    verdict: str
    hazards: tuple[str, ...]
    undone: str
    adds: tuple[Link, ...]
    signed: str
    follows: tuple[str, ...]
    done: str
    done_facts: tuple[str, ...]
    pictures: tuple[Thumb, ...]


@dataclass(frozen=True, slots=True)
class TreatmentLine:
    """What is done to an original, as it was signed: by its name, and what is said of it."""

    name: str
    choice: str
    said: tuple[tuple[str, str], ...]


def treatments(context: Context, part: Part, known: PartKnown | None) -> tuple[TreatmentShown, ...]:
    """The treatments of a part's original, each with how it stands and whether it was done."""
    return tuple(
        TreatmentShown(
            id=treatment.id,
            options=treatment.options,
            choice=treatment.choice or "",
            removes=(treatment.removes.what or "")
            if treatment.removes
            else "nothing"
            if treatment.takes_nothing
            else "",
            work=", ".join(words.plain(one) for one in treatment.operations),
            verdict=finding.verdict
            if known and (finding := known.treatments.get(f"{part.ref}#{treatment.id}"))
            else "",
            hazards=tuple(
                f"{words.capital(words.plain(one.hazard))}: {one.says}"
                + (f" ({one.licensed})" if one.licensed else "")
                for one in treatment.hazards
            ),
            kept_at=(treatment.removes.kept_at or "") if treatment.removes else "",
            undone={True: "It can be undone.", False: "It can't be undone."}.get(
                bool(treatment.reversible), ""
            )
            if treatment.reversible is not None
            else "",
            adds=context.links(treatment.adds),
            signed=context.signed(treatment.proposed.by, treatment.proposed.on)
            if treatment.proposed
            else "",
            follows=tuple(words.plain(one) for one in treatment.after),
            done=_sentence(treatment.done.says or "") if treatment.done else "",
            done_facts=_done_facts(context, treatment.done) if treatment.done else (),
            pictures=tuple(_before_and_after(context, treatment.done)) if treatment.done else (),
        )
        for treatment in part.treatments
    )


def _done_facts(context: Context, done: Done) -> tuple[str, ...]:
    """Of a treatment that was carried out: by whom and when, otherwise than proposed, with what."""
    begun = f", begun {words.day(done.began)}" if done.began else ""
    hours = f"{done.hours:g} hours of work." if done.hours is not None else ""
    missing = [
        word for word, refs in (("before", done.before), ("afterwards", done.after)) if not refs
    ]
    return tuple(
        filter(
            None,
            (
                f"Carried out: {context.signed(done.by, done.on)}{begun}. {hours}".strip(),
                _sentence(f"Otherwise than proposed: {done.deviations}") if done.deviations else "",
                f"Used: {'; '.join(done.materials)}." if done.materials else "",
                f"No photograph from {' or '.join(missing)} is recorded." if missing else "",
            ),
        )
    )


def _sentence(words: str) -> str:
    return f"{words.rstrip('.')}." if words else ""


def _before_and_after(context: Context, done: Done) -> Iterator[Thumb]:
    for word, refs in (("Before", done.before), ("Afterwards", done.after)):
        for ref in refs:
            photo = ref.partition("/")[2].partition("#")[0]
            if photo in context.library.photos:
                yield context.thumb(photo, word)


def on_card(context: Context, issue: Issue, one: CardTreatment) -> TreatmentLine:
    """What a card says of a treatment. Signatures under a decision that is kept from this site
    are not told.
    """
    told = all(line.decision in context.library.decisions for line in issue.decisions)
    said = (
        ("Do", one.work),
        ("Comes off", one.takes),
        ("Afterwards", one.undone),
        ("Against hazards", one.hazards),
        ("Signed by", one.signed if told else ""),
    )
    return TreatmentLine(
        words.capital(words.plain(one.treatment)),
        one.choice or "",
        tuple((label, words.capital(text)) for label, text in said if text),
    )


def touches(context: Context, part: Part | None, issue: Issue) -> str:
    """Whether original material is touched, in words."""
    if part is None:
        return ""
    if issue.step == "original":
        return "Yes: this is work on an original. Nothing but the treatment that was signed."
    hosts = [
        other.title or other.id
        for other in context.library.parts.values()
        for treatment in other.treatments
        if part.ref in treatment.adds
    ]
    if hosts:
        return f"Yes, when it is fitted: it is let into {', '.join(dict.fromkeys(hosts))}."
    if part.survives in ("whole", "fragment"):
        return "No. What survives is a pattern: don't cut, drill or trim it."
    return "No"
