"""Compares new pictures with old ones: the child looks, points are fitted, the child answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from archive.core.images import ImageFacts
from archive.core.likeness import Likeness
from archive.imaging.answers import likeness_of
from archive.imaging.codes import NO_CODES, Codes, codes_of
from archive.imaging.fitting import WAYS, Fit, Sight, fit
from archive.imaging.limits import Limits
from archive.imaging.pack import Pack
from archive.imaging.refusals import ImageRefused
from archive.imaging.shelf import Shelf
from archive.imaging.sights import Sights, sight_of
from archive.imaging.worker import ImageReaders, Job

Pairs = dict[tuple[str, str], tuple[tuple[bool, bool], ...]]
"""Two checksums, the smaller first → the ways in which the one may lie on the other."""


class Bench:
    """What comparing needs: the children, the sights, where each picture lies, its size."""

    def __init__(
        self,
        readers: ImageReaders,
        sights: Sights,
        pack: Pack,
        path_of: Mapping[str, Path],
        facts_of: Mapping[str, ImageFacts],
    ) -> None:
        self._readers, self._sights, self._pack = readers, sights, pack
        self._shelf = Shelf()
        self._path_of, self._facts_of = path_of, facts_of

    def compare(
        self, new: Sequence[str], besides: Iterable[tuple[str, str]] = ()
    ) -> Iterator[Likeness]:
        """The answers about each of `new` with whatever held before or new may be related to it,
        and about the pairs `besides`; what is new is held from now on."""
        self._look(new)
        pairs: Pairs = {}
        for sha256 in new:
            codes = self._code(sha256)
            for maybe in self._shelf.like(codes):
                pairs[min(sha256, maybe.name), max(sha256, maybe.name)] = maybe.ways
            self._shelf.add(sha256, codes)
        pairs.update(dict.fromkeys(((min(pair), max(pair)) for pair in besides), WAYS))
        yield from self._answered(pairs)

    def hold(self, sums: Iterable[str]) -> None:
        """Puts pictures that were compared with each other on the shelf."""
        wanted = set(sums)
        for sha256, codes in self._pack.read():
            if sha256 in wanted:
                wanted.discard(sha256)
                self._shelf.add(sha256, codes)
        self._look(sorted(wanted))
        for sha256 in sorted(wanted):
            self._shelf.add(sha256, self._code(sha256))

    def _code(self, sha256: str) -> Codes:
        """The codes of a picture, kept for the next time; none where it could not be opened."""
        sight = self._sights.get(sha256)
        codes = codes_of(sight) if sight else NO_CODES
        self._pack.append(sha256, codes)
        return codes

    def _answered(self, pairs: Pairs) -> Iterator[Likeness]:
        self._look(dict.fromkeys(sha256 for pair in pairs for sha256 in pair))
        fits = self._fitted(pairs)
        jobs = [self._job(one, other, found) for (one, other), found in fits.items()]
        places = list(fits)
        for place, reply in self._readers.answers(jobs):
            if not isinstance(reply, ImageRefused):
                one, other = places[place]
                yield likeness_of(one, other, fits[one, other], reply)

    def _look(self, sums: Iterable[str]) -> None:
        """Has the child look at every picture whose sight is not kept."""
        missing = [sha256 for sha256 in sums if self._sights.get(sha256) is None]
        jobs = [
            Job("look", self._path_of[sha256], self._limits(sha256), {"sha256": sha256})
            for sha256 in missing
        ]
        for place, reply in self._readers.answers(jobs):
            if not isinstance(reply, ImageRefused):
                self._sights.keep(missing[place], sight_of(reply))

    def _fitted(self, pairs: Pairs) -> dict[tuple[str, str], Fit]:
        """The pairs whose points fit, in the order given."""

        def one_fit(pair: tuple[str, str]) -> Fit | None:
            one, other = (self._sights.get(sha256) for sha256 in pair)
            return fit(one, other, pairs[pair]) if one and other else None

        with ThreadPoolExecutor(2) as threads:
            found = list(threads.map(one_fit, pairs))
        return {pair: fitted for pair, fitted in zip(pairs, found, strict=True) if fitted}

    def _job(self, one: str, other: str, found: Fit) -> Job:
        areas = [self._area(one), self._area(other)]
        arguments: dict[str, Any] = {
            "sums": [one, other],
            "other": str(self._path_of[other].absolute()),
            "areas": areas,
            "warp": found.warp.tolist(),
            "negative": found.negative,
        }
        return Job("compare", self._path_of[one], self._limits(one, other), arguments)

    def _area(self, sha256: str) -> list[list[float]]:
        sight: Sight | None = self._sights.get(sha256)
        assert sight is not None  # it was fitted
        area: list[list[float]] = sight.area.tolist()
        return area

    def _limits(self, *sums: str) -> Limits:
        facts = [self._facts_of[sha256] for sha256 in sums]
        return Limits.for_pixels(sum(one.width_px * one.height_px for one in facts))
