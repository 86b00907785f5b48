"""A whole folder: what it holds, what it says of itself, and the same from the cache."""

from __future__ import annotations

import hashlib
import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from archive.core import sealed
from archive.read import load as loading
from archive.read.cache import RECORDS
from archive.read.load import Loaded, NotContent, find_content, load
from archive.records.checks import check

Content = Callable[..., Path]

TEXT = """\
== parts/rail.md ==
---
title: Rail
zone: 510
survives: whole
side: left
claims:
  - id: a
    aspect: size
    says: A
    evidence:
      - photo: slip #chine
        value: 7/8 in
---
== parts/rail.nb.md ==
---
title: Skinne
---
Tekst.
== photos/slip.md ==
---
title: On the slip
kind: period
alt: A slip
date: {stated: 1932-06, argued: {is: 1932~, by: HB, on: 2027-01-10}}
regions: [{id: chine, outline: [[0, 0], [9, 0], [9, 9]]}]
---
== photos/slip.jpg ==
x
"""


def told(loaded: Loaded) -> list[str]:
    return [f"{p.where} {p.code}" for p in loaded.problems]


def snapshot(folder: Path) -> dict[str, tuple[int, bytes]]:
    return {
        str(p): (p.stat().st_mtime_ns, p.read_bytes() if p.is_file() else b"")
        for p in sorted(folder.rglob("*"))
    }


def test_a_folder_is_read_and_left_untouched(content: Content) -> None:
    folder = content(TEXT)
    before = snapshot(folder)
    loaded = load(folder)
    assert snapshot(folder) == before
    assert loaded.library.aircraft is not None and loaded.library.aircraft.mark == "QK-41"
    assert loaded.library.parts["rail"].translations["nb"].title == "Skinne"
    assert loaded.pictures == {"slip": folder / "photos" / "slip.jpg"}
    data = (folder / "parts" / "rail.md").read_bytes()
    assert loaded.digests["parts/rail.md"] == hashlib.sha256(data).hexdigest()
    assert told(loaded) == ["parts/rail.md:5:7 word-unknown", "parts/rail.md:11:21 piece-lost"]


def test_a_comment_that_is_no_piece_is_a_comment(content: Content) -> None:
    folder = content(TEXT.replace("slip #chine", "slip #later"))
    codes = {p.code for p in load(folder).problems}
    assert "piece-lost" not in codes and "text-cut" in codes
    folder = content(TEXT.replace("slip #chine", "slip # later"))
    assert not {"piece-lost", "text-cut"} & {p.code for p in load(folder).problems}


def test_what_is_no_content_folder_is_said_to_be_none(tmp_path: Path) -> None:
    with pytest.raises(NotContent, match=r"aircraft\.yaml"):
        load(tmp_path)
    with pytest.raises(NotContent, match="witnessmark new"):
        find_content(tmp_path)


def test_the_content_folder_is_found_from_above_and_from_within(content: Content) -> None:
    folder = content(TEXT)
    assert find_content(folder).samefile(folder)
    assert find_content(folder.parent).samefile(folder)
    assert find_content(folder / "parts").samefile(folder)


def test_single_files_that_are_missing_are_told(content: Content) -> None:
    folder = content("== aircraft.yaml ==\nname: A\n", bare=True)
    assert {"people.yaml file-missing", "zones.yaml file-missing"} <= set(told(load(folder)))


def test_a_large_file_is_refused_and_its_record_is_still_known(content: Content) -> None:
    folder = content(TEXT)
    (folder / "parts" / "rail.md").write_text("---\ntitle: " + "x" * (1 << 20))
    loaded = load(folder)
    assert "parts/rail.md file-large" in told(loaded)
    assert loaded.library.parts["rail"].title is None


