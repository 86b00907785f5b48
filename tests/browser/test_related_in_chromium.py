"""Related pictures from the folder to the page: asked about, laid side by side, blinked, swiped."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import plates
import pytest
from click.testing import CliRunner
from PIL import Image

from archive.cli.main import main

pytestmark = pytest.mark.browser

NOTE = """
== photos/{id}.md ==
---
title: The {id}
kind: period
alt: A machine before sheds
regions: [{{id: mark, name: The mark, outline: [[720, 410], [850, 410], [850, 460], [720, 460]]}}]
---
"""


def pictures() -> dict[str, Any]:
    plate = plates.negative(plates.scene(3), 1)
    return {
        "plate": plate,
        "mirror": plates.printed(plate, "mirror", 5),
        "sister": plates.negative(plates.scene(3, mark="RT-43"), 4),
    }


def add(folder: Path, **made: Any) -> None:
    for name, tones in made.items():
        Image.fromarray(tones).save(folder / "photos" / f"{name}.png")


@pytest.fixture
def folder(content, tmp_path, monkeypatch) -> Path:
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    made = pictures()
    folder = content("".join(NOTE.format(id=name) for name in made))
    add(folder, **made)
    return folder


def run(*words: Any) -> str:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return result.output


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_page_asks_shows_blinks_and_swipes(folder, tmp_path, chromium):
    said = run("check", folder)
    assert "advice[negative-to-rule]" in said and "advice[way-round-to-settle]" in said
    out = tmp_path / "site"
    run("build", folder, "--out", out, "--as-of", "2027-01-01")
    page = chromium.new_page(viewport={"width": 1280, "height": 900})
    trouble: list[str] = []
    page.on("console", lambda m: trouble.append(m.text) if m.type != "log" else None)
    page.goto((out / "photos/plate.html").as_uri())
    sister, mirror = (page.locator(f"#_beside-{name}") for name in ("sister", "mirror"))
    assert "can't be told" in sister.inner_text() and "To settle:" in sister.inner_text()
    assert "W7" in sister.inner_text()
    assert "plainest firstThe mark: " in (sister.text_content() or "")
    assert "Copies of one negative" in mirror.inner_text() and "W6" in mirror.inner_text()
    assert "wrong way round" in mirror.inner_text() and "turned over" in mirror.inner_text()
    second = sister.locator(".second")
    blink = sister.get_by_role("button", name="Blink")
    blink.focus()
    page.keyboard.press("Enter")
    assert blink.get_attribute("aria-pressed") == "true"
    sister.locator(".second.away").wait_for(state="attached")
    first = sister.locator(".first img").bounding_box()
    assert first == sister.locator(".second img").bounding_box()
    page.keyboard.press("Escape")
    assert "away" not in (second.get_attribute("class") or "")
    sister.get_by_role("button", name="Swipe").press("Enter")
    slider = sister.get_by_role("slider")
    slider.focus()
    page.keyboard.press("Home")
    assert second.evaluate("e => e.style.clipPath").startswith("inset(0px 100%")
    for button in sister.get_by_role("button").all():
        assert button.bounding_box()["height"] >= 48
    assert trouble == []
    plain = chromium.new_context(java_script_enabled=False).new_page()
    plain.goto((out / "photos/plate.html").as_uri())
    boxes = [
        plain.locator(f"#_beside-sister .{pane} img").bounding_box() for pane in ("first", "second")
    ]
    assert boxes[0]["y"] == boxes[1]["y"] and boxes[0]["x"] < boxes[1]["x"]
    assert not plain.get_by_role("button", name="Blink").first.is_visible()


def test_pictures_that_come_later_give_the_same_site(folder, tmp_path, monkeypatch):
    made = pictures()
    whole, grown = tmp_path / "whole", tmp_path / "grown"
    run("build", folder, "--out", whole, "--as-of", "2027-01-01")
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "other"))
    for name in ("plate", "mirror"):
        (folder / f"photos/{name}.png").unlink()
    run("build", folder, "--out", grown, "--as-of", "2027-01-01")
    for name in ("mirror", "plate"):
        add(folder, **{name: made[name]})
        run("build", folder, "--out", grown, "--as-of", "2027-01-01")
    assert tree(grown) == tree(whole)
