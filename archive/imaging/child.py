"""The limited child process: reads jobs as lines of JSON, answers each with a line of JSON.

Started by `worker` as `python -m archive.imaging.child`. Nothing but plain values passes, so a
decoder that a hostile file has taken over can only answer wrongly, never run in the parent.
"""

from __future__ import annotations

import dataclasses
import json
import os
import signal
import sys
from collections.abc import Callable
from typing import Any

from archive.imaging.derive import derive
from archive.imaging.facts import read_facts
from archive.imaging.limits import Limits
from archive.imaging.recipes import Made, OverlayRecipe, Recipe, RectifiedRecipe
from archive.imaging.refusals import ImageRefused, Refused, refusal

try:
    import resource
except ImportError:  # Windows: the parent's wall time is the only limit
    resource = None  # type: ignore[assignment]


def _facts(path: str, limits: Limits) -> dict[str, Any]:
    facts, stamp = read_facts(path, limits)
    return {"facts": dataclasses.asdict(facts), "stamp": stamp}


def _arrival(path: str, limits: Limits) -> dict[str, Any]:
    from archive.imaging.arrival import read_arrival  # its parsers aren't every child's to load

    return read_arrival(path, limits)


def _derive(path: str, limits: Limits, out: str, recipe: dict[str, Any]) -> dict[str, Any]:
    flat = tuple(tuple((x, y) for x, y in region) for region in recipe["flat"])
    order = Recipe(
        recipe["sha256"],
        tuple(recipe["widths"]),
        recipe["tiles"],
        flat,
        recipe["xmp"],
        recipe["tile_px"],
        recipe["overlap_px"],
        recipe["exif"],
    )
    return _written(lambda: derive(path, order, out, limits))


def _look(path: str, limits: Limits, sha256: str) -> dict[str, Any]:
    from archive.imaging.sight import look  # OpenCV is loaded by those alone who compare

    return dict(look(path, sha256, limits))


def _compare(path: str, limits: Limits, **pair: Any) -> dict[str, Any]:
    from archive.imaging.comparing import compare

    return compare(path, limits, **pair)


def _overlay(
    path: str, limits: Limits, other: str, out: str, recipe: dict[str, Any]
) -> dict[str, Any]:
    from archive.imaging.overlay import overlay

    left, top, right, bottom = recipe["box"]
    order = OverlayRecipe(
        (recipe["sums"][0], recipe["sums"][1]),
        tuple(recipe["warp"]),
        recipe["negative"],
        (left, top, right, bottom),
        (recipe["size"][0], recipe["size"][1]),
    )
    return _written(lambda: overlay(path, other, order, out, limits))


def _rectify(path: str, limits: Limits, out: str, recipe: dict[str, Any]) -> dict[str, Any]:
    from archive.imaging.rectify import rectify

    order = RectifiedRecipe(
        recipe["sha256"],
        (recipe["size"][0], recipe["size"][1]),
        recipe["px_per_m"],
        tuple(recipe["h"]),
        (recipe["lens"][0], recipe["lens"][1], recipe["lens"][2], recipe["lens"][3]),
        recipe["mirrored"],
        tuple((x, y) for x, y in recipe["within"]),
        recipe["margin"],
        recipe["width_px"],
        recipe["whole"],
        recipe["bar_mm"],
        recipe["note"],
    )
    return _written(lambda: rectify(path, order, out, limits))


def _written(make: Callable[[], Made]) -> dict[str, Any]:
    """What was made, or why the disk refused it; the picture's own faults come as `Refused`."""
    try:
        return dict(make())
    except OSError as error:
        return {"unwritten": [error.errno or 0, error.strerror or str(error), error.filename]}


JOBS: dict[str, Callable[..., dict[str, Any]]] = {
    "facts": _facts,
    "arrival": _arrival,
    "derive": _derive,
    "look": _look,
    "compare": _compare,
    "overlay": _overlay,
    "rectify": _rectify,
}


def answer(job: dict[str, Any]) -> dict[str, Any]:
    """The answer to one job: what its function gives, or the one key `refused`."""
    limits = Limits(**job["limits"])
    _limit(limits)
    try:
        return JOBS[job["kind"]](job["path"], limits, **job["arguments"])
    except Refused as error:
        return {"refused": dataclasses.astuple(error.refusal)}
    except MemoryError:
        return {"refused": dataclasses.astuple(_too_large(limits))}


def _too_large(limits: Limits) -> ImageRefused:
    most = f"{limits.memory_bytes // (1024 * 1024)} MiB"
    return refusal("image-out-of-memory", f"The picture needs more than {most} of memory.")


def _limit(limits: Limits) -> None:
    """Sets this process's bounds for the job at hand; a platform that knows none sets none."""
    if resource is None:
        return
    used = resource.getrusage(resource.RUSAGE_SELF)
    seconds = int(used.ru_utime + used.ru_stime + limits.cpu_s) + 1
    for what, bound in (
        (resource.RLIMIT_AS, limits.memory_bytes),
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_CORE, 0),
    ):
        _, hard = resource.getrlimit(what)
        soft = bound if hard == resource.RLIM_INFINITY else min(bound, hard)
        try:
            resource.setrlimit(what, (soft, hard))
        except (ValueError, OSError):
            continue  # some systems can't bound the address space; the wall time still does


def main() -> None:
    """Answers jobs until the parent closes the pipe."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides when to stop
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # a library that prints can't break the answers
    for line in sys.stdin.buffer:
        reply = json.dumps(answer(json.loads(line)))
        answers.write(reply.encode("ascii") + b"\n")
        answers.flush()


if __name__ == "__main__":
    main()
