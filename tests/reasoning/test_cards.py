"""What recalls a card, what only changes it, and what leaves it be; line by line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from statistics import NormalDist

import pytest
from cutting import MARKED, TWO, claims, decision, sign
from small_records import BASE, part

from archive.core.cards import CHANGED, RECALL, SUPERSEDED, UNCHANGED, WITHDRAWN
from archive.reasoning.cards import card_standings, drawn_from
from archive.reasoning.differences import between, keep
from archive.records.card import (
    Card,
    Cut,
    Issue,
    LookedAt,
    Returned,
    Scrapped,
    Withdrawal,
    code_of,
)

DAY = date(2027, 1, 10)


def found(weighed, text: str):
    """Findings and library of a small archive whose decisions are signed."""
    findings, problems, library = weighed(sign(weighed, TWO + text))
    assert problems == []
    return findings, library


def issued(findings, library, step: str = "cut", number: int = 1) -> Issue:
    drawn = drawn_from(library, findings, library.parts["chine"], step)
    made = replace(drawn, issue=number, on=DAY, by="HB")
    return replace(made, code=code_of("0001", "parts/chine", made))


def stand(findings, library, *issues: Issue, **more):
    """How the last of these issues stands in this archive."""
    card = Card(id="0001", path="cards/0001.yaml", part="parts/chine", issues=issues, **more)
    library = replace(library, cards={"0001": card})
    standing = card_standings(library, findings.claims, findings.decisions, findings.parts)
    return standing["cards/0001"]


SOUND = part(claims()) + decision()


def test_nothing_moved_is_unchanged(weighed):
    archive = found(weighed, SOUND)
    latest = stand(*archive, issued(*archive)).latest
    assert (latest.state, latest.moved, latest.finding.reasons) == (UNCHANGED, (), ())


def test_it_says_how_often_a_piece_so_made_fits(weighed):
    """Against Python's own normal distribution, from the figures as printed."""
    archive = found(weighed, SOUND)
    issue = issued(*archive)
    size = next(one for one in issue.claims if one.value_mm is not None)
    fits = dict(stand(*archive, issue).latest.fits)
    assert set(fits) == {size.claim}
    true = NormalDist(size.value_mm, size.half95_mm / 1.96)
    low, high = size.value_mm - size.tolerance_mm, size.value_mm + size.tolerance_mm
    assert fits[size.claim] == pytest.approx(true.cdf(high) - true.cdf(low), abs=2e-4)
    chosen = replace(size, make_to_mm=size.value_mm + size.tolerance_mm)
    made = replace(issue, claims=tuple(chosen if c is size else c for c in issue.claims))
    made = replace(made, code=code_of("0001", "parts/chine", made))
    assert dict(stand(*archive, made).latest.fits)[size.claim] == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(
    ("was", "now", "step", "state", "rules"),
    [
        (claims(), claims("seen"), "cut", RECALL, {"K3", "I4"}),
        (claims(), claims("seen"), "trial", CHANGED, set()),
        (claims(), claims(tolerance="1/16 in"), "cut", RECALL, {"K3", "I4", "K7"}),
        (claims(), claims("seen"), "mock-up", CHANGED, set()),
    ],
)
def test_what_matters_depends_on_the_step(weighed, was, now, step, state, rules):
    signed = sign(weighed, TWO + part(was) + decision())
    findings, _, library = weighed(signed)
    issue = issued(findings, library, step)
    findings, _, library = weighed(signed.replace(was, now))
    latest = stand(findings, library, issue).latest
    assert latest.state == state
    assert {r.rule for r in latest.finding.reasons} >= rules
    assert latest.moved


