"""The register: numbers given once, a card whole or not there, an issue added and nothing else."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from archive.core.atomic import CannotWrite, write_new
from archive.core.scales import GRADES
from archive.read.load import load
from archive.read.records import read_record
from archive.records.card import ASKED, Card, CardClaim, CardDecision, Issue
from archive.records.checks import check
from archive.records.claim import ASPECTS
from archive.records.decision import CHOICES
from archive.records.part import HAZARDS
from archive.write.cards import LAST, issue_again, issue_card, text_of_card

DAY = date(2026, 11, 24)
ISSUE = Issue(step="cut", rules=4)
ROOT = Path(__file__).parents[2]

words = st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), min_size=1, max_size=30).map(
    lambda text: " ".join(text.split()) or "x"
)
names = st.from_regex(r"[a-z0-9][a-z0-9-]{0,9}", fullmatch=True)
lengths = st.none() | st.floats(0.001, 1e5).map(lambda value: round(value, 6))
claims = st.builds(
    CardClaim,
    claim=names,
    aspect=st.sampled_from(ASPECTS),
    says=words,
    grade=st.sampled_from(GRADES),
    settled=st.booleans(),
    witnesses=st.integers(0, 99),
    evidence=st.from_regex(r"[0-9A-HJKMNP-TV-Z]{6}", fullmatch=True),
    value_mm=lengths,
    half95_mm=lengths,
    tolerance_mm=lengths,
    make_to_mm=lengths,
    measured_from=st.none() | words,
    leave=st.none() | words,
)
decisions = st.builds(
    CardDecision, decision=names, choice=st.sampled_from(CHOICES), state=words, evidence=words
)
issues = st.builds(
    Issue,
    step=st.sampled_from(ASKED),
    rules=st.integers(1, 99),
    configuration=st.none() | names,
    hazards=st.lists(st.sampled_from(HAZARDS), max_size=3, unique=True).map(tuple),
    mark=st.none() | words,
    mark_place=st.none() | words,
    claims=st.lists(claims, max_size=4).map(tuple),
    decisions=st.lists(decisions, max_size=2).map(tuple),
)


@given(issues, issues)
@settings(deadline=None, max_examples=60, suppress_health_check=list(HealthCheck))
def test_what_is_written_is_read_back_the_same(tmp_path_factory, first, second):
    folder = tmp_path_factory.mktemp("content")
    card = issue_card(folder, "parts/x", first, DAY, "HB")
    again = issue_again(folder, card, second, DAY, None)
    data = (folder / card.path).read_bytes()
    entry = read_record(card.path, data, Card, card.id)
    assert entry.problems == () and entry.made == again
    assert data.startswith(text_of_card(card).encode()), "the first issue's lines stay"


def test_numbers_count_up_and_none_comes_back(tmp_path):
    for expected in ("0001", "0002", "0003"):
        assert issue_card(tmp_path, "parts/x", ISSUE, DAY, None).id == expected
    (tmp_path / "cards" / "0003.yaml").unlink()
    assert issue_card(tmp_path, "parts/x", ISSUE, DAY, None).id == "0004"
    (tmp_path / "cards" / LAST).unlink()
    assert issue_card(tmp_path, "parts/x", ISSUE, DAY, None).id == "0005"
    (tmp_path / "cards" / LAST).write_bytes(b"\0\0torn")
    assert issue_card(tmp_path, "parts/x", ISSUE, DAY, None).id == "0006"
    (tmp_path / "cards" / "12345.yaml").write_text("x")
    assert issue_card(tmp_path, "parts/x", ISSUE, DAY, None).id == "12346"


def _many(folder: str, count: int) -> list[str]:
    return [issue_card(Path(folder), "parts/x", ISSUE, DAY, None).id for _ in range(count)]


def test_four_at_once_never_share_a_number(tmp_path):
    with multiprocessing.get_context("spawn").Pool(4) as pool:
        lists = pool.starmap(_many, [(str(tmp_path), 25)] * 4)
    every = [number for one in lists for number in one]
    assert len(set(every)) == 100
    assert sorted(every) == sorted(file.stem for file in (tmp_path / "cards").glob("*.yaml"))


WRITER = """
import sys
from datetime import date
from pathlib import Path
from archive.records.card import Issue
from archive.write.cards import issue_card
issue = Issue(step="cut", rules=4)
print("ready", flush=True)
while True:
    card = issue_card(Path(sys.argv[1]), "parts/x", issue, date(2026, 1, 1), None)
    print(card.id, flush=True)
"""


def test_a_writer_killed_at_any_moment_leaves_whole_cards_and_no_number_twice(content):
    folder = content("== parts/x.md ==\n---\ntitle: X\nzone: 510\nsurvives: no\n---\n")
    said: list[str] = []
    for turn in range(8):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder)],
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        assert writer.stdout and writer.stdout.readline() == "ready\n"
        time.sleep(0.01 + 0.013 * turn)
        writer.send_signal(signal.SIGKILL)
        said += [line.strip() for line in writer.communicate()[0].splitlines() if line.strip()]
    complete = [number for number in said if len(number) == 4]
    assert len(set(complete)) == len(complete) > 0
    loaded = load(folder)
    assert set(complete) <= set(loaded.library.cards), "what was told is there"
    problems = [*loaded.problems, *check(loaded.library)]
    assert [p for p in problems if not p.advice] == []
    assert issue_card(folder, "parts/x", ISSUE, DAY, None).id not in loaded.library.cards


def test_a_file_that_is_there_is_never_written_over(tmp_path):
    write_new(tmp_path / "a", "one")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / "a", "two")
    assert (tmp_path / "a").read_text() == "one"
    assert [file.name for file in tmp_path.iterdir()] == ["a"]


def test_an_issue_is_not_added_to_a_file_that_was_changed_meanwhile(tmp_path):
    card = issue_card(tmp_path, "parts/x", ISSUE, DAY, None)
    issue_again(tmp_path, card, ISSUE, DAY, None)
    with pytest.raises(CannotWrite, match="changed meanwhile"):
        issue_again(tmp_path, card, ISSUE, DAY, None)


def test_a_folder_that_takes_no_writing_is_told(tmp_path):
    (tmp_path / "cards").write_text("a file")
    with pytest.raises(CannotWrite):
        issue_card(tmp_path, "parts/x", ISSUE, DAY, None)
