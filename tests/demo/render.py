"""Render every photograph and document of the demonstration: one command, from a seed."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

import numpy as np  # noqa: E402
from PIL import Image  # noqa: E402

import documents  # noqa: E402
import film  # noqa: E402
import paint  # noqa: E402
import prints  # noqa: E402
import remains  # noqa: E402
import scene  # noqa: E402
import truth  # noqa: E402
from negatives import NEGATIVES  # noqa: E402

PHOTOS = HERE.parent.parent / "content" / "photos"


def exposures(ids: list[str], work: Path, percent: int, samples: int) -> None:
    """Expose negatives and finds into the work folder."""
    for neg in NEGATIVES:
        if ids and neg.id not in ids:
            continue
        folder = work / f"paint-{neg.mark or 'none'}-{neg.scheme}"
        if not (folder / "skin.png").exists():
            paint.paint(folder, neg.mark, neg.scheme)
        t = time.time()
        scene.expose(neg, work, folder, percent, samples)
        print(f"{neg.id}: {time.time() - t:.0f} s", flush=True)
    for find in remains.FINDS:
        if ids and find.id not in ids:
            continue
        t = time.time()
        remains.expose(find, work, percent, samples)
        print(f"{find.id}: {time.time() - t:.0f} s", flush=True)


def develop(ids: list[str], work: Path) -> None:
    """Make the files from the exposures in the work folder."""
    PHOTOS.mkdir(parents=True, exist_ok=True)
    by_id = {n.id: n for n in NEGATIVES}
    for p in prints.PRINTS:
        path = work / f"{p.negative}.exr"
        if (ids and p.negative not in ids) or not path.exists():
            continue
        neg = by_id[p.negative]
        light = film.read_exposure(path)
        im = prints.finish(p, light, neg.size, neg.film)
        if p.look == "retouched":
            im = prints.retouch(p, im, neg)
        prints.save(p, im, PHOTOS)
    for find in remains.FINDS:
        path = work / f"{find.id}.exr"
        if (ids and find.id not in ids) or not path.exists():
            continue
        light = film.read_exposure(path)
        im = Image.fromarray(film.colour(light, np.random.default_rng(prints.seed_of(find.id))).astype("uint8"))
        im = im.resize(find.size, Image.Resampling.BICUBIC)
        exif = Image.Exif()
        exif[0x0132] = find.date.replace("-", ":") + " 11:05:00"
        exif.get_ifd(0x8769)[0x9003] = find.date.replace("-", ":") + " 11:05:00"
        im.save(PHOTOS / (find.id + find.suffix), quality=84, optimize=True, progressive=True, exif=exif.tobytes())


def main() -> int:
    """Do the asked steps; all of them if none is named."""
    ap = argparse.ArgumentParser(description=__doc__)
    ap.add_argument("ids", nargs="*", help="negatives to treat (all if none)")
    ap.add_argument("--work", type=Path, default=HERE.parent.parent / "build" / "demo")
    ap.add_argument("--only", choices=("truth", "expose", "develop", "documents"))
    ap.add_argument("--percent", type=int, default=100, help="size of the exposures")
    ap.add_argument("--samples", type=int, default=48)
    a = ap.parse_args()
    a.work.mkdir(parents=True, exist_ok=True)
    if a.only in (None, "truth"):
        truth.write(HERE / "truth.json")
    if a.only in (None, "expose"):
        exposures(a.ids, a.work, a.percent, a.samples)
    if a.only in (None, "develop"):
        develop(a.ids, a.work)
    if a.only in (None, "documents"):
        documents.write_all(PHOTOS)
    return 0


if __name__ == "__main__":
    sys.exit(main())
