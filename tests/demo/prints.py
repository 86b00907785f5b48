"""From negatives to the files on disk: crop, turn over, stretch, screen, retouch, border, scan."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter
from scipy import ndimage

import film

Array = np.ndarray


@dataclass(frozen=True)
class Print:
    """One file made from one negative.

    ``crop`` is x0, y0, x1, y1 in parts of the negative; ``size`` the final file in pixels;
    ``border`` the paper's white margin in pixels; ``stretch`` how much the paper grew in x and y.
    """

    file: str
    negative: str
    size: tuple[int, int]
    crop: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    flipped: bool = False
    stretch: tuple[float, float] = (1.0, 1.0)
    turn_deg: float = 0.0
    border: int = 50
    look: str = "print"
    middle: float = 0.41
    contrast: float = 1.0
    softness: float = 0.8
    grain: float = 0.020
    warmth: float = 1.0
    wear: float = 1.0
    orientation: int = 1
    quality: int = 84
    scanned: str = "2026:02:11 10:20:00"
    exif: bool = field(default=False)


PRINTS = (
    Print("works-apron-print.jpg", "works-apron", (2000, 1390), border=64, exif=True),
    Print("works-apron-album.jpg", "works-apron", (1700, 1180), (0.04, 0.22, 0.70, 0.88), border=70,
          look="album", warmth=1.7, contrast=0.9, softness=1.1, wear=1.6, turn_deg=0.5),
    Print("works-apron-flipped.jpg", "works-apron", (1600, 1112), flipped=True, border=44,
          softness=1.5, contrast=1.15, grain=0.028, warmth=0.5, stretch=(1.004, 0.998)),
    Print("works-apron-halftone.jpg", "works-apron", (1600, 1110), (0.02, 0.14, 0.99, 0.95),
          look="halftone", border=40, contrast=1.25, softness=1.6, wear=0.3, quality=74),
    Print("works-apron-nose.jpg", "works-apron", (1500, 1200), (0.10, 0.26, 0.53, 0.766), border=46,
          softness=1.0, grain=0.032, warmth=0.9, turn_deg=-0.4),
    Print("slipway-1932.jpg", "slipway", (6000, 4000), border=120, stretch=(1.010, 1.005),
          quality=76, grain=0.030, exif=True, scanned="2026:02:12 14:03:10"),
    Print("slipway-second-frame.jpg", "slipway-next", (1900, 1280), border=52, warmth=1.1),
    Print("hangar-doors.jpg", "hangar", (1800, 1250), border=50, warmth=1.2, exif=True),
    Print("moored-side.jpg", "moored", (2200, 1304), border=54, warmth=0.6, contrast=1.2),
    Print("nose-close.jpg", "nose", (1500, 1700), border=44, orientation=6, exif=True,
          scanned="2026:02:13 09:41:55"),
    Print("float-strut-close.jpg", "float-strut", (1700, 1250), border=46),
    Print("dam-view.jpg", "dam", (1900, 1330), border=50, warmth=0.7),
    Print("hatch-belly.jpg", "hatch", (1500, 1150), border=44, warmth=1.3),
    Print("cockpit-coaming.jpg", "coaming", (1600, 1150), border=44),
    Print("sister-slipway.jpg", "sister", (1900, 1270), border=52, warmth=1.4, contrast=0.95),
    Print("tail-1934.webp", "tail", (1500, 1120), (0.2, 0.12, 1.0, 0.92), border=42, warmth=0.5),
    Print("repaint-1935.jpg", "repaint", (1800, 1200), border=48, warmth=0.4, exif=True),
    Print("beached-1932-late.jpg", "beached", (1900, 1300), border=52, warmth=1.5, wear=1.4,
          exif=True, scanned="2027:06:30 11:12:40"),
    Print("unknown-airframe.png", "unknown", (1200, 823), border=30, look="blurred", softness=2.6,
          grain=0.04, contrast=0.85, wear=1.6, warmth=0.0),
    Print("retouched-brochure.jpg", "brochure", (1700, 1150), look="retouched", border=60,
          contrast=1.2, wear=0.5, warmth=0.8),
)  # fmt: skip


def matrix(p: Print, negative_size: tuple[int, int]) -> Array:
    """The 3x3 transform from negative pixels to the finished file's pixels."""
    w, h = negative_size
    x0, y0, x1, y1 = p.crop[0] * w, p.crop[1] * h, p.crop[2] * w, p.crop[3] * h
    fw, fh = p.size[0] - 2 * p.border, p.size[1] - 2 * p.border
    s = max(fw / (x1 - x0), fh / (y1 - y0))
    cx, cy = (x0 + x1) / 2, (y0 + y1) / 2
    to_middle = np.array([[1, 0, -cx], [0, 1, -cy], [0, 0, 1.0]])
    a = np.radians(p.turn_deg)
    turn = np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1.0]])
    grow = np.diag([s * p.stretch[0] * (-1 if p.flipped else 1), s * p.stretch[1], 1.0])
    place = np.array([[1, 0, p.size[0] / 2], [0, 1, p.size[1] / 2], [0, 0, 1.0]])
    return place @ turn @ grow @ to_middle


