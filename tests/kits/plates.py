"""Made-up scenes photographed on grainy negatives, and what happens to their prints.

A scene is drawn from chance: ground, sky, sheds, a machine with wires and a mark. A negative is one
exposure of it with grain and dust of its own; a print is what was made of a negative. All tones are
bytes, (rows, columns).
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

SIZE = (1200, 840)
Chance = np.random.Generator
Tones = Any


def scene(
    seed: int,
    size: tuple[int, int] = SIZE,
    shift: tuple[float, float] = (0.0, 0.0),
    mark: str = "QK-41",
    people: int = 0,
) -> Tones:
    """A scene without grain. `shift` moves the camera: near things move by all of it, in pixels,
    far ones by a part. `people` is where those stand that may walk about; `mark` what is painted
    on the side. Everything else hangs on `seed` alone."""
    chance = np.random.default_rng(seed)
    width, height = size
    horizon = int(height * chance.uniform(0.4, 0.55))
    image = Image.new("L", size, 190)
    pen = ImageDraw.Draw(image)
    for row in range(horizon):
        pen.line([(0, row), (width, row)], fill=int(205 - 40 * row / horizon))

    def at(x: float, y: float, depth: float) -> tuple[float, float]:
        return x + shift[0] * depth, y + shift[1] * depth

    ridge = np.cumsum(chance.normal(0, 4, width // 8 + 4))
    line = [at(8 * i - 16, horizon - 40 + ridge[i] - ridge.mean(), 0.1) for i in range(len(ridge))]
    pen.polygon([(0, height), *line, (width, height)], fill=150)
    pen.rectangle([0, horizon, width, height], fill=118)
    for _ in range(420):  # stones and tufts
        x, y = chance.uniform(-60, width + 60), chance.uniform(horizon, height)
        r, tone = chance.uniform(1, 7), int(chance.uniform(70, 165))
        depth = 0.3 + 0.9 * (y - horizon) / (height - horizon)
        x, y = at(x, y, depth)
        pen.ellipse([x - 2 * r, y - r, x + 2 * r, y + r], fill=tone)
    for _ in range(3):  # sheds with planks and windows
        x, w, h = chance.uniform(0, width), chance.uniform(140, 300), chance.uniform(90, 190)
        tone = int(chance.uniform(90, 150))
        left, top = at(x, horizon - h + 30, 0.35)
        pen.rectangle([left, top, left + w, top + h], fill=tone, outline=40, width=2)
        for plank in range(int(w // 14)):
            px = left + 14 * plank + chance.uniform(-2, 2)
            pen.line([(px, top), (px, top + h)], fill=tone - int(chance.uniform(8, 40)), width=1)
        for _ in range(4):
            wx, wy = left + chance.uniform(0, w - 26), top + chance.uniform(10, h - 40)
            pen.rectangle([wx, wy, wx + 24, wy + 30], fill=int(chance.uniform(40, 70)), outline=210)
    _machine(pen, chance, (width, height), horizon, at, mark)
    walk = np.random.default_rng((seed, people))
    for _ in range(5):
        x, y = at(walk.uniform(60, width - 60), horizon + walk.uniform(60, 240), 0.9)
        coat = int(walk.uniform(30, 90))
        pen.ellipse([x - 9, y - 92, x + 9, y - 72], fill=int(walk.uniform(120, 200)))
        pen.polygon([(x - 17, y - 70), (x + 17, y - 70), (x + 12, y), (x - 12, y)], fill=coat)
        pen.line([(x, y - 60), (x, y - 8)], fill=coat + 60, width=3)
    soft = image.filter(ImageFilter.GaussianBlur(1.1))
    return np.asarray(soft)


def _machine(
    pen: Any, chance: Chance, size: tuple[int, int], horizon: int, at: Callable[..., Any], mark: str
) -> None:
    width, height = size
    x, y = at(width * chance.uniform(0.25, 0.4), horizon + height * 0.14, 0.8)
    length, depth = width * chance.uniform(0.42, 0.5), height * 0.12
    tail = x + length
    body = [(x, y), (x + 0.3 * length, y - depth), (tail, y - 0.3 * depth), (tail, y)]
    body.append((x + 0.2 * length, y + 0.4 * depth))
    pen.polygon(body, fill=200, outline=30)
    for wing in (-1.9, -0.5):
        top = y + wing * depth
        tip = x + 0.6 * length
        outline = [(x - 60, top), (tip - 0.05 * length, top - 18), (tip, top), (x - 40, top + 14)]
        pen.polygon(outline, fill=int(215 + 10 * wing), outline=25)
        for rib in range(24):
            rx = x - 40 + rib * (0.6 * length + 30) / 24
            pen.line([(rx, top + 8), (rx + 6, top - 12)], fill=170, width=1)
    for strut in (0.0, 0.16, 0.36, 0.52):
        sx = x + strut * length
        pen.line([(sx, y - 1.9 * depth), (sx + 18, y - 0.5 * depth)], fill=35, width=4)
        pen.line([(sx, y - 1.9 * depth), (sx + 70, y - 0.5 * depth)], fill=60, width=1)
    for wheel in (0.12, 0.3):
        wx, wy = x + wheel * length, y + 1.1 * depth
        pen.ellipse([wx - 34, wy - 34, wx + 34, wy + 34], fill=45, outline=20, width=6)
        pen.line([(wx, wy), (wx + 20, y)], fill=30, width=6)
    fin = [(tail - 0.1 * length, y - 0.3 * depth), (tail, y - 1.3 * depth), (tail + 60, y)]
    pen.polygon(fin, fill=90)
    pen.text((x + 0.5 * length, y - 0.55 * depth), mark, fill=20, font_size=44)


def negative(tones: Tones, seed: int, grain: float = 5.0) -> Tones:
    """One exposure: grain, dust, hairs and a density of its own, from `seed`."""
    chance = np.random.default_rng((seed, 77))
    rows, columns = tones.shape
    coarse = _blurred(chance.normal(0, 1, (rows, columns)), 0.7)
    coarse /= coarse.std()
    out = tones * chance.uniform(0.93, 1.05) + chance.uniform(-5, 5) + grain * coarse
    image = Image.fromarray(np.clip(out, 0, 255).astype(np.uint8))
    pen = ImageDraw.Draw(image)
    for _ in range(26):
        x, y, r = chance.uniform(0, columns), chance.uniform(0, rows), chance.uniform(0.6, 2.0)
        pen.ellipse([x - r, y - r, x + r, y + r], fill=int(chance.choice([15, 240])))
    return np.asarray(image)


def _blurred(values: Any, sigma: float) -> Any:
    reach = max(1, int(3 * sigma))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    kernel /= kernel.sum()
    for axis in (0, 1):
        values = np.apply_along_axis(lambda v: np.convolve(v, kernel, "same"), axis, values)
    return values


def rescanned(tones: Tones, chance: Chance) -> Tones:
    """The same print on a scanner once more: at another place of it, a little softer, with the
    scanner's noise."""
    left, top = (int(cut) for cut in chance.integers(4, 24, 2))
    tones = tones[top:, left:]
    soft = Image.fromarray(tones).filter(ImageFilter.GaussianBlur(chance.uniform(0.3, 0.6)))
    noisy = np.asarray(soft) + chance.normal(0, 1.2, tones.shape)
    return np.clip(noisy, 0, 255).astype(np.uint8)


