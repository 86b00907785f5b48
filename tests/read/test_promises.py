"""Reading ten thousand damaged records, and a folder full of odd names: no traceback, no hang."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from archive.read.load import load
from archive.read.records import read_record
from archive.records.checks import check
from archive.records.part import Part

SEED = 1932
PIECES = [*"\n\t :-#[]{}&*!|>'\"%@`,?~<=0aé", "---\n", "\x00", "\u202e", "- - ", "claims:\n"]


def mutants(text: str, count: int) -> list[str]:
    chance = random.Random(SEED)
    made = []
    for _ in range(count):
        changed = text
        for _ in range(chance.randint(1, 6)):
            at = chance.randrange(len(changed) + 1)
            cut = chance.choice([0, 0, 1, 5, 40])
            changed = (
                changed[:at]
                + chance.choice(PIECES) * chance.choice([1, 1, 3])
                + changed[at + cut :]
            )
        made.append(changed)
    return made


SOUND = """\
---
title: Chine rail
zone: 510
survives: fragment
claims:
  - id: pitch
    aspect: size
    says: Rivets stand at an even pitch
    evidence:
      - {photo: slipway#chine, quote: "eleven, ends included", value: 7/8 in +/- 1/16 in limit}
fitted: {from: floats-fitted, until: null}
---
Prose.
"""


@pytest.mark.parametrize("count", [1000, pytest.param(10_000, marks=pytest.mark.full)])
def test_no_damage_stops_the_reading(count: int) -> None:
    slowest = 0.0
    for text in mutants(SOUND, count):
        start = time.perf_counter()
        entry = read_record("parts/rail.md", text.encode(), Part, "rail")
        slowest = max(slowest, time.perf_counter() - start)
        assert entry.made.id == "rail"
        assert all(p.says and p.where.path == "parts/rail.md" for p in entry.problems)
    assert slowest < 10


def test_the_checks_take_whatever_the_reading_gives(content: Callable[..., Path]) -> None:
    folder = content()
    (folder / "parts").mkdir()
    for number, text in enumerate(mutants(SOUND, 200)):
        (folder / "parts" / f"rail-{number}.md").write_text(text, "utf-8")
    loaded = load(folder)
    assert len(loaded.library.parts) == 200
    assert check(loaded.library)
