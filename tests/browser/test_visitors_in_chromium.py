"""The visitors' edition in a browser: it stays at home, fits the kiosk and the phone, and returns
to the start; and nothing that stands in a record runs."""

from __future__ import annotations

import functools
import random
import threading
from collections.abc import Iterator
from datetime import date
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from itertools import cycle
from pathlib import Path
from typing import Any

import pytest
from browsing import opened
from hostile import spoilt_library
from payloads import RUN, bundles
from site_sample import drawn, pictures_of

from archive.audience.public import public_view
from archive.audience.view import View
from archive.pipeline import originality, weigh
from archive.site.pages import site_pages
from archive.site.render import render, theme_files

pytestmark = pytest.mark.browser

CONTENT = Path(__file__).parents[2] / "content"
KINDS = [
    "index.html", "parts.html", "parts/windscreen-front.html", "parts/float-port.html",
    "photos/moored-side.html", "photographs.html", "stories/a-longer-post.html", "real.html",
    "time.html", "choices.html", "questions.html", "papers.html", "credits.html", "method.html",
    "labels.html", "kiosk.html", "de/index.html", "de/parts/float-port.html",
]  # fmt: skip


@pytest.fixture(scope="module")
def view() -> View:
    weighed = weigh(CONTENT, compare=0)
    return public_view(
        weighed.library, weighed.findings, weighed.images, date(2027, 6, 1), originality(weighed)
    )


def put(view: View, out: Path) -> Path:
    """The edition of a view on the disk, with a plain picture for each that it names."""
    sets = pictures_of(view)
    made = {page.path: render(page) for page in site_pages(view, sets)}
    made |= {path: file.read_bytes() for path, file in theme_files("visitors")}
    for path, data in made.items():
        (out / path).parent.mkdir(parents=True, exist_ok=True)
        (out / path).write_bytes(data)
    for one in sets.values():
        for path in one.files:
            (out / path).parent.mkdir(parents=True, exist_ok=True)
            drawn(out / path, 256, 170)
    return out


@pytest.fixture(scope="module")
def edition(view, tmp_path_factory) -> Path:
    return put(view, tmp_path_factory.mktemp("edition"))


def test_pages_stay_at_home_without_complaint(chromium: Any, edition: Path) -> None:
    with opened(chromium, edition / KINDS[0]) as page:
        for path in KINDS:
            page.goto((edition / path).as_uri())
            page.wait_for_load_state("load")
            page.wait_for_timeout(60)  # for what a script might ask for afterwards
            assert page.trouble == [], path


@pytest.mark.parametrize("width", [320, 820, 1920])
def test_nothing_scrolls_sideways(chromium: Any, edition: Path, width: int) -> None:
    with opened(chromium, edition / KINDS[0], width) as page:
        for path in KINDS:
            page.goto((edition / path).as_uri())
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path


@pytest.mark.parametrize("path", KINDS[:15])
def test_axe_finds_nothing_serious(chromium: Any, edition: Path, path: str) -> None:
    """WCAG 2.2 A and AA and good practice, as axe-core checks them."""
    axe = str(files("axe_core_python") / "axe.min.js")
    with opened(chromium, edition / path, bypass_csp=True) as page:
        page.add_script_tag(path=axe)
        found = page.evaluate(
            "rules => axe.run({runOnly: rules})",
            ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
        )
    told = [
        (one["id"], [node["html"][:200] for node in one["nodes"]])
        for one in found["violations"]
        if one["impact"] in ("serious", "critical", "moderate")
    ]
    assert told == []


def test_what_is_pressed_is_large(chromium: Any, edition: Path) -> None:
    with opened(chromium, edition / "index.html", 1920) as page:
        sizes = page.evaluate(
            "Array.from(document.querySelectorAll('.head a, .head button, .card, .foot a'))"
            ".map(one => one.getBoundingClientRect().height).filter(height => height > 0)"
        )
    assert sizes and min(sizes) >= 48


def test_two_reading_levels_and_both_without_a_script(chromium: Any, edition: Path) -> None:
    story = edition / "stories" / "a-longer-post.html"
    with opened(chromium, story) as page:
        assert page.locator(".prose").is_visible() and not page.locator(".plain").is_visible()
        page.click("button[data-level=plain]")
        assert page.locator(".plain").is_visible() and not page.locator(".prose").is_visible()
        page.goto((edition / "stories" / "what-we-do-not-know.html").as_uri())
        assert page.locator(".plain").is_visible()
        assert page.locator("button[data-level=plain]").get_attribute("aria-pressed") == "true"
    with opened(chromium, story, java_script_enabled=False) as page:
        assert page.locator(".plain").is_visible() and page.locator(".prose").is_visible()
        assert not page.locator(".level").is_visible()


