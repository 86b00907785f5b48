"""`witnessmark card`: a numbered card to cut by, and whether one on the bench still holds."""

from __future__ import annotations

import dataclasses
import json
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    NOT_CLEARED,
    UNREADABLE,
    WRONG_USE,
    Day,
    content_folder,
    epilog,
    private_cache,
    stop,
    today,
    told,
)
from archive.core.cards import UNCHANGED, CardStanding, IssueStanding
from archive.core.check_codes import read_typed
from archive.core.findings import Finding
from archive.core.scales import STEPS

if TYPE_CHECKING:
    from archive.pipeline import Weighed
    from archive.records.card import Card

ASKED = tuple(step for step in STEPS if step != "look")
OF_THE_SHEET = ("K11", "K12", "K13")
WAYS = ("PART", "--check", "--recalls", "--cut")


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE, NOT_CLEARED))
@click.argument("part", required=False)
@click.option("--step", type=click.Choice(ASKED), default="cut", show_default=True,
              help="What the card is for.")  # fmt: skip
@click.option("--treatment", metavar="ID", help="Which treatment of the original.")
@click.option("--again", is_flag=True, help="Raise the issue though nothing has moved.")
@click.option("--new", is_flag=True, help="Give it a number of its own, beside cards that hold.")
@click.option("--pdf", type=click.Path(path_type=Path, dir_okay=False), help="Set it as PDF too.")
@click.option("--a4", is_flag=True, help="Set the PDF for A4; for A5 if left out.")
@click.option("--check", "checked", metavar="CARD", help="Does this card still hold?")
@click.option("--recalls", is_flag=True, help="List the cards to fetch back.")
@click.option("--cut", "cut_from", metavar="CARD", help="Note that it was worked from.")
@click.option("--made", help="With --cut: what was made, its sizes as made; or what was done.")
@click.option("--as", "who", help="Who issues it, or who worked: initials or id of people.yaml.")
@click.option("--on", "day", type=Day(), help="The day; today if left out.")
@click.option("--as-of", type=Day(), help="The day asked about; today if left out.")
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def card(
    part: str | None,
    step: str,
    treatment: str | None,
    again: bool,
    new: bool,
    pdf: Path | None,
    a4: bool,
    checked: str | None,
    recalls: bool,
    cut_from: str | None,
    made: str | None,
    who: str | None,
    day: date | None,
    as_of: date | None,
    content: Path | None,
    as_json: bool,
) -> None:
    """Issue a numbered card for PART, or ask whether one on the bench still holds.

    A card is issued for a step that is cleared, and stands in cards/ with the evidence it leans
    on. Asked again for the same part and step, the card is printed as it was where nothing has
    moved; else its issue is raised, and the one before superseded. --check says `unchanged`, or
    what moved and whether it matters: type the number, the issue and the eight letters, such as
    0031-2-K7M4QX2H. It exits 5 where the step is held, where a card doesn't hold any more, and
    where --recalls lists any. A card for work on an original (--step original) is of one treatment,
    named by --treatment or as PART#ID, else of all that are still to be done, and says nothing but
    what was signed. Static display only: no part made from a card may fly.
    """
    ways = (part is not None, checked is not None, recalls, cut_from is not None)
    if sum(ways) != 1:
        stop(WRONG_USE, f"Ask for just one of {', '.join(WAYS)}.")
    with told():
        from archive.pipeline import weigh

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        name = _person(weighed, who)
        if checked is not None:
            _tell(_found(weighed, checked), as_json)
        if recalls:
            _list(weighed, as_json)
        if cut_from is None and day is not None and day > today():
            stop(WRONG_USE, f"{day} is still to come: no card is issued on it.", "Check the year.")
        if cut_from is not None:
            _note_cut(weighed, cut_from, name, day or today(), made, as_json)
        assert part is not None
        asked = _asked(weighed, part, step, treatment)
        issued = _issue(weighed, asked, again, new, name, day or today(), as_json)
        if pdf is not None:
            from archive.cli.card_paper import set_card
            from archive.core.atomic import write_file

            fresh = weigh(folder, private_cache(folder), as_of, clock=today())
            write_file(pdf, set_card(fresh, issued.ref, day or today(), "a4" if a4 else "a5"))
    _told_of(issued, pdf, as_json)


def _person(weighed: Weighed, who: str | None) -> str | None:
    if who is None:
        return None
    person = weighed.library.person(who)
    if person is None:
        stop(WRONG_USE, f"Nobody called {who} stands in people.yaml.", "Add the person first.")
    return person.initials or person.id


