"""Photographs of a calibration board with known geometry, which the tests measure.

A board of nine by six inner corners, 25 mm apart, photographed by two cameras with wide lenses,
640 × 480 px: `left*.jpg` and `right*.jpg` of the samples of OpenCV (Apache-2.0), as Debian's
package `opencv-doc` carries them, with the published calibration of the left camera
(`left_intrinsics.yml`). Nothing of it is kept here; `python tests/ready.py` fetches it.
"""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import tempfile
from functools import cache
from pathlib import Path

PACKAGE = "opencv-doc"
INSIDE = "usr/share/doc/opencv-doc/examples/data"
FOLDER = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "witnessmark-boards"
SUMS = {
    "left01.jpg": "9621899098adffa1440c8264606bb7be",
    "left02.jpg": "052e700bbcc865c112958ec2ea105cb1",
    "left03.jpg": "c85b9426c3d8fcf161e1e72735610509",
    "left04.jpg": "b490599dccfbfe5eb56d33363415b022",
    "left05.jpg": "40bab8934fa76f82ec614a7fd0e6ebb4",
    "left06.jpg": "1cb164db61b3bd52f58a7e9340bb27c5",
    "left07.jpg": "d2211fe9f971646b6ff88ed93a4f0d3f",
    "left08.jpg": "f7a0737894812a28243af5b409c5689f",
    "left09.jpg": "753939bc62d093c001d9118e989bef2b",
    "left11.jpg": "e736ace3d515c94c547009c3c10d818c",
    "left12.jpg": "04bdd78b3b507fe0551aa7062a3ffd94",
    "left13.jpg": "2637fb6dd5e557f4fadb06b353a453eb",
    "left14.jpg": "d4c032971dd7b859f9d6aed5090c9888",
    "right01.jpg": "94a160342fade4d0c4d2e94b8cb6c1e1",
    "right02.jpg": "f7819b2fcc45fdeff0cefd666a1f8bd2",
    "right03.jpg": "43a3cea1907be641268ea18478362ab6",
    "right04.jpg": "d5874ff3d948dbb673beb035dd70aef5",
    "right05.jpg": "9382a24af5a21a9e3ec477bd4f74011e",
    "right06.jpg": "874b60edc8a53da477c6ee393184a1aa",
    "right07.jpg": "446093eead30c8cb1e51c8d01d322907",
    "right08.jpg": "5f1be870c8709fd5fc4dd578103b3200",
    "right09.jpg": "de28e9f146f4b7de78b0e39be6682997",
    "right11.jpg": "2695e8f8e94eaef0bcfe56818090dada",
    "right12.jpg": "07489b6a334fae390954bbbddedf03a0",
    "right13.jpg": "a576cc5e69668d65dd926366d103c4c7",
    "right14.jpg": "e98bbe907610e9499d704bd0fe68d4ad",
    "left_intrinsics.yml": "93a35a94eaaa63afba5128292cf2800f",
}
"""File → the first half of its SHA-256."""
ACROSS, DOWN, SQUARE_MM = 9, 6, 25.0
SIZE = (640.0, 480.0)
LEFT = tuple(name for name in SUMS if name.startswith("left") and name.endswith(".jpg"))
RIGHT = tuple(name for name in SUMS if name.startswith("right"))
WINDOW = 5
"""Half the side (px) of the patch that places a corner: less than a square of the smallest board.
The published calibration took 11, which on `left02.jpg` reaches into the next squares."""


def there(folder: Path) -> bool:
    """Whether every file is there, byte for byte."""
    return all(
        (folder / name).is_file()
        and hashlib.sha256((folder / name).read_bytes()).hexdigest().startswith(sum_)
        for name, sum_ in SUMS.items()
    )


def missing() -> bool:
    """Whether the files have to be fetched."""
    return not any(map(there, (Path("/") / INSIDE, FOLDER)))


def fetch() -> bool:
    """Take the files out of Debian's package, without installing it (96 MB to load, 1 MB kept)."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    files = " ".join(f"./{INSIDE}/{name}" for name in SUMS)
    with tempfile.TemporaryDirectory() as place:
        script = f"""
            cd {place} && {{ apt-get download {PACKAGE} || {{ apt-get update \\
              && apt-get download {PACKAGE}; }}; }} \\
              && dpkg-deb --fsys-tarfile {PACKAGE}_*.deb \\
              | tar -x -C '{FOLDER}' --strip-components=7 {files}
        """
        subprocess.run(["sh", "-c", script], check=False)
    return there(FOLDER)


@cache
def folder() -> Path:
    """Where the files are; fails the test that asks where they aren't."""
    for place in (Path("/") / INSIDE, FOLDER):
        if there(place):
            return place
    raise AssertionError(f"{PACKAGE}'s photographs are not here: python tests/ready.py fetches it.")


def places():  # type: ignore[no-untyped-def]
    """The corners on the board (54, 2), mm, in the order in which OpenCV finds them."""
    import numpy as np

    return np.array([(SQUARE_MM * x, SQUARE_MM * y) for y in range(DOWN) for x in range(ACROSS)])


@cache
def corners(name: str, window: int = WINDOW):  # type: ignore[no-untyped-def]
    """The corners (54, 2) of the board on one picture, px."""
    import cv2

    return sought(cv2.imread(str(folder() / name), cv2.IMREAD_GRAYSCALE), window)


def sought(picture, window: int = WINDOW):  # type: ignore[no-untyped-def]
    """The corners (54, 2) of the board on a grey picture, px."""
    import cv2

    found, rough = cv2.findChessboardCorners(picture, (ACROSS, DOWN))
    assert found
    enough = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 50, 1e-3)
    fine = cv2.cornerSubPix(picture, rough, (window, window), (-1, -1), enough)
    return fine.reshape(-1, 2).astype(float)


@cache
def published():  # type: ignore[no-untyped-def]
    """The left camera as published: K (3, 3), the five lens terms, and turn and place (13, 6)."""
    import numpy as np

    text = (folder() / "left_intrinsics.yml").read_text("utf-8")

    def matrix(name: str):  # type: ignore[no-untyped-def]
        body = re.search(rf"^{name}:.*?data: \[(.*?)\]", text, re.S | re.M)
        assert body, name
        return np.array([float(value) for value in body[1].split(",")])

    return (
        matrix("camera_matrix").reshape(3, 3),
        matrix("distortion_coefficients"),
        matrix("extrinsic_parameters").reshape(-1, 6),
    )


def straightened(name: str):  # type: ignore[no-untyped-def]
    """The corners (54, 2) as a lens without bend would have drawn them, by the calibration."""
    import cv2

    inner, bent, _ = published()
    return cv2.undistortPoints(corners(name)[:, None], inner, bent, P=inner)[:, 0]