def cropped(tones: Tones, chance: Chance, keep: float = 0.4) -> Tones:
    """A cut that keeps so much of the area."""
    rows, columns = tones.shape
    side = keep**0.5
    high, wide = int(rows * side), int(columns * side)
    top, left = (
        int(chance.integers(0, rows - high + 1)),
        int(chance.integers(0, columns - wide + 1)),
    )
    return tones[top : top + high, left : left + wide]


def bordered(tones: Tones, chance: Chance) -> Tones:
    """White paper around the picture, on a dark scanner bed."""
    rows, columns = tones.shape
    paper, bed = (int(chance.uniform(0.03, 0.12) * max(rows, columns)) for _ in range(2))
    out = np.pad(tones, paper, constant_values=235)
    return np.pad(out, bed // 2 + 4, constant_values=28)


def turned(tones: Tones, chance: Chance) -> Tones:
    """Up to 4 degrees round, at another size, on a dark bed."""
    image = Image.fromarray(tones).rotate(
        chance.uniform(-4, 4), Image.Resampling.BICUBIC, expand=True, fillcolor=28
    )
    return sized(np.asarray(image), chance.uniform(0.6, 1.05))


def sized(tones: Tones, scale: float, stretch: float = 1.0) -> Tones:
    """At another scale, `stretch` times as wide beside."""
    rows, columns = tones.shape
    size = (max(1, round(columns * scale * stretch)), max(1, round(rows * scale)))
    return np.asarray(Image.fromarray(tones).resize(size, Image.Resampling.LANCZOS))


def toned(tones: Tones, chance: Chance) -> Tones:
    """Printed harder or softer, lighter or darker."""
    level = (tones / 255.0) ** chance.uniform(0.5, 2.0)
    bend = chance.uniform(0, 0.6)
    level = (1 - bend) * level + bend * (3 * level**2 - 2 * level**3)
    return np.clip(255 * level, 0, 255).astype(np.uint8)


def screened(tones: Tones, chance: Chance, angle: float | None = None) -> Tones:
    """Through a halftone screen of 3 to 5 pixels."""
    pitch = chance.uniform(3, 5)
    turn = np.radians(chance.uniform(20, 70) if angle is None else angle)
    rows, columns = np.indices(tones.shape)
    u = (columns * np.cos(turn) + rows * np.sin(turn)) * 2 * np.pi / pitch
    v = (-columns * np.sin(turn) + rows * np.cos(turn)) * 2 * np.pi / pitch
    threshold = 127.5 + 63 * (np.cos(u) + np.cos(v))
    ink = np.where(tones > threshold, 238, 30).astype(np.uint8)
    return np.asarray(Image.fromarray(ink).filter(ImageFilter.GaussianBlur(0.7)))


def mirrored(tones: Tones, chance: Chance) -> Tones:
    """Printed from the wrong side."""
    return np.ascontiguousarray(tones[:, ::-1])


def reversed_(tones: Tones, chance: Chance) -> Tones:
    """The negative itself."""
    return 255 - tones


def blurred(tones: Tones, chance: Chance) -> Tones:
    """Copied out of focus."""
    radius = chance.uniform(1.5, 3)
    return np.asarray(Image.fromarray(tones).filter(ImageFilter.GaussianBlur(radius)))


def saved(tones: Tones, chance: Chance) -> Tones:
    """As a JPEG of low quality."""
    buffer = io.BytesIO()
    Image.fromarray(tones).save(buffer, "JPEG", quality=int(chance.integers(12, 31)))
    return np.asarray(Image.open(buffer))


def scratched(tones: Tones, chance: Chance) -> Tones:
    """10 to 30 scratches."""
    image = Image.fromarray(tones)
    pen = ImageDraw.Draw(image)
    columns, rows = image.size
    for _ in range(int(chance.integers(10, 31))):
        x, y = chance.uniform(0, columns), chance.uniform(0, rows)
        way = (x + chance.normal(0, 160), y + chance.normal(0, 160))
        pen.line(
            [(x, y), way], fill=int(chance.choice([12, 245])), width=int(chance.integers(1, 3))
        )
    return np.asarray(image)


def retouched(tones: Tones, chance: Chance) -> Tones:
    """A tenth of the area painted over in flat tones."""
    out = tones.copy()
    rows, columns = tones.shape
    for _ in range(4):
        high, wide = int(rows * 0.16), int(columns * 0.16)
        top, left = int(chance.integers(0, rows - high)), int(chance.integers(0, columns - wide))
        out[top : top + high, left : left + wide] = int(out[top : top + high, left].mean())
    return out


def stretched(tones: Tones, chance: Chance) -> Tones:
    """Paper that dried 1 % longer and half of that wider."""
    return sized(tones, 1.005, 1.01 / 1.005)


def small(tones: Tones, chance: Chance) -> Tones:
    """A third of the size."""
    return sized(tones, chance.uniform(0.3, 0.45))


def nothing(tones: Tones, chance: Chance) -> Tones:
    """No more than a second scan."""
    return tones


STEPS: dict[str, tuple[Callable[[Tones, Chance], Tones], ...]] = {
    "second scan": (nothing,),
    "crop 40 %": (cropped,),
    "border": (bordered,),
    "turn and scale": (turned,),
    "tone": (toned,),
    "halftone": (screened,),
    "mirror": (mirrored,),
    "negative": (reversed_,),
    "blur": (blurred,),
    "JPEG": (saved,),
    "scratches": (scratched,),
    "retouching 10 %": (retouched,),
    "stretch": (stretched,),
    "small": (small,),
    "press": (cropped, retouched, toned, screened, stretched, turned, bordered, saved),
    "worn print": (toned, scratched, stretched, turned, bordered, saved),
    "mirrored negative": (reversed_, mirrored, toned, turned),
    "mirrored crop": (cropped, mirrored, toned, blurred, bordered),
    "brochure": (retouched, toned, screened, bordered, small),
}
"""Name of each distortion, and of each combination → its steps in order."""


AT_RANDOM = "four at random"
"""As a name: four of the single steps, drawn by chance, in the order of the list."""


def printed(tones: Tones, name: str, seed: int) -> Tones:
    """What came of a print of `tones` by the steps of `name`, scanned anew."""
    chance = np.random.default_rng((seed, sum(map(ord, name))))
    for step in _four(chance) if name == AT_RANDOM else STEPS[name]:
        tones = step(tones, chance)
    return rescanned(tones, chance)


def _four(chance: Chance) -> list[Callable[[Tones, Chance], Tones]]:
    single = [steps[0] for steps in STEPS.values() if len(steps) == 1 and steps[0] is not nothing]
    return [single[place] for place in sorted(chance.choice(len(single), 4, replace=False))]
