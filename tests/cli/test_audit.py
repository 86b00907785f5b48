"""`witnessmark audit`: all damage by name, what rests on it, and no damage listed as if meant."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from archive.cli.main import main

DEMO = Path(__file__).parents[2] / "content"


@pytest.fixture
def run(monkeypatch, tmp_path):
    """`run(words…)` → (exit code, standard output, standard error)."""
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))

    def call(*words: str):
        result = CliRunner().invoke(main, ["audit", *[str(word) for word in words]])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


@pytest.fixture
def folder(tmp_path):
    """A copy of the demo without its pictures' weight: every record, and three pictures."""
    made = tmp_path / "content"
    keep = {"slipway-crop.jpg", "works-apron-print.jpg"}
    shutil.copytree(
        DEMO,
        made,
        ignore=lambda _, names: [n for n in names if n.endswith(".jpg") and n not in keep],
    )
    (made / "checksums.txt").unlink(missing_ok=True)
    return made


def quietly_write(path: Path, data: bytes) -> None:
    """Change a file as a failing disk would: its times tell nothing."""
    facts = path.stat()
    path.write_bytes(data)
    os.utime(path, ns=(facts.st_atime_ns, facts.st_mtime_ns))


def test_a_folder_without_a_list_is_told_how_to_make_one(run, folder):
    code, out, _ = run(folder)
    assert code == 0 and "no list to hold them against" in out and "--list" in out


