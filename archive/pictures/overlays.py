"""Pairs of related pictures brought to one frame, ordered before anything is opened."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from archive.core.images import ImageFacts, Overlay
from archive.core.likeness import Likeness
from archive.imaging.answers import made_by
from archive.imaging.limits import Limits
from archive.imaging.recipes import OverlayRecipe
from archive.imaging.worker import Job
from archive.pictures.make import linked, made_of
from archive.pictures.orders import key_of

VERSION = 1  # of what a recipe makes
WIDEST_PX = 960


@dataclass(frozen=True, slots=True)
class OverlayOrder:
    """One pair to be brought to one frame.

    `first` and `second` are the originals, only ever read, with their facts, in the order of the
    `likeness`; `name` starts the names of the files made (a-z, 0-9 and -).
    """

    name: str
    first: Path
    second: Path
    facts: tuple[ImageFacts, ImageFacts]
    likeness: Likeness

    def recipe(self) -> OverlayRecipe:
        """What the files made depend on: the frame is the overlap, with a little around it."""
        box = _overlap(self.facts, self.likeness)
        wide, high = box[2] - box[0], box[3] - box[1]
        scale = min(1.0, WIDEST_PX / max(wide, high))
        size = (max(1, round(wide * scale)), max(1, round(high * scale)))
        found = self.likeness
        return OverlayRecipe((found.one, found.other), found.warp, found.negative, box, size)

    def key(self) -> str:
        """A name for what this order makes: alike for equal bytes and equal recipes (hex)."""
        return key_of({"overlay": asdict(self.recipe()), "version": VERSION, "laid": made_by()})

    def job(self, out: str) -> Job:
        """What the child is asked to do, into the folder `out`."""
        pixels = sum(facts.width_px * facts.height_px for facts in self.facts)
        arguments = {
            "other": str(self.second.absolute()),
            "out": out,
            "recipe": asdict(self.recipe()),
        }
        return Job("overlay", self.first, Limits.for_pixels(pixels), arguments)


def make_overlays(
    orders: Sequence[OverlayOrder],
    out_dir: Path,
    cache_dir: Path,
    workers: int = 2,
    progress: Callable[[str], None] | None = None,
) -> dict[str, Overlay]:
    """Carries out `orders` (their names all different), and gives what was made by name.

    A pair that can't be made is left out: the pictures' own faults are told of elsewhere. Raises
    `CannotWrite` as `make_pictures` does.
    """
    wanting = {order.key(): order for order in orders}
    made = made_of(wanting, cache_dir, workers, progress)
    found: dict[str, Overlay] = {}
    for order in orders:
        result = made.get(order.key())
        if result is not None:
            paths = [
                f"pictures/{order.name}-{size['file'].removesuffix('.jpg')}-{size['key']}.jpg"
                for size in result["sizes"]
            ]
            first, second, difference = linked(cache_dir, order.key(), result, paths, out_dir)
            found[order.name] = Overlay(first, second, difference, order.recipe().box)
    return found


def _overlap(
    facts: tuple[ImageFacts, ImageFacts], likeness: Likeness
) -> tuple[float, float, float, float]:
    """The overlap's box in pixels of the first picture, 4 % wider on each side within it."""
    a, b, c, d, e, f = likeness.warp
    wide, high = facts[1].width_px, facts[1].height_px
    corners = [(a * x + b * y + c, d * x + e * y + f) for x in (0, wide) for y in (0, high)]
    bounds = []
    for axis, most in enumerate((facts[0].width_px, facts[0].height_px)):
        low = max(0.0, min(corner[axis] for corner in corners))
        top = min(float(most), max(corner[axis] for corner in corners))
        margin = 0.04 * (top - low)
        bounds.append((max(0.0, low - margin), min(float(most), top + margin)))
    (left, right), (upper, lower) = bounds
    return round(left, 1), round(upper, 1), round(right, 1), round(lower, 1)
