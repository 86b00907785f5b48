"""A cutting card on paper: tagged, on one sheet, with a square that an independent reader reads."""

from __future__ import annotations

import dataclasses
import io
import re
import shutil
import subprocess
from datetime import date
from html import unescape
from pathlib import Path

import cv2
import numpy
import pypdf
import pytest

from archive.audience.crew import crew_view
from archive.cli.card_paper import set_card
from archive.pipeline import weigh
from archive.reasoning.cards import drawn_from
from archive.records.card import CardDecision
from archive.site.card import pages
from archive.site.context import Context
from archive.site.pages import site_of
from archive.site.render import render
from archive.site.square import QUIET, holds, square
from archive.write.cards import issue_card

CONTENT = Path(__file__).parents[2] / "content"
DAY = date(2026, 11, 24)


@pytest.fixture(scope="module")
def made(tmp_path_factory, demo_cache):
    """A copy of the demo with one card for trial stock, weighed, and the card's REF."""
    folder = tmp_path_factory.mktemp("demo") / "content"
    shutil.copytree(CONTENT, folder, ignore=shutil.ignore_patterns("cards"))
    before = weigh(folder, demo_cache)
    part = before.library.parts["strut-front-port"]
    drawn = drawn_from(before.library, before.findings, part, "trial")
    card = issue_card(folder, part.ref, drawn, DAY, "JM")
    return weigh(folder, demo_cache), card.ref


@pytest.mark.parametrize("paper", ["a5", "a4"])
def test_the_card_is_one_tagged_sheet_with_words_for_its_pictures(made, paper):
    """ISO 14289-1:2014, 7.1 to 7.3, read by pypdf, which has no part in making the file."""
    reader = pypdf.PdfReader(io.BytesIO(set_card(*made, DAY, paper)))
    assert len(reader.pages) == 1
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en-GB" and root["/MarkInfo"]["/Marked"]
    assert reader.metadata.title.startswith("Cutting card 0001-1-")
    figures = [node for node in _structure(root["/StructTreeRoot"]) if node.get("/S") == "/Figure"]
    assert len(figures) >= 2 and all(str(node["/Alt"]).strip() for node in figures)
    kinds = {node.get("/S") for node in _structure(root["/StructTreeRoot"])}
    assert {"/Table", "/TH", "/TD", "/H1", "/H2"} <= kinds
    text = reader.pages[0].extract_text().replace("\u2044", "/")
    for words in ("0001", "Trial stock only", "HOLD", "58", " mm ± ", "page 1 of 1", "may fly"):
        assert words in text


def on_page(weighed, card) -> str:
    """The words of a card's page."""
    view = crew_view(weighed.library, weighed.findings, weighed.problems, weighed.images, DAY)
    context = Context(view, {}, site_of(view))
    page = next(page for page in pages(context) if page.path == f"cards/{card.id}.html")
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", render(page).decode())))


def closed_up(text: str) -> str:
    """Without blanks: where letters are kerned, readers of PDF differ over where one stands."""
    return re.sub(r"\s+", "", text)


def test_a_card_for_an_original_says_what_was_signed_and_nothing_of_making(demo_cache):
    """Page and paper say the same: nothing is cut to a size, and nothing new is marked."""
    weighed = weigh(CONTENT, demo_cache)
    (card,) = (one for one in weighed.library.cards.values() if one.part == "parts/fin-frame")
    reader = pypdf.PdfReader(io.BytesIO(set_card(weighed, card.ref, DAY, "a5")))
    assert len(reader.pages) == 1
    for text in (closed_up(reader.pages[0].extract_text()), closed_up(on_page(weighed, card))):
        for words in (
            "traighten", "about 2 g; kept at envelope 061-a", "It can't be undone.",
            "No sanding and no heat", "OW, owner, 6 April 2026", "Nothing but this.",
            "Before you begin", "worked on by this card",
        ):  # fmt: skip
            assert closed_up(words) in text, words
        for words in ("Mark it", "Cut to", "Hold to", "As made", "Before you cut"):
            assert closed_up(words).lower() not in text.lower(), words


