"""The grey tones that pictures are compared by, at a bounded size; runs in the child only."""

from __future__ import annotations

import os
from collections import OrderedDict
from dataclasses import dataclass
from typing import Any

import numpy as np
from PIL import Image

from archive.imaging.decode import decode, open_picture
from archive.imaging.facts import plain_file, sha256_of
from archive.imaging.limits import Limits
from archive.imaging.refusals import refused

FINEST_PX = 2400
"""The longer side of the tones that grain is looked for in."""
_KEPT = 6
_kept: OrderedDict[str, Grey] = OrderedDict()


@dataclass(frozen=True)
class Grey:
    """`pixels` are bytes (rows, columns); `width_px` and `height_px` the upright file's own."""

    pixels: Any
    width_px: int
    height_px: int

    @property
    def per_px(self) -> float:
        """Pixels of the file to one of these."""
        return self.width_px / int(self.pixels.shape[1])


def grey_of(path: str, sha256: str, limits: Limits) -> Grey:
    """The tones of the file at `path`, whose sum must be `sha256`; raises `Refused`.

    The last few are kept, so that a picture is not opened anew for each that it is laid on.
    """
    if sha256 in _kept:
        _kept.move_to_end(sha256)
        return _kept[sha256]
    with plain_file(path) as file:
        if sha256_of(file) != sha256:
            raise refused("image-changed", "The picture is no longer the one that was read.")
        opened = open_picture(file, os.fstat(file.fileno()).st_size, limits)
        full = (opened.width_px, opened.height_px)
        scale = min(1.0, FINEST_PX / max(full))
        wanted = (max(1, round(full[0] * scale)), max(1, round(full[1] * scale)))
        image = decode(opened, wanted).convert("L")
    if image.size != wanted:
        image = image.resize(
            wanted, Image.Resampling.BOX if scale < 0.5 else Image.Resampling.BICUBIC
        )
    grey = Grey(np.asarray(image), *full)
    _kept[sha256] = grey
    while len(_kept) > _KEPT:
        _kept.popitem(last=False)
    return grey
