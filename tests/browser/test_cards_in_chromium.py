"""At the bench, from a stick: does this card still hold, and what is to be fetched back."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from site_sample import drawn, pictures_of

from archive.audience.crew import crew_view
from archive.pipeline import weigh
from archive.reasoning.cards import drawn_from
from archive.site.pages import pages
from archive.site.render import render, theme_files
from archive.write.cards import issue_card

pytestmark = pytest.mark.browser

CONTENT = Path(__file__).parents[2] / "content"
DAY = date(2026, 11, 25)
SHOWN = ("index.html", "cards.html", "cards/0001.html", "parts/camera-hatch.html",
         "decisions/camera-hatch.html")  # fmt: skip


def _site(folder: Path, out: Path, demo_cache: Path) -> Path:
    """The pages that these tests open, of a content folder, with pictures of the right size."""
    weighed = weigh(folder, demo_cache)
    view = crew_view(weighed.library, weighed.findings, weighed.problems, weighed.images, DAY)
    sets = pictures_of(view)
    made = {page.path: render(page) for page in pages(view, sets) if page.path in SHOWN}
    made |= {path: file.read_bytes() for path, file in theme_files()}
    for path, data in made.items():
        file = out / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(data)
    for one in sets.values():
        for size in one.sizes[:1]:
            (out / size.path).parent.mkdir(parents=True, exist_ok=True)
            drawn(out / size.path, 64, 48)
    return out


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory, demo_cache: Path) -> tuple[str, Path, Path]:
    """The card as printed; the site of that day; the site after its photograph was discredited."""
    place = tmp_path_factory.mktemp("bench")
    folder = place / "content"
    shutil.copytree(CONTENT, folder, ignore=shutil.ignore_patterns("cards"))
    before = weigh(folder, demo_cache)
    part = before.library.parts["camera-hatch"]
    leans_on = drawn_from(before.library, before.findings, part, "cut")
    issue_card(folder, part.ref, leans_on, DAY, "JM")
    sound = _site(folder, place / "sound", demo_cache)
    printed = weigh(folder, demo_cache).findings.cards["cards/0001"].latest
    assert printed is not None
    source = folder / "sources" / "print-hatch-belly.md"
    fallen = "discredited: {is: yes, by: RO, on: 2026-11-25, because: a later print of a model}\n"
    source.write_text(source.read_text("utf-8").replace("title:", f"{fallen}title:", 1), "utf-8")
    return printed.printed, sound, _site(folder, place / "fallen", demo_cache)


@contextmanager
def opened(chromium: Any, file: Path, width: int = 1280, **more: Any) -> Iterator[Any]:
    """A page in a fresh context, opened from the disk."""
    context = chromium.new_context(viewport={"width": width, "height": 800}, **more)
    page = context.new_page()
    page.goto(file.as_uri())
    try:
        yield page
    finally:
        context.close()


def _typed(page: Any, text: str) -> str:
    page.get_by_label("Number, issue").fill(text)
    page.keyboard.press("Enter")
    return str(page.locator("[data-answer]").inner_text())


@pytest.mark.parametrize(
    "mangle",
    [
        str,
        str.lower,
        lambda text: text.replace("-", ""),
        lambda text: text.replace("0", "o").replace("1", "l"),
        lambda text: text.replace("0001", " 1 "),
    ],
)
def test_a_card_that_holds_is_unchanged_however_it_is_typed(
    chromium: Any, bench: tuple[str, Path, Path], mangle: Callable[[str], str]
) -> None:
    printed, sound, _ = bench
    with opened(chromium, sound / "cards.html") as page:
        answer = _typed(page, mangle(printed))
        assert printed in answer and "unchanged" in answer and "Camera hatch" in answer


def test_after_its_source_fell_it_is_recalled_with_all_that_moved(
    chromium: Any, bench: tuple[str, Path, Path]
) -> None:
    printed, sound, fallen = bench
    with opened(chromium, sound / "index.html") as page:
        assert page.locator(".recalls").count() == 0
    with opened(chromium, fallen / "index.html") as page:
        recalls = page.locator(".recalls")
        assert printed in recalls.inner_text() and "Camera hatch" in recalls.inner_text()
        pencil = recalls.locator(".pencil").first
        assert pencil.inner_text().lower() == "recall"
        red = page.evaluate("getComputedStyle(document.querySelector('.recalls .pencil')).color")
        assert red == "rgb(163, 33, 27)", "red pencil, and nothing else on the page is"
        tall = "Array.from(document.querySelectorAll('.recalls a'), a => a.clientHeight)"
        assert min(page.evaluate(tall)) >= 48, "gloves"
        recalls.get_by_role("link", name="What moved").click()
        text = page.locator("main").inner_text().lower()
        for words in ("grade", "held now", "reopened"):
            assert words in text, words
        assert page.url.endswith("cards/0001.html")
    with opened(chromium, fallen / "cards.html") as page:
        answer = _typed(page, printed)
        assert "recall" in answer.lower() and "→" in answer
    with opened(chromium, fallen / "parts/camera-hatch.html") as page:
        assert printed in page.locator("#_cards + .briefs").inner_text()


def test_a_signed_decision_is_reopened(chromium: Any, bench: tuple[str, Path, Path]) -> None:
    _, sound, fallen = bench
    with opened(chromium, sound / "decisions/camera-hatch.html") as page:
        assert "reopened" not in page.locator("header").inner_text()
    with opened(chromium, fallen / "decisions/camera-hatch.html") as page:
        assert "reopened" in page.locator("header").inner_text()
    with opened(chromium, fallen / "index.html") as page:
        assert "reopened" in page.locator("#_moved + .due").inner_text()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0001-1-00000000", "These aren't the letters of card 0001, issue 1."),
        ("0031-2-K7M4QX2H", "These pages don't know this card."),
        ("0031-2-U7M4QX2H", "This is no number of a card"),
        ("what", "This is no number of a card"),
        ("", "This is no number of a card"),
    ],
)
def test_anything_else_is_told_and_says_not_to_cut(
    chromium: Any, bench: tuple[str, Path, Path], text: str, says: str
) -> None:
    with opened(chromium, bench[1] / "cards.html") as page:
        assert says in _typed(page, text)


def test_the_address_of_a_square_asks_at_once(chromium: Any, bench: tuple[str, Path, Path]) -> None:
    printed, sound, _ = bench
    with opened(chromium, sound / "cards.html") as page:
        page.goto(f"{(sound / 'cards.html').as_uri()}?card={printed}")
        assert "unchanged" in page.locator("[data-answer]").inner_text()
        page.goto(f"{(sound / 'parts/camera-hatch.html').as_uri()}#_{printed}")
        assert page.locator(":target").inner_text().startswith(printed)


def test_without_a_script_the_list_answers(chromium: Any, bench: tuple[str, Path, Path]) -> None:
    printed, sound, _ = bench
    with opened(chromium, sound / "cards.html", java_script_enabled=False) as page:
        assert not page.locator("form").is_visible()
        assert printed in page.locator(".card-line").inner_text()
        assert page.get_by_text("Look the card up in the list").is_visible()


@pytest.mark.parametrize("path", ["cards.html", "cards/0001.html", "index.html"])
@pytest.mark.parametrize("width", [320, 360, 820, 1440])
def test_it_fits_and_is_pressed_with_gloves(
    chromium: Any, bench: tuple[str, Path, Path], path: str, width: int
) -> None:
    with opened(chromium, bench[2] / path, width) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        for control in page.locator(".card-check input, .card-check button").all():
            assert control.bounding_box()["height"] >= 48


@pytest.mark.parametrize("path", ["cards.html", "cards/0001.html", "index.html"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(
    chromium: Any, bench: tuple[str, Path, Path], path: str, scheme: str
) -> None:
    """WCAG 2 A and AA and good practice, as axe-core checks them."""
    axe = str(files("axe_core_python") / "axe.min.js")
    with opened(chromium, bench[2] / path, bypass_csp=True, color_scheme=scheme) as page:
        page.add_script_tag(path=axe)
        found = page.evaluate(
            "rules => axe.run({runOnly: rules})",
            ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
        )
        assert [
            v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")
        ] == []


@pytest.mark.parametrize(("paper", "sheets"), [("A4", 1), ("Letter", 1), ("A5", 2)])
def test_the_page_prints_on_one_sheet_or_two_small_ones(
    chromium: Any, bench: tuple[str, Path, Path], paper: str, sheets: int
) -> None:
    """Read by pypdf: one page, with the card on it and none of the site's ways."""
    import io

    import pypdf

    with opened(chromium, bench[1] / "cards/0001.html") as page:
        reader = pypdf.PdfReader(io.BytesIO(page.pdf(format=paper)))
    assert len(reader.pages) <= sheets
    text = " ".join(page.extract_text() for page in reader.pages)
    assert "0001" in text and "100 mm" in text and "All pages" not in text
