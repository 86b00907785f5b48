"""The facts of many image files, remembered between runs for files that haven't changed."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from archive.core.images import ImageFacts
from archive.imaging.limits import Limits
from archive.imaging.refusals import ImageRefused
from archive.imaging.remembered import Entries, recall, remember
from archive.imaging.stamps import stamp
from archive.imaging.worker import ImageReaders, Job

VERSION = "image facts 1"  # of what they mean: another number forgets all that was remembered

# A file written again within one tick of a coarse clock (2 s on FAT) would keep its stamp.
SETTLED_S = 2.0


def facts_of(
    paths: Iterable[Path],
    cache: Path | None = None,
    *,
    allowed_pixels: Mapping[Path, int] | None = None,
    workers: int = 2,
) -> dict[Path, ImageFacts | ImageRefused]:
    """The facts of each file, or why it can't be used, in the order of `paths`.

    `cache` is a file in the user's cache folder: made when missing, ignored when damaged, safe to
    delete. Facts are taken from it while a file keeps its size, times and inode; nothing is
    opened and no child started when all of them do. `allowed_pixels` names the files that may
    have more than the usual 200 million pixels (600 million at most).
    """
    allowed = allowed_pixels or {}
    remembered = recall(cache, VERSION)
    found: dict[Path, ImageFacts | ImageRefused | None] = {}
    used: Entries = {}
    jobs: list[Job] = []
    for path in paths:
        if path in found:
            continue
        key, size = _stamp_of(path)
        facts = _as_facts(remembered.get(key))
        if (
            facts
            and facts.width_px * facts.height_px <= Limits.for_facts(0, allowed.get(path)).pixels
        ):
            used[key] = remembered[key]
            found[path] = facts
        else:
            found[path] = None
            jobs.append(Job("facts", path, Limits.for_facts(size, allowed.get(path))))
    learnt: Entries = {}
    with ImageReaders(workers) as readers:
        for place, reply in readers.answers(jobs):
            if isinstance(reply, ImageRefused):
                found[jobs[place].path] = reply
                continue
            facts = ImageFacts(**reply["facts"])
            found[jobs[place].path] = facts
            if _settled(reply["stamp"]):
                learnt[_key(reply["stamp"])] = asdict(facts)
    if cache is not None and learnt:
        kept = remembered if len(remembered) < 2 * len(found) + 1000 else used
        remember(cache, VERSION, kept | learnt)
    return {path: facts for path, facts in found.items() if facts is not None}


def _stamp_of(path: Path) -> tuple[str, int]:
    try:
        status = path.stat()
    except (OSError, ValueError):
        return "", 0
    return _key(stamp(status)), status.st_size


def _key(numbers: list[int]) -> str:
    return "-".join(map(str, numbers))


def _settled(numbers: list[int]) -> bool:
    return max(numbers[1], numbers[2]) < (time.time() - SETTLED_S) * 1e9


def _as_facts(fields: dict[str, Any] | None) -> ImageFacts | None:
    try:
        return ImageFacts(**fields) if fields else None
    except TypeError:
        return None
