"""Judging takes work in proportion to the records: counted in lines of code run, not in seconds."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import pytest
from judged import judged_archive, write

from archive.read.load import load
from archive.reasoning.chronology import chronology
from archive.reasoning.falls import falls
from archive.reasoning.lift import lifts
from archive.reasoning.weigh import weigh
from archive.records.library import Library

SMALL, LARGE = 50, 200
MOST_EXPONENT = 1.15


def lines_run(work) -> int:
    """How many lines of this program a piece of work runs; each round of a loop counts."""
    count = 0

    def local(frame, event, arg):
        nonlocal count
        count += event == "line"
        return local

    def enter(frame, event, arg):
        return local

    before = sys.gettrace()
    sys.settrace(enter)
    try:
        work()
    finally:
        sys.settrace(before)
    return count


@pytest.fixture(scope="module")
def libraries(tmp_path_factory) -> dict[int, Library]:
    found = {}
    for claims in (SMALL, LARGE):
        folder: Path = tmp_path_factory.mktemp("judged")
        write(folder, judged_archive(claims))
        found[claims] = load(folder).library
    return found


def exponent(counts: dict[int, int]) -> float:
    return math.log(counts[LARGE] / counts[SMALL]) / math.log(LARGE / SMALL)


@pytest.mark.parametrize(
    "what", ["chronology", "weigh", "lifts", pytest.param("falls", marks=pytest.mark.full)]
)
def test_work_grows_with_the_records(libraries, what):
    counts = {}
    for claims, library in libraries.items():
        times = chronology(library)
        findings = weigh(library, times=times)
        work = {
            "chronology": lambda: chronology(library),  # noqa: B023
            "weigh": lambda: weigh(library, times=times),  # noqa: B023
            "lifts": lambda: lifts(library, findings, times=times),  # noqa: B023
            "falls": lambda: falls(library, findings, times=times),  # noqa: B023
        }[what]
        counts[claims] = lines_run(work)
    assert exponent(counts) <= MOST_EXPONENT, counts


def test_the_count_sees_a_loop_over_everything(libraries):
    def square(library: Library) -> int:
        return sum(one.id != other for one in library.photos.values() for other in library.photos)

    counts = {n: lines_run(lambda: square(library)) for n, library in libraries.items()}  # noqa: B023
    assert exponent(counts) > 1.8
