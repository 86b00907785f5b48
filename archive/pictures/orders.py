"""What to make of one picture, said before anything is opened."""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import PIL

from archive.core.images import ImageFacts
from archive.imaging.limits import Limits
from archive.imaging.recipes import TILE_OVERLAP, TILE_SIZE
from archive.imaging.worker import Job
from archive.pictures.credit import exif, packet

VERSION = 2  # of what a recipe makes: another number makes every picture anew
TILED_FROM_PX = 2400
WIDTHS = (320, 960, 1920)

Polygon = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PictureOrder:
    """One picture to be made ready for the pages.

    `source` is the original, only ever read; `facts` are those of its bytes. `name` starts the
    names of the files made (a-z, 0-9 and -). `widths` are pixels; none is enlarged. `tiles` says
    whether to make a pyramid for zooming; None: when the long side is over 2400 px.
    `regions_flat` are polygons in upright pixels of the file, covered with a margin before
    anything is scaled. `metadata` may hold the keys of `credit.FIELDS`; nothing else is written
    into a picture. Tiles are `tile_px` wide, with `overlap_px` of their neighbours. Raises
    ValueError for what can't be ordered.
    """

    source: Path
    facts: ImageFacts
    name: str
    widths: tuple[int, ...] = WIDTHS
    tiles: bool | None = None
    regions_flat: tuple[Polygon, ...] = ()
    metadata: Mapping[str, str] | None = None
    tile_px: int = TILE_SIZE
    overlap_px: int = TILE_OVERLAP

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,99}", self.name):
            raise ValueError(f"not a picture's name: {self.name!r}")
        if not self.widths or not all(16 <= width <= 16_000 for width in self.widths):
            raise ValueError(f"not widths of a picture: {self.widths!r}")
        if not all(region and _finite(region) for region in self.regions_flat):
            raise ValueError(f"not regions of a picture: {self.regions_flat!r}")
        packet(self.metadata)

    @property
    def tiled(self) -> bool:
        """Whether a pyramid of tiles is made."""
        if self.tiles is not None:
            return self.tiles
        return max(self.facts.width_px, self.facts.height_px) > TILED_FROM_PX

    def recipe(self) -> dict[str, object]:
        """The order as plain values for the child: what the files made depend on."""
        return {
            "sha256": self.facts.sha256,
            "widths": sorted(set(self.widths)),
            "tiles": self.tiled,
            "flat": [[list(point) for point in region] for region in self.regions_flat],
            "xmp": packet(self.metadata),
            "tile_px": self.tile_px,
            "overlap_px": self.overlap_px,
            "exif": exif(self.metadata).hex(),
        }

    def job(self, out: str) -> Job:
        """What the child is asked to do, into the folder `out`."""
        limits = Limits.for_pixels(self.facts.width_px * self.facts.height_px)
        return Job("derive", self.source, limits, {"out": out, "recipe": self.recipe()})

    def key(self) -> str:
        """A name for what this order makes: alike for equal bytes and equal recipes (hex)."""
        return key_of({"recipe": self.recipe(), "version": VERSION})


def key_of(made_by: dict[str, object]) -> str:
    """The checksum (hex) of all that the bytes of a picture depend on, the encoder with it."""
    whole = {**made_by, "encoder": PIL.__version__}
    return hashlib.sha256(json.dumps(whole, sort_keys=True).encode()).hexdigest()


def _finite(region: Polygon) -> bool:
    return all(math.isfinite(x) and abs(x) < 1e6 for point in region for x in point)
