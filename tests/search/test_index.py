"""The index on disk: Whoosh's own scores, only what changed written, nothing foreign opened."""

from __future__ import annotations

import pickle
import random
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from archive.search import index as module
from archive.search.documents import Document
from archive.search.find import find, look
from archive.search.index import Index, open_index, stem
from archive.search.ranking import FIELDS, K1, WEIGHTS, B

Archive = Callable[..., list[Document]]


def everything(index: Index, lines: list[str]) -> list[Any]:
    return [look(index, line, limit=10_000) for line in lines]


def test_scores_are_those_of_whoosh(made_archive: Archive, tmp_path: Path) -> None:
    """The outside check: Whoosh's own BM25F over the same index, searched without a limit."""
    from whoosh import scoring
    from whoosh.index import open_dir
    from whoosh.query import And, Or, Term

    index = open_index(made_archive(300), tmp_path)
    (folder,) = tmp_path.glob("index-*/")
    searcher = open_dir(folder, readonly=True).searcher(weighting=scoring.BM25F(B=B, K1=K1))
    words = [
        "strut",
        "rudder",
        "spruce",
        "copied",
        "wheel",
        "wire",
        "p114",
        "glass",
        "film",
        "seen",
    ]
    pairs = [f"{one} {two}" for one in words[:6] for two in ["chine", "fuselage", "hollin", "1932"]]
    compared = 0
    for line in [*words, *pairs]:
        wanted = And(
            [
                Or(
                    [
                        Term(name, word if name == "marks" else stem(word), boost=weight)
                        for name, weight in zip(FIELDS, WEIGHTS, strict=True)
                    ]
                )
                for word in line.split()
            ]
        )
        theirs = {hit["ref"]: hit.score for hit in searcher.search(wanted, limit=None)}
        found = look(index, line, limit=1000)
        if found.corrected or found.missing:
            continue
        ours = {hit.ref: hit.score for hit in found.hits}
        assert ours == pytest.approx(theirs, abs=5e-4), line
        compared += len(ours)
    assert compared > 500


def test_the_kept_index_answers_like_a_new_one_after_changes(
    made_archive: Archive,
    made_lines: Callable[..., list[str]],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    documents = made_archive(60)
    lines = made_lines(60)
    added: list[str] = []
    real = module._add
    monkeypatch.setattr(
        module, "_add", lambda writer, one, mark: (added.append(one.ref), real(writer, one, mark))
    )
    chance = random.Random(7)
    open_index(documents, tmp_path).close()
    for turn in range(4):
        documents.pop(chance.randrange(len(documents)))
        place = chance.randrange(len(documents))
        documents[place] = replace(documents[place], text="Fittings of the tailplane, ungeflickt.")
        documents.append(Document(f"parts/new-{turn}", "part", "New strut", "A wire."))
        added.clear()
        kept = open_index(documents, tmp_path)
        assert sorted(added) == sorted([documents[place].ref, documents[-1].ref])
        assert everything(kept, [*lines, "ungeflick"]) == everything(
            open_index(documents), [*lines, "ungeflick"]
        )
        kept.close()
    added.clear()
    open_index(documents, tmp_path)
    assert not added


class Canary:
    """Leaves a file behind when it is unpickled."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self) -> tuple[Any, ...]:
        return (Path.touch, (self.path,))


def test_a_planted_pickle_is_never_run(made_archive: Archive, tmp_path: Path) -> None:
    documents = made_archive(12)
    cache = tmp_path / "cache"
    open_index(documents, cache).close()
    (folder,) = cache.glob("index-*/")
    canary = tmp_path / "ran"
    (toc,) = folder.glob("*.toc")
    good, bad = toc.read_bytes(), pickle.dumps(Canary(canary), 2)
    start = good.index(b"\x80\x02")
    toc.write_bytes(good[:start] + bad + good[start + len(bad) :])
    assert find(open_index(documents, cache), "kind:photo kind:part")
    assert not canary.exists()
    # The canary does sing where the file is trusted, or this test would show nothing.
    pickle.loads(bad)
    assert canary.exists()


def test_a_whole_foreign_cache_is_not_opened(made_archive: Archive, tmp_path: Path) -> None:
    """A folder with a seal of another key, as it would come with a copied disk."""
    documents = made_archive(5)
    open_index(documents, tmp_path).close()
    (folder,) = tmp_path.glob("index-*/")
    (tmp_path / "key").write_bytes(b"x" * 32)
    open_index(documents, tmp_path).close()
    assert not folder.exists()
    assert len(list(tmp_path.glob("index-*/"))) == 1


def test_any_damage_ends_in_a_new_index(made_archive: Archive, tmp_path: Path) -> None:
    documents = made_archive(12)
    fresh = everything(open_index(documents), ["strut", "rudder*", "kind:photo"])
    chance = random.Random(3)
    open_index(documents, tmp_path).close()
    for _ in range(12):
        files = [path for path in tmp_path.rglob("*") if path.is_file() and path.stat().st_size]
        victim = chance.choice(files)
        content = bytearray(victim.read_bytes())
        content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
        victim.write_bytes(content if chance.random() < 0.7 else content[: len(content) // 2])
        index = open_index(documents, tmp_path)
        assert everything(index, ["strut", "rudder*", "kind:photo"]) == fresh
        index.close()


def test_the_first_compilation_of_the_library_warns_nobody(tmp_path: Path) -> None:
    script = (
        "from archive.search.index import open_index\n"
        "from archive.search.documents import Document\n"
        "from archive.search.find import find\n"
        "print(find(open_index([Document('parts/a', 'part', 'Strut')]), 'struts')[0].ref)\n"
    )
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", script],
        env={"PYTHONPYCACHEPREFIX": str(tmp_path), "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.stdout, run.stderr) == ("parts/a\n", "")


def test_a_cache_that_cannot_be_made_is_done_without(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    index = open_index([Document("parts/a", "part", "Strut")], tmp_path / "file" / "cache")
    assert [hit.ref for hit in find(index, "strut")] == ["parts/a"]


def test_only_this_module_imports_whoosh_and_only_when_searching() -> None:
    package = Path(module.__file__).parents[1]
    users = {path for path in package.rglob("*.py") if "whoosh." in path.read_text("utf-8")}
    assert users == {Path(module.__file__)}
    script = (
        "import archive.search.find, archive.search.shards, sys; print('whoosh' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        cwd=package.parent,
    )
    assert run.stdout == "False\n"
