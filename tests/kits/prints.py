"""Small picture files for the tests, each with pixels of its own."""

from __future__ import annotations

import random
from pathlib import Path

from PIL import Image


def picture(seed: int, size: tuple[int, int] = (48, 32)) -> Image.Image:
    """A grey picture of noise, the same again for the same seed."""
    return Image.frombytes("L", size, random.Random(seed).randbytes(size[0] * size[1]))


def saved(path: Path, seed: int = 1, **options: object) -> Path:
    """The picture of a seed, saved at `path` in the format of its ending."""
    path.parent.mkdir(parents=True, exist_ok=True)
    picture(seed).save(path, **options)
    return path
