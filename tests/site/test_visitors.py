"""The visitors' edition: its words in every language, its labels, its weight, its policy."""

from __future__ import annotations

import os
import re
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hostile import PAYLOADS, Watch, spoilt_library
from site_sample import pictures_of

from archive.audience.public import public_view
from archive.audience.view import View
from archive.core.label_words import WORDS, overclaims
from archive.core.originality import KINDS, OFF
from archive.core.theme import theme_dir
from archive.core.verdicts import GRADES
from archive.pipeline import Weighed, originality, weigh
from archive.site.pages import site_of, site_pages
from archive.site.render import render, theme_files
from archive.site.square import square
from archive.site.visitors.catalogue import words_in
from archive.site.visitors.edition import Edition
from archive.site.visitors.parts import SLUGS

CONTENT = Path(__file__).parents[2] / "content"
FOLDER = theme_dir("visitors") / "words"
DAY = date(2027, 6, 1)


@pytest.fixture(scope="module")
def weighed() -> Weighed:
    return weigh(CONTENT, compare=0)


@pytest.fixture(scope="module")
def view(weighed) -> View:
    return public_view(weighed.library, weighed.findings, weighed.images, DAY, originality(weighed))


@pytest.fixture(scope="module")
def html(view) -> dict[str, str]:
    return {page.path: render(page).decode() for page in site_pages(view, pictures_of(view))}


class Page(HTMLParser):
    """Ids, links, pictures and languages of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.sources: list[str] = []
        self.alts: list[str | None] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if given.get("id"):
            self.ids.append(str(given["id"]))
        for name in ("href", "src"):
            if given.get(name) is not None:
                (self.sources if name == "src" else self.links).append(str(given[name]))
        if tag == "img":
            self.alts.append(given.get("alt"))
        if given.get("srcset"):
            self.sources += [one.split()[0] for one in str(given["srcset"]).split(", ")]


def test_every_language_has_every_word():
    home = words_in(FOLDER, "en").texts
    for file in FOLDER.glob("*.yaml"):
        other = words_in(FOLDER, file.stem)
        assert set(other.texts) == set(home)
        for key, text in home.items():
            asked = set(re.findall(r"{\w+}", text))
            assert set(re.findall(r"{\w+}", other.texts[key])) == asked, f"{file.stem} {key}"
        same = [key for key, text in home.items() if other.texts[key] == text]
        assert file.stem == "en" or len(same) < 0.2 * len(home), same


def test_every_kind_and_choice_has_its_words():
    words = words_in(FOLDER, "en").texts
    assert set(SLUGS) == {*KINDS, *OFF}
    assert all(f"kinds.{slug}" in words for slug in SLUGS.values())
    from archive.records.decision import CHOICES

    assert all(f"choices.{choice}" in words for choice in CHOICES)
    assert all(f"grade.{grade.rpartition(' ')[2]}" in words for grade in GRADES)


def test_every_link_and_picture_arrives_in_every_language(html, view):
    ids = {path: set(Page(text).ids) for path, text in html.items()}
    shipped = {path for path, _ in theme_files("visitors")}
    pictures = {size.path for one in pictures_of(view).values() for size in one.sizes}
    for path, text in html.items():
        page = Page(text)
        assert len(page.ids) == len(set(page.ids)), path
        for link in (*page.links, *page.sources):
            if link.startswith("data:"):
                continue
            assert not re.match(r"[a-z]+:|//", link), f"{path}: {link}"
            target, _, anchor = link.partition("#")
            found = os.path.normpath(Path(path).parent / target) if target else path
            if found in ids:
                assert not anchor or anchor in ids[found], f"{path}: {link}"
            else:
                assert found in shipped | pictures, f"{path}: {link}"


def test_every_picture_has_words_and_every_page_the_policy(html):
    for path, text in html.items():
        assert all(Page(text).alts), path
        assert text.count('http-equiv="Content-Security-Policy"') == 1
        assert "default-src 'none'; script-src 'self'" in text and "unsafe" not in text


def test_a_page_weighs_no_more_than_500_kb_before_its_pictures(html):
    """Page, styles, scripts and fonts together, as a reader's first page loads them."""
    theme = sum(file.stat().st_size for _, file in theme_files("visitors"))
    assert max(len(text.encode()) for text in html.values()) + theme <= 500_000


