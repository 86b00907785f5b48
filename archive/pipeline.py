"""The whole story on one screen: read the folder, learn the facts of its pictures, weigh it all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from archive.core.collecting import paused
from archive.core.dates import Day
from archive.core.foresight import Foreseen
from archive.core.images import ImageFacts
from archive.core.kept import Kept
from archive.core.originality import Originality
from archive.core.problems import Problem, Where
from archive.core.publications import Publication
from archive.core.rectified import Rectified
from archive.core.sealed import Sealed
from archive.core.verdicts import Findings
from archive.imaging.catalogue import facts_of
from archive.imaging.likenesses import Compared, Progress, likenesses_among
from archive.imaging.limits import MOST_PIXELS
from archive.imaging.refusals import ImageRefused
from archive.read.load import load
from archive.read.publications import read_publications
from archive.read.states import read_states
from archive.reasoning.alike import belonging, questions
from archive.reasoning.chronology import chronology
from archive.reasoning.foresee import foresee as foresee_library
from archive.reasoning.ground import Given
from archive.reasoning.labels import label_problems
from archive.reasoning.memo import Memo
from archive.reasoning.originality import originality as originality_of
from archive.reasoning.times import Times
from archive.reasoning.weigh import weigh as weigh_library
from archive.records.checks import check, check_pictures
from archive.records.library import Library

AT_A_TIME = 60
"""New pictures that a command compares before it answers: some seconds' work."""
FINDINGS = Sealed("findings.bin", ("core", "records", "read", "metrology", "reasoning"))
"""Where what was found is kept, to be found again quicker."""


@dataclass(frozen=True)
class Weighed:
    """A content folder, read and weighed.

    `pictures` and `images` give each photograph's file and its facts, by id; a picture that can't
    be used is a problem and is in neither. `problems` are sorted by place. `given`
    is what was weighed besides the records; `states` are the named states, oldest first, and
    `published` the editions that went out; `times` is the chronology that the findings rest on.
    """

    folder: Path
    library: Library
    findings: Findings
    problems: tuple[Problem, ...]
    pictures: Mapping[str, Path]
    images: Mapping[str, ImageFacts]
    times: Times
    given: Given = Given()
    states: tuple[Kept, ...] = ()
    published: tuple[Publication, ...] = ()


