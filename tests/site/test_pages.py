"""The pages of a small site: each is there, says what it must, and leads nowhere wrong."""

from __future__ import annotations

import dataclasses
import os
import pickle
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from site_sample import pictures_of

from archive.audience.view import View
from archive.search.documents import numbered
from archive.site.addresses import RIGHTS_TABLE
from archive.site.documents import documents
from archive.site.page import Page
from archive.site.pages import pages
from archive.site.part import PartShown
from archive.site.render import render, shop, theme_dir, theme_files

GOLDEN = Path(__file__).parent / "golden"


@pytest.fixture(scope="module")
def site(view: View) -> dict[str, Page]:
    return {page.path: page for page in pages(view, pictures_of(view))}


@pytest.fixture(scope="module")
def html(site: dict[str, Page]) -> dict[str, str]:
    return {path: render(page).decode() for path, page in site.items()}


class Parts(HTMLParser):
    """Ids, links and tags of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: list[str] = []
        self.styles: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name == "id" and value:
                self.ids.append(value)
            if name in ("href", "src") and value is not None:
                self.links.append(value)
            if name == "style" or name.startswith("on"):
                self.styles.append(f"{tag} {name}")


def test_every_record_has_its_page(view: View, site: dict[str, Page]) -> None:
    for kind in (
        "parts",
        "photos",
        "sources",
        "decisions",
        "questions",
        "measurements",
        "surveys",
        "stories",
        "zones",
    ):
        for id_ in view.library.of_kind(kind):
            assert f"{kind}/{id_}.html" in site


def test_every_link_within_the_site_arrives(html: dict[str, str]) -> None:
    ids = {path: set(Parts(text).ids) for path, text in html.items()}
    shipped = {path for path, _ in theme_files()}
    ids[RIGHTS_TABLE] = set()
    for path, text in html.items():
        base = Path(path).parent
        for link in Parts(text).links:
            if re.match(r"https?:|data:", link):
                continue
            target, _, anchor = link.partition("#")
            found = os.path.normpath(base / target) if target else path
            if found.startswith(("pictures", "theme")):
                assert found.startswith("pictures") or found in shipped, link
                continue
            assert found in ids, f"{path}: {link}"
            assert not anchor or anchor in ids[found], f"{path}: {link}"


def test_no_id_stands_twice_on_a_page(html: dict[str, str]) -> None:
    for path, text in html.items():
        found = Parts(text).ids
        assert len(found) == len(set(found)), path


def test_every_page_keeps_the_policy(html: dict[str, str]) -> None:
    policy = (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        "font-src 'self'; base-uri 'none'; form-action 'none'"
    )
    for path, text in html.items():
        assert f'content="{policy}"' in text
        found = Parts(text)
        assert found.styles == [], path
        assert "style" not in found.tags
        assert not re.search(r"<script(?![^>]*\ssrc=)", text), path
        assert re.search(r'<html lang="[a-zA-Z-]+">', text)


def test_pages_are_plain_values_that_another_process_may_render(site: dict[str, Page]) -> None:
    for page in site.values():
        again = pickle.loads(pickle.dumps(page))
        assert again == page
        assert render(again) == render(page)


def test_a_part_answers_five_questions(site: dict[str, Page], html: dict[str, str]) -> None:
    shown = site["parts/strut.html"].data
    assert isinstance(shown, PartShown)
    five = shown.five
    assert (five.big, five.error) == ("58 1/2 in", "1/4 in")
    assert five.other == "1485.9 mm ± 6.4 mm"
    assert five.sure is not None and five.sure.words == "seen"
    assert "fragment survives" in five.what
    assert five.held.startswith("Trial stock")
    text = html["parts/strut.html"]
    for question in ("What", "How big", "How sure", "Why", "May I cut"):
        assert f'<h2 class="label">{question}</h2>' in text


def test_rivals_stand_side_by_side(site: dict[str, Page]) -> None:
    shown = site["parts/strut.html"].data
    assert isinstance(shown, PartShown)
    size = next(aspect for aspect in shown.aspects if aspect.name == "size")
    assert [[claim.id for claim in bench.claims] for bench in size.benches] == [
        ["length", "longer"]
    ]


def test_a_note_cannot_smuggle_a_script(html: dict[str, str]) -> None:
    assert "alert(1)" not in html["parts/strut.html"]
    assert 'rel="noopener noreferrer" href="https://example.org/"' in html["parts/strut.html"]


def test_a_photograph_is_not_drawn_on_in_public_unless_its_rights_say_so(view: View) -> None:
    public = dataclasses.replace(view, audience="public")
    made = {page.path: page for page in pages(public, pictures_of(view))}
    text = render(made["photos/slipway.html"]).decode()
    assert "<polygon" not in text and 'id="_flip"' not in text
    assert (
        "<polygon"
        in render(
            next(
                page
                for page in pages(view, pictures_of(view))
                if page.path == "photos/slipway.html"
            )
        ).decode()
    )


def test_without_pictures_pages_are_still_there(view: View) -> None:
    for page in pages(view, {}):
        assert b"<img" not in render(page)


def test_every_document_leads_to_a_page_and_anchor_that_exist(
    view: View, html: dict[str, str]
) -> None:
    found = numbered(documents(view))
    assert {"part", "claim", "photograph", "source", "decision", "question"} <= {
        d.kind for d in found
    }
    for document in found:
        page, _, anchor = document.url.partition("#")
        assert page in html, document.ref
        assert not anchor or anchor in Parts(html[page]).ids, document.ref


def test_the_same_view_gives_the_same_bytes(view: View, html: dict[str, str]) -> None:
    for page in pages(view, pictures_of(view)):
        assert render(page).decode() == html[page.path]


def test_fractions_and_marks_are_set_as_one_group() -> None:
    assert str(shop("7 1/4 in ± 1/8 in")) == (
        '<span class="nb">7 <span class="fr">1/4</span> in</span> ±\N{NO-BREAK SPACE}'
        '<span class="nb"><span class="fr">1/8</span> in</span>'
    )
    assert str(shop("QK-41 <b>")) == '<span class="nb">QK-41</span> &lt;b&gt;'
    for left in ("1932-05/1933-08", "12/5/1932", "a/2", "page 3/7"):
        assert str(shop(left)) == left


def test_the_theme_is_where_templates_are_looked_for() -> None:
    assert (theme_dir() / "base.html").is_file()
    assert {"theme/styles/settings.css", "theme/scripts/site.js", "theme/fonts/jost-OFL.txt"} <= {
        path for path, _ in theme_files()
    }


@pytest.mark.parametrize("path", ["questions/which-bay.html", "zones/500.html", "people.html"])
def test_small_pages_read_as_they_were_agreed(html: dict[str, str], path: str) -> None:
    """The words of a page, compared with those kept beside this test.

    WITNESSMARK_GOLDEN=write writes them anew; look at the difference before you keep it.
    """
    main = html[path].split("<main", 1)[1].split("</main>")[0].partition(">")[2]
    text = re.sub(r"\n\s*", "\n", re.sub(r"<[^>]+>", "\n", main)).strip() + "\n"
    kept = GOLDEN / (path.replace("/", "-").removesuffix(".html") + ".txt")
    if os.environ.get("WITNESSMARK_GOLDEN") == "write":
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(text, encoding="utf-8")
    assert text == kept.read_text(encoding="utf-8")
