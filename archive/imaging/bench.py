"""Compares new pictures with old ones: the child looks, points are fitted, the child answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from archive.core.images import ImageFacts
from archive.core.likeness import Likeness
from archive.imaging.answers import likeness_of
from archive.imaging.fitting import Fit, Sight, fit
from archive.imaging.limits import Limits
from archive.imaging.refusals import ImageRefused
from archive.imaging.sights import Sights, sight_of
from archive.imaging.worker import ImageReaders, Job


class Bench:
    """What comparing needs: the children, the sights, where each picture lies, its size."""

    def __init__(
        self,
        readers: ImageReaders,
        sights: Sights,
        path_of: Mapping[str, Path],
        facts_of: Mapping[str, ImageFacts],
    ) -> None:
        self._readers, self._sights = readers, sights
        self._path_of, self._facts_of = path_of, facts_of

    def compare(self, new: Sequence[str], old: Sequence[str]) -> Iterator[Likeness]:
        """The answers about each of `new` with each of `old`, and with each other."""
        self._look([*new, *old])
        pairs = [
            (min(one, other), max(one, other))
            for index, one in enumerate(new)
            for other in (*old, *new[:index])
        ]
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

    def _fitted(self, pairs: Sequence[tuple[str, str]]) -> dict[tuple[str, str], Fit]:
        """The pairs whose points fit, in the order given."""

        def one_fit(pair: tuple[str, str]) -> Fit | None:
            one, other = (self._sights.get(sha256) for sha256 in pair)
            return fit(one, other) if one and other else None

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
