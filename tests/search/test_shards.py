"""The page's files: the same by every way of making them, small, and little changed by a change."""

from __future__ import annotations

import json
import random
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from archive.search import postings
from archive.search.documents import Document
from archive.search.ledger import analyse
from archive.search.shards import LARGEST, cut, export

Archive = Callable[..., list[Document]]

SHAPE = re.compile(rb'RecordSearch\.take\("([^"]+)",(.*)\);\n', re.DOTALL)


def values(files: dict[str, bytes]) -> dict[str, object]:
    read = {}
    for name, content in files.items():
        match = SHAPE.fullmatch(content)
        assert match and name == f"{match[1].decode()}.js"
        read[name] = json.loads(match[2])
    return read


def test_every_posting_is_in_the_files(
    made_archive: Archive, read_postings: Callable[[str], dict[int, list[int]]]
) -> None:
    documents = sorted(made_archive(80), key=lambda one: one.ref)
    read = values(export(documents))
    held: dict[str, list[dict[int, list[int]]]] = {}
    for name, value in read.items():
        if name.startswith("t-"):
            term = ""
            for part in str(value).split(" "):
                shared, rest, entry = re.fullmatch(r"([A-Z])([^!`]*)`?(.*)", part).groups()
                term = term[: ord(shared) - ord("A")] + rest
                fields = [read_postings(field) for field in entry.split("!")]
                held[term] = fields + [{} for _ in range(3 - len(fields))]
    for number, document in enumerate(documents):
        for field, places in enumerate(analyse(document).fields):
            for term, at in places.items():
                assert held[term][field].pop(number) == at
    assert not any(field for entry in held.values() for field in entry)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(0, 10**6))
def test_with_a_cache_the_files_are_the_same_to_the_byte(
    seed: int, made_archive: Archive, tmp_path_factory: pytest.TempPathFactory
) -> None:
    chance = random.Random(seed)
    cache = tmp_path_factory.mktemp("cache")
    documents = made_archive(30, seed)
    export(documents, cache)
    for _ in range(3):
        place = chance.randrange(len(documents))
        what = chance.choice(["text", "marks", "title", "drop", "add", "kind", "empty"])
        one = documents[place]
        if what == "drop":
            documents.pop(place)
        elif what == "add":
            documents.append(replace(one, ref=f"{one.ref}#{chance.randrange(10**6)}"))
        elif what == "empty":
            documents[place] = replace(one, text="", marks=(), title="")
        elif what == "marks":
            documents[place] = replace(one, marks=("Ö-9", 'a"b\\c <é>', "box  12"))
        else:
            documents[place] = replace(one, **{what: f"seldom {chance.randrange(99)} ægir"})
        chance.shuffle(documents)
        assert export(documents, cache) == export(documents)


def test_one_changed_record_is_patched_in_and_changes_few_files(
    made_archive: Archive, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    documents = [
        replace(one, text=f"{one.text} word{number} thing{number} wire{number % 97}")
        for number, one in enumerate(made_archive(3000))
    ]
    before = export(documents, tmp_path)
    monkeypatch.setattr(postings, "_rewrite", None)
    documents[1234] = replace(documents[1234], text="Nothing but a word77 and the tailplane.")
    after = export(documents, tmp_path)
    changed = set(after.items()) - set(before.items())
    assert len(before) > 30
    assert 2 <= len(changed) <= 16
    assert sum(map(len, before.values())) / len(before) > 3000


def test_files_stay_small_and_plain(made_archive: Archive) -> None:
    files = export(made_archive(2500))
    for name, content in files.items():
        assert len(content) <= LARGEST or name == "manifest.js"
        assert re.fullmatch(r"[a-z]+(-[0-9a-f]{10})?\.js", name)
        content.decode("ascii")
        assert content.count(b"\n") == 1
    values(files)


@given(st.lists(st.tuples(st.text(min_size=1), st.text("ab\u00e9\n", max_size=3000))))
def test_cutting_loses_nothing_and_keeps_the_limit(items: list[tuple[str, str]]) -> None:
    runs = list(cut(items, 4_000, 4))
    assert [item for run in runs for item in run] == items
    for run in runs:
        assert len(json.dumps(" ".join(text for _, text in run))) <= LARGEST or len(run) == 1


def test_a_damaged_ledger_is_worked_out_anew(made_archive: Archive, tmp_path: Path) -> None:
    documents = made_archive(40)
    whole = export(documents, tmp_path)
    chance = random.Random(5)
    for _ in range(12):
        victim = chance.choice([path for path in tmp_path.rglob("*") if path.is_file()])
        content = bytearray(victim.read_bytes())
        content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
        victim.write_bytes(content)
        assert export(documents, tmp_path) == whole


def test_neither_hash_seed_nor_place_nor_zone_shows(tmp_path: Path) -> None:
    script = (
        "import hashlib,sys\n"
        "from archive.search.documents import Document\n"
        "from archive.search.shards import export\n"
        "texts=['wire spruce ash '*n for n in range(9)]\n"
        "d=[Document(f'parts/{n}','part','Rib',t,(f'P-{n}',)) for n,t in enumerate(texts)]\n"
        "print(hashlib.sha256(repr(sorted(export(d).items())).encode()).hexdigest())\n"
    )
    root = Path(__file__).parents[2]
    outputs = set()
    for seed, zone, place in [("0", "UTC", root), ("1", "Asia/Tokyo", tmp_path)]:
        run = subprocess.run(
            [sys.executable, "-c", script],
            env={"PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(root), "LC_ALL": "C"},
            cwd=place,
            capture_output=True,
            text=True,
            check=True,
        )
        outputs.add(run.stdout)
    assert len(outputs) == 1
