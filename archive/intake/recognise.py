"""Pictures held already, told before anything is copied: which one, and how that is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from archive.core.images import ImageFacts

BYTES = "the same file, byte for byte"
PIXELS = "another file with the very same pixels"


@dataclass(frozen=True, slots=True)
class Known:
    """A newcomer that is held already. `ref` is the photograph's, or "" where it is `other`, a
    file that comes in with it; `how` says in words how they are the same."""

    ref: str
    other: Path | None
    how: str


def recognise(
    facts: Mapping[Path, ImageFacts],
    pixels: Mapping[Path, str],
    held: Mapping[str, ImageFacts],
    held_pixels: Mapping[str, str],
) -> dict[Path, Known]:
    """Which of the newcomers (`facts`, `pixels`) are held, or come in twice.

    `held` is the photographs' facts and `held_pixels` the sums of their pixels, as far as they
    may matter; both by REF.
    """
    by_bytes = {fact.sha256: Known(ref, None, BYTES) for ref, fact in reversed([*held.items()])}
    by_pixels = {sum_: Known(ref, None, PIXELS) for ref, sum_ in reversed([*held_pixels.items()])}
    found: dict[Path, Known] = {}
    for path, fact in facts.items():
        known = by_bytes.get(fact.sha256) or by_pixels.get(pixels.get(path, ""))
        if known:
            found[path] = known
            continue
        by_bytes[fact.sha256] = Known("", path, BYTES)
        if path in pixels:
            by_pixels[pixels[path]] = Known("", path, PIXELS)
    return found


def worth_summing(
    facts: Mapping[Path, ImageFacts], held: Mapping[str, ImageFacts]
) -> dict[str, ImageFacts]:
    """The held pictures whose pixels may be those of a newcomer: they have its size, upright."""
    sizes = {(fact.width_px, fact.height_px) for fact in facts.values()}
    return {ref: f for ref, f in held.items() if (f.width_px, f.height_px) in sizes}
