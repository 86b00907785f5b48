"""How long measuring takes, beside OpenCV's nearest equivalent where it is installed.

    python tests/benchmarks/measuring.py

One core: the threads of the linear algebra are held to one.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "kits")]

import numpy as np  # noqa: E402
from scenes import SIZE, a_camera, around, seen  # noqa: E402

from archive.metrology import camera as cam  # noqa: E402
from archive.metrology.network import Network, Priors  # noqa: E402
from archive.metrology.plane import Known, Sought, length_on_plane  # noqa: E402
from archive.metrology.solve import fit  # noqa: E402
from archive.metrology.starts import find_cameras  # noqa: E402


def took(work: Callable[[], object], times: int = 20) -> float:
    """The least time of several runs, in milliseconds."""
    runs = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        runs.append(time.perf_counter() - begun)
    return 1000 * min(runs)


def main() -> None:
    """Print the times."""
    chance = np.random.default_rng(1)
    target = np.zeros(3)
    points = chance.uniform(-2000, 2000, (100, 3))
    cameras = [a_camera(chance, target, around(chance, target)) for _ in range(2)]
    pixels = [seen(camera, points, chance) for camera in cameras]
    twelve = took(lambda: find_cameras(points[:12], pixels[0][:12], SIZE, 2.0))
    print(f"camera from 12 points: {twelve:.1f} ms")

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
    print(f"two photographs, 100 points: {took(lambda: fit(problem, start), 5):.1f} ms")

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
    print(f"plane of 6 points: {plain:.1f} ms; with 500 draws: {drawn:.1f} ms")
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
    main()