@pytest.mark.parametrize(
    ("old", "new", "what", "rule"),
    [
        ("hazards: [none-found]", "hazards: [radium]", "hazards", "K5"),
        ("aspect: material\n    says: It is so", "aspect: material\n    says: Ash", "words", "K4"),
        ("mark: {what: NEW 2026", "mark: {what: COPY 2026", "mark", "K9"),
        ("target: survey-1932", "target: survey-1934", "state", "K6"),
    ],
)
def test_what_only_a_card_can_tell(weighed, old, new, what, rule):
    text = part(claims(), f"{MARKED}\nhazards: [none-found]") + decision()
    signed = BASE + sign(weighed, TWO + text)
    assert old in signed
    findings, _, library = weighed(signed, bare=True)
    issue = issued(findings, library)
    findings, _, library = weighed(signed.replace(old, new), bare=True)
    latest = stand(findings, library, issue).latest
    assert latest.state == RECALL
    assert (what, rule) in {(m.what, m.matters.rule) for m in latest.moved if m.matters}


def test_a_register_whose_lines_were_altered_is_recalled(weighed):
    archive = found(weighed, SOUND)
    issue = replace(issued(*archive), step="trial")
    latest = stand(*archive, issue).latest
    assert latest.state == RECALL and [r.rule for r in latest.finding.reasons] == ["K10"]


def test_an_earlier_issue_is_superseded_and_a_withdrawn_card_says_so(weighed):
    archive = found(weighed, SOUND)
    both = issued(*archive), issued(*archive, number=2)
    first, second = stand(*archive, *both).issues
    assert (first.state, second.state) == (SUPERSEDED, UNCHANGED)
    gone = Withdrawal(by="HB", on=DAY, because="not wanted")
    latest = stand(*archive, both[0], withdrawn=gone).latest
    assert latest.state == WITHDRAWN and "not wanted" in latest.finding.reasons[0].says


def test_a_recall_says_that_metal_was_cut(weighed):
    before = found(weighed, SOUND)
    issue = issued(*before)
    after = found(weighed, part(claims()) + decision("leave-off"))
    latest = stand(*after, issue, cut=(Cut(by="LM", on=DAY, issue=1),)).latest
    assert latest.state == RECALL and latest.finding.reasons[-1].rule == "K12"
    assert "LM" in latest.finding.reasons[-1].says


def test_a_part_that_is_gone_recalls_its_card(weighed):
    archive = found(weighed, SOUND)
    issue = issued(*archive)
    findings, library = archive
    latest = stand(findings, replace(library, parts={}), issue).latest
    assert latest.state == RECALL


def test_the_difference_of_two_states_names_the_card(weighed):
    findings, library = found(weighed, SOUND)
    card = Card(id="0001", part="parts/chine", issues=(issued(findings, library),))
    library = replace(library, cards={"0001": card})

    def kept(found_):
        cards = card_standings(library, found_.claims, found_.decisions, found_.parts)
        return keep(library, found_.claims, found_.decisions, found_.parts, cards)

    after, _ = found(weighed, part(claims()) + decision("leave-off"))
    lines = [line for line in between(library, kept(findings), kept(after)) if line.what == "card"]
    assert [(line.before, line.after, line.matters.rule) for line in lines] == [
        (UNCHANGED, RECALL, "I8")
    ]


LATER = date(2027, 2, 1)
HELD = LookedAt(by="LM", on=LATER, against=2, says="it meets it")


def reprinted(weighed, **more):
    """A card cut by, then printed again because another mark was asked for; both its issues."""
    marked = part(claims(), MARKED) + decision()
    first = issued(*found(weighed, marked))
    after = found(weighed, marked.replace("NEW 2026", "COPY 2026"))
    return stand(*after, first, issued(*after, number=2), **more)


def test_a_sheet_that_was_superseded_is_called_back_until_its_return_is_noted(weighed):
    card = reprinted(weighed)
    assert card.state == UNCHANGED and card.calls
    (first,) = card.recalled
    assert (first.issue, first.state, first.out, first.pieces) == (1, SUPERSEDED, True, ())
    assert {"K9", "K11", "K13"} <= {r.rule for r in first.finding.reasons}
    assert not reprinted(weighed, returned=(Returned(by="LM", on=LATER, issue=1),)).calls
    assert not reprinted(weighed, withdrawn=Withdrawal(by="HB", on=DAY, because="no")).calls


