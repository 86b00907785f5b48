"""The answers about pairs of pictures, kept in the user's cache.

They hang on nothing but the bytes of the files and the versions of this program and of OpenCV, so
they hold for any folder. A damaged file counts as none.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from archive.core.atomic import CannotWrite, write_file
from archive.core.likeness import Likeness, Patch

VERSION = 1  # of what sights and answers mean: another number forgets all of them


@cache
def made_by() -> str:
    """The versions that sights and answers hang on, in a word."""
    for name in ("opencv-python-headless", "opencv-python", "opencv-contrib-python-headless"):
        with suppress(PackageNotFoundError):
            return f"{VERSION}-{version(name)}"
    return str(VERSION)


class Answers:
    """The answers about pairs of pictures, and which pictures were compared with each other."""

    def __init__(self, folder: Path | None) -> None:
        self._file = folder / made_by() / "answers.json" if folder else None
        self.seen: set[str] = set()
        self.beside: set[tuple[str, str]] = set()
        """Pairs that were compared because they lie together, whatever their codes say."""
        self.found: dict[tuple[str, str], Likeness] = {}
        self._recall()

    def save(self) -> None:
        """Writes all that is known, whole or not at all."""
        if self._file is None:
            return
        found = [asdict(likeness) for _, likeness in sorted(self.found.items())]
        kept = {"seen": sorted(self.seen), "beside": sorted(self.beside), "found": found}
        body = json.dumps(kept).encode()
        with suppress(CannotWrite, OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            write_file(self._file, hashlib.sha256(body).digest() + body, private=True)

    def forget_but(self, sums: Iterable[str]) -> None:
        """Forgets all other pictures, and the answers about them."""
        self.seen &= set(sums)
        self.beside = {pair for pair in self.beside if set(pair) <= self.seen}
        self.found = {pair: one for pair, one in self.found.items() if set(pair) <= self.seen}

    def among(self, sums: Iterable[str]) -> tuple[Likeness, ...]:
        """The answers about those pictures alone, in the order of their sums."""
        wanted = set(sums)
        return tuple(
            likeness
            for (one, other), likeness in sorted(self.found.items())
            if one in wanted and other in wanted
        )

    def _recall(self) -> None:
        if self._file is None:
            return
        with suppress(OSError, ValueError, KeyError, TypeError):
            whole = self._file.read_bytes()
            if hashlib.sha256(whole[32:]).digest() != whole[:32]:
                return
            kept = json.loads(whole[32:])
            found = [_likeness(fields) for fields in kept["found"]]
            self.found = {(one.one, one.other): one for one in found}
            self.beside = {(one, other) for one, other in kept["beside"]}
            self.seen = set(kept["seen"])


def _likeness(fields: dict[str, Any]) -> Likeness:
    return Likeness(
        **{
            **fields,
            "warp": tuple(fields["warp"]),
            "patches": tuple(Patch(**patch) for patch in fields["patches"]),
        }
    )


def likeness_of(one: str, other: str, fit: Any, reply: Mapping[str, Any]) -> Likeness:
    """The child's answer about a pair whose points fit, as a value; figures to three places, so
    that they read the same wherever they are written."""
    patches = tuple(
        Patch(**{name: round(float(value), 1) for name, value in patch.items()})
        for patch in reply.get("patches", ())
    )
    warp = [float(number) for number in reply.get("warp", fit.warp.reshape(6))]
    return Likeness(
        one=one,
        other=other,
        answer=str(reply["answer"]),
        mirrored=fit.mirrored,
        negative=fit.negative,
        warp=(warp[0], warp[1], warp[2], warp[3], warp[4], warp[5]),
        matches=fit.matches,
        same_place=bool(reply.get("same_place", False)),
        grain_places=int(reply.get("grain_places", 0)),
        patches=patches,
        **{
            name: round(float(reply.get(name, 0.0)), 3)
            for name in ("agreeing", "moved", "grain", "grain_z", "keystone_px")
        },
    )
