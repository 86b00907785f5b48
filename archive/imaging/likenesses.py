"""Which pictures come from one negative, or show one scene: every new one against all that are
held, remembered between runs."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from archive.core.images import ImageFacts
from archive.core.likeness import ANSWERS, Likeness
from archive.imaging.answers import Answers

FOLDER = "likenesses"
AT_ONCE = 40
"""New pictures taken together; what they gave is kept before the next are begun."""
MOST_TOGETHER = 60
"""Pictures of one source, sitting or event of which every pair is compared."""

Pictures = Mapping[Path, ImageFacts]
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Compared:
    """The answers in the order of their checksums, those of no connection left out; `waiting` is
    how many pictures are not compared yet."""

    likenesses: tuple[Likeness, ...] = ()
    waiting: int = 0


def likenesses_among(
    pictures: Pictures,
    cache: Path | None = None,
    *,
    most: int | None = None,
    progress: Progress | None = None,
    workers: int = 2,
    together: Iterable[Collection[Path]] = (),
) -> Compared:
    """Compares every picture with every other, as far as that was not done before.

    Among all of them it is looked up by short codes which may be related; pictures that lie
    `together` (of one source, sitting or event) are laid on each other in any case.
    `cache` is the folder in the user's cache, safe to delete. `most` is how many new pictures may
    be taken now (None: all); the others wait for the next time. `progress` is told how many are
    done, of how many.
    """
    folder = cache / FOLDER if cache else None
    answers = Answers(folder)
    path_of = {facts.sha256: path for path, facts in sorted(pictures.items(), reverse=True)}
    size_of = {facts.sha256: facts for facts in pictures.values()}
    new = sorted(set(path_of) - answers.seen)
    taken = new if most is None else new[:most]
    waiting = set(new[len(taken) :])
    beside = _pairs(together, pictures, waiting) - answers.beside
    if taken or beside:
        # The arrays are loaded by those alone who have something to compare.
        from archive.imaging.bench import Bench
        from archive.imaging.pack import Pack
        from archive.imaging.sights import Sights
        from archive.imaging.worker import ImageReaders

        answers.forget_but(path_of)  # what is gone now is not compared with what is new
        with ImageReaders(workers) as readers:
            bench = Bench(readers, Sights(folder), Pack(folder), path_of, size_of)
            if taken:
                bench.hold(sorted(answers.seen))
            for start in range(0, max(1, len(taken)), AT_ONCE):
                chunk = taken[start : start + AT_ONCE]
                known = answers.seen.union(chunk)
                now = {pair for pair in beside if known.issuperset(pair)}
                answers.add(chunk, now, list(bench.compare(chunk, now)))
                beside -= now
                if progress:
                    progress(min(start + AT_ONCE, len(taken)), len(taken))
    related = tuple(one for one in answers.among(path_of) if one.related)
    return Compared(related, len(new) - len(taken))


@dataclass(frozen=True)
class Held:
    """A held picture that a new one is related to: its path, whether it is the very same file, and
    the answer (None for the same file). In the answer's `warp` either may come first: see its
    checksums."""

    path: Path
    same_file: bool
    likeness: Likeness | None


def related_to(
    new: Pictures,
    held: Pictures,
    cache: Path | None = None,
    *,
    progress: Progress | None = None,
    workers: int = 2,
) -> dict[Path, tuple[Held, ...]]:
    """For each new picture, which held ones it is related to; nothing is copied or written but the
    cache. Facts of both come from `catalogue.facts_of`.

    New pictures are laid on each other as well: two prints of one negative that arrive together
    name each other. The same file comes first, then copies, then what can't be told apart.
    """
    compared = likenesses_among(
        {**held, **new}, cache, most=None, progress=progress, workers=workers
    )
    places: dict[str, list[Path]] = {}
    for path, facts in {**held, **new}.items():
        places.setdefault(facts.sha256, []).append(path)
    found: dict[Path, tuple[Held, ...]] = {}
    for path, facts in new.items():
        mine = [Held(twin, True, None) for twin in places[facts.sha256] if twin != path]
        for likeness in compared.likenesses:
            if facts.sha256 in (likeness.one, likeness.other):
                other = likeness.other if likeness.one == facts.sha256 else likeness.one
                mine += [Held(twin, False, likeness) for twin in places[other]]
        found[path] = tuple(sorted(mine, key=_order))
    return found


def _order(held: Held) -> tuple[int, int, str]:
    if held.likeness is None:
        return (0, 0, str(held.path))
    return (1 + ANSWERS.index(held.likeness.answer), -held.likeness.matches, str(held.path))


def _pairs(
    together: Iterable[Collection[Path]], pictures: Pictures, waiting: Collection[str]
) -> set[tuple[str, str]]:
    """The pairs, by checksum, of pictures that lie together and needn't wait.

    Of many (an album as one source) only what is looked up is compared.
    """
    found: set[tuple[str, str]] = set()
    for paths in together:
        sums = sorted({pictures[path].sha256 for path in paths if path in pictures})
        if len(sums) <= MOST_TOGETHER:
            found.update(combinations((one for one in sums if one not in waiting), 2))
    return found
