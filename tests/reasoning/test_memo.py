"""What is remembered gives the same as working everything out anew, whatever was edited."""

from __future__ import annotations

import pickle
import random
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judged import judged_archive, write

from archive.core.dates import parse_edtf
from archive.pipeline import weigh as weigh_folder
from archive.read.load import Loaded, load
from archive.reasoning.chronology import chronology
from archive.reasoning.memo import Memo, Memory
from archive.reasoning.weigh import weigh
from archive.records.library import EMPTY

AS_OF = parse_edtf("2026-11-25").latest
CLAIMS = 18

Files = dict[str, str]
Edit = Callable[[Files, random.Random], None]


def picked(files: Files, kind: str, chance: random.Random) -> str:
    """One file of a kind; "" where there is none left."""
    return chance.choice(sorted(path for path in files if path.startswith(kind)) or [""])


def swapped(kind: str, *pairs: tuple[str, str]) -> Edit:
    """An edit that puts other words into a file of a kind that has the old ones."""

    def edit(files: Files, chance: random.Random) -> None:
        old, new = chance.choice(pairs)
        having = sorted(p for p in files if p.startswith(kind) and old in files[p])
        if having:
            path = chance.choice(having)
            files[path] = files[path].replace(old, new, 1)

    return edit


def dropped(kind: str) -> Edit:
    def edit(files: Files, chance: random.Random) -> None:
        files.pop(picked(files, kind, chance), None)

    return edit


def copied(kind: str) -> Edit:
    def edit(files: Files, chance: random.Random) -> None:
        path = picked(files, kind, chance)
        if path:
            files[path.replace(".md", f"{chance.randrange(9)}x.md")] = files[path]

    return edit


def policy(files: Files, chance: random.Random) -> None:
    rule, says = chance.choice((("G5", "three witnesses"), ("C4", "half of the tolerance")))
    files["policy.yaml"] = (
        f"overrides: [{{rule: {rule}, says: {says}, because: it must hold, by: AA, "
        "on: 2026-01-02}]\n"
    )


WHO = "by: AA, on: 2026-01-02, because: as it looks"
EDITS: Mapping[str, Edit] = {
    "a reading": swapped("parts/", ("#patch, value", "#patch, reading: possible, value")),
    "a figure": swapped("parts/", ("value: 101 mm", "value: 140 mm"), ("+/- 1 mm", "+/- 4 mm")),
    "a tolerance": swapped("parts/", ("tolerance: 2 mm", "tolerance: 0.5 mm")),
    "what survives": swapped("parts/", ("survives: no", "survives: whole")),
    "when a part was fitted": swapped("parts/", ("from: floats", "from: flown")),
    "a date": swapped(
        "photos/",
        ("kind: period", f"kind: period\ndate: {{argued: {{is: 1934-05, {WHO}}}}}"),
        ("argued: {is: 1932", "argued: {is: 1935"),
        ("stated: 193", "stated: 192"),
    ),
    "what a photograph shows": swapped(
        "photos/", ("events/floats", "events/repaint"), ("is: seen", "is: absent")
    ),
    "whose aircraft": swapped("photos/", ("{is: this", "{is: unknown")),
    "one negative": swapped("photos/", ("source: n-1\n", "source: n-2\n")),
    "a state ruled": swapped("photos/", ("is: must", "is: cannot")),
    "a negative's date": swapped("sources/", ("dated: {is: 193", "dated: {is: 192")),
    "a source discredited": swapped(
        "sources/", ("title: ", f"discredited: {{is: yes, {WHO}}}\ntitle: ")
    ),
    "a chain": swapped("sources/l-", ("first_hand:", "derived_from: [sources/n-0]\nfirst_hand:")),
    "a word that can't be read": swapped("parts/", ("aspect: size", "aspect: sizze")),
    "a name that isn't there": swapped("photos/", ("source: n-", "source: nowhere-")),
    "a signature": swapped("decisions/", ("role: owner", "role: lead")),
    "a photograph gone": dropped("photos/"),
    "a source gone": dropped("sources/n-"),
    "a part gone": dropped("parts/"),
    "a question gone": dropped("questions/"),
    "another photograph": copied("photos/"),
    "another part": copied("parts/"),
    "an event's date": swapped("aircraft", ("1932-06-11", "1932-07-20"), ("1935-03", "1934-01")),
    "another target": swapped("aircraft", ("target: floating", "target: longer")),
    "a person renamed": swapped("people", ("initials: BB", "initials: CC")),
    "a policy": policy,
}


