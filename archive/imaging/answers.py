"""The answers about pairs of pictures, kept in the user's cache.

They hang on nothing but the bytes of the files and the versions of this program and of OpenCV, so
they hold for any folder. Each lot of new answers is one line at the end of a file, with its own
check sum: what a crash left half written there counts as none, and is asked again.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from archive.core.atomic import CannotWrite, write_file
from archive.core.likeness import Likeness, Patch

VERSION = 2  # of what sights and answers mean: another number forgets all of them


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
        self._file = folder / made_by() / "answers.txt" if folder else None
        self.seen: set[str] = set()
        self.beside: set[tuple[str, str]] = set()
        """Pairs that were compared because they lie together, whatever their codes say."""
        self.found: dict[tuple[str, str], Likeness] = {}
        for seen, beside, found in self._kept():
            self._learn(seen, beside, found)

    def add(
        self,
        seen: Collection[str],
        beside: Collection[tuple[str, str]],
        found: Collection[Likeness],
    ) -> None:
        """Learns a lot of answers and keeps it; a cache that can't be written is no trouble."""
        self._learn(seen, beside, found)
        if self._file is None:
            return
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            with open(self._file, "ab") as file:
                file.write(b"\n" + _line(seen, beside, found))

    def forget_but(self, sums: Iterable[str]) -> None:
        """Forgets all other pictures, and the answers about them."""
        gone = self.seen.difference(sums)
        if not gone:
            return
        self.seen -= gone
        self.beside = {pair for pair in self.beside if gone.isdisjoint(pair)}
        self.found = {pair: one for pair, one in self.found.items() if gone.isdisjoint(pair)}
        if self._file is not None:
            with suppress(CannotWrite, OSError):
                kept = _line(self.seen, self.beside, self.found.values())
                write_file(self._file, kept, private=True)

    def among(self, sums: Iterable[str]) -> tuple[Likeness, ...]:
        """The answers about those pictures alone, in the order of their sums."""
        wanted = set(sums)
        return tuple(
            likeness
            for (one, other), likeness in sorted(self.found.items())
            if one in wanted and other in wanted
        )

    def _learn(
        self,
        seen: Iterable[str],
        beside: Iterable[tuple[str, str]],
        found: Iterable[Likeness],
    ) -> None:
        self.seen.update(seen)
        self.beside.update(beside)
        self.found.update(((one.one, one.other), one) for one in found)

    def _kept(self) -> Iterator[tuple[list[str], list[tuple[str, str]], list[Likeness]]]:
        if self._file is None:
            return
        try:
            lines = self._file.read_bytes().split(b"\n")
        except OSError:
            return
        for line in lines:
            total, _, body = line.partition(b" ")
            with suppress(ValueError, KeyError, TypeError):
                if int(total, 16) == zlib.crc32(body):
                    kept = json.loads(body)
                    beside = [(one, other) for one, other in kept["beside"]]
                    yield kept["seen"], beside, [_likeness(fields) for fields in kept["found"]]


def _line(
    seen: Iterable[str], beside: Iterable[tuple[str, str]], found: Iterable[Likeness]
) -> bytes:
    kept = {"seen": sorted(seen), "beside": sorted(beside), "found": [asdict(one) for one in found]}
    body = json.dumps(kept).encode("ascii")
    return b"%08x %s\n" % (zlib.crc32(body), body)


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
