"""Makes the pictures that were ordered, takes from the cache what was made before, and links
all of it into the output folder."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol, cast

from archive.core.atomic import CannotWrite
from archive.core.images import PictureSet, PictureSize, TileLevel, Tiles
from archive.imaging.recipes import Made
from archive.imaging.refusals import ImageRefused
from archive.imaging.worker import ImageReaders, Job
from archive.pictures import store
from archive.pictures.orders import PictureOrder


@dataclass(frozen=True, slots=True)
class PictureRefused:
    """An order that couldn't be carried out, by its name and its picture's fault."""

    name: str
    source: Path
    why: ImageRefused


def make_pictures(
    orders: Sequence[PictureOrder],
    out_dir: Path,
    cache_dir: Path,
    workers: int = 2,
    progress: Callable[[str], None] | None = None,
) -> tuple[dict[str, PictureSet], list[PictureRefused]]:
    """Carries out `orders` (their names all different), in `workers` child processes.

    Gives what was made by the order's name, and the refusals, both in the order of `orders`.
    Sizes lie in `pictures/`, tiles in `tiles/` of `out_dir`. `progress` is told each name when
    it is done. Nothing is decoded for an order that was carried out before. Raises ValueError for
    two orders of one name, and `CannotWrite` where `out_dir` or `cache_dir` can't be written.
    """
    if len({order.name for order in orders}) != len(orders):
        raise ValueError("two picture orders have the same name")
    made: dict[str, Made | ImageRefused] = {}
    wanting: dict[str, PictureOrder] = {}
    keys = {order.name: order.key() for order in orders}
    for order in orders:
        found = made.get(keys[order.name]) or store.recall(cache_dir, keys[order.name])
        if found:
            made[keys[order.name]] = found
        else:
            wanting.setdefault(keys[order.name], order)
    with _writing(cache_dir):
        made.update(_make(wanting, cache_dir, workers, progress))
    sets: dict[str, PictureSet] = {}
    refusals: list[PictureRefused] = []
    for order in orders:
        result = made[keys[order.name]]
        if isinstance(result, ImageRefused):
            refusals.append(PictureRefused(order.name, order.source, result))
        else:
            sets[order.name] = picture_set(order, result)
            kept = store.folder_of(cache_dir, keys[order.name])
            with _writing(out_dir):
                _link(kept, result, sets[order.name].files, out_dir)
    return sets, refusals


def picture_set(order: PictureOrder, made: Made) -> PictureSet:
    """The set's names and numbers; each name ends with a word taken from the bytes made, never
    from those of the original, which may hold what the public isn't shown."""
    tiles = None
    if made["tiles"]:
        levels = tuple(TileLevel(*level) for level in made["tiles"]["levels"])
        folder = f"tiles/{order.name}-{made['tiles']['key']}"
        tiles = Tiles(
            folder,
            levels[-1].width_px,
            levels[-1].height_px,
            levels,
            order.tile_px,
            order.overlap_px,
        )
    sizes = tuple(
        PictureSize(
            f"pictures/{order.name}-{size['width']}-{size['key']}.jpg",
            size["width"],
            size["height"],
        )
        for size in made["sizes"]
    )
    return PictureSet(order.name, order.facts.width_px, order.facts.height_px, sizes, tiles)


class Wanting(Protocol):
    """An order that the children can carry out: its `name`, and its job into a folder."""

    @property
    def name(self) -> str: ...

    def job(self, out: str) -> Job:
        """What the child is asked to do."""
        ...


def made_of(
    wanting: Mapping[str, Wanting],
    cache: Path,
    workers: int,
    progress: Callable[[str], None] | None,
) -> dict[str, Made | None]:
    """What the orders (by key) make, from the cache or from the children; None where refused."""
    found: dict[str, Made | None] = {}
    left: dict[str, Wanting] = {}
    for key, order in wanting.items():
        kept = store.recall(cache, key)
        if kept:
            found[key] = kept
        else:
            left[key] = order
    with _writing(cache):
        for key, result in _make(left, cache, workers, progress).items():
            found[key] = None if isinstance(result, ImageRefused) else result
    return found


def linked(cache: Path, key: str, made: Made, paths: Sequence[str], out: Path) -> list[PictureSize]:
    """Puts what was kept under `key` into `out`, under `paths`, and gives each with its size."""
    with _writing(out):
        _link(store.folder_of(cache, key), made, paths, out)
    return [
        PictureSize(path, size["width"], size["height"])
        for path, size in zip(paths, made["sizes"], strict=True)
    ]


def _make(
    wanting: Mapping[str, Wanting],
    cache: Path,
    workers: int,
    progress: Callable[[str], None] | None,
) -> dict[str, Made | ImageRefused]:
    """Has the children make what is wanting, and keeps it under its key."""
    results: dict[str, Made | ImageRefused] = {}
    if not wanting:
        return results
    keys = list(wanting)
    stage = store.stage(cache)
    jobs = []
    for key, order in wanting.items():
        (stage / key).mkdir()
        jobs.append(order.job(os.path.abspath(stage / key)))
    try:
        with ImageReaders(workers) as readers:
            for place, reply in readers.answers(jobs):
                key = keys[place]
                if isinstance(reply, ImageRefused):
                    results[key] = reply
                else:
                    _raise_unwritten(reply)
                    made = cast(Made, reply)
                    store.keep(cache, key, stage / key, made)
                    results[key] = made
                if progress:
                    progress(wanting[key].name)
    finally:
        shutil.rmtree(stage, ignore_errors=True)
    return results


@contextmanager
def _writing(folder: Path) -> Iterator[None]:
    """Turns a disk's refusal into `CannotWrite`; a full disk doesn't tell which file it was."""
    try:
        yield
    except OSError as error:
        raise CannotWrite.because(Path(error.filename or folder), error) from error


def _raise_unwritten(reply: dict[str, Any]) -> None:
    """A folder that can't be written stops the whole run: it isn't the picture's fault."""
    if "unwritten" in reply:
        number, says, path = reply["unwritten"]
        raise OSError(number, says, *filter(None, [path]))


def _link(kept: Path, made: Made, paths: Sequence[str], out: Path) -> None:
    """Puts each kept file under its name into `out`: by a hard link where the disk can."""
    folders = {os.path.dirname(file) for file in paths}
    for folder in folders:
        os.makedirs(out / folder, exist_ok=True)
    for source, name in zip(store.files_of(made), paths, strict=True):
        here, there = os.path.join(kept, source), os.path.join(out, name)
        try:
            os.link(here, there)
        except FileExistsError:
            if not os.path.samefile(here, there):
                _copy(here, there)
        except OSError:
            _copy(here, there)


def _copy(here: str, there: str) -> None:
    shutil.copyfile(here, there + ".part")
    os.replace(there + ".part", there)
