"""A plane at true scale, built into a site and opened from the disk: seen, read, taken away."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Any

import plane_seen
import pypdf
import pytest
from browsing import opened
from click.testing import CliRunner
from PIL import Image

from archive.cli.main import main

pytestmark = pytest.mark.browser
PAGE = "measurements/block.html"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder's two sites, `crew` and `public`."""
    base = tmp_path_factory.mktemp("plane")
    folder = plane_seen.written(base / "content")
    run = CliRunner(env={"WITNESSMARK_CACHE": str(base / "cache")})
    day = ["--as-of", "2026-11-25"]
    for out, more in (("crew", []), ("public", ["--for", "public"])):
        words = ["build", str(folder), "--out", str(base / out), *day, *more]
        done = run.invoke(main, words)
        assert done.exit_code == 0, done.output
    return base


@pytest.mark.parametrize("width", [360, 820, 1440])
def test_the_view_fits_and_stays_at_home(chromium: Any, built: Path, width: int) -> None:
    with opened(chromium, built / "crew" / PAGE, width) as page:
        page.wait_for_load_state("networkidle")
        assert page.trouble == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        picture = page.locator(".plane img")
        assert picture.evaluate("one => one.complete && one.naturalWidth > 0")
        assert page.get_by_text("Only what lies in this plane").is_visible()
        assert page.get_by_text("seen from port").first.is_visible()
        for link in page.locator("section[aria-labelledby=_plane] .chips a").all():
            assert link.bounding_box()["height"] >= 48


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(chromium: Any, built: Path, scheme: str) -> None:
    axe = str(files("axe_core_python") / "axe.min.js")
    with opened(chromium, built / "crew" / PAGE, bypass_csp=True, color_scheme=scheme) as page:
        page.add_script_tag(path=axe)
        found = page.evaluate("axe.run({runOnly: ['wcag2a', 'wcag2aa', 'wcag22aa']})")
        assert [
            v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")
        ] == []


def test_the_bar_and_the_line_are_as_long_as_they_say(chromium: Any, built: Path) -> None:
    """The scale bar and the measured line, in the same millimetres."""
    with opened(chromium, built / "crew" / PAGE, 1440, java_script_enabled=False) as page:
        bar = page.locator(".bar line").evaluate("one => one.getBBox().width")
        says = page.locator(".bar text").text_content()
        line = page.locator(".plane line.pick").evaluate("one => one.getBBox().width")
        assert says == "500 mm"
        assert line / bar * 500 == pytest.approx(150, abs=1.5)


def test_the_part_leads_to_it(chromium: Any, built: Path) -> None:
    with opened(chromium, built / "crew/parts/panel.html", java_script_enabled=False) as page:
        page.get_by_role("link", name="its plane at true scale, to print").first.click()
        assert page.url.endswith("measurements/block.html#_plane")


def test_what_is_taken_away_is_true(chromium: Any, built: Path) -> None:
    with opened(chromium, built / "crew" / PAGE) as page:
        links = [
            one.get_attribute("href")
            for one in page.locator("section[aria-labelledby=_plane] .chips a").all()
        ]
    picture, *papers = [(built / "crew" / PAGE).parent / link for link in links]
    with Image.open(picture) as taken:
        per_mm = taken.info["dpi"][0] / 25.4
        assert taken.width / per_mm == pytest.approx(2000 + 2 * 219.3, abs=3)
    assert [paper.name for paper in papers] == ["block-a4.pdf", "block-letter.pdf"]
    for paper in papers:
        reader = pypdf.PdfReader(paper)
        text = reader.pages[1].extract_text()
        assert "If it isn’t 100 mm long, don’t use this sheet." in " ".join(text.split())


def test_the_visitors_have_none_of_it(built: Path) -> None:
    names = [path.relative_to(built / "public").as_posix() for path in built.rglob("public/**/*")]
    assert names and not [name for name in names if "plane-" in name or "templates" in name]


def test_a_build_of_what_was_built_is_the_same(built: Path) -> None:
    """Templates too: kept where nothing has changed, and equal bytes where all is made anew."""
    run = CliRunner(env={"WITNESSMARK_CACHE": str(built / "another-cache")})
    words = ["build", str(built / "content"), "--out", str(built / "again")]
    assert run.invoke(main, [*words, "--as-of", "2026-11-25"]).exit_code == 0

    def tree(folder: Path) -> dict[str, bytes]:
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*")
            if path.is_file()
        }

    assert tree(built / "again") == tree(built / "crew")
