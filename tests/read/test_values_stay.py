"""What YAML 1.1 would change in silence stays as it was written, or is a problem.

The cases are those in which PyYAML's safe loader and ruamel.yaml's were seen to change a text
(YAML 1.1, types int, float, bool, null, timestamp and merge), and the structures that stop them.
"""

from __future__ import annotations

import time

import pytest
import yaml

from archive.read.records import read_record
from archive.records.part import Part

HEAD = "title: A\nzone: 510\nsurvives: whole\n"


def read(line: str) -> tuple[Part, list[str]]:
    entry = read_record("parts/a.md", f"---\n{HEAD}{line}\n---\n".encode(), Part, "a")
    return entry.made, [f"{p.where.line}:{p.where.column} {p.code}" for p in entry.problems]


KEPT = [
    "NO",
    "on",
    "Yes",
    "12:30",
    "0123",
    "007",
    "1_000",
    "0o17",
    "0x1F",
    "1e3",
    "1931-02-30",
    "1931-02-28",
    ".5",
    "+41",
    "Null",
    "1.10",
    "=",
    "<<",
]


@pytest.mark.parametrize("written", KEPT)
def test_a_text_stays_as_it_was_written(written: str) -> None:
    part, problems = read(f"tag: {written}")
    assert part.tag == written
    assert problems == []


def test_the_plain_loader_changes_most_of_these() -> None:
    """The danger is real: else the test above would show nothing."""
    changed = []
    for written in KEPT:
        try:
            if yaml.safe_load(f"tag: {written}")["tag"] != written:
                changed.append(written)
        except (ValueError, yaml.YAMLError):
            changed.append(written)
    assert len(changed) >= 11


STOPPED = [
    ("tag: A\ntag: B", "6:1 field-twice"),
    ("on: 1931-02-30", "5:5 date-impossible"),
    ("tag: &x [*x]", "5:6 yaml-alias"),
    ("tag: !!python/object:os.system x", "5:6 yaml-tag"),
    ("tag: " + "[" * 60 + "]" * 60, "2:1 yaml-deep"),
    ("tag: " + "[" * 3000 + "]" * 3000, "5:1005 yaml-deep"),
]


@pytest.mark.parametrize(("line", "told"), STOPPED)
def test_what_can_not_stand_is_a_problem_at_its_place(line: str, told: str) -> None:
    start = time.perf_counter()
    _, problems = read(line)
    if told.endswith("yaml-deep"):
        assert [problem.split()[1] for problem in problems] == ["yaml-deep"]
    else:
        assert told in problems
    assert time.perf_counter() - start < 1


def test_there_are_twenty_four_rows() -> None:
    assert len(KEPT) + len(STOPPED) == 24


def test_a_small_file_that_unfolds_into_millions_is_refused() -> None:
    rows = ["a: &a [x,x,x,x,x,x,x,x,x]"]
    rows += [
        f"{n}: &{n} [{','.join([f'*{m}'] * 9)}]"
        for m, n in zip("abcdefgh", "bcdefghi", strict=True)
    ]
    start = time.perf_counter()
    _, problems = read("\n".join(rows))
    assert {problem.split()[1] for problem in problems} == {"yaml-alias"}
    assert time.perf_counter() - start < 1


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("sealed: yes", []),
        ("sealed: false", []),
        ("sealed: NO", ["5:9 yes-or-no"]),
        ("sealed: on", ["5:9 yes-or-no"]),
        ("sealed: 1", ["5:9 yes-or-no"]),
        ("lead_days: 12", []),
        ("lead_days: 1_000", ["5:12 whole-expected"]),
        ("lead_days: 12.5", ["5:12 whole-expected"]),
        ("extent: {area_m2: 0.25}", []),
        ("extent: {area_m2: .inf}", ["5:19 number-expected"]),
        ("extent: {area_m2: 0,25}", ["5:21 field-unknown"]),
        ("extent: 12", ["5:9 group-expected"]),
        ("mates: [a, b]", []),
        ("mates: a", ["5:8 list-expected"]),
        ("hazards: radium", []),
        ("hazards: radon", ["5:10 word-unknown"]),
        ("tag: [A, B]", ["5:6 one-expected"]),
        ("tag: {A: B}", ["5:6 one-expected"]),
        ("station: 184", ["5:10 unit-missing"]),
        ("station: -184 mm", []),
        ("assembly: photos/a", ["5:11 ref-wrong-kind"]),
        ("assembly: The wing", ["5:11 ref-unreadable"]),
        ("treatments: [{id: Patch It}]", ["5:19 name-unreadable"]),
        ("on: 1932-06", ["5:5 day-needed"]),
        ("fitted: {from: floats-fitted, until: null}", []),
        ("tag: ~", []),
        ("tag:", []),
        ("titel: B", ["5:1 field-unknown"]),
    ],
)
def test_each_type_takes_its_own_and_says_so_of_others(line: str, told: list[str]) -> None:
    assert read(line)[1] == told
