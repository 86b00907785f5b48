"""Killed at any moment, a build leaves the old site or the new whole, and the next one works."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from archive.publish.stage import Stage
from tests.benchmarks.kill_points import ROOT, Bench, command, order, tree_hash


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


def test_killed_ahead_of_the_nth_thing_done_to_the_disk(bench: Bench) -> None:
    """Fifteen of them by a fixed seed, the last, and one that lies past the end."""
    last = bench.events()
    for count in [*random.Random(41).sample(range(1, last), 15), last, 10 * last]:
        bench.kill(f"event {count} of {last}", "--kill-at", str(count))
    assert bench.tally.faults == []
    assert bench.tally.killed == 16
    assert bench.tally.after["old"] >= 4 and bench.tally.after["new"] >= 2


def test_killed_from_outside_at_a_random_time(bench: Bench) -> None:
    killed_at_random_times(bench, 5)


@pytest.mark.full
def test_killed_from_outside_a_hundred_times(bench: Bench) -> None:
    killed_at_random_times(bench, 100)


def killed_at_random_times(bench: Bench, times: int) -> None:
    started = time.monotonic()
    bench.run("old")
    whole = time.monotonic() - started
    chance = random.Random(43)
    for _ in range(times):
        process = subprocess.Popen(command(bench.out, bench.content, "new"))
        time.sleep(whole * chance.uniform(0.4, 1.0))
        process.send_signal(signal.SIGKILL)
        process.wait()
        bench.kill("after a random time", "--kill-at", "1000000")
    assert bench.tally.faults == []


def needs_strace() -> None:
    if shutil.which("strace") is None:
        pytest.fail("the full run needs strace: apt-get install strace")


@pytest.mark.full
def test_killed_at_three_hundred_system_calls() -> None:
    needs_strace()
    script = ROOT / "tests" / "benchmarks" / "kill_points.py"
    line = [sys.executable, str(script), "--points", "300"]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    counts = json.loads(done.stdout)
    assert counts["points"] >= 300 and counts["killed"] >= 290
    assert counts["old"] > 0 and counts["new"] > 0 and "neither" not in counts


@pytest.mark.full
@pytest.mark.parametrize("nth", [1, 2, 3])
def test_without_the_exchange_a_kill_is_healed_by_the_next_build(bench: Bench, nth: int) -> None:
    """The renames of such a build: its marker, the old site aside, the new one in. Killed ahead of
    the third there is no site until the next build, which moves the old one back first."""
    needs_strace()
    under = (
        *("strace", "-f", "-qq", "-o", os.devnull, "-e", "trace=rename,renameat2"),
        *("-e", "inject=renameat2:error=ENOSYS", "-e", f"inject=rename:signal=KILL:when={nth}"),
    )
    assert bench.run("new", under=under) != 0
    assert bench.out.exists() is (nth < 3)
    with Stage(bench.out, bench.content):
        assert bench.sums.get(tree_hash(bench.out)) == "old"
    assert bench.run("new") == 0
    assert bench.sums.get(tree_hash(bench.out)) == "new"
    assert [path.name for path in bench.out.parent.iterdir()] == ["crew"]


@pytest.mark.full
def test_the_disk_has_the_site_before_the_switch_and_the_switch_before_the_removal(
    bench: Bench,
) -> None:
    needs_strace()
    steps = order(bench)
    at = steps.index("exchange")
    before, after = steps[:at], steps[at + 1 :]
    site = str(bench.out.with_name(".crew.stage") / "site")
    flushed = {step.removeprefix("flush ") for step in before if step.startswith("flush ")}
    for path in ("site.json", "only-new.html", "claims/0/c0.html"):
        assert f"{site}/{path}" in flushed or site in flushed
    removals = [n for n, step in enumerate(after) if step.startswith("remove ") and "site" in step]
    assert removals and after.index(f"flush {bench.out.parent}") < removals[0]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    if os.name == "nt" or os.geteuid() != 0:
        pytest.skip("only root can mount a small disk")
    folder = tmp_path / "disk"
    folder.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", folder], check=True)
    yield folder
    subprocess.run(["umount", folder], check=True)


@pytest.mark.full
@pytest.mark.parametrize("limit", ["size={}k", "nr_inodes={}"])
def test_a_disk_too_small_at_twenty_sizes(small_disk: Path, tmp_path: Path, limit: str) -> None:
    """From room for the old site alone to room for both: one sentence, and the old site whole."""
    (tmp_path / "content").mkdir()
    out = small_disk / "crew"
    subprocess.run(command(out, tmp_path / "content", "old"), check=True)
    old = tree_hash(out)
    used = os.statvfs(small_disk)
    unit = used.f_bsize // 1024
    blocks, inodes = used.f_blocks - used.f_bfree, used.f_files - used.f_ffree
    refused = 0
    for step in range(20):
        if "size" in limit:
            wanted = limit.format((blocks + 1 + 2 * step) * unit)
        else:
            wanted = limit.format(inodes + 1 + 4 * step)
        subprocess.run(["mount", "-o", f"remount,{wanted}", small_disk], check=True)
        done = subprocess.run(
            command(out, tmp_path / "content", "new", "--say"),
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode == 0:
            subprocess.run(
                ["mount", "-o", "remount,size=4m,nr_inodes=5000", small_disk], check=True
            )
            subprocess.run(command(out, tmp_path / "content", "old"), check=True)
            continue
        refused += 1
        assert tree_hash(out) == old
        assert done.stderr.count("\n") == 1 and str(small_disk) in done.stderr
        # The lock is laid before the old site's list is read, so its refusal knows no size.
        if ".crew.lock" not in done.stderr:
            assert "the disk is full; at least " in done.stderr
            assert " bytes are needed, and " in done.stderr
            assert "size" in limit or "no more files" in done.stderr
        assert [path.name for path in small_disk.iterdir()] == ["crew"]
    assert 3 <= refused < 20
