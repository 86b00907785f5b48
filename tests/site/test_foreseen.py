"""What would lift, what falls, what holds and what has moved, as the pages tell it."""

from __future__ import annotations

import dataclasses

import pytest
from site_sample import pictures_of

from archive.audience.view import View
from archive.site.pages import pages
from archive.site.render import render


def told(view: View) -> dict[str, str]:
    """Path → HTML of every page."""
    return {page.path: render(page).decode() for page in pages(view, pictures_of(view))}


@pytest.fixture(scope="module")
def html(view: View) -> dict[str, str]:
    return told(view)


def test_a_claim_says_what_would_lift_it_with_its_rule(html: dict[str, str]) -> None:
    text = html["parts/strut.html"]
    assert "What would lift it" in text and "grades.html#L" in text


def test_a_source_and_a_photograph_say_what_falls_with_them(html: dict[str, str]) -> None:
    text = html["sources/letter.html"]
    assert "If this falls" in text and "1 claim falls." in text
    assert "parts/strut.html#length" in text.partition("If this falls")[2]
    assert "If this falls" in html["photos/slipway.html"]
    assert "If this falls" not in html["photos/second.html"]


def test_what_holds_what_is_there_and_is_found(html: dict[str, str]) -> None:
    text = html["what-holds-what.html"]
    assert "Which bay does the letter mean?" in text
    assert "sources/letter.html" in text
    assert "what-holds-what.html" in html["index.html"]
    assert "what-holds-what.html" in html["everything.html"]


def test_what_has_moved_since_a_state_is_there(html: dict[str, str]) -> None:
    text = html["what-has-moved.html"]
    assert "From spring to today" in text and "Kept on 1 April 2026" in text
    assert "cut for display" in text and '<strong class="pencil">hold</strong>' in text
    assert "what-has-moved.html" in html["index.html"]


def test_without_a_state_there_is_no_page_and_no_link(view: View) -> None:
    bare = dataclasses.replace(view, foreseen=dataclasses.replace(view.foreseen, changes=()))
    found = told(bare)
    assert "what-has-moved.html" not in found
    assert not any("what-has-moved" in text for text in found.values())


def test_the_public_sees_none_of_it(view: View) -> None:
    found = told(dataclasses.replace(view, audience="public"))
    assert "what-holds-what.html" not in found and "what-has-moved.html" not in found
    for path, text in found.items():
        assert "If this falls" not in text or path.startswith("how/"), path


def test_what_was_not_worked_out_names_the_command(view: View) -> None:
    left = {ref: f for ref, f in view.foreseen.falls.items() if ref != "sources/letter"}
    some = dataclasses.replace(view.foreseen, falls=left, untried=3)
    found = told(dataclasses.replace(view, foreseen=some))
    assert "witnessmark impact sources/letter" in found["sources/letter.html"]
    assert "no other carries more than 3 claims" in found["what-holds-what.html"]
