"""The order of files changes nothing, nor does taking one out and putting it back."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from random import Random

import pytest
from cutting import MARKED, TWO, claims, decision, sign
from small_records import BASE, part

from archive.read.load import load
from archive.reasoning.weigh import weigh

DEMO = Path(__file__).parents[2] / "content"


@pytest.fixture(scope="module")
def demo():
    library = load(DEMO, None).library
    return library, weigh(library)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_permuting_the_files_changes_nothing(demo, seed):
    """All findings of the demo, with the records of every kind read in another order."""
    library, before = demo
    random = Random(seed)
    mixed = {}
    for field in dataclasses.fields(library):
        value = getattr(library, field.name)
        if isinstance(value, dict) or hasattr(value, "items"):
            pairs = list(value.items())
            random.shuffle(pairs)
            mixed[field.name] = dict(pairs)
    after = weigh(dataclasses.replace(library, **mixed))
    assert after.claims == before.claims
    assert after.decisions == before.decisions
    assert after.measurements == before.measurements
    assert _days(after) == _days(before)
    assert after.group_of == before.group_of
    verdicts = [
        {
            ref: {s: (f.verdict, sorted(map(str, f.reasons))) for s, f in known.steps.items()}
            for ref, known in found.parts.items()
        }
        for found in (before, after)
    ]
    assert verdicts[0] == verdicts[1]


def _days(found):
    """Every bound with its chain, and what else is told, whichever was met first."""
    return {
        ref: (dataclasses.replace(dated, told=()), sorted(map(str, dated.told)))
        for ref, dated in found.dates.items()
    }


@pytest.mark.parametrize(
    "name", ["photos/two.md", "decisions/it.md", "people.yaml", "policy.yaml", "parts/chine.md"]
)
def test_taking_a_file_out_and_putting_it_back_changes_nothing(weighed, content, tmp_path, name):
    text = TWO + part(claims(), MARKED) + decision()
    text += "\n== policy.yaml ==\noverrides:\n  - {rule: C4, share: 0.9, says: A, because: A, "
    text += "by: HB, on: 2026-01-05}\n"
    text = sign(weighed, text)
    before, problems, _ = weighed(text)
    assert problems == [] and before.parts["parts/chine"].steps["cut"].verdict == "cleared"
    folder = content(BASE + text)
    cache = tmp_path / "cache"
    cache.mkdir()
    kept = (folder / name).read_text("utf-8")
    assert weigh(load(folder, cache).library) == before
    (folder / name).unlink()
    assert weigh(load(folder, cache).library) != before
    (folder / name).write_text(kept, "utf-8")
    assert weigh(load(folder, cache).library) == before
