"""What pictures are recognised by, kept in the user's cache; a damaged entry counts as none."""

from __future__ import annotations

import base64
import hashlib
import json
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np

from archive.core.atomic import CannotWrite, write_file
from archive.imaging.answers import made_by
from archive.imaging.fitting import Sight

_HELD = 256  # sights in memory


def sight_of(reply: Mapping[str, Any]) -> Sight:
    """What the child answered, as arrays; raises ValueError for what makes no sense."""
    points = np.frombuffer(base64.b64decode(reply["points"]), "<f4").reshape(-1, 4)
    marks = np.frombuffer(base64.b64decode(reply["marks"]), np.uint8).reshape(-1, 128)
    area = np.array(reply["area"], float).reshape(4, 2)
    if len(points) != len(marks) or not (np.isfinite(points).all() and np.isfinite(area).all()):
        raise ValueError("points and marks that don't belong together")
    return Sight(int(reply["width"]), int(reply["height"]), area, points, marks)


class Sights:
    """The sights of pictures by checksum: in memory the last few, the rest in `folder`.

    Without a folder all are held in memory.
    """

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder / made_by() / "sights" if folder else None
        self._held: OrderedDict[str, Sight] = OrderedDict()

    def get(self, sha256: str) -> Sight | None:
        """The sight of a picture; None where none is kept."""
        if sha256 in self._held:
            self._held.move_to_end(sha256)
            return self._held[sha256]
        found = self._read(sha256)
        if found is not None:
            self._hold(sha256, found)
        return found

    def keep(self, sha256: str, sight: Sight) -> None:
        """Keeps a sight; a cache that can't be written is no trouble."""
        self._hold(sha256, sight)
        if self._folder is None:
            return
        head = {
            "width": sight.width_px,
            "height": sight.height_px,
            "area": sight.area.tolist(),
            "count": len(sight.points),
        }
        body = json.dumps(head).encode() + b"\n" + sight.points.tobytes() + sight.marks.tobytes()
        place = self._place(self._folder, sha256)
        with suppress(CannotWrite, OSError):
            place.parent.mkdir(parents=True, exist_ok=True)
            write_file(place, hashlib.sha256(body).digest() + body, private=True)

    def _hold(self, sha256: str, sight: Sight) -> None:
        self._held[sha256] = sight
        while self._folder is not None and len(self._held) > _HELD:
            self._held.popitem(last=False)

    def _read(self, sha256: str) -> Sight | None:
        if self._folder is None:
            return None
        try:
            whole = self._place(self._folder, sha256).read_bytes()
            digest, body = whole[:32], whole[32:]
            if hashlib.sha256(body).digest() != digest:
                return None
            line, arrays = body.split(b"\n", 1)
            head = json.loads(line)
            count = head["count"]
            points = np.frombuffer(arrays[: 16 * count], "<f4").reshape(count, 4)
            marks = np.frombuffer(arrays[16 * count :], np.uint8).reshape(count, 128)
            return Sight(head["width"], head["height"], np.array(head["area"]), points, marks)
        except (OSError, ValueError, KeyError, TypeError):
            return None

    @staticmethod
    def _place(folder: Path, sha256: str) -> Path:
        return folder / sha256[:2] / sha256
