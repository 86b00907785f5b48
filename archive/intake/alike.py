"""What newcomers show, against all that is held: told before anything is copied, decided by nobody.

A picture that shows what a held one shows still comes in: a copy of a better generation, or the
next frame of the roll, is worth having. What it is becomes a question in its note.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from archive.core.images import ImageFacts
from archive.core.likeness import ANOTHER, COPIES, OPEN
from archive.imaging.likenesses import related_to

SAYS = {
    COPIES: "a copy of one negative, by shared grain or dust",
    OPEN: "a copy or the next exposure from the same stand, which can't be told apart",
    ANOTHER: "the same scene on another negative",
}
"""Answer of the comparison → what it says of the newcomer."""


@dataclass(frozen=True, slots=True)
class Alike:
    """A picture that shows what a newcomer shows. `called` is the photograph's REF, or the file
    that comes in with it; `answer` is the comparison's word, `says` that in a sentence."""

    called: str
    answer: str
    says: str


def alike(
    fresh: Mapping[Path, ImageFacts],
    held: Mapping[str, tuple[Path, ImageFacts]],
    called: Callable[[Path], str],
    cache: Path | None,
    progress: Callable[[int, int], None],
) -> dict[Path, tuple[Alike, ...]]:
    """What each newcomer is like, best first; held pictures are called by the keys of `held`, other
    newcomers by `called`. The very same file is told elsewhere, and is left out here."""
    names = {path: ref for ref, (path, _) in held.items()}
    known = dict(held.values())
    found = related_to(fresh, known, cache, progress=progress)
    return {
        path: tuple(
            Alike(
                names.get(one.path) or called(one.path),
                one.likeness.answer,
                SAYS[one.likeness.answer],
            )
            for one in ones
            if one.likeness is not None
        )
        for path, ones in found.items()
    }
