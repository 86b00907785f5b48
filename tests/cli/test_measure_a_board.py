"""The whole program on a real photograph: four surveyed corners, and a length by `measure`.

The photograph and its board: `boards`. Nobody made these pictures for this program.
"""

from __future__ import annotations

import json

import boards
import cv2
import numpy as np
import pytest
from click.testing import CliRunner

from archive.cli.main import main

HALF_MM = 0.2
"""95 % half-width of the survey: the board's squares are 25 mm."""


def record(px, known, ends, more):
    """A photograph's note, the survey of known corners, and a measurement of two others."""
    at = boards.places()
    lines = [
        f"== photos/board.md ==\n---\ntitle: The board\nkind: as-found\nframe: whole\n{more}---\n",
        "== surveys/board.yaml ==\ntitle: The board\ninstrument: its maker's print\npoints:\n",
    ]
    for i in known:
        x, z = (f"{value:g} mm +/- {HALF_MM} mm" for value in at[i])
        lines.append(f"  - {{id: k{i}, x: {x}, y: 0 mm +/- {HALF_MM} mm, z: {z}}}\n")
    lines.append("== measurements/side.yaml ==\ntitle: Along the board\nphotos: [board]\n")
    lines.append("method: plane\nbetween: [from, to]\npick_px: 0.15\noff_plane: 0.2 mm\npicks:\n")
    picks = {f"k{i}": px[i] for i in known} | {"from": px[ends[0]], "to": px[ends[1]]}
    lines += [f"  - {{point: {n}, at: [{p[0]:.2f}, {p[1]:.2f}]}}\n" for n, p in picks.items()]
    lines += ["points:\n", *(f"  - surveys/board#k{i}\n" for i in known)]
    return "".join(lines), float(np.linalg.norm(at[ends[0]] - at[ends[1]]))


@pytest.fixture
def measure(content, tmp_path):
    """`measure(name, known, ends)` → what `measure --json` says of it, and the truth (mm)."""

    def run(name, known, ends, more="", straight=False):
        picture = cv2.imread(str(boards.folder() / name), cv2.IMREAD_GRAYSCALE)
        if straight:
            inner, bent, _ = boards.published()
            picture = cv2.undistort(picture, inner, bent)
        text, truth = record(boards.sought(picture), known, ends, more)
        folder = content(text)
        assert cv2.imwrite(str(folder / "photos" / "board.png"), picture)
        runner = CliRunner(env={"WITNESSMARK_CACHE": str(tmp_path / "cache")})
        checked = runner.invoke(main, ["check", str(folder)])
        assert checked.exit_code == 0, checked.output
        done = runner.invoke(main, ["measure", "--json", "--in", str(folder)])
        assert done.exit_code == 0, done.output
        (found,) = json.loads(done.stdout)
        told = runner.invoke(main, ["why", "photos/board", "--in", str(folder)])
        return {**found, "why": told.output}, truth

    return run


@pytest.mark.parametrize("name", ["left01.jpg", "left05.jpg", "left09.jpg"])
def test_a_length_by_four_corners(measure, name):
    """On the picture straightened by the camera's published calibration."""
    found, truth = measure(name, (0, 8, 45, 53), (10, 43), straight=True)
    assert found["refused"] is None
    assert abs(found["value_mm"] - truth) <= found["half95_mm"] < 0.01 * truth


def test_a_lens_that_bends_is_found_by_more_corners(measure):
    """A picture with bowed edges: refused as it is, and right once its lens is told."""
    known = (0, 3, 5, 8, 18, 26, 27, 35, 45, 48, 50, 53)
    bowed, _ = measure("left03.jpg", known, (10, 43))
    told, truth = measure("left03.jpg", known, (10, 43), "lens: bends\n")
    assert bowed["refused"] and "do not fit together" in bowed["refused"]
    assert "does not agree with the metal" in bowed["why"]
    assert told["refused"] is None
    assert "photos/board, by measurements/side: agrees with the metal" in told["why"]
    assert "[M13] Of 12 surveyed points that check each other on it" in told["why"]
    assert abs(told["value_mm"] - truth) <= told["half95_mm"] < 0.02 * truth


def test_four_corners_under_a_lens_that_bends_give_a_wide_interval(measure):
    found, truth = measure("left03.jpg", (0, 8, 45, 53), (10, 43), "lens: bends\n")
    assert "agree with the metal" not in found["why"]  # four points check nothing
    assert found["dominates"].startswith("the lens bending lines")
    assert abs(found["value_mm"] - truth) <= found["half95_mm"] > 0.02 * truth