def test_a_sheet_whose_lines_hold_is_not_called_back(weighed):
    archive = found(weighed, SOUND)
    card = stand(*archive, issued(*archive), issued(*archive, number=2))
    assert card.issues[0].state == SUPERSEDED and not card.calls


def test_a_piece_cut_from_an_earlier_issue_is_looked_at_again(weighed):
    cut = Cut(by="LM", on=DAY, issue=1)
    back = (Returned(by="LM", on=LATER, issue=1),)
    (first,) = reprinted(weighed, cut=(cut,), returned=back).recalled
    assert (first.out, first.pieces) == (False, ("LM, 2027-01-10",))
    assert "K12" in {r.rule for r in first.finding.reasons}
    gone = Withdrawal(by="HB", on=DAY, because="not wanted")
    assert reprinted(weighed, cut=(cut,), withdrawn=gone).calls, "the piece is still there"
    for more in (
        {"looked_at": HELD},
        {"scrapped": Scrapped(by="LM", on=LATER, because="too short")},
    ):
        assert not reprinted(weighed, cut=(replace(cut, **more),), returned=back).calls
    early = replace(HELD, against=1)
    assert reprinted(weighed, cut=(replace(cut, looked_at=early),), returned=back).calls


def test_a_piece_held_against_a_later_issue_is_called_again_with_that_one(weighed):
    before = found(weighed, SOUND)
    both = issued(*before), issued(*before, number=2)
    after = found(weighed, part(claims()) + decision("leave-off"))
    cut = Cut(by="LM", on=DAY, issue=1, looked_at=HELD)
    second, first = stand(*after, *both, cut=(cut,)).recalled
    assert (second.pieces, first.pieces) == (("LM, 2027-01-10",), ())
    wild = Cut(by="LM", on=DAY, issue=9)
    assert all(one.pieces for one in stand(*after, *both, cut=(wild,)).recalled)


def test_a_size_that_is_better_known_recalls_nothing(weighed):
    """The error shrinks into the tolerance, and the figure stands: the piece is as good as ever."""
    findings, library = found(weighed, SOUND)
    issue = issued(findings, library, "trial")
    loose = replace(
        issue,
        claims=tuple(
            replace(one, half95_mm=one.tolerance_mm * 2) if one.tolerance_mm else one
            for one in issue.claims
        ),
    )
    loose = replace(loose, code=code_of("0001", "parts/chine", loose))
    latest = stand(findings, library, loose).latest
    assert latest.state == CHANGED
    assert [line.matters for line in latest.moved if line.what == "size"] == [None]
    far = tuple(
        replace(one, value_mm=one.value_mm + 3 * one.tolerance_mm) if one.tolerance_mm else one
        for one in loose.claims
    )
    far = replace(loose, claims=far)
    far = replace(far, code=code_of("0001", "parts/chine", far))
    latest = stand(findings, library, far).latest
    assert latest.state == RECALL, "it moves by more than its tolerance, however well it is known"


def test_the_difference_of_two_states_names_an_earlier_sheet(weighed):
    marked = part(claims(), MARKED) + decision()
    before = found(weighed, marked)
    issue = issued(*before)
    after = found(weighed, marked.replace("NEW 2026", "COPY 2026"))
    card = Card(id="0001", part="parts/chine", issues=(issue, issued(*before, number=2)))

    def kept(findings, library):
        library = replace(library, cards={"0001": card})
        cards = card_standings(library, findings.claims, findings.decisions, findings.parts)
        return keep(library, findings.claims, findings.decisions, findings.parts, cards)

    lines = between(before[1], kept(*before), kept(*after))
    assert [(one.before, one.after) for one in lines if one.what == "card"] == [
        (UNCHANGED, RECALL),
        ("", "issue 1: recall"),
    ]