def test_a_file_that_may_not_be_read_is_told(
    content: Content, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = content(TEXT)
    plain_open = open

    def refused(path: object, *words: object, **more: object) -> object:
        if str(path).endswith("rail.md"):  # root may read everything: the refusal is made here
            raise PermissionError(13, "Permission denied", str(path))
        return plain_open(path, *words, **more)  # type: ignore[call-overload]

    monkeypatch.setattr("builtins.open", refused)
    assert "parts/rail.md file-unreadable" in told(load(folder))


def test_what_names_a_piece_of_a_lost_record_is_not_told_as_well(content: Content) -> None:
    folder = content(TEXT.replace("slip #chine", "slip#chine").replace("side: left", "side: port"))
    for lost in ("---\n" + "x" * (1 << 20), "---\nregions: [{id: chine\n---\n", ""):
        (folder / "photos" / "slip.md").write_text(lost)
        loaded = load(folder)
        assert {p.where.path for p in loaded.problems} == {"photos/slip.md"}
        assert [p for p in check(loaded.library) if p.code == "piece-unknown"] == []


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache"


def same(one: Loaded, other: Loaded) -> bool:
    def places(loaded: Loaded) -> list[object]:
        part = loaded.library.parts["rail"]
        return [part.marks, [c.marks for c in part.claims], loaded.library.photos["slip"].marks]

    return (
        one.library == other.library
        and one.problems == other.problems
        and one.digests == other.digests
        and places(one) == places(other)
    )


def test_the_cache_gives_the_same_and_reads_nothing_twice(
    content: Content, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = content(TEXT)
    plain, first = load(folder), load(folder, cache)
    assert same(plain, first)
    read: list[str] = []
    whole = loading._read
    monkeypatch.setattr(loading, "_read", lambda f, d: (read.append(f.path), whole(f, d))[1])
    assert same(plain, load(folder, cache)) and read == []
    rail = folder / "parts" / "rail.md"
    rail.write_text(rail.read_text().replace("side: left", "side: port"))
    changed = load(folder, cache)
    assert read == ["parts/rail.md"]
    assert changed.library.parts["rail"].side == "port"


def test_a_damaged_cache_is_ignored(content: Content, cache: Path) -> None:
    folder = content(TEXT)
    plain = load(folder)
    load(folder, cache)
    file = cache / "records.bin"
    sound = file.read_bytes()
    for at in range(0, len(sound), max(1, len(sound) // 40)):
        file.write_bytes(sound[:at] + bytes([sound[at] ^ 1]) + sound[at + 1 :])
        assert RECORDS.fetch(cache) is None
        assert same(plain, load(folder, cache))
    for data in (b"", sound[:40], sound + b"x"):
        file.write_bytes(data)
        assert RECORDS.fetch(cache) is None


def test_a_foreign_pickle_never_runs(content: Content, cache: Path) -> None:
    folder = content(TEXT)
    load(folder, cache)
    canary = cache.parent / "ran"

    class Bait:
        def __reduce__(self) -> object:
            return os.mkdir, (str(canary),)

    bait = pickle.dumps(Bait())
    (cache / "records.bin").write_bytes(b"\0" * 32 + bait)
    load(folder, cache)
    # Even one who had the key gets no further than the classes of the records.
    (cache / "records.bin").write_bytes(
        RECORDS._seal((cache / "records.key").read_bytes(), bait) + bait
    )
    assert RECORDS.fetch(cache) is None
    assert not canary.exists()


def test_a_cache_open_to_others_is_not_used(content: Content, cache: Path) -> None:
    folder = content(TEXT)
    load(folder, cache)
    cache.chmod(0o755)
    assert RECORDS.fetch(cache) is None


def test_another_program_or_a_moved_cache_starts_anew(
    content: Content, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = content(TEXT)
    load(folder, cache)
    assert RECORDS.fetch(cache)
    monkeypatch.setattr(sealed, "program", lambda stages: b"another")
    assert RECORDS.fetch(cache) is None


def test_reading_does_not_depend_on_the_order_of_hashes(content: Content) -> None:
    folder = content(TEXT)
    code = (
        "from pathlib import Path\nfrom archive.read.load import load\n"
        f"l = load(Path({str(folder)!r}))\nprint(l.library, l.problems, dict(l.digests))"
    )
    outs = {
        subprocess.run(
            [sys.executable, "-c", code],
            check=True,
            capture_output=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "LC_ALL": "C"},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(outs) == 1
