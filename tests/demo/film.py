"""What film and paper do to a rendered exposure: response, curve, flare, grain, wear, toning."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import OpenEXR
from scipy import ndimage

Array = np.ndarray
# Weights of red, green and blue light. Orthochromatic film is blind to red and strong in blue;
# panchromatic film behind a yellow filter sees red and little blue. (Common practice, no source.)
RESPONSE = {
    "orthochromatic": (0.015, 0.385, 0.60),
    "panchromatic": (0.55, 0.42, 0.03),
    "even": (0.30, 0.45, 0.25),
}


def read_exposure(path: Path) -> Array:
    """A linear EXR as (h, w, 3)."""
    with OpenEXR.File(str(path)) as f:
        channels = f.channels()
        key = "RGB" if "RGB" in channels else "RGBA"
        return np.asarray(channels[key].pixels, np.float32)[..., :3]


def grain(shape: tuple[int, int], size: float, rng: np.random.Generator) -> Array:
    """Film grain of about ``size`` pixels, unit variance, two sizes mixed."""
    fine = ndimage.gaussian_filter(rng.normal(size=shape), size * 0.5)
    coarse = ndimage.gaussian_filter(rng.normal(size=shape), size * 1.3)
    return 0.8 * fine / fine.std() + 0.35 * coarse / coarse.std()


def negative(
    light: Array, film: str, rng: np.random.Generator, middle: float = 0.41, contrast: float = 1.0,
    softness: float = 0.8, grain_size: float = 1.1, grain_amount: float = 0.020,
) -> Array:  # fmt: skip
    """A positive reading of the developed negative, (h, w) in 0..1, its median near ``middle``."""
    w = RESPONSE[film]
    y = np.clip(light @ np.array(w, np.float32), 0, None)
    # Halation: strong light scatters back from the base.
    hi = np.clip(y - np.percentile(y, 97), 0, None)
    k = max(y.shape) / 1800
    y = y + 0.30 * ndimage.gaussian_filter(hi, 9 * k) + 0.10 * ndimage.gaussian_filter(hi, 40 * k)
    # Veiling flare of an uncoated lens.
    y = 0.965 * y + 0.035 * y.mean()
    y = ndimage.gaussian_filter(y, softness)
    log = np.log2(y + 1e-3)
    log -= np.median(log)
    spread = np.percentile(log, 97) - np.percentile(log, 3)
    gamma = contrast * 0.80 * min(1.25, max(0.8, 5.0 / max(spread, 1.0)))
    base = np.log(middle / (1 - middle))
    tone = 1 / (1 + np.exp(-(base + gamma * log)))
    # The printer chose a paper grade that just holds the darkest and the lightest.
    dark, light_end = np.percentile(tone, 0.4), np.percentile(tone, 99.5)
    tone = np.clip(0.015 + (tone - dark) / (light_end - dark) * 0.96, 0, 1)
    tone = tone ** (np.log(middle + 0.03) / np.log(np.median(tone)) * 0.7 + 0.3)
    h, wd = tone.shape
    yy, xx = np.mgrid[0:h, 0:wd]
    r2 = ((xx - wd / 2) / (wd / 2)) ** 2 + ((yy - h / 2) / (h / 2)) ** 2
    tone = tone * (1 - 0.10 * r2 - 0.03 * r2**2)
    amount = grain_amount * (0.6 + 1.6 * tone * (1 - tone) * 2)
    tone = tone + grain(tone.shape, grain_size, rng) * amount
    return np.clip(tone, 0, 1)


def wear(tone: Array, rng: np.random.Generator, scale: float = 1.0) -> Array:
    """Dust, hairs, scratches, silvering at the edges and a little fading, on a print."""
    h, w = tone.shape
    out = tone.copy()
    k = max(h, w) / 1800
    for _ in range(int(70 * scale)):
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.gamma(1.4, 0.6) * k + 0.45
        blot(out, x, y, r, 0.55 if rng.random() < 0.72 else -0.35)
    for _ in range(int(5 * scale)):
        x, y, a = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0, 6.28)
        bend = rng.normal(0, 0.018)
        for _ in range(int(rng.uniform(25, 80) * k)):
            blot(out, x, y, 0.7 * k, 0.28)
            x, y, a = x + np.cos(a) * 1.2, y + np.sin(a) * 1.2, a + bend + rng.normal(0, 0.03)
    for _ in range(int(5 * scale)):
        x0, y0 = rng.uniform(0, w), rng.uniform(0, h)
        length, a = rng.uniform(80, 420) * k, rng.normal(1.5, 0.25)
        n = int(length)
        xs = (x0 + np.arange(n) * np.cos(a)).astype(int)
        ys = (y0 + np.arange(n) * np.sin(a)).astype(int)
        ok = (xs >= 0) & (xs < w) & (ys >= 0) & (ys < h)
        keep = rng.random(ok.sum()) > 0.12
        out[ys[ok][keep], xs[ok][keep]] += 0.22
    yy, xx = np.mgrid[0:h, 0:w]
    edge = np.minimum(np.minimum(xx, w - 1 - xx), np.minimum(yy, h - 1 - yy)) / (60 * k)
    stain = ndimage.gaussian_filter(rng.normal(size=(h // 24 + 2, w // 24 + 2)), 2)
    stain = ndimage.zoom(stain / stain.std(), 24, order=1)[:h, :w]
    out = out + 0.010 * stain + 0.05 * np.exp(-edge) * (1 + 0.4 * stain)
    return np.clip(out, 0, 1)


def blot(out: Array, x: float, y: float, r: float, lift: float) -> None:
    h, w = out.shape
    x0, x1, y0, y1 = int(max(0, x - 3 * r)), int(min(w, x + 3 * r + 2)), int(max(0, y - 3 * r)), int(min(h, y + 3 * r + 2))
    if x0 >= x1 or y0 >= y1:
        return
    yy, xx = np.mgrid[y0:y1, x0:x1]
    out[y0:y1, x0:x1] += lift * np.exp(-(((xx - x) ** 2 + (yy - y) ** 2) / (r * r + 0.2)))


def tone_print(tone: Array, warmth: float = 1.0, black: float = 0.045, white: float = 0.93) -> Array:
    """Grey to the slightly warm colours of an old bromide print, (h, w, 3) in 0..255."""
    t = black + (white - black) * np.clip(tone, 0, 1)
    r = t ** (1 - 0.055 * warmth)
    g = t
    b = t ** (1 + 0.13 * warmth)
    return (np.stack([r, g * (1 - 0.006 * warmth), b], 2) * 255).clip(0, 255)


def colour(light: Array, rng: np.random.Generator, middle: float = 0.40, contrast: float = 1.0) -> Array:
    """A modern camera's colour picture, (h, w, 3) in 0..255."""
    y = light @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    k = 0.45 / max(float(np.exp(np.mean(np.log(y + 1e-3)))), 1e-3) * (middle / 0.40)
    x = light * k
    x = x * (1 + x / 9.0) / (1 + x)
    s = np.clip(x, 0, 1) ** (1 / 2.2)
    s = np.clip(0.5 + (s - 0.5) * 1.16 * contrast, 0, 1)
    s = ndimage.gaussian_filter(s, (0.5, 0.5, 0))
    s = s + rng.normal(size=s.shape[:2])[..., None] * 0.008 + rng.normal(size=s.shape) * 0.006
    return (s * 255).clip(0, 255)