def test_the_demo_shows_what_it_may_and_nothing_else(html, view):
    assert "photos/moored-side.html" in html and "de/photos/moored-side.html" in html
    for gone in ("slipway-1932", "unknown-airframe", "works-apron-flipped", "doc-permission"):
        assert f"photos/{gone}.html" not in html
    whole = "\n".join(html.values())
    for word in ("slipway-1932", "interview", "Jon Myhre", "Oda Wiik", "S-12", "D-10"):
        assert word not in whole, word
    assert "Hanne Brekk" in whole
    assert not re.search(r"\b[0-9A-Z]{6}\b(?=,? (?:evidence|state))", whole)


def test_a_language_falls_back_and_says_so(html):
    german = html["de/parts/propeller.html"]
    assert '<html lang="de">' in german and 'lang="en-GB"' in german
    assert "Woher wir es wissen" in german
    assert "Was wir nicht wissen" in html["de/stories/what-we-do-not-know.html"]


def test_no_bare_percentage_is_printed(html):
    assert not re.search(
        r"\d\s*(?:%|per ?cent|Prozent)", re.sub(r"<[^>]+>", "", "\n".join(html.values()))
    )


@pytest.mark.parametrize("payload", [" ".join(PAYLOADS[:3]), PAYLOADS[4]])
def test_no_words_of_a_record_do_anything(view, payload):
    spoilt = View(
        "public", DAY, spoilt_library(view.library, payload), view.findings, (), view.images,
        rights=view.rights, terms=view.terms, originality=view.originality,
    )  # fmt: skip
    for page in site_pages(spoilt, pictures_of(view)):
        watch = Watch()
        watch.feed(render(page).decode())
        assert watch.found == [], page.path


@pytest.mark.parametrize(
    ("text", "grade", "wrong"),
    [
        ("It was exactly two feet long.", "on the airframe", 0),
        ("It was exactly two feet long.", "matched", 1),
        ("Measured from photographs of 1932.", "corroborated", 0),
        ("Measured from photographs of 1932.", "seen", 1),
        ("Measured on a photograph.", "seen", 0),
        ("Measured on a photograph.", "said", 2 + 1),
        ("It is said to have been red.", "said", 0),
        ("It was red.", "said", 1),
        ("It was red.", "conjecture", 1),
        ("Our best guess.", "conjecture", 0),
        ("Nobody ever photographed it; our guess.", "conjecture", 0),
        ("No photograph shows it; a letter says so.", "said", 0),
    ],
)
def test_a_label_says_no_more_than_its_grade(text, grade, wrong):
    assert len(list(overclaims(text, grade, "en-GB"))) == wrong


def test_each_grade_has_its_words_in_each_language():
    german = WORDS["de"]
    assert list(overclaims("Es war genau zwei Fuß lang.", "seen", "de"))
    assert not list(overclaims("Niemand hat es fotografiert; geraten.", "conjecture", "de"))
    assert list(overclaims("Es war rot.", "said", "de")) and german.no
    assert not list(overclaims("Il était exactement rouge.", "said", "fr"))


def test_the_wording_on_the_pages_follows_the_grade(html, view):
    """Every claim's sentence is the one for its grade, in the words of the catalogue."""
    words = words_in(FOLDER, "en")
    for ref, graded in view.findings.claims.items():
        page = html[f"parts/{ref.partition('/')[2].partition('#')[0]}.html"]
        line = graded.grade.rpartition(" ")[2]
        if line in ("airframe", "matched", "said", "conjecture"):
            assert words(f"wording.{line}").replace("'", "&#39;") in page


def test_a_code_on_a_label_leads_to_its_page():
    """ISO/IEC 18004 as OpenCV's detector, an independent reader, takes it."""
    import cv2
    import numpy as np

    address = "https://hollin-water-museum.example/qk-41/parts/rudder.html"
    path, side = square(address)
    picture = np.full((side * 8, side * 8), 255, np.uint8)
    for x, y, run in re.findall(r"M(\d+) (\d+)h(\d+)v1", path):
        picture[int(y) * 8 : int(y) * 8 + 8, int(x) * 8 : (int(x) + int(run)) * 8] = 0
    assert cv2.QRCodeDetector().detectAndDecode(picture)[0] == address


def test_the_sheet_of_labels_counts_words(html):
    assert html["labels.html"].count('class="qr"') >= 6
    assert re.search(r"\d+ words\.", html["labels.html"])
    assert site_of and Edition
