"""A measurement's page: the size with its error and terms, or why there is none."""

from __future__ import annotations

import dataclasses

import pytest
from site_sample import pictures_of

from archive.audience.view import View
from archive.site.measurement import ResultShown
from archive.site.page import Page
from archive.site.pages import pages
from archive.site.render import render

PATH = "measurements/strut-slipway.html"


def page_of(view: View) -> Page:
    return next(page for page in pages(view, pictures_of(view)) if page.path == PATH)


@pytest.fixture(scope="module")
def page(view: View) -> Page:
    return page_of(view)


def result_of(page: Page) -> ResultShown:
    return page.data.result  # type: ignore[attr-defined, no-any-return]


def test_the_size_and_what_its_error_is_made_of(view: View, page: Page) -> None:
    found = view.findings.measurements["measurements/strut-slipway"]
    shown = result_of(page)
    assert found.value_mm is not None and shown.size and "±" in shown.size
    assert shown.budget[0].name == found.dominates
    shares = [float(term.width) for term in shown.budget]
    assert shares == sorted(shares, reverse=True) and 97 < sum(shares) < 101
    text = render(page).decode()
    assert "What the error is made of" in text and 'class="share"' in text
    assert shown.would_halve in text


def test_the_measured_length_is_drawn_on_the_picture(page: Page) -> None:
    text = render(page).decode()
    assert text.count("<line ") == 2
    assert text.count('class="pick-number"') == 2


def test_a_refusal_is_a_sentence_and_no_number(view: View) -> None:
    name = "measurements/strut-slipway"
    refused = dataclasses.replace(
        view.findings.measurements[name],
        value_mm=None, u_mm=None, half95_mm=None, budget=(), refused="It is a halftone.",
        way_out="Find the print.",
    )  # fmt: skip
    findings = dataclasses.replace(view.findings, measurements={name: refused})
    page = page_of(dataclasses.replace(view, findings=findings))
    text = render(page).decode()
    assert "No size." in text and "It is a halftone." in text and "Find the print." in text
    assert "±" not in text.split("What is measured")[1].split("Picks")[0]
