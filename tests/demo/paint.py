"""The painted surfaces: fuselage skin and wings as images, mark, stripe, seams and dirt."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from scipy import ndimage

import dimensions as d
from body import SKIN_X, SKIN_Z

FONT = "/usr/share/fonts/truetype/liberation/LiberationSansNarrow-Bold.ttf"
SCALE = 0.62  # pixels per mm on the fuselage
WING = 0.42
BLUE, RED, CREAM = (72, 112, 186), (205, 48, 42), (240, 234, 214)
DOPE, BLACK = (186, 189, 192), (22, 24, 28)


def cloud(shape: tuple[int, int], cells: tuple[int, int], seed: int, octaves: int = 4) -> np.ndarray:
    """Smooth noise in 0..1."""
    rng = np.random.default_rng(seed)
    out = np.zeros(shape)
    for k in range(octaves):
        n = (cells[0] * 2**k + 3, cells[1] * 2**k + 3)
        g = rng.normal(size=n)
        z = ndimage.zoom(g, (shape[0] / (n[0] - 2), shape[1] / (n[1] - 2)), order=1)
        out += z[: shape[0], : shape[1]] / 2**k
    out -= out.min()
    return out / out.max()


def lettering(draw: ImageDraw.ImageDraw, text: str, box: tuple[float, float, float, float], fill: object) -> None:
    """Block letters that exactly fill the height of a box, centred across it."""
    x0, y0, x1, y1 = box
    size = int((y1 - y0) * 1.38)
    font = ImageFont.truetype(FONT, size)
    b = font.getbbox(text)
    draw.text(((x0 + x1) / 2 - (b[0] + b[2]) / 2, y0 - b[1] + ((y1 - y0) - (b[3] - b[1])) / 2), text, font=font, fill=fill)


def mark_box() -> tuple[float, float, float, float]:
    """Fuselage mark: x from, x to, z top, z bottom, in mm."""
    return 3750.0, 5550.0, -50.0, -50.0 - d.MARK_HEIGHT_FUSELAGE


def fuselage_side(mark: str, scheme: str, starboard: bool) -> tuple[Image.Image, Image.Image]:
    """One side as seen from port (x to the right), colour and height; starboard is mirrored in."""
    w, h = int((SKIN_X[1] - SKIN_X[0]) * SCALE), int((SKIN_Z[1] - SKIN_Z[0]) * SCALE)
    px = lambda x: (x - SKIN_X[0]) * SCALE  # noqa: E731
    pz = lambda z: (SKIN_Z[1] - z) * SCALE  # noqa: E731
    im = Image.new("RGB", (w, h), BLUE if scheme == "1932" else DOPE)
    dr = ImageDraw.Draw(im)
    m0, m1, zt, zb = mark_box()
    if scheme == "1932":
        for lo, hi, colour in ((-14, 14, CREAM), (0, 0, RED)):
            for a, b in ((-420.0, m0 - 130), (m1 + 130, 7400.0)):
                zu = lambda x: -300 + 0.012 * max(x - 2600, 0)  # noqa: E731
                zl = lambda x: -300 - d.STRIPE_WIDTH + 0.030 * max(x - 2600, 0)  # noqa: E731
                dr.polygon([(px(a), pz(zu(a) + hi)), (px(b), pz(zu(b) + hi)), (px(b), pz(zl(b) + lo)), (px(a), pz(zl(a) + lo))], fill=colour)
    if mark:
        plate = Image.new("L", (w, h), 0)
        lettering(ImageDraw.Draw(plate), mark, (px(m0), pz(zt), px(m1), pz(zb)), 255)
        if starboard:
            strip = plate.crop((int(px(m0)) - 60, 0, int(px(m1)) + 60, h)).transpose(Image.Transpose.FLIP_LEFT_RIGHT)
            plate.paste(strip, (int(px(m0)) - 60, 0))
        im.paste(Image.new("RGB", (w, h), CREAM if scheme == "1932" else BLACK), mask=plate)
    a = np.asarray(im, float)
    dirt = cloud((h, w), (6, 30), 7 + starboard)
    streak = cloud((h, w), (10, 3), 9 + starboard)
    a *= (0.86 + 0.16 * dirt + 0.08 * streak)[..., None]
    low = np.clip((np.arange(h) / h - 0.72) / 0.28, 0, 1)[:, None] * cloud((h, w), (4, 60), 3)
    a = a * (1 - 0.35 * low[..., None]) + 60 * 0.35 * low[..., None]
    bump = Image.new("L", (w, h), 128)
    bd = ImageDraw.Draw(bump)
    for x in (*d.FRAME_STATIONS, 450.0, -30.0):
        bd.line([(px(x), 0), (px(x), h)], fill=190, width=7)
    for z in (-3.0, -330.0, -660.0, -995.0, 110.0):
        bd.line([(px(900.0), pz(z)), (px(2650.0), pz(z)), (w, pz(z * 0.42 if z < 0 else 40))], fill=185, width=7)
    soft = np.asarray(bump.filter(ImageFilter.GaussianBlur(5)), float)
    fine = Image.new("L", (w, h), 0)
    fd = ImageDraw.Draw(fine)
    for x in (-20.0, 440.0, 890.0):
        for z in np.arange(-1000, 100, 36.0):
            fd.ellipse([px(x) - 3, pz(z) - 3, px(x) + 3, pz(z) + 3], fill=90)
        fd.line([(px(x) + 6, 0), (px(x) + 6, h)], fill=0)
    for z in (-40.0, -960.0):
        for x in np.arange(-300, 900, 40.0):
            fd.ellipse([px(x) - 3, pz(z) - 3, px(x) + 3, pz(z) + 3], fill=90)
    for k in range(8):  # cooling gills on the forward panels
        x = 120 + 34 * k
        fd.line([(px(x), pz(-640.0)), (px(x), pz(-840.0))], fill=160, width=6)
        a[int(pz(-640.0)):int(pz(-840.0)), int(px(x)):int(px(x)) + 8] *= 0.45
    for x in (895.0, 450.0):
        a[:, int(px(x)):int(px(x)) + 2] *= 0.6
    height = np.clip(soft + np.asarray(fine, float), 0, 255)
    return Image.fromarray(np.clip(a, 0, 255).astype("uint8")), Image.fromarray(height.astype("uint8"))


def skin(mark: str, scheme: str) -> tuple[Image.Image, Image.Image]:
    """The whole unrolled skin: port below, crown in the middle, starboard upside down above."""
    out = []
    sides = [fuselage_side(mark, scheme, s) for s in (False, True)]
    for k in (0, 1):
        port, star = sides[0][k], sides[1][k].transpose(Image.Transpose.FLIP_TOP_BOTTOM)
        whole = Image.new(port.mode, (port.width, 2 * port.height))
        whole.paste(star, (0, 0))
        whole.paste(port, (0, port.height))
        out.append(whole)
    return out[0], out[1]


def wing(span: float, chord: float, letters: tuple[str, str], below: bool, seed: int, colour: object = BLACK) -> Image.Image:
    """A wing surface, leading edge up, port to the left (mirrored letters on an underside)."""
    w, h = int(span * WING), int(chord * WING)
    im = Image.new("RGB", (w, h), DOPE)
    dr = ImageDraw.Draw(im)
    size = d.MARK_HEIGHT_WING * WING
    for text, y in zip(letters, (-3550.0, 3550.0), strict=True):
        if text:
            x = (y + span / 2) * WING
            lettering(dr, text, (x - 900 * WING, (h - size) / 2, x + 900 * WING, (h + size) / 2), colour)
    if below:
        im = im.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    dr = ImageDraw.Draw(im)
    for y in np.arange(-span / 2 // d.RIB_PITCH * d.RIB_PITCH, span / 2, d.RIB_PITCH):
        x = (y + span / 2) * WING
        dr.line([(x, 0), (x, h)], fill=(205, 207, 210), width=4)
    for s in (-1, 1):
        a, b = sorted((s * (span / 2 - 2500), s * (span / 2 - 550)))
        x0, x1 = (a + span / 2) * WING, (b + span / 2) * WING
        dr.line([(x0, h), (x0, h * 0.76), (x1, h * 0.76), (x1, h)], fill=(40, 40, 44), width=6)
    a = np.asarray(im, float)
    a *= (0.84 + 0.2 * cloud((h, w), (3, 26), seed) + 0.06 * cloud((h, w), (2, 90), seed + 1))[..., None]
    return Image.fromarray(np.clip(a, 0, 255).astype("uint8"))


def paint(folder: Path, mark: str, scheme: str) -> None:
    """Write the five images for one mark and scheme as PNG files into ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    colour, height = skin(mark, scheme)
    colour.save(folder / "skin.png")
    height.save(folder / "skin-height.png")
    left, right = (mark.split("-") + [""])[:2] if mark else ("", "")
    wing(d.UPPER_SPAN, d.UPPER_CHORD, (left, right), False, 21).save(folder / "wing-upper-top.png")
    wing(d.UPPER_SPAN, d.UPPER_CHORD, ("", ""), True, 22).save(folder / "wing-upper-under.png")
    wing(d.LOWER_SPAN, d.LOWER_CHORD, ("", ""), False, 23).save(folder / "wing-lower-top.png")
    wing(d.LOWER_SPAN, d.LOWER_CHORD, (left, right), True, 24).save(folder / "wing-lower-under.png")
