"""A plane on paper: true to a fifth of a millimetre, sheet by sheet, as poppler draws it."""

from __future__ import annotations

import io
import subprocess
from datetime import date
from pathlib import Path

import numpy as np
import plane_seen
import pypdf
import pytest
from PIL import Image

from archive.audience.crew import crew_view
from archive.audience.view import View
from archive.exchange.tiling import EDGE_MM, HEAD_MM, OVERLAP_MM, PAPERS, SIDE_MM, Box, tiled
from archive.pictures.rectified import RectifiedOrder, make_printed
from archive.pipeline import rectified, weigh
from archive.publish.ordering import plane_orders
from archive.publish.template import around, between, print_order, set_template

REF = "measurements/block"
PER_MM = 10  # 254 dots an inch
WITHIN_MM = 0.2


@pytest.fixture(scope="module")
def laid(tmp_path_factory) -> tuple[View, RectifiedOrder, Path]:
    folder = plane_seen.written(tmp_path_factory.mktemp("plane") / "content")
    weighed = weigh(folder, compare=0)
    assert not [p for p in weighed.problems if not p.advice]
    view = crew_view(
        weighed.library, weighed.findings, weighed.problems, weighed.images, date(2026, 11, 25),
        rectified=rectified(weighed),
    )  # fmt: skip
    (order,) = plane_orders(view, weighed.pictures).values()
    return view, order, tmp_path_factory.mktemp("kept")


def set_on(laid: tuple[View, RectifiedOrder, Path], area: Box, paper: str) -> bytes:
    view, order, kept = laid
    plan = tiled(area, paper)
    asked = print_order(order, [plan])
    (made,) = make_printed([asked], kept).values()
    return set_template(view, REF, plan, asked, made)


def drawn(pdf: bytes, folder: Path) -> list[np.ndarray]:
    """The pages as poppler draws them, 10 pixels a millimetre, grey."""
    (folder / "t.pdf").write_bytes(pdf)
    asked = ["pdftoppm", "-r", str(PER_MM * 25.4), "-gray", "-png", "t.pdf", "page"]
    subprocess.run(asked, cwd=folder, check=True, capture_output=True)
    return [
        np.asarray(Image.open(p).convert("L")).astype(float)
        for p in sorted(folder.glob("page*.png"))
    ]


def longest_run(dark: np.ndarray) -> tuple[int, int]:
    """Where the longest run of dark pixels begins, and how long it is."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], dark.astype(int), [0]])))
    starts, ends = edges[::2], edges[1::2]
    if not starts.size:
        return 0, 0
    best = int((ends - starts).argmax())
    return int(starts[best]), int((ends - starts)[best])


def corner() -> tuple[int, int]:
    """Where the window begins on a sheet: left, top, in pixels."""
    return round((EDGE_MM + SIDE_MM) * PER_MM), round((EDGE_MM + HEAD_MM) * PER_MM)


def edge(tones: np.ndarray) -> float:
    """Where a row of tones crosses the middle between its two ends."""
    level = (tones[:8].mean() + tones[-8:].mean()) / 2
    signs = np.flatnonzero(np.diff(np.sign(tones - level)))
    at = signs[len(signs) // 2]
    return float(at + (level - tones[at]) / (tones[at + 1] - tones[at]))


@pytest.fixture(scope="module", params=["a4", "letter"])
def sheets(request, laid, tmp_path_factory) -> tuple[str, list[np.ndarray], Box]:
    """300 mm by 350 round the block: two sheets across, two down."""
    area = between(laid[1].plane, (830, -220), (1130, -570))
    pdf = set_on(laid, area, request.param)
    return request.param, drawn(pdf, tmp_path_factory.mktemp(request.param)), area


def test_paper_and_number_of_sheets(sheets) -> None:
    paper, pages, area = sheets
    plan = tiled(area, paper)
    assert (plan.rows, plan.columns) == (2, 2)
    assert len(pages) == 1 + len(plan.tiles)
    wide, high = PAPERS[paper]
    for page in pages:
        assert page.shape[1] == pytest.approx(wide * PER_MM, abs=2)
        assert page.shape[0] == pytest.approx(high * PER_MM, abs=2)


def test_the_check_lines_are_100_mm_both_ways_on_every_sheet(sheets) -> None:
    paper, pages, area = sheets
    left, top = corner()
    window = tiled(area, paper).window
    for page in pages[1:]:
        foot = page[top + round(window[1] * PER_MM) + 5 :, :]
        runs = [longest_run(row < 140)[1] for row in foot]
        assert max(runs) == pytest.approx(100 * PER_MM, abs=WITHIN_MM * PER_MM)
        strip = page[:, : left - 10]
        runs = [longest_run(column < 140)[1] for column in strip.T]
        assert max(runs) == pytest.approx(100 * PER_MM, abs=WITHIN_MM * PER_MM)


def test_the_square_is_50_mm_both_ways(sheets) -> None:
    _, pages, _ = sheets
    left = round(EDGE_MM * PER_MM)
    first = pages[0]
    # Its left side is the longest upright run at the page's left edge.
    runs = [longest_run(column < 140) for column in first[:, left - 6 : left + 6].T]
    top, tall = max(runs, key=lambda run: run[1])
    assert tall == pytest.approx(50 * PER_MM, abs=WITHIN_MM * PER_MM + 2.2)  # the pen's own width
    rows = [longest_run(row < 140)[1] for row in first[top : top + 4, : left + 53 * PER_MM]]
    assert max(rows) == pytest.approx(50 * PER_MM, abs=WITHIN_MM * PER_MM + 2.2)


def test_a_known_length_is_true_on_the_paper(sheets, laid) -> None:
    """The block's edges, on whichever sheet they lie, are where the model has them."""
    paper, pages, area = sheets
    plane = laid[1].plane
    left, top = corner()
    station, water, wide, high = plane_seen.BLOCK
    found: dict[str, list[float]] = {"front": [], "rear": [], "upper": [], "lower": []}
    for page, tile in zip(pages[1:], tiled(area, paper).tiles, strict=True):
        box = tile.window
        for name, value, side, start, across in (
            ("front", station, plane.across, box.left, True),
            ("rear", station + wide, plane.across, box.left, True),
            ("upper", water, plane.down, box.top, False),
            ("lower", water - high, plane.down, box.top, False),
        ):
            at = (value - side.at_mm) * side.ways - start
            other, begin = (
                (water - high / 2 - 25, box.top) if across else (station + wide / 2 + 25, box.left)
            )
            beside = plane.down if across else plane.across
            middle = (other - beside.at_mm) * beside.ways - begin
            if not 8 < at < (box.width if across else box.height) - 8:
                continue
            if not 8 < middle < (box.height if across else box.width) - 8:
                continue
            a, m = round(at * PER_MM), round(middle * PER_MM)
            lines = page[top:, left:] if across else page[top:, left:].T
            for row in range(m - 40, m + 40, 4):
                found[name].append((edge(lines[row, a - 60 : a + 60]) + a - 60 + 0.5) / PER_MM - at)
    for name, offs in found.items():
        assert offs, name
        assert abs(float(np.median(offs))) <= WITHIN_MM, (name, np.median(offs))