def frame_of(p: Print) -> tuple[int, int, int, int]:
    """The picture area in the file: x0, y0, x1, y1."""
    bottom = 110 if p.look == "halftone" else p.border
    return p.border, p.border, p.size[0] - p.border, p.size[1] - bottom


def seed_of(name: str) -> int:
    return zlib.crc32(name.encode())


def warp(tone: Array, m: Array, size: tuple[int, int]) -> Array:
    """Resample an image through a negative-to-file matrix (pixel centres at half-integers)."""
    inv = np.linalg.inv(m)
    a = inv[[1, 0]][:, [1, 0]]
    off = np.array([inv[1, 2], inv[0, 2]]) + a @ np.array([0.5, 0.5]) - 0.5
    return ndimage.affine_transform(tone, a, off, (size[1], size[0]), order=1, mode="nearest")


def finish(p: Print, light: Array, negative_size: tuple[int, int], film_name: str) -> Image.Image:
    """Make one file's picture from a linear exposure (of any size, scaled to the negative's)."""
    rng = np.random.default_rng(seed_of(p.negative))
    own = np.random.default_rng(seed_of(p.file))
    if light.shape[1] != negative_size[0]:
        z = (negative_size[1] / light.shape[0], negative_size[0] / light.shape[1], 1)
        light = np.clip(ndimage.zoom(light, z, order=1), 0, None)
    if p.look == "blurred":
        light = ndimage.uniform_filter1d(light, 13, axis=1)
    big = p.size[0] > 4000
    tone = film.negative(light, film_name, rng, p.middle, p.contrast, p.softness,
                         grain_amount=0.006 if big else p.grain)
    out = warp(tone, matrix(p, negative_size), p.size)
    if big:
        g = film.grain(out.shape, 1.7, own)
        out = np.clip(out + g * p.grain * (0.6 + 3.2 * out * (1 - out)), 0, 1)
    if p.look == "halftone":
        out = halftone(out, 4.0)
    out = film.wear(out, own, p.wear)
    rgb = film.tone_print(out, p.warmth)
    return mount(p, rgb, own)


def halftone(tone: Array, pitch: float, angle_deg: float = 45.0) -> Array:
    """A newspaper's dot screen of ``pitch`` pixels."""
    h, w = tone.shape
    yy, xx = np.mgrid[0:h, 0:w]
    a = np.radians(angle_deg)
    u = (xx * np.cos(a) + yy * np.sin(a)) * 2 * np.pi / pitch
    v = (-xx * np.sin(a) + yy * np.cos(a)) * 2 * np.pi / pitch
    screen = 0.5 + 0.25 * (np.cos(u) + np.cos(v))
    smooth = ndimage.gaussian_filter(np.clip(0.5 + (tone - 0.5) * 1.25 + 0.06, 0, 1), pitch * 0.35)
    ink = 1 / (1 + np.exp(-(smooth - screen) * 9))
    return 0.10 + 0.82 * ndimage.gaussian_filter(ink, 0.6)