def test_page_and_paper_ask_the_same_of_whoever_makes_it(made):
    """The edge a size is measured from, or that nobody said; another material; provisionally."""
    weighed, ref = made
    card = weighed.library.cards[ref.partition("/")[2]]
    issue = dataclasses.replace(
        card.issues[0],
        step="cut",
        decisions=(CardDecision(decision="it", choice="build-provisionally"),),
    )
    provisional = dataclasses.replace(card, issues=(issue,))
    library = dataclasses.replace(weighed.library, cards={card.id: provisional})
    weighed = dataclasses.replace(weighed, library=library)
    paper = pypdf.PdfReader(io.BytesIO(set_card(weighed, ref, DAY, "a5"))).pages[0].extract_text()
    for text in (closed_up(paper), closed_up(on_page(weighed, provisional))):
        for words in (
            "Measure from the centre of the lower pin", "measured from: not said",
            "another material was used", "Built provisionally, by a signed decision",
        ):  # fmt: skip
            assert closed_up(words).lower() in text.lower(), words


def _structure(node):
    yield node
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        kid = kid.get_object() if hasattr(kid, "get_object") else kid
        if isinstance(kid, dict):
            yield from _structure(kid)


def test_the_printed_square_is_read_back_from_the_page(made, tmp_path):
    """Outside check: OpenCV's QR decoder, on the page as poppler draws it at 200 dots an inch."""
    weighed, ref = made
    sheet = tmp_path / "card.pdf"
    sheet.write_bytes(set_card(weighed, ref, DAY, "a5"))
    drawn = ["pdftoppm", "-r", "200", "-png", "-singlefile", str(sheet), str(tmp_path / "card")]
    subprocess.run(drawn, check=True)
    text, *_ = cv2.QRCodeDetector().detectAndDecode(cv2.imread(str(tmp_path / "card.png")))
    assert text == weighed.findings.cards[ref].latest.printed


@pytest.mark.parametrize(
    ("address", "told"),
    [
        ("", "0031-2-K7M4QX2H"),
        ("https://hollin.example", "https://hollin.example/parts/a.html#_0031-2-K7M4QX2H"),
        ("http://bench:8000/crew/", "http://bench:8000/crew/parts/a.html#_0031-2-K7M4QX2H"),
    ],
)
def test_the_square_holds_the_code_or_the_way_to_it(address, told):
    """Outside check: OpenCV's QR decoder. A stick has no address for a telephone to go to."""
    text = holds(address, "parts/a.html", "0031-2-K7M4QX2H")
    assert text == told
    path, side = square(text)
    picture = numpy.full((side, side), 255, numpy.uint8)
    for run in path.split("M")[1:]:
        x, rest = run.split(" ")
        y, width = rest.split("h")[0], rest.split("h")[1].split("v")[0]
        picture[int(y), int(x) : int(x) + int(width)] = 0
    assert (picture[:QUIET] == 255).all() and (picture[:, -QUIET:] == 255).all()
    large = cv2.resize(picture, None, fx=8, fy=8, interpolation=cv2.INTER_NEAREST)
    assert cv2.QRCodeDetector().detectAndDecode(large)[0] == told


def test_a_card_of_very_many_sizes_goes_on_over_pages_that_are_counted(made):
    weighed, ref = made
    card = weighed.library.cards[ref.partition("/")[2]]
    issue = card.issues[0]
    long = "The edge of the fairing, from the after face of the boss to the chamfer, " * 3
    many = tuple(
        dataclasses.replace(issue.claims[0], claim=f"size-{n}", says=long, leave="1/2 in")
        for n in range(40)
    )
    larger = dataclasses.replace(card, issues=(dataclasses.replace(issue, claims=many),))
    library = dataclasses.replace(weighed.library, cards={card.id: larger})
    reader = pypdf.PdfReader(
        io.BytesIO(set_card(dataclasses.replace(weighed, library=library), ref, DAY, "a5"))
    )
    pages = [page.extract_text() for page in reader.pages]
    assert len(pages) > 2
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text and "0001-1-" in text
    assert all("Hold to" in text for text in pages[:3]), "the table's head stands on every page"
    assert "N2" in "".join(pages), "after Z comes A2"
