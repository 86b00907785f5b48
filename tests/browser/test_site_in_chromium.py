"""The site in a browser, opened from the disk: it stays at home, fits, and answers to keys."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from browsing import opened

pytestmark = pytest.mark.browser

KINDS = [
    "index.html",
    "parts/strut.html",
    "parts/wing.html",
    "photos/slipway.html",
    "sources/print.html",
    "sources/letter.html",
    "decisions/strut-length.html",
    "questions/which-bay.html",
    "zones/500.html",
    "measurements/strut-slipway.html",
    "surveys/remains.html",
    "stories/raised.html",
    "claims.html",
    "cards.html",
    "estimates.html",
    "photographs.html",
    "chronology.html",
    "sources.html",
    "decisions.html",
    "questions.html",
    "people.html",
    "aircraft.html",
    "everything.html",
    "what-holds-what.html",
    "what-has-moved.html",
    "search.html",
    "measuring-bench.html",
    "how/index.html",
    "how/grades.html",
    "how/estimates.html",
]


@pytest.mark.parametrize("path", KINDS)
def test_a_page_stays_at_home_without_complaint(chromium: Any, site: Path, path: str) -> None:
    with opened(chromium, site / path) as page:
        page.wait_for_load_state("networkidle")
        assert page.trouble == []


def test_the_watch_would_notice(chromium: Any, site: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.html"
    bad.write_text("<script>console.error('x')</script><img src='https://e.example/x.gif'>")
    with opened(chromium, bad) as page:
        assert any("e.example" in trouble for trouble in page.trouble)


@pytest.mark.parametrize("width", [320, 360, 768, 1440])
def test_nothing_scrolls_sideways(chromium: Any, site: Path, width: int) -> None:
    with opened(chromium, site / KINDS[0], width) as page:
        for path in KINDS:
            page.goto((site / path).as_uri())
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path


@pytest.mark.parametrize("path", ["parts/strut.html", "parts/wing.html"])
def test_five_answers_end_above_800_px_at_360(chromium: Any, site: Path, path: str) -> None:
    with opened(chromium, site / path, 360) as page:
        page.evaluate("document.fonts.ready")
        bottom = page.evaluate("document.querySelector('.five').getBoundingClientRect().bottom")
        assert bottom < 800


@pytest.mark.parametrize("path", KINDS)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(chromium: Any, site: Path, path: str, scheme: str) -> None:
    """WCAG 2 A and AA and good practice, as axe-core checks them."""
    axe = str(files("axe_core_python") / "axe.min.js")
    with opened(chromium, site / path, bypass_csp=True, color_scheme=scheme) as page:
        page.add_script_tag(path=axe)
        found = page.evaluate(
            "rules => axe.run({runOnly: rules})",
            ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
        )
        grave = [
            f"{one['id']}: {node['html'][:120]}"
            for one in found["violations"]
            if one["impact"] in ("serious", "critical")
            for node in one["nodes"]
        ]
        assert grave == []


def test_without_a_script_the_words_and_links_are_all_there(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "parts/strut.html", java_script_enabled=False) as page:
        assert page.get_by_role("heading", name="Front interplane strut, port").is_visible()
        assert page.get_by_text("The strut is 61 in long").first.is_visible()
        page.get_by_role("link", name="F-206 On the slipway").first.click()
        assert page.url.split("#")[0].endswith("photos/slipway.html")
        outline, number = page.locator(".marks .region").first, page.locator(".marks .number").first
        assert outline.is_visible() and number.is_visible()
        page.locator("label[for=_show]").click()
        assert not outline.is_visible() and not number.is_visible()
        page.goto((site / "claims.html").as_uri())
        assert page.locator(".claim-list > li").count() == 3


def test_keys_walk_through_the_general_arrangement(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "index.html") as page:
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.className") == "skip"
        page.locator(".arrangement.wide a.balloon:not([tabindex])").first.focus()
        page.keyboard.press("Home")
        seen = set()
        for _ in range(3):
            seen.add(page.evaluate("document.activeElement.dataset.zone"))
            page.keyboard.press("ArrowRight")
        assert seen == {"100", "500", "700"}
        marked = page.locator(".zone-list a.on").get_attribute("data-zone")
        assert marked == page.evaluate("document.activeElement.dataset.zone")
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile(rf"zones/{marked}\.html$"))


def test_regions_flip_and_tone(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "photos/slipway.html") as page:
        marks = page.locator(".print .region").first
        assert marks.is_visible()
        page.locator("#_show").focus()
        page.keyboard.press("Space")
        assert not marks.is_visible()

        def transform() -> str:
            return str(
                page.evaluate("getComputedStyle(document.querySelector('.print')).transform")
            )

        def tone() -> str:
            return str(
                page.evaluate("getComputedStyle(document.querySelector('.print img')).filter")
            )

        assert transform() == "none"
        page.locator("label[for=_flip]").click()
        assert transform() == "matrix(-1, 0, 0, 1, 0, 0)"
        plain = tone()
        page.locator("[data-tone=contrast]").focus()
        page.keyboard.press("ArrowRight")
        assert "contrast(1.3)" in tone() and tone() != plain
        page.locator("label[for=_negative]").click()
        assert "invert(1)" in tone()
        assert page.trouble == []


def test_a_region_shows_which_line_it_is(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "photos/slipway.html") as page:
        page.locator("a.number").first.focus()
        assert page.locator(".region.on").get_attribute("data-region") == "port-strut"
        assert page.locator(".region-list > li.on").count() == 1


def test_a_closer_look_opens_moves_by_keys_and_closes(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "photos/slipway.html") as page:
        page.get_by_role("button", name="Look closer").click()
        canvas = page.locator(".closer .openseadragon-canvas")
        canvas.wait_for()
        page.wait_for_timeout(600)
        before = page.locator(".closer canvas").first.screenshot()
        page.keyboard.press("+")
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(400)
        assert page.locator(".closer canvas").first.screenshot() != before
        assert page.locator(".closer .outlines").count() == 1
        page.get_by_role("button", name="Whole picture").click()
        assert page.locator(".closer").count() == 0
        assert page.trouble == []


def test_claims_are_narrowed_and_the_address_keeps_it(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "claims.html") as page:
        page.get_by_label("Aspect").select_option("existence")
        assert page.locator(".claim-list > li:visible").count() == 1
        assert page.url.endswith("#aspect=existence")
        assert "1 of 3" in page.locator("[data-shown]").inner_text()


def test_lists_are_narrowed_by_what_holds(chromium: Any, demo_site: Path) -> None:
    """Claims, the parts of a zone, and zones, by what holds the cut."""
    with opened(chromium, demo_site / "claims.html") as page:
        rows = page.locator("[data-rows] > li")
        page.get_by_label("Held by").select_option(label="size too loose, or no tolerance")
        assert 0 < page.locator("[data-rows] > li:visible").count() < rows.count()
        page.goto((demo_site / "zones/700.html").as_uri())
        page.get_by_label("Held by").select_option(label="size too loose, or no tolerance")
        shown = page.locator("[data-rows] > li:visible")
        assert 0 < shown.count() < page.locator("[data-rows] > li").count()
        shown.first.locator("h3 a").click()
        assert "C4" in page.locator(".steps").inner_text()
        page.goto((demo_site / "index.html").as_uri())
        page.get_by_label("Held by").select_option(label="another state of the aircraft")
        held = page.locator("[data-rows] > li:visible")
        assert 0 < held.count() < page.locator("[data-rows] > li").count()
        assert page.trouble == []


@pytest.mark.parametrize("width", [360, 820, 1440])
def test_a_table_stays_within_its_claim_beside_a_rival(
    chromium: Any, demo_site: Path, width: int
) -> None:
    over = """() => {
      document.querySelectorAll("details").forEach(one => { one.open = true; });
      return Array.from(document.querySelectorAll(".claim table"), one =>
        one.getBoundingClientRect().right - one.closest(".claim").getBoundingClientRect().right);
    }"""
    with opened(chromium, demo_site / "parts" / "chine-port.html", width) as page:
        assert page.locator(".bench-claims .claim").count() > 1
        found = page.evaluate(over)
        assert found and max(found) <= 1
        page.emulate_media(media="print")
        page.set_viewport_size({"width": 703, "height": 1000})  # A4 within its margins
        assert max(page.evaluate(over)) <= 1


@pytest.mark.parametrize("by", ["the drawing", "the list"])
def test_two_taps_tell_the_foreman_whether_he_may_cut_and_how_big(
    chromium: Any, demo_site: Path, by: str
) -> None:
    """At 360 px and with gloves: zone, part, and the answer on the first screen."""
    tapped = []

    def tap(page: Any, target: Any, to: str) -> None:
        size = target.bounding_box()
        assert min(size["width"], size["height"]) >= 48, size
        tapped.append(size)
        page.touchscreen.tap(size["x"] + size["width"] / 2, size["y"] + size["height"] / 2)
        page.wait_for_url(f"**/{to}")

    with opened(chromium, demo_site / "index.html", 360, has_touch=True) as page:
        if by == "the drawing":
            zone = page.locator(".narrow a.balloon[data-zone='700'] .press").first
        else:
            zone = page.locator(".zone-list a[data-zone='700']")
        zone.scroll_into_view_if_needed()
        tap(page, zone, "zones/700.html")
        part = page.get_by_role("link", name=re.compile("Chine angle, port float"))
        part.first.scroll_into_view_if_needed()
        tap(page, part.first, "parts/chine-port.html")
        assert len(tapped) == 2
        five = page.locator(".five")
        assert five.bounding_box()["y"] + five.bounding_box()["height"] <= 800
        words = five.inner_text()
        assert "0.8740 in" in words and "± 0.0079 in" in words
        assert "cut for display" in words and "cleared" in words
        assert "Touch an original: done" in words and "display only" in words


def test_words_are_found(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "search.html") as page:
        page.get_by_role("searchbox").fill("P-114")
        hit = page.locator("[data-search-results] a").first
        hit.wait_for()
        assert "strut" in (hit.get_attribute("href") or "")
        assert page.trouble == []


def test_paper_has_no_ways_and_holds_become_boxes(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "parts/strut.html") as page:
        page.emulate_media(media="print")
        assert not page.locator(".ways").is_visible()
        border = page.evaluate("getComputedStyle(document.querySelector('.pencil')).borderTopStyle")
        assert border == "solid"


def test_what_is_pressed_is_as_high_as_a_thumb(chromium: Any, site: Path) -> None:
    with opened(chromium, site / "parts/strut.html", 360) as page:
        heights = page.evaluate(
            "[...document.querySelectorAll('.ways a, .near a, .chips a, .foot li a, .thumbs a')]"
            ".map(one => one.getBoundingClientRect().height).filter(height => height > 0)"
        )
        assert heights and min(heights) >= 48