def weigh(
    folder: Path,
    cache: Path | None = None,
    as_of: Day | None = None,
    simulate: frozenset[str] = frozenset(),
    compare: int | None = AT_A_TIME,
    progress: Progress | None = None,
    clock: Day | None = None,
) -> Weighed:
    """Read and weigh a content folder; `cache` is the program's private folder for it, or None.

    What is dated after `as_of` has not happened yet. Left out, that is `clock`, the computer's own
    day, unless the program has written a later one here: then the clock is behind, and that one
    counts. Both None leaves it open. The measurements in
    `simulate`, by REF, are drawn anew many times as well. At most `compare` pictures that are new
    are compared with the others (None: all), and `progress` is told how many of them are done; the
    rest wait, which is told as advice.

    Raises `read.load.NotContent` where the folder is none.
    """
    loaded = load(folder, cache)
    facts = facts_of(
        loaded.pictures.values(),
        cache / "images.json" if cache else None,
        allowed_pixels={
            path: MOST_PIXELS
            for id_, path in loaded.pictures.items()
            if (scan := loaded.library.photos[id_].scan) and scan.large
        },
    )
    images: dict[str, ImageFacts] = {}
    states = read_states(folder)
    editions = read_publications(folder)
    if as_of is None and clock is not None:
        as_of = max(clock, *_days_written(loaded.library, states.kept, editions.published))
    problems = [*loaded.problems, *check(loaded.library, as_of)]
    for id_, path in loaded.pictures.items():
        found = facts[path]
        if isinstance(found, ImageRefused):
            where = Where(path.relative_to(folder.resolve()).as_posix())
            problems.append(Problem(where, found.code, found.says, found.hint))
        else:
            images[id_] = found
    compared = likenesses_among(
        {loaded.pictures[id_]: facts for id_, facts in images.items()},
        cache,
        most=compare,
        progress=progress,
        together=[
            [loaded.pictures[id_] for id_ in ids if id_ in images]
            for ids in belonging(loaded.library)
        ],
    )
    drawn = check_pictures(loaded.library, images)
    given = Given(
        as_of,
        {id_: facts.sha256 for id_, facts in images.items()},
        _unfit(loaded.library, images, drawn),
        {f"photos/{id_}": (f.width_px, f.height_px) for id_, f in images.items()},
        compared.likenesses,
    )
    with paused():
        before = FINDINGS.fetch(cache) if cache else None
        memo = Memo(loaded.library, loaded.marks(), before)
        times = chronology(loaded.library, given.sums, given.alike, memo)
        findings = weigh_library(
            loaded.library,
            given.as_of,
            given.sums,
            given.unfit,
            given.sizes,
            simulate,
            times,
            given.alike,
            memo,
        )
        if cache and memo.worked_out:
            FINDINGS.keep(cache, memo.after)
    problems += [*drawn, *states.problems, *editions.problems, *times.problems, *_waiting(compared)]
    problems += questions(loaded.library, findings.related)
    problems += label_problems(loaded.library, findings)
    return Weighed(
        folder=folder,
        library=loaded.library,
        findings=findings,
        problems=tuple(sorted(set(problems))),
        pictures={id_: path for id_, path in loaded.pictures.items() if id_ in images},
        images=images,
        times=times,
        given=given,
        states=states.kept,
        published=editions.published,
    )


def _days_written(
    library: Library, states: Iterable[Kept], editions: Iterable[Publication]
) -> Iterator[Day]:
    """The days on which the program itself wrote: cards issued, states kept, editions sent out."""
    yield Day.min
    for card in library.cards.values():
        yield from (issue.on for issue in card.issues if issue.on is not None)
    yield from (kept.on for kept in states if kept.on is not None)
    yield from (edition.on for edition in editions)


def foresee(weighed: Weighed) -> Foreseen:
    """What would fall with what, what would lift each claim, what holds up, what has moved."""
    found = weighed.findings
    with paused():
        return foresee_library(weighed.library, found, weighed.given, weighed.states, weighed.times)


def _waiting(compared: Compared) -> list[Problem]:
    if not compared.waiting:
        return []
    says = f"{compared.waiting} pictures are not compared with the others yet."
    hint = "witnessmark build compares them all; until then two copies may count as two witnesses."
    return [Problem(Where("photos"), "pictures-to-compare", says, hint, advice=True)]


def originality(weighed: Weighed) -> dict[str, Originality]:
    """What each part is on the aircraft as it is shown: old, new, or off; by REF."""
    return originality_of(weighed.library, weighed.findings, weighed.times)


def rectified(weighed: Weighed) -> dict[str, Rectified]:
    """The plane of each measurement that was taken on one, to be laid out at true scale; by REF."""
    from archive.reasoning.rectified import rectified as rectified_of  # it needs numpy

    return rectified_of(weighed.library, weighed.findings, weighed.given, weighed.times)


def _unfit(
    library: Library, images: Mapping[str, ImageFacts], drawn: list[Problem]
) -> dict[str, str]:
    """REF of each photograph whose picture can't be relied on → why: its picks are no evidence."""
    found = {
        f"photos/{id_}": "its picture is missing or can't be used"
        for id_ in library.photos
        if id_ not in images
    }
    paths = {photo.path: photo.ref for photo in library.photos.values()}
    for problem in drawn:
        ref = paths.get(problem.where.path)
        if ref and not problem.advice:
            found[ref] = problem.says[:1].lower() + problem.says[1:].rstrip(".")
    return found
