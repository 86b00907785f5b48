"""A card is kept from the crew's site with its part, and tells of no sealed record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from cutting import TWO, claims, decision, sign
from small_records import part, source

from archive.audience.crew import crew_view
from archive.audience.public import public_view
from archive.reasoning.cards import drawn_from
from archive.reasoning.weigh import weigh
from archive.records.card import Card, code_of

DAY = date(2028, 1, 1)


@pytest.fixture
def issued(weighed):
    """A library with a card for its part, and a letter that speaks for the part too."""
    findings, _, library = weighed(
        sign(weighed, TWO + source("kept") + part(claims()) + decision())
    )
    drawn = replace(drawn_from(library, findings, library.parts["chine"], "cut"), issue=1, on=DAY)
    issue = replace(drawn, code=code_of("0001", "parts/chine", drawn))
    card = Card(id="0001", path="cards/0001.yaml", part="parts/chine", issues=(issue,))
    return replace(library, cards={"0001": card})


def view(library):
    return crew_view(library, weigh(library, DAY), (), {}, DAY)


def test_a_card_is_there_with_its_standing(issued):
    found = view(issued)
    assert found.findings.cards["cards/0001"].state == "unchanged"
    assert list(found.library.cards) == ["0001"]


def test_a_card_of_a_sealed_part_is_not_there(issued):
    sealed = replace(issued.parts["chine"], sealed=True)
    found = view(replace(issued, parts={"chine": sealed}))
    assert (dict(found.findings.cards), dict(found.library.cards)) == ({}, {})


def test_a_sealed_card_is_not_there(issued):
    found = view(replace(issued, cards={"0001": replace(issued.cards["0001"], sealed=True)}))
    assert (dict(found.findings.cards), dict(found.library.cards)) == ({}, {})


def test_a_recall_by_a_sealed_decision_stays_and_its_reason_is_not_told(issued):
    kept = replace(issued.decisions["it"], sealed=True, choice="leave-off")
    found = view(replace(issued, decisions={"it": kept}))
    latest = found.findings.cards["cards/0001"].latest
    assert latest.state == "recall"
    assert "decisions/it" not in repr(latest)


def test_the_public_sees_no_card(issued):
    found = public_view(issued, weigh(issued, DAY), {}, DAY)
    assert (dict(found.findings.cards), dict(found.library.cards)) == ({}, {})
