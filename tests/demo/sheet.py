"""A sheet of old paper: typed, printed and handwritten ink, folds, rings, and the table it lies on.

The faces are free ones (SIL Open Font Licence) from the @fontsource packages, unpacked as .ttf
into the folder that the environment variable DEMO_FACES names (see README.md).
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont
from scipy import ndimage

from prints import paper, seed_of

FACES = Path(os.environ.get("DEMO_FACES", "build/demo/faces"))
TYPE = "special-elite-latin-400-normal"
COURIER = "courier-prime-latin-400-normal"
BOOK = "old-standard-tt-latin-400-normal"
BOLD = "old-standard-tt-latin-700-normal"
HAND = "homemade-apple-latin-400-normal"
PEN = "la-belle-aurore-latin-400-normal"
PENCIL = "reenie-beanie-latin-400-normal"
INK, BLUE_INK, GRAPHITE = (34, 30, 34), (30, 40, 92), (74, 72, 76)
Rng = np.random.Generator


def face(name: str, size: int) -> ImageFont.FreeTypeFont:
    """A free type face by file name."""
    return ImageFont.truetype(str(FACES / f"{name}.ttf"), size)


class Sheet:
    """Ink on its own layer, laid over aged paper at the end."""

    def __init__(self, name: str, size: tuple[int, int], colour: tuple[float, float, float], age: float = 1.0) -> None:
        self.rng: Rng = np.random.default_rng(seed_of(name))
        self.size = size
        self.sheet = paper(size, self.rng, colour, age)

    def layer(self) -> tuple[Image.Image, ImageDraw.ImageDraw]:
        im = Image.new("L", self.size, 0)
        return im, ImageDraw.Draw(im)

    def ink(self, mask: Image.Image, colour: tuple[int, int, int], patchy: float = 0.25, blur: float = 0.6) -> None:
        """Lay a mask in a colour, with the unevenness of ribbon, nib or pencil."""
        m = np.asarray(mask.filter(ImageFilter.GaussianBlur(blur)), float) / 255
        h, w = m.shape
        n = ndimage.gaussian_filter(self.rng.normal(size=(h, w)), 1.1)
        big = ndimage.zoom(ndimage.gaussian_filter(self.rng.normal(size=(h // 20 + 2, w // 20 + 2)), 1.5), 20, order=1)[:h, :w]
        m = m * np.clip(1 - patchy * (0.7 + 0.5 * n / n.std() + 0.5 * big / big.std()), 0, 1)
        self.sheet = self.sheet * (1 - m[..., None]) + np.array(colour) * m[..., None]

    def typed(self, lines: list[str], x: float, y: float, size: int, leading: float, colour: tuple[int, int, int] = INK, name: str = TYPE) -> float:
        """Typewriter lines: each letter a little out of line and unevenly struck."""
        im, dr = self.layer()
        f = face(name, size)
        step = f.getlength("m")
        for line in lines:
            cx = x
            for ch in line:
                if ch != " ":
                    dy, dx = self.rng.normal(0, size * 0.014, 2)
                    dr.text((cx + dx, y + dy), ch, font=f, fill=int(self.rng.uniform(165, 255)))
                cx += step
            y += leading
        self.ink(im, colour, 0.22)
        return y

    def printed(self, text: str, x: float, y: float, name: str, size: int, anchor: str = "la", colour: tuple[int, int, int] = INK, patchy: float = 0.12) -> None:
        im, dr = self.layer()
        dr.text((x, y), text, font=face(name, size), fill=255, anchor=anchor)
        self.ink(im, colour, patchy, 0.5)

    def written(self, lines: list[str], x: float, y: float, name: str, size: int, leading: float, colour: tuple[int, int, int], slope: float = -0.006, patchy: float = 0.3) -> float:
        """Handwriting: each word on its own small slope."""
        im, _ = self.layer()
        f = face(name, size)
        for line in lines:
            cx = x + self.rng.normal(0, size * 0.12)
            base = y
            for word in line.split(" "):
                if word:
                    w, h = int(f.getlength(word)) + size, int(size * 2.4)
                    tile = Image.new("L", (w, h), 0)
                    ImageDraw.Draw(tile).text((size // 2, size * 0.5), word, font=f, fill=int(self.rng.uniform(200, 255)))
                    tile = tile.rotate(self.rng.normal(0.5, 0.7), resample=Image.Resampling.BICUBIC)
                    im.paste(ImageChops.lighter(im.crop((int(cx - size / 2), int(base - size * 0.5), int(cx - size / 2) + w, int(base - size * 0.5) + h)), tile),
                             (int(cx - size / 2), int(base - size * 0.5)))
                cx += f.getlength(word + " ") * self.rng.uniform(0.97, 1.04)
                base = y + (cx - x) * slope + self.rng.normal(0, size * 0.03)
            y += leading
        self.ink(im, colour, patchy, 0.6)
        return y

    def rule(self, x0: float, y0: float, x1: float, y1: float, width: int, colour: tuple[int, int, int], patchy: float = 0.3) -> None:
        im, dr = self.layer()
        dr.line([(x0, y0), (x1, y1)], fill=220, width=width)
        self.ink(im, colour, patchy, 0.5)

    def folds(self, across: tuple[float, ...] = (1 / 3, 2 / 3), down: tuple[float, ...] = ()) -> None:
        """The ghost of folds."""
        h, w = self.sheet.shape[:2]
        for f in across:
            y = np.arange(h) - f * h - 2 * np.sin(np.arange(h) / 50)
            self.sheet += (9 * np.exp(-((y - 3) / 2.5) ** 2) - 15 * np.exp(-((y + 1) / 3) ** 2) - 3 * np.exp(-(y / 30) ** 2))[:, None, None]
        for f in down:
            x = np.arange(w) - f * w
            self.sheet += (9 * np.exp(-((x - 3) / 2.5) ** 2) - 15 * np.exp(-((x + 1) / 3) ** 2) - 3 * np.exp(-(x / 30) ** 2))[None, :, None]

    def ring(self, x: float, y: float, r: float) -> None:
        """A cup's ring."""
        h, w = self.sheet.shape[:2]
        yy, xx = np.mgrid[0:h, 0:w]
        a = np.hypot(xx - x, yy - y) - r
        t = np.arctan2(yy - y, xx - x)
        s = np.exp(-(a / 5) ** 2) * (0.6 + 0.4 * np.sin(t * 2 + 1)) + 0.25 * (np.abs(a + 12) < 12)
        self.sheet -= (s * 17)[..., None] * np.array([0.7, 1.1, 1.6])

    def on_table(self, margin: int, table: tuple[float, float, float] = (58.0, 54.0, 52.0), turn: float = 0.4, torn: float = 1.5) -> Image.Image:
        """The sheet on a dark table, its edge worn, a little askew."""
        h, w = self.sheet.shape[:2]
        edge = ndimage.gaussian_filter(self.rng.normal(size=(h // 4 + 1, w // 4 + 1)), 4)
        edge = ndimage.zoom(edge / edge.std() * torn, 4, order=1)[:h, :w]
        yy, xx = np.mgrid[0:h, 0:w]
        inside = np.minimum(np.minimum(xx, w - 1 - xx), np.minimum(yy, h - 1 - yy)) + edge - torn * 1.5
        mask = Image.fromarray((np.clip(inside + 0.5, 0, 1) * 255).astype("uint8"))
        page = Image.fromarray(self.sheet.clip(0, 255).astype("uint8"))
        size = (w + 2 * margin, h + 2 * margin)
        back = paper(size, self.rng, table, 0.3)
        whole = Image.new("L", size, 0)
        whole.paste(mask, (margin, margin))
        whole = whole.rotate(turn, resample=Image.Resampling.BICUBIC)
        shade = np.asarray(ImageChops.offset(whole, 9, 12).filter(ImageFilter.GaussianBlur(11)), float) / 255
        back *= (1 - 0.6 * shade)[..., None]
        top = Image.new("RGB", size)
        top.paste(page, (margin, margin))
        top = top.rotate(turn, resample=Image.Resampling.BICUBIC)
        out = Image.fromarray(back.clip(0, 255).astype("uint8"))
        out.paste(top, mask=whole)
        return out