def judged(loaded: Loaded, before: Memory | None) -> tuple[Any, Any, Memo]:
    """The findings and the days with what is remembered."""
    memo = Memo(loaded.library, loaded.marks(), before)
    times = chronology(loaded.library, memo=memo)
    return weigh(loaded.library, AS_OF, times=times, memo=memo), times, memo


def anew(loaded: Loaded) -> tuple[Any, Any]:
    times = chronology(loaded.library)
    return weigh(loaded.library, AS_OF, times=times), times


def same(one: Any, other: Any) -> bool:
    """Equal, in equal order, down to the letter."""
    return one == other and repr(one) == repr(other)


def read(files: Files) -> Loaded:
    with tempfile.TemporaryDirectory() as room:
        write(Path(room), files)
        return load(Path(room))


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 5), st.lists(st.sampled_from(sorted(EDITS)), min_size=1, max_size=6))
def test_mended_is_as_made_anew_over_a_walk_of_edits(seed, walk):
    chance = random.Random(f"{seed}")
    files = judged_archive(CLAIMS, seed)
    _, _, memo = judged(read(files), None)
    for name in walk:
        EDITS[name](files, chance)
        loaded = read(files)
        found, times, memo = judged(loaded, pickle.loads(pickle.dumps(memo.after)))
        plain, plain_times = anew(loaded)
        assert same(found, plain), name
        assert same(times.dates, plain_times.dates), name


@pytest.mark.parametrize("name", sorted(EDITS))
def test_each_edit_alone_moves_something_or_nothing_alike(name):
    files = judged_archive(CLAIMS, 3)
    _, _, memo = judged(read(files), None)
    EDITS[name](files, random.Random("1"))
    loaded = read(files)
    found, times, _ = judged(loaded, memo.after)
    plain, plain_times = anew(loaded)
    assert same(found, plain) and same(times.dates, plain_times.dates)


def no_records(monkeypatch) -> None:
    begin = Memo.__init__

    def forgetful(memo: Memo, *given: Any) -> None:
        begin(memo, *given)
        memo.library = memo.plain

    monkeypatch.setattr(Memo, "__init__", forgetful)


def no_times(monkeypatch) -> None:
    watch = Memo.watch
    monkeypatch.setattr(
        Memo, "watch", lambda m, name, v: v if name == "clocks.tightened" else watch(m, name, v)
    )


@pytest.mark.parametrize(("forget", "name"), [(no_records, "a reading"), (no_times, "a date")])
def test_a_forgotten_dependency_is_seen(monkeypatch, forget, name):
    """The comparison above is no empty one: where something isn't watched, it finds it out."""
    forget(monkeypatch)
    seen = False
    for seed in range(4):
        files, chance = judged_archive(2 * CLAIMS, seed), random.Random(f"{seed}")
        _, _, memo = judged(read(files), None)
        for _ in range(4):
            EDITS[name](files, chance)
        loaded = read(files)
        found, times, _ = judged(loaded, memo.after)
        plain, plain_times = anew(loaded)
        seen = seen or not (same(found, plain) and same(times.dates, plain_times.dates))
    assert seen


@dataclass(frozen=True)
class Outfit:
    """A value with every kind of field, as somebody may add one."""

    names: Mapping[str, int]
    circular: frozenset[str] = frozenset()
    most: int = 1
    row: tuple[str, ...] = ()
    inner: Outfit | None = field(default=None)