def paper(size: tuple[int, int], rng: np.random.Generator, colour: tuple[float, float, float], age: float = 1.0) -> Array:
    """Old paper: fibre, foxing, browned edges."""
    w, h = size
    n = ndimage.gaussian_filter(rng.normal(size=(h, w)), 0.8)
    out = np.ones((h, w, 3)) * np.array(colour)
    out += (n / n.std() * 2.2)[..., None]
    blot = ndimage.gaussian_filter(rng.normal(size=(h // 16 + 2, w // 16 + 2)), 3)
    blot = ndimage.zoom(blot / blot.std(), 16, order=1)[:h, :w]
    out += (blot * 3.0 * age)[..., None] * np.array([0.8, 1.0, 1.3])
    yy, xx = np.mgrid[0:h, 0:w]
    edge = np.minimum(np.minimum(xx, w - 1 - xx), np.minimum(yy, h - 1 - yy)) / (0.05 * max(w, h))
    out -= (np.exp(-edge) * (14 + 5 * blot) * age)[..., None] * np.array([0.8, 1.2, 1.9])
    for _ in range(int(26 * age)):
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.gamma(1.5, 3.0) * max(w, h) / 2000 + 1
        x0, x1, y0, y1 = int(max(0, x - 3 * r)), int(min(w, x + 3 * r)), int(max(0, y - 3 * r)), int(min(h, y + 3 * r))
        sy, sx = np.mgrid[y0:y1, x0:x1]
        out[y0:y1, x0:x1] -= (np.exp(-((sx - x) ** 2 + (sy - y) ** 2) / (r * r)) * rng.uniform(5, 26))[..., None] * np.array([0.6, 1.0, 1.5])
    return out


def mount(p: Print, rgb: Array, rng: np.random.Generator) -> Image.Image:
    """Put the picture on its paper."""
    x0, y0, x1, y1 = frame_of(p)
    if p.border <= 0:
        return Image.fromarray(rgb.astype("uint8"))
    tint = {"album": (46.0, 44.0, 42.0), "halftone": (206.0, 193.0, 160.0)}.get(p.look, (226.0, 219.0, 201.0))
    sheet = paper(p.size, rng, tint, 0.35 if p.look == "album" else 1.0)
    if p.look == "halftone":
        ink = rgb.mean(axis=2, keepdims=True) / 235
        sheet[y0:y1, x0:x1] = (sheet * np.clip(ink, 0.13, 1))[y0:y1, x0:x1]
    elif p.look == "album":
        g = 14
        sheet[y0 - g : y1 + g, x0 - g : x1 + g] = paper((x1 - x0 + 2 * g, y1 - y0 + 2 * g), rng, (222.0, 212.0, 190.0), 0.5)
        sheet[y0:y1, x0:x1] = rgb[y0:y1, x0:x1]
    else:
        sheet[y0:y1, x0:x1] = rgb[y0:y1, x0:x1]
    im = Image.fromarray(sheet.clip(0, 255).astype("uint8"))
    dr = ImageDraw.Draw(im)
    if p.look == "album":
        for cx, cy, sx, sy in ((x0 - 16, y0 - 16, 1, 1), (x1 + 16, y0 - 16, -1, 1), (x0 - 16, y1 + 16, 1, -1), (x1 + 16, y1 + 16, -1, -1)):
            dr.polygon([(cx, cy), (cx + sx * 74, cy), (cx, cy + sy * 74)], fill=(30, 28, 27), outline=(64, 60, 56))
    if p.look == "halftone":
        from sheet import face
        f = face("old-standard-tt-latin-400-normal", 27)
        text = ["THE NEW SURVEY AEROPLANE FOR HOLLIN WATER.—The Lund & Aske biplane QK-41, which is to map",
                "the fells from the lake this summer.  (Photograph supplied by the makers.)"]
        for k, line in enumerate(text):
            dr.text((x0 + 10, y1 + 14 + 36 * k), line, font=f, fill=(48, 42, 36))
        im = im.filter(ImageFilter.GaussianBlur(0.5))
    return im


def save(p: Print, im: Image.Image, folder: Path) -> Path:
    """Write the file with its scanner's Exif; orientation 6 is stored lying on its side."""
    path = folder / p.file
    exif = Image.Exif()
    if p.exif or p.orientation != 1:
        exif[0x0132] = p.scanned
        exif[0x0112] = p.orientation
        exif[0x011A], exif[0x011B], exif[0x0128] = 600.0, 600.0, 2
        exif[0x0131] = "flatbed scan"
        exif.get_ifd(0x8769)[0x9004] = p.scanned
    if p.orientation == 6:
        im = im.transpose(Image.Transpose.ROTATE_90)
    if path.suffix == ".png":
        im.convert("L").save(path, optimize=True)
    elif path.suffix == ".webp":
        im.save(path, quality=p.quality, method=5)
    else:
        im.save(path, quality=p.quality, optimize=True, progressive=True, exif=exif.tobytes() if len(exif) else b"", dpi=(600, 600))
    return path


def retouch(p: Print, im: Image.Image, neg: object) -> Image.Image:
    """A publicity print: background painted out, outlines re-inked, wires gone."""
    import scene
    import truth

    pieces = [q for q in scene.pieces_of(neg) if q.finish != "wire"]
    camera, _ = scene.camera_of(neg, pieces)
    mesh = truth.occluders(pieces)
    m = np.linalg.inv(matrix(p, neg.size))
    w, h = p.size[0] // 2, p.size[1] // 2
    yy, xx = np.mgrid[0:h, 0:w]
    q = np.stack([xx.ravel() * 2.0 + 1, yy.ravel() * 2.0 + 1, np.ones(w * h)], 1) @ m.T
    ray = np.stack([(q[:, 0] - camera.centre[0]) / camera.focal, (q[:, 1] - camera.centre[1]) / camera.focal, np.ones(w * h)], 1) @ camera.rotation
    hit = mesh.ray.intersects_any(np.repeat(camera.position[None], w * h, 0), ray).reshape(h, w)
    mask = Image.fromarray((hit * 255).astype("uint8")).resize(p.size, Image.Resampling.BICUBIC)
    a = np.asarray(mask.filter(ImageFilter.GaussianBlur(1.0)), float)[..., None] / 255
    a = np.clip((a - 0.3) / 0.4, 0, 1)
    x0, y0, x1, y1 = frame_of(p)
    g = np.linspace(176, 226, p.size[1])[:, None, None] * np.array([1.0, 0.985, 0.93]) * np.ones((1, p.size[0], 1))
    rng = np.random.default_rng(seed_of(p.file) + 1)
    g = g + (ndimage.gaussian_filter(rng.normal(size=g.shape[:2]), 14) * 60)[..., None]
    src = np.asarray(im, float)
    out = src * a + g * (1 - a)
    rim = np.asarray(mask.filter(ImageFilter.FIND_EDGES).filter(ImageFilter.GaussianBlur(0.9)), float)[..., None] / 255
    out *= 1 - 0.55 * np.clip(rim * 1.3, 0, 1)
    done = src.copy()
    done[y0:y1, x0:x1] = out[y0:y1, x0:x1]
    return Image.fromarray(done.clip(0, 255).astype("uint8"))
