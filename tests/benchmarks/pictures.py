"""Compares the making of pictures with libvips (pyvips) in one run: processor and wall seconds.

    python tests/benchmarks/pictures.py [--photos 12] [--runs 3]

Needs `pip install pyvips[binary] numpy`. Each line is a process of its own, started afresh with
start-up and writing of the files included; processor time is that of the whole process tree.
Photographs are 6000 x 4000, 4:2:0, quality 88, with grain; sizes 320, 960 and 1920 at quality 82;
tiles of 510 pixels with 1 pixel of overlap. One worker on either side.
"""

from __future__ import annotations

import argparse
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
QUALITY = 82
WIDTHS = (1920, 960, 320)


def photographs(folder: Path, count: int) -> list[Path]:
    """Synthetic photographs: soft shapes, edges, and correlated grain as of a scanned print."""
    import numpy as np
    from PIL import Image

    paths = []
    for number in range(count):
        chance = np.random.default_rng(number)
        coarse = Image.fromarray(chance.integers(0, 255, (13, 19, 3), dtype="uint8"))
        base = np.asarray(coarse.resize((6000, 4000), Image.Resampling.BICUBIC), dtype="float32")
        grain = Image.fromarray(chance.normal(128, 40, (2000, 3000)).clip(0, 255).astype("uint8"))
        speck = np.asarray(grain.resize((6000, 4000), Image.Resampling.BICUBIC), dtype="float32")
        pixels = (base + (speck[..., None] - 128) * 0.55).clip(0, 255).astype("uint8")
        paths.append(folder / f"p{number:02}.jpg")
        Image.fromarray(pixels).save(paths[-1], quality=88, subsampling="4:2:0")
    return paths


def ours(folder: Path, out: Path, tiles: bool) -> None:
    """The program's own way, from reading the facts to the linked files."""
    from archive.core.images import ImageFacts
    from archive.imaging.catalogue import facts_of
    from archive.pictures.make import make_pictures
    from archive.pictures.orders import PictureOrder

    facts = facts_of(sorted(folder.iterdir()), workers=1)
    orders = [
        PictureOrder(path, known, path.stem, tiles=tiles)
        for path, known in facts.items()
        if isinstance(known, ImageFacts)
    ]
    sets, refusals = make_pictures(orders, out / "site", out / "cache", workers=1)
    assert len(sets) == len(orders) and not refusals


def vips(folder: Path, out: Path, tiles: bool) -> None:
    """libvips: a chain of thumbnails, the first reduced while loading, or dzsave; or both."""
    os.environ["VIPS_CONCURRENCY"] = "1"
    import pyvips  # type: ignore[import-not-found,import-untyped,unused-ignore]

    out.mkdir()
    for path in sorted(folder.iterdir()):
        image = pyvips.Image.thumbnail(str(path), WIDTHS[0], height=10_000).copy_memory()
        for width in WIDTHS:
            if image.width != width:
                image = image.thumbnail_image(width, height=10_000).copy_memory()
            image.jpegsave(str(out / f"{path.stem}-{width}.jpg"), Q=QUALITY, keep="none")
        if tiles:
            whole = pyvips.Image.new_from_file(str(path), access="sequential")
            whole.dzsave(
                str(out / path.stem),
                tile_size=510,
                overlap=1,
                suffix=f".jpg[Q={QUALITY},keep=none]",
            )


WAYS = {"ours": ours, "vips": vips}


def measure(way: str, folder: Path, tiles: bool) -> tuple[float, float, float]:
    """Processor seconds, wall seconds and the largest resident size (MB) of one fresh process."""
    with tempfile.TemporaryDirectory() as scratch:
        command = [sys.executable, __file__, "--way", way, "--folder", str(folder)]
        command += ["--out", str(Path(scratch) / "out"), *(["--tiles"] if tiles else [])]
        start = time.perf_counter()
        process = subprocess.Popen(command, env=os.environ | {"PYTHONPATH": str(ROOT)})
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        assert process.returncode == 0
        wall = time.perf_counter() - start
    return usage.ru_utime + usage.ru_stime, wall, usage.ru_maxrss / 1000


def table(folder: Path, count: int, runs: int) -> None:
    """Prints a line for each way and task, and the ratio of the medians."""
    print(f"{'task':18}{'way':7}{'CPU ms/photo':>34}{'wall ms/photo':>34}")
    for tiles in (False, True):
        name = "sizes and tiles" if tiles else "three sizes"
        middle: dict[str, float] = {}
        results: dict[str, list[tuple[float, float, float]]] = {way: [] for way in WAYS}
        for _ in range(runs):
            for way in WAYS:  # in turns, so that a busy minute hits both
                results[way].append(measure(way, folder, tiles))
        for way, found in results.items():
            cpu = "  ".join(f"{1000 * cpu / count:.0f}" for cpu, _, _ in found)
            wall = "  ".join(f"{1000 * wall / count:.0f}" for _, wall, _ in found)
            print(f"{name:18}{way:7}{cpu:>34}{wall:>34}")
            middle[way] = statistics.median(cpu for cpu, _, _ in found)
        print(f"{name:18}ratio  {middle['ours'] / middle['vips']:>34.2f}   (to reach: 1.20)")


def main() -> None:
    """Makes the photographs and prints the table; or does one way's work and no more."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--photos", type=int, default=12)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--way", choices=WAYS)
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--tiles", action="store_true")
    asked = parser.parse_args()
    if asked.way:
        WAYS[asked.way](asked.folder, asked.out, asked.tiles)
        return
    folder = Path(tempfile.mkdtemp())
    try:
        photographs(folder, asked.photos)
        table(folder, asked.photos, asked.runs)
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