def test_on_paper_stands_what_is_known_and_no_switch(chromium: Any, edition: Path) -> None:
    with opened(chromium, edition / "parts" / "float-port.html") as page:
        page.emulate_media(media="print")
        assert not page.locator(".head").is_visible() and not page.locator(".foot nav").is_visible()
        assert page.locator("h1").is_visible() and page.locator(".claim").first.is_visible()
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        assert ground == "rgb(255, 255, 255)"


def test_a_kiosk_returns_to_the_start_of_its_language(chromium: Any, edition: Path) -> None:
    with opened(chromium, edition / "de" / "kiosk.html") as page:
        page.goto((edition / "de" / "kiosk.html").as_uri() + "?idle=1")
        page.goto((edition / "de" / "parts" / "float-port.html").as_uri())
        page.mouse.move(5, 5)
        page.wait_for_url("**/de/index.html", timeout=10_000)
        assert page.trouble == []


def test_no_kiosk_no_return(chromium: Any, edition: Path) -> None:
    with opened(chromium, edition / "parts.html") as page:
        assert page.evaluate("window.sessionStorage.getItem('kiosk')") is None


# Hostile words ----------------------------------------------------------------------------------


def spoilt(view: View, turn: int) -> View:
    """The view with thousands of payloads in its fields, turned on by so many places."""
    every = bundles(28)
    words = cycle(every[turn % len(every) :] + every[: turn % len(every)])
    return View(
        "public", view.as_of, spoilt_library(view.library, words), view.findings, (), view.images,
        rights=view.rights, terms=view.terms, originality=view.originality,
    )  # fmt: skip


def ran(chromium: Any, base: str, paths: list[str]) -> list[str]:
    """What ran, fetched or complained on any of the pages; `base` is where they lie."""
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    trouble: list[str] = []
    context.add_init_script(f"window.{RUN.removesuffix('()')} = () => {{ window.__ran = true; }}")
    page = context.new_page()
    page.on("dialog", lambda dialog: (trouble.append("dialog"), dialog.dismiss()))
    page.on("console", lambda m: trouble.append(m.text) if "ontent Security" in m.text else None)
    page.on(
        "request",
        lambda r: None if r.url.startswith((base, "data:")) else trouble.append(r.url),
    )
    for path in paths:
        page.goto(base + path, wait_until="load")
        if page.evaluate("window.__ran === true"):
            trouble.append(f"ran on {path}")
    context.close()
    return trouble


def html_in(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.html"))


def test_hostile_words_do_nothing(chromium: Any, view: View, tmp_path: Path) -> None:
    folder = put(spoilt(view, 0), tmp_path)
    assert sum(RUN in (folder / path).read_text("utf-8") for path in html_in(folder)) > 100
    sample = random.Random(7).sample(html_in(folder), 12)
    assert ran(chromium, folder.as_uri() + "/", ["index.html", *sample]) == []


@pytest.mark.full
def test_thousands_of_hostile_words_in_every_field_do_nothing(
    chromium: Any, view: View, tmp_path: Path
) -> None:
    """5,600 payloads, each in fields of every kind by turns, from the disk and over http."""
    assert sum(bundle.count(" ") >= 0 for bundle in bundles(1)) == 5600
    for turn in range(0, 200, 25):
        folder = put(spoilt(view, turn), tmp_path / str(turn))
        assert ran(chromium, folder.as_uri() + "/", html_in(folder)) == []
    for base in served(folder):
        assert ran(chromium, base, html_in(folder)) == []


def served(folder: Path) -> Iterator[str]:
    """The folder over http on this machine, for as long as the caller looks at it."""
    handler = functools.partial(SimpleHTTPRequestHandler, directory=str(folder))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()


def test_the_watch_would_notice(chromium: Any, tmp_path: Path) -> None:
    """Injected words run without the policy, and are complained of with it."""
    bad = f"<img src=x onerror={RUN}>"
    (tmp_path / "bare.html").write_text(f"<body>{bad}")
    csp = "<meta http-equiv=Content-Security-Policy content=\"script-src 'self'\">"
    (tmp_path / "guarded.html").write_text(csp + bad)
    for name in ("bare.html", "guarded.html"):
        assert ran(chromium, tmp_path.as_uri() + "/", [name]), name