@dataclass(frozen=True, slots=True)
class _Asked:
    """A part (its REF), the step, the treatments of its original by name, and what was found."""

    part: str
    step: str
    treatments: tuple[str, ...]
    finding: Finding

    @property
    def name(self) -> str:
        """The part, with its treatment where one was asked for."""
        return "#".join((self.part, *self.treatments)) if len(self.treatments) == 1 else self.part


def _asked(weighed: Weighed, part: str, step: str, treatment: str | None) -> _Asked:
    """What a card is asked for; ends with exit code 2 where there is no such thing."""
    from archive.cli.records_asked import part_asked
    from archive.reasoning.originals import meant_by
    from archive.records.check_names import nearest

    library, parts = weighed.library, weighed.findings.parts
    whole, _, piece = part.partition("#")
    name = part_asked(library, whole)
    known = parts[name]
    only = (treatment or "").rpartition("#")[2] or piece
    if not only:
        mine = library.parts[name.partition("/")[2]]
        meant = meant_by(mine, known.treatments) if step == "original" else ()
        ids = tuple(ref.partition("#")[2] for ref in meant)
        return _Asked(name, step, ids, known.steps[step])
    if step != "original":
        stop(WRONG_USE, f"A treatment is of an original: {step} has none.", "Add --step original")
    if f"{name}#{only}" not in known.treatments:
        ids = tuple(ref.partition("#")[2] for ref in known.treatments)
        stop(WRONG_USE, f"{name} has no treatment {only}.", nearest(only, ids))
    return _Asked(name, step, (only,), known.treatments[f"{name}#{only}"])


def _issue(
    weighed: Weighed,
    asked: _Asked,
    again: bool,
    new: bool,
    who: str | None,
    day: date,
    as_json: bool,
) -> Card:
    from archive.reasoning.cards import drawn_from
    from archive.reasoning.docket import CLEARED
    from archive.write.cards import issue_again, issue_card

    library, findings = weighed.library, weighed.findings
    name, step, finding = asked.part, asked.step, asked.finding
    if finding.verdict != CLEARED:
        if as_json:
            plain = {"ref": asked.name, "step": step, "card": None, **finding.as_json()}
            click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
            sys.exit(NOT_CLEARED)
        click.echo(f"No card: {asked.name}, {step}: {finding.verdict}")
        for number, reason in enumerate(finding.reasons, 1):
            click.echo(f"  {number}. [{reason.rule}] {reason.says}")
        known = findings.parts[name]
        open_steps = [s for s in ASKED if known.steps[s].verdict == CLEARED]
        if open_steps:
            click.echo(f"Cleared: {', '.join(open_steps)}. Ask for one with --step.")
        if step == "original" and step not in open_steps:
            open_work = [ref for ref, f in known.treatments.items() if f.verdict == CLEARED]
            if open_work:
                click.echo(f"Cleared by itself: {', '.join(open_work)}. Name it: --treatment ID")
        sys.exit(NOT_CLEARED)
    part = library.parts[name.partition("/")[2]]
    drawn = drawn_from(library, findings, part, step, asked.treatments)
    before = None if new else _standing_card(weighed, asked)
    if before is None:
        return issue_card(weighed.folder, name, drawn, day, who)
    if not again and findings.cards[before.ref].state == UNCHANGED:
        return before
    return issue_again(weighed.folder, before, drawn, day, who)


def _standing_card(weighed: Weighed, asked: _Asked) -> Card | None:
    """The newest card for what is asked that was not withdrawn and reads as written."""
    found = [
        one
        for one in weighed.library.cards.values()
        if one.part == asked.part
        and not one.withdrawn
        and not one.lost
        and one.issues
        and one.issues[-1].step == asked.step
        and tuple(line.treatment for line in one.issues[-1].treatments) == asked.treatments
    ]
    return found[-1] if found else None


def _told_of(issued: Card, pdf: Path | None, as_json: bool) -> None:
    from archive.cli.why import CAUTION
    from archive.records.card import printed

    last = issued.issues[-1]
    as_it_stands = printed(issued, last)
    if as_json:
        plain = {
            "ref": issued.ref,
            "card": as_it_stands,
            "part": issued.part,
            "step": last.step,
            "issue": last.issue,
            "verdict": "cleared",
            "pdf": str(pdf) if pdf else None,
            "caution": CAUTION,
        }
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
    else:
        click.echo(f"{as_it_stands}: {issued.part}, {last.step}. {issued.path}")
        if last.issue and last.issue > 1:
            click.echo(f"Issue {last.issue - 1} is superseded: fetch it back from the bench.")
        if pdf:
            click.echo(f"{pdf} is set.")
        click.echo(CAUTION)
    sys.exit(FINE)


