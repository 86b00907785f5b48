"""Promises of the grading that hold whatever the folder: copies, order, independence."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from archive.core.verdicts import GRADES
from archive.reasoning.weigh import weigh
from archive.records.claim import Claim, Evidence
from archive.records.library import EMPTY
from archive.records.part import Part
from archive.records.photo import Photo
from archive.records.source import Source
from archive.records.spec import Judged

READINGS = ["clear", "probable", "possible"]


def photo(name: str, source: str) -> Photo:
    return Photo(
        id=name,
        title=name,
        shows_what="period",
        source=f"sources/{source}",
        airframe=Judged(says="this"),
    )


def grade(photos: list[tuple[str, str, str]], roots: dict[str, str], flip: bool = False) -> str:
    """The grade of an existence claim on photographs (name, source, reading)."""
    sources = {
        name: Source(
            id=name,
            title=name,
            generation="vintage-print",
            derived_from=(f"sources/{root}",) if root != name else (),
        )
        for name, root in roots.items()
    }
    order = list(reversed(photos)) if flip else photos
    evidence = tuple(
        Evidence(photo=f"photos/{name}", reading=reading) for name, _, reading in order
    )
    claim = Claim(id="it", aspect="existence", says="it", evidence=evidence)
    library = replace(
        EMPTY,
        sources=sources,
        photos={name: photo(name, source) for name, source, _ in photos},
        parts={"p": Part(id="p", title="p", claims=(claim,))},
    )
    return weigh(library).claims["parts/p#it"].grade


items = st.lists(st.tuples(st.integers(0, 3), st.sampled_from(READINGS)), min_size=1, max_size=5)


def laid_out(drawn: list[tuple[int, str]]) -> tuple[list[tuple[str, str, str]], dict[str, str]]:
    roots = {f"n{n}": f"n{n}" for n in range(4)}
    photos = []
    for i, (negative, reading) in enumerate(drawn):
        roots[f"s{i}"] = f"n{negative}"
        photos.append((f"f{i}", f"s{i}", reading))
    return photos, roots


@given(items)
@settings(deadline=None)
def test_the_order_of_the_evidence_changes_nothing(drawn):
    photos, roots = laid_out(drawn)
    assert grade(photos, roots) == grade(photos, roots, flip=True)


@given(items, st.integers(0, 4))
@settings(deadline=None)
def test_a_copy_no_better_in_generation_or_reading_never_raises_a_grade(drawn, which):
    photos, roots = laid_out(drawn)
    _, source, reading = photos[which % len(photos)]
    roots["copy"] = source
    more = [*photos, ("fcopy", "copy", reading)]
    assert GRADES.index(grade(more, roots)) >= GRADES.index(grade(photos, roots))


@given(items, st.sampled_from(READINGS))
@settings(deadline=None)
def test_an_added_independent_witness_never_lowers_a_grade(drawn, reading):
    photos, roots = laid_out(drawn)
    roots["new"] = "new"
    more = [*photos, ("fnew", "new", reading)]
    assert GRADES.index(grade(more, roots)) <= GRADES.index(grade(photos, roots))


@given(items)
@settings(deadline=None)
def test_the_grade_follows_the_count_of_negatives_and_the_readings(drawn):
    """Counted apart, by hand: distinct negatives that read clear or probable, one of them clear."""
    photos, roots = laid_out(drawn)
    best: dict[int, str] = {}
    for negative, reading in drawn:
        best[negative] = min(best.get(negative, "possible"), reading, key=READINGS.index)
    good = [reading for reading in best.values() if reading != "possible"]
    if len(good) > 1 and "clear" in good:
        expected = "corroborated"
    else:
        expected = "seen" if good else "said"
    assert grade(photos, roots) == expected