@pytest.mark.parametrize(
    ("reads", "now", "again"),
    [
        (lambda o: o.names.get("a"), Outfit({"a": 2, "b": 1}), True),
        (lambda o: o.names.get("a"), Outfit({"a": 1, "b": 2}), False),
        (lambda o: o.names.get("z"), Outfit({"a": 1, "b": 1, "z": 0}), True),
        (lambda o: sum(o.names.values()), Outfit({"a": 1, "b": 2}), True),
        (lambda o: len(o.names), Outfit({"a": 1}), True),
        (lambda o: "x" in o.circular, Outfit({"a": 1, "b": 1}, frozenset("x")), True),
        (lambda o: {"y"} & o.circular, Outfit({"a": 1, "b": 1}, frozenset("x")), False),
        (lambda o: o.most, Outfit({"a": 1, "b": 1}, most=2), True),
        (lambda o: o.names["a"], Outfit({"a": 1, "b": 1}, most=2), False),
        (lambda o: bool(o.row), Outfit({"a": 1, "b": 1}, row=("x",)), True),
        (lambda o: o.inner is None, Outfit({"a": 1, "b": 1}, inner=Outfit({})), True),
    ],
)
def test_whatever_field_a_value_has_is_watched(reads, now, again):
    def run(value: Outfit, before: Memory | None) -> Memo:
        memo = Memo(EMPTY, {}, before)
        watched = memo.watch("outfit", value)
        assert memo.made("it", "it", lambda: reads(watched)) == reads(value)
        return memo

    first = run(Outfit({"a": 1, "b": 1}), None)
    assert run(Outfit({"a": 1, "b": 1}), first.after).worked_out == {}
    assert run(now, first.after).worked_out == ({"it": 1} if again else {})


def test_what_is_given_outright_counts_too():
    memo = Memo(EMPTY, {})
    memo.made("it", "it", lambda: 1, "so")
    assert Memo(EMPTY, {}, memo.after).made("it", "it", lambda: 2, "so") == 1
    assert Memo(EMPTY, {}, memo.after).made("it", "it", lambda: 2, "otherwise") == 2


@pytest.mark.parametrize("name", ["a reading", "a date", "a tolerance"])
def test_one_change_works_out_what_leans_on_it_however_large_the_archive(name):
    counts = []
    for claims in (60, 240):
        files = judged_archive(claims)
        _, _, memo = judged(read(files), None)
        EDITS[name](files, random.Random("2"))
        _, _, again = judged(read(files), memo.after)
        counts.append(again.worked_out.get("grade", 0) + again.worked_out.get("part", 0))
    assert counts[1] <= max(24, 2 * counts[0]), counts


def test_a_record_without_a_mark_is_never_taken_for_unchanged():
    loaded = read(judged_archive(CLAIMS))
    memo = Memo(loaded.library, {})
    weigh(loaded.library, memo=memo)
    again = Memo(loaded.library, {}, memo.after)
    weigh(loaded.library, memo=again)
    assert again.worked_out["grade"] == memo.worked_out["grade"]


def test_findings_are_remembered_in_the_cache_and_a_damaged_one_is_ignored(tmp_path):
    folder, cache = tmp_path / "content", tmp_path / "cache"
    cache.mkdir(mode=0o700)
    write(folder, judged_archive(CLAIMS))
    plain = weigh_folder(folder).findings
    assert weigh_folder(folder, cache).findings == plain
    file = cache / "findings.bin"
    sound = file.read_bytes()
    assert weigh_folder(folder, cache).findings == plain and file.read_bytes() == sound
    for at in range(0, len(sound), len(sound) // 7):
        file.write_bytes(sound[:at] + bytes([sound[at] ^ 1]) + sound[at + 1 :])
        assert weigh_folder(folder, cache).findings == plain
    file.unlink()
    assert weigh_folder(folder, cache).findings == plain
