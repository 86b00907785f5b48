"""The commands as a newcomer meets them: help, exit codes, and words instead of tracebacks."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from small_records import BASE, part, photo

from archive.cli.exits import MEANINGS
from archive.cli.main import main

MANUAL = Path(__file__).parents[2] / "archive" / "manual" / "commands.md"


@pytest.fixture
def run(monkeypatch, tmp_path):
    """`run(words…)` → (exit code, standard output, standard error)."""
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    monkeypatch.chdir(tmp_path)

    def call(*words: str):
        result = CliRunner().invoke(main, [str(word) for word in words])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


CLAIM = "  - {id: it, aspect: shape, says: It is so}"


def test_every_command_and_option_is_in_the_manual():
    text = MANUAL.read_text("utf-8")
    for name, command in main.commands.items():
        row = next(line for line in text.splitlines() if line.startswith(f"| `witnessmark {name}"))
        for option in command.params:
            for word in option.opts:
                if word.startswith("--"):
                    assert word in row, f"{name} {word}"


def test_every_help_ends_with_the_exit_codes(run):
    for name in main.commands:
        code, out, _ = run(name, "--help")
        assert code == 0
        assert "not cleared, or not permitted" in re.sub(r"\s+", " ", out)
    for code, words in MEANINGS.items():
        assert f"| {code} | {words.split(',')[0].split(' (')[0]}" in MANUAL.read_text("utf-8"), code


def test_no_content_here(run):
    code, _, err = run("check")
    assert code == 3
    assert "aircraft.yaml" in err and "witnessmark new" in err


def test_a_clean_folder(run, content):
    folder = content(BASE + part(CLAIM))
    code, out, _ = run("check", folder)
    assert (code, out.splitlines()[-1]) == (0, "4 records: no problems, 0 advice.")
    assert json.loads(run("check", folder, "--json")[1]) == []


def test_a_mistake_has_its_place_and_the_exit_code_is_one(run, content):
    folder = content(BASE + part(CLAIM.replace("shape", "shpe")))
    code, out, _ = run("check", folder)
    assert code == 1
    assert re.match(r"parts/chine\.md:\d+:\d+: problem\[", out)
    (first,) = json.loads(run("check", folder, "--json")[1])
    assert set(first) == {"path", "line", "column", "code", "says", "hint", "advice"}


def test_why_of_a_claim_a_part_and_of_nothing(run, content):
    folder = content(BASE + part(CLAIM))
    code, out, _ = run("why", "parts/chine#it", "--in", folder)
    assert code == 0
    assert "conjecture" in out and "[G23]" in out
    found = json.loads(run("why", "part/chine#it", "--in", folder, "--json")[1])
    assert found["verdict"] == "conjecture"
    assert found["reasons"][0] == {
        "rule": "G23",
        "says": "Nothing in the record speaks for it.",
        "rests_on": [],
    }
    assert "hold" in run("why", "parts/chine", "--in", folder)[1]
    assert run("why", "zones/700", "--in", folder)[0] == 0
    code, _, err = run("why", "parts/chin#it", "--in", folder)
    assert code == 2
    assert "parts/chine#it" in err


def test_new_check_and_build_in_an_empty_folder(run, tmp_path):
    assert run("new", "ours")[0] == 0
    assert run("check", "ours")[0] == 0
    code, _, err = run("build", "ours", "--as-of", "2026-11-25")
    assert (code, err) == (0, "")
    assert (tmp_path / "build" / "crew" / "index.html").is_file()
    code, _, err = run("new", "ours")
    assert code == 2 and "empty" in err


def test_build_says_when_nothing_changed_and_keeps_what_it_can(run, content, tmp_path):
    folder = content(BASE + part(CLAIM))
    assert "0 kept" in run("build", folder, "--as-of", "2026-11-25")[1]
    assert run("build", folder, "--as-of", "2026-11-25")[0] == 0
    (folder / "parts" / "chine.md").write_text(part(CLAIM.replace("so", "not so")).split("==\n")[1])
    out = run("build", folder, "--as-of", "2026-11-25")[1]
    made, kept = map(int, re.match(r"(\d+) pages made, (\d+) kept", out).groups())
    assert 0 < made < kept


def test_build_with_problems_still_makes_the_site(run, content, tmp_path):
    folder = content(BASE + part(CLAIM) + part(CLAIM.replace("shape", "shpe"), id_="other"))
    code, _, err = run("build", folder)
    assert code == 1 and "1 problem in the content" in err
    site = tmp_path / "build" / "crew"
    assert (site / "parts" / "chine.html").is_file() and (site / "parts" / "other.html").is_file()
    code, _, err = run("build", folder)
    assert code == 1 and "1 problem" in err


def test_build_refuses_a_folder_that_is_not_its_own(run, content, tmp_path):
    folder = content(BASE)
    other = tmp_path / "mine"
    other.mkdir()
    (other / "thesis.txt").write_text("ten years")
    code, _, err = run("build", folder, "--out", other)
    assert code == 2 and err
    assert (other / "thesis.txt").read_text() == "ten years"


def test_find_prints_hits_and_says_what_it_put_right(run, content):
    folder = content(BASE + part(CLAIM, "survives: no\nnumber: P-114", "rudder-post"))
    out = run("find", "P-114", "--in", folder)[1]
    assert out.startswith("parts/rudder-post")
    hits = json.loads(run("find", "rudder", "--in", folder, "--json")[1])
    assert {"ref", "title", "score"} <= set(hits[0])
    assert "0 of 0" in run("find", "zzzz", "--in", folder)[1]


def test_schema_writes_a_file_a_kind(run, tmp_path):
    code, _, _ = run("schema", "--out", "schemas")
    assert code == 0
    assert (tmp_path / "schemas" / "parts.schema.json").is_file()


def test_a_broken_picture_is_told_by_its_place_from_any_folder(run, content, tmp_path):
    folder = content(BASE + photo("one"))
    (folder / "photos" / "one.jpg").write_bytes(b"")
    code, out, _ = run("check")
    assert code == 1 and "photos/one.jpg: problem[" in out
