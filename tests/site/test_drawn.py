"""What is drawn on a photograph: sizes, picks, the solution's arrows, and the known structure."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from site_sample import drawn, pictures_of, view_of, written

from archive.site.drawn import ARROWS
from archive.site.pages import pages
from archive.site.render import render

POINTS = {"a": (0, 0), "b": (3000, 0), "c": (3000, -1000), "d": (0, -1000), "e": (1500, -500)}


def at(x: float, z: float) -> tuple[float, float]:
    return 150 + 0.3 * x, 250 - 0.3 * z


def folder(tmp_path: Path, move: float) -> Path:
    """A flat wall seen square-on at 0.3 px a millimetre; the pick of its middle lies `move` off."""
    points = "".join(
        f"  - {{id: {n}, x: {x} mm +/- 2 mm, y: 0 mm +/- 2 mm, z: {z} mm +/- 2 mm}}\n"
        for n, (x, z) in POINTS.items()
    )
    picks = {n: at(x, z) for n, (x, z) in POINTS.items()} | {
        "here": at(500, -200),
        "there": at(2500, -200),
    }
    picks["e"] = (picks["e"][0] + move, picks["e"][1])
    lines = "".join(f"  - {{point: {n}, at: [{u}, {v}]}}\n" for n, (u, v) in picks.items())
    return written(
        tmp_path,
        {
            "surveys/wall.yaml": "title: Wall\ninstrument: tape\nby: HB\non: 2025-01-02\n"
            f"points:\n{points}lines:\n  - through: [a, b, c, d, a]\n",
            "photos/wall.md": "---\ntitle: The wall\nkind: period\n---\n",
            "measurements/wall.yaml": "title: On the wall\nphotos: [wall]\nmethod: plane\n"
            f"between: [here, there]\npicks:\n{lines}points: [surveys/wall]\n",
        },
    )


@pytest.mark.parametrize("move", [0.0, 4.0])
def test_arrows_are_as_long_as_is_said(tmp_path: Path, move: float) -> None:
    home = folder(tmp_path, move)
    drawn(home / "photos/wall.jpg", 1210, 800)
    view = view_of(home)
    page = next(p for p in pages(view, pictures_of(view)) if p.path == "photos/wall.html")
    shown = page.data.drawn  # type: ignore[attr-defined]
    found = view.findings.measurements["measurements/wall"]
    assert found.value_mm == pytest.approx(2000, rel=2e-3)
    misfit = {one.point: one.seen_px[0] - one.picked_px[0] for one in found.fitted}
    assert set(misfit) == {*POINTS, "here", "there"}
    assert {one.point for one in found.fitted if one.known} == set(POINTS)
    assert misfit["here"] == pytest.approx(0, abs=0.01)
    (x1, _), (x2, _) = shown.arrows[[one.point for one in found.fitted].index("e")]
    assert x2 - x1 == pytest.approx(ARROWS * misfit["e"], abs=1e-6)
    assert (misfit["e"] < -1) == bool(move)
    assert [len(run) for run in shown.frame] == [5]
    size = next(one for one in shown.sizes if one.link.text == "On the wall")
    assert size.ends == (at(500, -200), at(2500, -200)) and "±" in size.says
    text = render(page).decode()
    assert f"drawn {ARROWS} times too long" in text
    for switch in ("_sizes", "_picks", "_fit", "_frame"):
        assert f'id="{switch}"' in text and f'for="{switch}"' in text
    assert len(re.findall('class="pick frame-line"', text)) == 1


def test_a_line_through_a_point_that_is_not_there_is_told(tmp_path: Path) -> None:
    home = folder(tmp_path, 0.0)
    survey = home / "surveys/wall.yaml"
    survey.write_text(survey.read_text().replace("[a, b, c, d, a]", "[a, bb]"))
    found = [p for p in view_of(home).problems if p.where.path == "surveys/wall.yaml"]
    assert [p.code for p in found] == ["point-unknown"]
