"""Planes of pictures laid out at true scale, ordered before anything is opened."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from archive.core.images import ImageFacts, RectifiedPicture
from archive.core.rectified import Rectified
from archive.imaging.answers import made_by
from archive.imaging.limits import Limits
from archive.imaging.recipes import RectifiedRecipe
from archive.imaging.worker import Job
from archive.pictures import store
from archive.pictures.make import linked, made_of
from archive.pictures.orders import key_of

VERSION = 1  # of what a recipe makes
PAGE_PX = 1600
NOTE = "Only what lies in this plane is at true size. For static display."
"""What stands beside the scale bar of a view that is taken away."""
PRINT_PX_PER_M, MOST_PRINT_PX = 4000, 40_000_000
"""Printed, a view is made this fine, however coarse the photograph: what prints it may shift a
picture that it must enlarge by half of one of its pixels, which then is an eighth of a millimetre.
"""


Part = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Printed:
    """A part of a view, made for print: JPEG bytes, and how wide and high it is (mm)."""

    data: bytes
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class RectifiedOrder:
    """One plane to be laid out: `source` is the original, only ever read, with its facts; `name`
    starts the names of the files made (a-z, 0-9 and -). With a `part` (left, top, width and height,
    mm of the view) that is made for print, as JPEG alone."""

    name: str
    source: Path
    facts: ImageFacts
    plane: Rectified
    part: Part | None = None

    def recipe(self) -> RectifiedRecipe:
        """What the files made depend on."""
        plane = self.plane
        if self.part is not None:
            return self._part(*self.part)
        return RectifiedRecipe(
            self.facts.sha256,
            plane.size_px,
            plane.px_per_m,
            plane.to_photo,
            plane.lens,
            plane.mirrored,
            plane.within,
            plane.margin_mm,
            PAGE_PX,
            bar_mm=plane.bar_mm,
            note=f"{plane.bar_mm:g} mm. {NOTE}",
        )

    def _part(self, left: float, top: float, width: float, height: float) -> RectifiedRecipe:
        plane, h = self.plane, self.plane.to_photo
        fine = min(PRINT_PX_PER_M, int(1000 * math.sqrt(MOST_PRINT_PX / (width * height))))
        size = (max(1, round(width * fine / 1000)), max(1, round(height * fine / 1000)))
        rows = (h[0:3], h[3:6], h[6:9])
        return RectifiedRecipe(
            self.facts.sha256,
            size,
            fine,
            tuple(n for a, b, c in rows for n in (a, b, a * left + b * top + c)),
            plane.lens,
            plane.mirrored,
            tuple((x - left, y - top) for x, y in plane.within),
            plane.margin_mm,
            size[0],
            whole=False,
        )

    def key(self) -> str:
        """A name for what this order makes: alike for equal bytes and equal recipes (hex)."""
        return key_of({"rectified": asdict(self.recipe()), "version": VERSION, "laid": made_by()})

    def job(self, out: str) -> Job:
        """What the child is asked to do, into the folder `out`."""
        wide, high = self.recipe().size
        pixels = self.facts.width_px * self.facts.height_px + wide * high
        arguments = {"out": out, "recipe": asdict(self.recipe())}
        return Job("rectify", self.source, Limits.for_pixels(pixels), arguments)


def make_rectified(
    orders: Sequence[RectifiedOrder],
    out_dir: Path,
    cache_dir: Path,
    workers: int = 2,
    progress: Callable[[str], None] | None = None,
) -> dict[str, RectifiedPicture]:
    """Carries out `orders` (their names all different), and gives what was made by name.

    A picture that can't be read is left out: its own faults are told of elsewhere. Raises
    `CannotWrite` as `make_pictures` does.
    """
    wanting = {order.key(): order for order in orders}
    made = made_of(wanting, cache_dir, workers, progress)
    found: dict[str, RectifiedPicture] = {}
    for order in orders:
        result = made.get(order.key())
        if result is None:
            continue
        paths = [
            f"pictures/{order.name}-{size['key']}{Path(size['file']).suffix}"
            for size in result["sizes"]
        ]
        found[order.name] = RectifiedPicture(
            *linked(cache_dir, order.key(), result, paths, out_dir)
        )
    return found


def make_printed(orders: Sequence[RectifiedOrder], cache_dir: Path) -> dict[str, Printed]:
    """Carries out `orders` of parts, and gives what was made by name; else as `make_rectified`."""
    made = made_of({order.key(): order for order in orders}, cache_dir, 2, None)
    found: dict[str, Printed] = {}
    for order in orders:
        result = made.get(order.key())
        if result is not None:
            (size,) = result["sizes"]
            fine = order.recipe().px_per_m / 1000
            data = (store.folder_of(cache_dir, order.key()) / size["file"]).read_bytes()
            found[order.name] = Printed(data, size["width"] / fine, size["height"] / fine)
    return found