def _found(weighed: Weighed, typed: str) -> IssueStanding:
    """The issue that somebody typed; ends with exit code 2 where there is none."""
    read = read_typed(typed)
    if read is None:
        hint = "Type number, issue and the eight letters, such as 0031-2-K7M4QX2H; no code has a U."
        stop(WRONG_USE, f"“{typed}” is no number of a card with its code.", hint)
    mistaken = None
    for standing in weighed.findings.cards.values():
        number = standing.ref.partition("/")[2]
        for issue in standing.issues:
            if f"{number}{issue.issue}".lstrip("0") != read.digits:
                continue
            if read.number and (number.lstrip("0"), str(issue.issue)) != (read.number, read.issue):
                continue
            if issue.code == read.code:
                return issue
            mistaken = f"{number}, issue {issue.issue}"
    if mistaken:
        hint = "Read it again, letter by letter. If it does read so, don't cut by it."
        stop(WRONG_USE, f"These aren't the letters of card {mistaken}.", hint)
    hint = "Don't cut by it. It may have been issued on another computer: copy cards/ from there."
    stop(WRONG_USE, f"The register has no card {typed}.", hint)


def _tell(standing: IssueStanding, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(standing.as_json(), ensure_ascii=False, indent=2))
    else:
        click.echo(f"{standing.printed}: {standing.state}")
        for reason in standing.finding.reasons:
            if reason.rule in OF_THE_SHEET:
                click.echo(f"  [{reason.rule}] {reason.says}")
        for line in standing.moved:
            before, after = line.before or "nothing", line.after or "nothing"
            click.echo(f"  {line.ref}, {line.what}: {before} → {after}")
            says = (
                f"[{line.matters.rule}] {line.matters.says}" if line.matters else "Doesn't matter."
            )
            click.echo(f"       {says}")
    sys.exit(FINE if standing.state == UNCHANGED else NOT_CLEARED)


def to_recall(cards: Any) -> list[CardStanding]:
    """The cards of which a sheet is to be fetched back or a piece looked at again, by number."""
    return [one for one in cards.values() if one.calls]


def _list(weighed: Weighed, as_json: bool) -> None:
    found = to_recall(weighed.findings.cards)
    issues = [issue for one in found for issue in one.recalled]
    if as_json:
        click.echo(json.dumps([one.as_json() for one in issues], ensure_ascii=False, indent=2))
    for one in () if as_json else found:
        for issue in one.recalled:
            what = f"Recall {issue.printed}" if issue.out else f"Look again: {issue.printed}"
            click.echo(f"{what}, {one.part}{', worked from already' if issue.pieces else ''}")
            for reason in issue.finding.reasons:
                rests = " ".join(reason.rests_on[:1])
                click.echo(f"  [{reason.rule}] {reason.says} {rests}".rstrip())
        if not one.recalled:
            click.echo(f"Recall {one.ref}, {one.part}")
    if not found and not as_json:
        click.echo("No card is to be fetched back.")
    sys.exit(NOT_CLEARED if found else FINE)


def _note_cut(
    weighed: Weighed, typed: str, who: str | None, on: date, made: str | None, as_json: bool
) -> None:
    from archive.records.card import Cut
    from archive.write.edit import add_item

    if who is None:
        stop(WRONG_USE, "Nobody is named who worked from it.", "Name the person: --as WHO")
    standing = _found(weighed, typed)
    record = weighed.library.cards[standing.card.partition("/")[2]]
    cut = Cut(by=who, on=on, issue=standing.issue, made=made)
    item = {"by": who, "on": on.isoformat(), "issue": str(standing.issue)}

    def then(before: Any) -> Any:
        return dataclasses.replace(before, cut=(*before.cut, cut))

    add_item(weighed.folder, record, "cut", {**item, **({"made": made} if made else {})}, then)
    if not as_json:
        issue = next(one for one in record.issues if one.issue == standing.issue)
        done = "worked on the original by" if issue.step == "original" else "made a piece from"
        click.echo(f"{standing.card}: {who} {done} issue {standing.issue} on {on}.")
        for line in issue.treatments:
            click.echo(f"Write what was really done under {record.part}#{line.treatment}, as done:")
    _tell(standing, as_json)
