"""Pictures about to be taken in, looked at in the children: many at a time, none trusted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from archive.core.arrivals import Carried
from archive.core.images import ImageFacts
from archive.imaging.limits import Limits
from archive.imaging.refusals import ImageRefused, refusal
from archive.imaging.remembered import Entries, recall, remember
from archive.imaging.worker import ImageReaders, Job

VERSION = "picture sums 1"  # another number forgets all that was remembered


@dataclass(frozen=True, slots=True)
class Arrival:
    """What a picture told when it was opened to its last pixel.

    `pixels` is the same for all files that show the same pixels, whatever their format; `dpi` is
    None where the file gives none that can be believed.
    """

    pixels: str
    carried: tuple[Carried, ...]
    dpi: int | None


def look_at(
    facts: Mapping[Path, ImageFacts],
    progress: Callable[[int, int], None] = lambda done, total: None,
    workers: int = 2,
) -> dict[Path, Arrival | ImageRefused]:
    """Each file's arrival, or why it can't be used, in the order of `facts` (which it had before).

    `progress` is told how many are done, of how many.
    """
    paths = list(facts)
    jobs = [Job("arrival", p, Limits.for_pixels(_pixels(facts[p]))) for p in paths]
    found: dict[Path, Arrival | ImageRefused] = {}
    with ImageReaders(workers) as readers:
        for done, (place, reply) in enumerate(readers.answers(jobs), 1):
            path = paths[place]
            found[path] = reply if isinstance(reply, ImageRefused) else _arrival(facts[path], reply)
            progress(done, len(jobs))
    return {path: found[path] for path in paths}


def pixel_sums(facts: Mapping[Path, ImageFacts], cache: Path | None = None) -> dict[Path, str]:
    """The sum of the pixels of each file that can be opened; remembered in `cache` by its bytes."""
    known = recall(cache, VERSION)
    looked = look_at({path: fact for path, fact in facts.items() if fact.sha256 not in known})
    fresh = {facts[path]: one for path, one in looked.items() if isinstance(one, Arrival)}
    known |= keep_sums(fresh, cache)
    return {p: known[f.sha256]["pixels"] for p, f in facts.items() if f.sha256 in known}


def keep_sums(arrivals: Mapping[ImageFacts, Arrival], cache: Path | None) -> Entries:
    """Remember the sums of pictures just looked at, and give them as they are kept."""
    fresh: Entries = {fact.sha256: {"pixels": one.pixels} for fact, one in arrivals.items()}
    if cache is not None and fresh:
        remember(cache, VERSION, recall(cache, VERSION) | fresh)
    return fresh


def _pixels(fact: ImageFacts) -> int:
    return fact.width_px * fact.height_px


def _arrival(fact: ImageFacts, reply: Mapping[str, Any]) -> Arrival | ImageRefused:
    if reply["sha256"] != fact.sha256:
        return refusal("image-changed", "The picture changed while it was being read.")
    return Arrival(reply["pixels"], tuple(Carried(*one) for one in reply["carried"]), reply["dpi"])
