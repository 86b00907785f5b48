"""Opens a picture once to its last pixel, for what its header doesn't tell; in the child only.

The sum of the pixels tells two files of one picture whatever they are packed in; reading them all
also finds the file that breaks off in the middle, before anybody relies on it.
"""

from __future__ import annotations

import hashlib
from typing import Any

from archive.imaging.decode import decode, open_picture, png_exif
from archive.imaging.embedded import carried, dots_an_inch
from archive.imaging.facts import plain_file, sha256_of
from archive.imaging.limits import Limits

ROWS = 256
"""How many rows are brought to one layout at a time."""


def read_arrival(path: str, limits: Limits) -> dict[str, Any]:
    """`sha256` of the file, `pixels` (a sum of the upright pixels as a screen shows them),
    `carried` and `dpi` of `embedded`.

    Raises `Refused`, also where the data breaks off.
    """
    with plain_file(path) as file:
        sha256 = sha256_of(file)
        file.seek(0, 2)
        opened = open_picture(file, file.tell(), limits)
        image = opened.image
        said = [] if opened.format == "PNG" else carried(image)
        dpi = dots_an_inch(image.info)
        upright = decode(opened)
        if opened.format == "PNG":
            said = carried(image, png_exif(file))
    width, height = upright.size
    digest = hashlib.sha256(f"{width} {height}".encode())
    for top in range(0, height, ROWS):
        rows = upright.crop((0, top, width, min(height, top + ROWS)))
        digest.update(rows.convert("RGB").tobytes())
    return {"sha256": sha256, "pixels": digest.hexdigest(), "carried": said, "dpi": dpi}