def test_neighbours_show_the_same_where_they_overlap(sheets) -> None:
    """The shift between two sheets' overlaps, by the place of least difference."""
    paper, pages, area = sheets
    plan = tiled(area, paper)
    left, top = corner()
    wide, high = (round(side * PER_MM) for side in plan.window)
    lap = round(OVERLAP_MM * PER_MM)
    by = {tile.name: page[top : top + high, left : left + wide] for tile, page in
          zip(plan.tiles, pages[1:], strict=True)}  # fmt: skip
    inner = slice(25, -25)
    pairs = [
        (by["A1"][100:-100, wide - lap :][:, inner], by["A2"][100:-100, :lap][:, inner]),
        (by["A1"][high - lap :, 100:-100][inner].T, by["B1"][:lap, 100:-100][inner].T),
    ]
    for one, other in pairs:
        differences = {
            (dx, dy): float(np.abs(one[10 + dy : -10 + dy or None, 10 + dx : -10 + dx]
                                   - other[10:-10, 10:-10]).mean())
            for dx in range(-6, 7) for dy in range(-6, 7)
        }  # fmt: skip
        best = min(differences, key=differences.__getitem__)
        assert max(map(abs, best)) <= WITHIN_MM * PER_MM


def test_what_every_sheet_says(laid) -> None:
    area = around(laid[1].plane)
    pdf = set_on(laid, area, "a4")
    assert pdf == set_on(laid, area, "a4")
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    first, *rest = (" ".join(page.extract_text().split()) for page in reader.pages)
    for words in (
        "Length of the block", "M-01", "The side", "butt line −450 mm, seen from port",
        "Only what lies in this plane", "never for flight", "100 mm", "50 mm", "±",
        "Side panel", "One pixel of the photograph covers",
    ):  # fmt: skip
        assert words in first, words
    for number, text in enumerate(rest, 1):
        assert f"A{number}" in text or "B" in text
        assert "If it isn’t 100 mm long, don’t use this sheet." in text
        assert "Display only, never for flight." in text and "±" in text
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en-GB"


def test_a_wide_part_lies_on_the_long_side_of_one_sheet(laid, tmp_path) -> None:
    area = between(laid[1].plane, (900, -250), (1150, -390))
    plan = tiled(area, "a4")
    assert plan.lying and len(plan.tiles) == 1
    first, only = drawn(set_on(laid, area, "a4"), tmp_path)
    assert first.shape[0] > first.shape[1] and only.shape[1] > only.shape[0]
    runs = [longest_run(column < 140)[1] for column in only[:, : corner()[0] - 10].T]
    assert max(runs) == pytest.approx(100 * PER_MM, abs=WITHIN_MM * PER_MM)


def test_a_part_outside_the_view_is_empty(laid) -> None:
    plane = laid[1].plane
    assert between(plane, (9000, 0), (9500, -100)).width == 0
    part = between(plane, (-5000, 500), (5000, -5000))
    assert (part.width, part.height) == (plane.width_mm, plane.height_mm)
