"""How long measuring takes, beside OpenCV's nearest equivalent where it is installed.

    python tests/benchmarks/measuring.py

CPU time on one core: the threads of the linear algebra are held to one. It prints a table with the
reach that was set for each, and exits 1 where one is passed over. The archive of a thousand
measurements is the demo's, each record copied under many names.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "kits")]

import numpy as np  # noqa: E402
from PIL import Image  # noqa: E402
from scenes import SIZE, a_camera, around, seen  # noqa: E402

from archive.metrology import camera as cam  # noqa: E402
from archive.metrology.network import Network, Priors  # noqa: E402
from archive.metrology.plane import Known, Sought, length_on_plane  # noqa: E402
from archive.metrology.solve import fit  # noqa: E402
from archive.metrology.starts import find_cameras  # noqa: E402
from archive.read.load import load  # noqa: E402
from archive.reasoning.memo import Memo  # noqa: E402
from archive.reasoning.weigh import weigh  # noqa: E402


def took(work: Callable[[], object], times: int = 20) -> float:
    """The least time of several runs, in milliseconds."""
    runs = []
    for _ in range(times):
        begun = time.process_time()
        work()
        runs.append(time.process_time() - begun)
    return 1000 * min(runs)


def archive_of(measurements: int) -> dict[str, float]:
    """Seconds to work out all measurements of an archive, and again once one record changed."""
    with tempfile.TemporaryDirectory(prefix="measuring-") as room:
        folder = Path(room) / "content"
        shutil.copytree(Path(__file__).parents[2] / "content", folder)
        own = sorted((folder / "measurements").glob("*.yaml"))
        for n in range(measurements - len(own)):
            one = own[n % len(own)]
            shutil.copy(one, one.with_name(f"{one.stem}-{n}.yaml"))
        first = load(folder)
        sizes = {f"photos/{id_}": Image.open(path).size for id_, path in first.pictures.items()}
        found, before = {}, None
        for word in ("all", "one changed"):
            loaded = load(folder)
            memo = Memo(loaded.library, loaded.marks(), before)
            begun = time.process_time()
            weigh(loaded.library, sizes=sizes, memo=memo)
            found[f"{memo.worked_out.get('measure', 0)} measurements, {word}"] = (
                time.process_time() - begun
            )
            before = memo.after
            with own[0].open("a") as file:
                file.write("# Looked at again.\n")
        return found


def main() -> int:
    """Print the times, and say whether every reach was met."""
    chance = np.random.default_rng(1)
    target = np.zeros(3)
    points = chance.uniform(-2000, 2000, (100, 3))
    cameras = [a_camera(chance, target, around(chance, target)) for _ in range(2)]
    pixels = [seen(camera, points, chance) for camera in cameras]
    twelve = took(lambda: find_cameras(points[:12], pixels[0][:12], SIZE, 2.0))

    network = Network()
    for number, at in enumerate(points):
        network.point(str(number))
        if number < 12:
            network.place(number, at, np.full(3, 2.5), f"survey|s|{number}")
    for c in range(2):
        network.camera(f"p{c}", Priors(SIZE))
        for number in range(100):
            network.pick(c, number, pixels[c][number], 2.0, f"pick|p{c}|{number}")
    problem, _ = network.problem()
    start = np.concatenate([*cameras, (points + chance.normal(0, 20, points.shape)).ravel()])
    network_ms = took(lambda: fit(problem, start), 5)

    corners = np.array([[0, 0], [3000, 0], [3000, 1000], [0, 1000], [1500, 500], [800, 300.0]])
    on_side = np.column_stack([corners[:, 0] - 1500, np.zeros(6), corners[:, 1] - 500])
    shown = seen(cameras[0], on_side, chance)
    known = Known(
        corners, np.full(corners.shape, 2.5), shown,
        [f"survey|s|{i}" for i in range(6)], [f"pick|p|{i}" for i in range(6)],
    )  # fmt: skip
    sought = Sought(shown[:2] + np.array([20.0, 30]), ["pick|p|a", "pick|p|b"], 2.0)
    plain = took(lambda: length_on_plane(known, sought, SIZE))
    drawn = took(lambda: length_on_plane(known, sought, SIZE, draws=500), 5)
    rows = [
        ("camera from 12 points, ms", twelve, 5.0),
        ("two photographs of 100 points, ms", network_ms, 50.0),
        ("plane of 6 points, ms", plain, 5.0),
        ("the same with 500 draws, ms", drawn, 100.0),
        *((name, s, 20.0 if name.endswith("all") else 1.0) for name, s in archive_of(1000).items()),
    ]
    print("| what (CPU on one core) | measured | to reach |\n|---|---|---|")
    for name, value, reach in rows:
        print(f"| {name} | {value:.2f} | {reach} |{'' if value <= reach else ' not reached'}")
    beside_opencv(points, cameras, pixels, corners, shown)
    return int(any(value > reach for _, value, reach in rows))


def beside_opencv(points, cameras, pixels, corners, shown) -> None:
    """OpenCV's nearest equivalents on the same picks; it knows the lens and gives no errors."""
    try:
        import cv2
    except ImportError:
        print("OpenCV is not installed here.")
        return
    inner = np.array([[np.exp(cameras[0][cam.LOG_F]), 0, 1500], [0, 4000, 1000], [0, 0, 1.0]])
    inner[1, 1] = inner[0, 0]
    pose = took(lambda: cv2.solvePnP(points[:12], pixels[0][:12], inner, None))
    flat = took(lambda: cv2.findHomography(corners, shown, 0))
    print(f"OpenCV: solvePnP of 12 points, lens known {pose:.1f} ms; findHomography {flat:.2f} ms")


if __name__ == "__main__":
    sys.exit(main())