def test_a_listed_folder_is_clean_and_nothing_is_written_by_looking(run, folder):
    assert run(folder, "--list")[0] == 0
    before = {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
    code, out, _ = run(folder)
    assert code == 0 and "none altered, missing or unchecked, none not listed yet" in out
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*")} == before


def test_all_that_happened_is_named_with_what_rests_on_it(run, folder):
    run(folder, "--list")
    photo = folder / "photos/works-apron-print.jpg"
    data = bytearray(photo.read_bytes())
    data[len(data) // 2] ^= 4
    quietly_write(photo, bytes(data))
    (folder / "sources/print-slipway.md").unlink()
    (folder / "zones.yaml").rename(folder / "Zones.yaml")
    (folder / "parts/new.md").write_text("---\ntitle: New\n---\n")
    code, out, _ = run(folder, "--json")
    found = json.loads(out)
    assert code == 4
    assert {line["path"]: line["what"] for line in found["damage"]} == {
        "photos/works-apron-print.jpg": "altered",
        "sources/print-slipway.md": "missing",
        "zones.yaml": "renamed",
        "parts/new.md": "not-listed",
    }
    resting = {line["path"]: line["resting"] for line in found["damage"]}
    assert "parts/chine-port#rivet-pitch" in resting["sources/print-slipway.md"]
    assert "measurements/wheel-apron" in resting["photos/works-apron-print.jpg"]
    assert all(line["hint"] for line in found["damage"])


def test_a_folder_whose_first_file_is_gone_is_audited_all_the_same(run, folder):
    run(folder, "--list")
    (folder / "aircraft.yaml").unlink()
    code, out, _ = run(folder)
    assert code == 4 and "aircraft.yaml: missing" in out


def test_damage_is_not_listed_until_it_is_accepted(run, folder):
    run(folder, "--list")
    old = (folder / "checksums.txt").read_bytes()
    photo = folder / "photos/works-apron-print.jpg"
    quietly_write(photo, photo.read_bytes()[:-100])
    (folder / "people.yaml").write_text((folder / "people.yaml").read_text() + "\n# looked over\n")
    os.utime(folder / "people.yaml", (time.time() + 60, time.time() + 60))
    code, out, err = run(folder, "--list")
    assert code == 4 and "cut-short" in out and "1 file would be listed as hurt" in err
    assert (folder / "checksums.txt").read_bytes() == old
    assert run(folder, "--list", "--accept", "photos/nothing*")[0] == 2
    assert run(folder, "--list", "--accept", "photos/works*")[0] == 0
    assert run(folder)[0] == 0


def test_a_list_made_anew_with_the_files_is_caught_by_its_printed_sum(run, folder):
    _, out, _ = run(folder, "--list")
    printed = out.strip().splitlines()[-1].strip()
    assert run(folder, "--against", printed)[0] == 0
    quietly_write(folder / "photos/works-apron-print.jpg", b"another picture")
    run(folder, "--list", "--accept", "photos/*")
    assert run(folder)[0] == 0
    code, out, _ = run(folder, "--against", printed)
    assert code == 4 and "not the list whose sum was printed" in out
    assert run(folder, "--against", "abc")[0] == 2


def test_a_sample_says_what_it_did_not_read(run, folder):
    run(folder, "--list")
    code, out, _ = run(folder, "--sample", "10", "--as-of", "2026-11-25")
    assert code == 0 and "would not be seen today" in out
    (folder / "people.yaml").unlink()
    code, out, _ = run(folder, "--sample", "10", "--as-of", "2026-11-25")
    assert code == 4 and "people.yaml: missing" in out


def flips(run, folder: Path, count: int, seed: int) -> None:
    """Flip single bits, one file at a time: just that path is named; without, no alarm."""
    run(folder, "--list")
    chance = random.Random(seed)
    files = sorted(
        p for p in folder.rglob("*") if p.is_file() and p.stat().st_size and p.name[0] != "."
    )  # hidden files are the program's own or the system's, and not on the list
    assert json.loads(run(folder, "--json")[1])["damage"] == []
    for number in range(count):
        path = files[number % len(files)]
        whole = path.read_bytes()
        data = bytearray(whole)
        bit = chance.randrange(8 * len(data))
        data[bit // 8] ^= 1 << bit % 8
        quietly_write(path, bytes(data))
        code, out, _ = run(folder, "--json")
        found = json.loads(out)
        quietly_write(path, whole)
        name = path.relative_to(folder).as_posix()
        assert code == 4, (name, bit)
        if name == "checksums.txt":
            assert found["list_faults"], bit
        else:
            assert [line["path"] for line in found["damage"]] == [name], (name, bit)
            assert not found["list_faults"]
    assert json.loads(run(folder, "--json")[1])["damage"] == []


def test_flipped_bits_are_named_and_nothing_else_is(run, folder, monkeypatch):
    # What rests on a file is asked for in its own test above; here it would only cost time.
    monkeypatch.setattr("archive.cli.audit._resting", lambda folder, damage: {})
    flips(run, folder, 60, 1)


@pytest.mark.full
def test_a_thousand_flipped_bits(run, folder, monkeypatch):
    monkeypatch.setattr("archive.cli.audit._resting", lambda folder, damage: {})
    flips(run, folder, 1000, 2)


@pytest.mark.full
def test_the_audit_is_as_quick_as_sha256sum(tmp_path):
    """At most 1.25 × the time of GNU `sha256sum -c` on the same files; best of five each."""
    folder = tmp_path / "content"
    shutil.copytree(DEMO, folder)
    for number in range(40):
        (folder / "photos" / f"big-{number}.jpg").write_bytes(os.urandom(10_000_000))
    words = [sys.executable, "-m", "archive", "audit", str(folder)]
    subprocess.run([*words, "--list"], check=True, stdout=subprocess.DEVNULL)
    took = {"ours": [], "theirs": []}
    for _ in range(5):
        for name, command, where in (
            ("ours", words, None),
            ("theirs", ["sha256sum", "-c", "--quiet", "checksums.txt"], folder),
        ):
            begun = time.perf_counter()
            subprocess.run(command, cwd=where, check=True, stdout=subprocess.DEVNULL)
            took[name].append(time.perf_counter() - begun)
    ratio = min(took["ours"]) / min(took["theirs"])
    print(f"audit {min(took['ours']):.2f} s, sha256sum {min(took['theirs']):.2f} s, {ratio:.2f} ×")
    assert ratio <= 1.25
