"""A plane laid out at true scale: held to two other programs, and to its own promises.

Outside checks: OpenCV's warpPerspective and Pillow's perspective transform, which have no part in
working out where a pixel comes from.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from archive.imaging.limits import Limits
from archive.imaging.recipes import RectifiedRecipe
from archive.imaging.rectify import laid_out, rectify, view_with_bar
from archive.imaging.refusals import Refused

FULL = (900, 600)
H = np.array([[0.9, 0.05, 60.0], [0.03, 0.85, 40.0], [1e-4, 5e-5, 1.0]])


def picture() -> np.ndarray:
    """Smooth tones without an edge, so that a grey level tells a tenth of a pixel."""
    y, x = np.mgrid[0 : FULL[1], 0 : FULL[0]].astype(float)
    tones = 128 + 60 * np.sin(x / 31) * np.cos(y / 23) + 40 * np.sin((x + 2 * y) / 57)
    return np.clip(np.rint(tones), 0, 255).astype(np.uint8)


def recipe(**more: object) -> RectifiedRecipe:
    plain = RectifiedRecipe(
        sha256="", size=(700, 480), px_per_m=1000, h=tuple(H.ravel().tolist()),
        lens=(450.0, 300.0, 1350.0, 0.0), mirrored=False,
        within=((50.0, 50.0), (650.0, 50.0), (650.0, 430.0), (50.0, 430.0)), margin=400.0,
        width_px=350,
    )  # fmt: skip
    return replace(plain, **more)


def centred(h: np.ndarray, per_mm: float = 1.0) -> np.ndarray:
    """`h` for programs that count pixels from the middle of the first, view to picture."""
    half = np.array([[1, 0, -0.5], [0, 1, -0.5], [0, 0, 1.0]])
    to_mm = np.array([[1 / per_mm, 0, 0.5 / per_mm], [0, 1 / per_mm, 0.5 / per_mm], [0, 0, 1.0]])
    return half @ h @ to_mm


def test_it_agrees_with_opencv_to_a_grey_level() -> None:
    mine = laid_out(picture(), recipe(), FULL, (0, 0)).astype(float)
    theirs = cv2.warpPerspective(
        picture(), centred(H), (700, 480), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    ).astype(float)
    assert np.abs(mine - theirs).max() <= 1.0


def test_it_agrees_with_pillow_to_a_grey_level() -> None:
    h = H / H[2, 2]
    theirs = Image.fromarray(picture()).transform(
        (700, 480), Image.Transform.PERSPECTIVE, h.ravel()[:8].tolist(), Image.Resampling.BILINEAR
    )
    mine = laid_out(picture(), recipe(), FULL, (0, 0)).astype(float)
    assert np.abs(mine - np.asarray(theirs).astype(float)).max() <= 1.5


def test_what_the_lens_bent_is_straight_again() -> None:
    """A bent picture is made by OpenCV's remap from the straight one, then laid out."""
    bend = 0.3
    y, x = np.mgrid[0 : FULL[1], 0 : FULL[0]] + 0.5
    u, v = (x - 450) / 1350, (y - 300) / 1350
    straight = np.stack([u, v])
    for _ in range(20):
        straight = np.stack([u, v]) / (1 + bend * (straight**2).sum(0))
    bent = cv2.remap(
        picture(), (450 + 1350 * straight[0] - 0.5).astype(np.float32),
        (300 + 1350 * straight[1] - 0.5).astype(np.float32), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    plain = laid_out(picture(), recipe(), FULL, (0, 0)).astype(float)
    mine = laid_out(bent, recipe(lens=(450.0, 300.0, 1350.0, bend)), FULL, (0, 0)).astype(float)
    inner = (slice(40, -40), slice(40, -40))
    assert np.abs(mine - plain)[inner].max() <= 2.5
    assert np.abs(laid_out(bent, recipe(), FULL, (0, 0)) - plain)[inner].max() > 8


def test_a_flipped_picture_is_put_right() -> None:
    turned = np.ascontiguousarray(picture()[:, ::-1])
    plain = laid_out(picture(), recipe(), FULL, (0, 0))
    righted = laid_out(turned, recipe(mirrored=True), FULL, (0, 0))
    assert np.abs(righted.astype(int) - plain).max() <= 1


def test_a_part_of_the_picture_gives_the_same_view() -> None:
    whole = laid_out(picture(), recipe(), FULL, (0, 0))
    part = laid_out(picture()[30:, 20:], recipe(), FULL, (20, 30))
    assert np.abs(whole.astype(int) - part)[20:, 20:].max() <= 1


def test_a_coarse_view_averages_what_the_picture_has() -> None:
    """Fine stripes become grey, not a pattern of their own."""
    stripes = np.tile(np.array([0, 255], np.uint8), (FULL[1], FULL[0] // 2))
    coarse = recipe(size=(175, 120), px_per_m=250, h=tuple(np.eye(3).ravel().tolist()))
    inner = laid_out(stripes, coarse, FULL, (0, 0))[15:100, 15:150]
    assert abs(int(inner.mean()) - 127) <= 3 and inner.std() < 12


def test_nothing_is_shown_past_the_margin_or_off_the_picture() -> None:
    near = laid_out(picture(), recipe(margin=20.0), FULL, (0, 0))
    assert (near[:29] == 255).all() and (near[:, :29] == 255).all()
    assert (near[31:40, 60:600] != 255).any() and (near[29:32, 29:32] == 255).all()
    aside = H + np.array([[0, 0, 400], [0, 0, 0], [0, 0, 0]])
    off = laid_out(picture(), recipe(h=tuple(aside.ravel().tolist())), FULL, (0, 0))
    assert (off[:, -60:] == 255).all()


def test_the_file_holds_its_scale_and_is_the_same_every_time(tmp_path: Path) -> None:
    """PNG specification (W3C, 2003), 11.3.5.3: pHYs is in pixels a metre."""
    source = tmp_path / "a.png"
    Image.fromarray(picture()).save(source)
    asked = recipe(sha256=hashlib.sha256(source.read_bytes()).hexdigest(), px_per_m=609)
    made = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        told = rectify(str(source), asked, str(tmp_path / name), Limits())
        made.append({one["file"]: (tmp_path / name / one["file"]).read_bytes()
                     for one in told["sizes"]})  # fmt: skip
    assert made[0] == made[1]
    data = made[0]["view.png"]
    at = data.index(b"pHYs") + 4
    assert (data[at : at + 4], data[at + 4 : at + 8]) == ((609).to_bytes(4, "big"),) * 2
    assert data[at + 8] == 1
    assert b"tEXt" not in data and b"eXIf" not in data
    with Image.open(tmp_path / "one" / "view.jpg") as small:
        assert small.size == (350, 240)


def test_the_whole_view_carries_its_bar_below_it() -> None:
    asked = recipe(bar_mm=200.0, note="200 mm. Only what lies in this plane.")
    view = Image.fromarray(laid_out(picture(), asked, FULL, (0, 0)))
    whole = view_with_bar(view, asked)
    assert whole.width == view.width and whole.height > view.height
    assert whole.crop((0, 0, *view.size)).tobytes() == view.tobytes()
    strip = np.asarray(whole)[view.height :]
    row = strip[strip.shape[0] // 3, :] < 128
    assert row[:200].all() and not row[200:205].any()  # 200 mm at a pixel a millimetre
    assert (strip[:, 210:] < 128).any()  # the words


def test_a_picture_that_changed_is_refused(tmp_path: Path) -> None:
    source = tmp_path / "a.png"
    Image.fromarray(picture()).save(source)
    with pytest.raises(Refused) as refused:
        rectify(str(source), recipe(sha256="0" * 64), str(tmp_path), Limits())
    assert refused.value.refusal.code == "image-changed"
