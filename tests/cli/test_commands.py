"""The commands as a newcomer meets them: help, exit codes, and words instead of tracebacks."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from prints import saved
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
        told = re.sub(r"\s+", " ", out)
        assert "Exit codes: 0 fine;" in told and "130 stopped by Ctrl-C." in told
        assert ("1 problems in the content" in told) == (
            name in ("add", "build", "check", "export", "labels", "report")
        )
        assert ("files altered" in told) == (name == "audit")
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


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["float", "--grade", "wonderful"], "corroborated"),
        (["float", "--zone", "99"], "700"),
        (["float", "--kind", "photo"], "Perhaps photograph is meant."),
        (["kind:nonsense"], "photograph"),
        (["grade:wonderful", "float"], "on the airframe"),
        ([""], "nothing to look for"),
        (["the"], "nothing to look for"),
    ],
)
def test_find_refuses_what_no_search_can_have(run, content, words, says):
    folder = content(BASE + part(CLAIM))
    code, out, err = run("find", *words, "--in", folder)
    assert (code, out) == (2, "")
    assert says in err


def test_find_takes_the_words_that_there_are(run, content):
    folder = content(BASE + part(CLAIM))
    for words in (
        ["chine", "--kind", "part", "--zone", "700"],
        ["kind:claim", "--grade", "conjecture"],
        ["chine", "--grade", "on the airframe"],
    ):
        assert run("find", *words, "--in", folder)[0] == 0


MEASURED = """
== measurements/pitch.yaml ==
title: Pitch
photos: slip
method: plane
between: [a, b]
picks: [{point: a, at: [1, 2]}, {point: b, at: [3, 4]}]
== questions/why.md ==
---
title: Why
question: Why?
---
== surveys/floor.yaml ==
title: Floor
"""


def test_why_of_a_photograph_tells_its_day(run, content):
    more = "date: {argued: {is: 1932-07, by: HB, on: 2026-01-02, because: the log}}"
    folder = content(BASE + photo("slip", more=more))
    code, out, _ = run("why", "photos/slip", "--in", folder)
    assert code == 0
    assert "photos/slip, taken: no earlier than 1 July 1932" in out
    assert "[T3] HB dates “Photo slip” July 1932: the log." in out
    assert "photos/slip, in configurations/survey-1932: must" in out
    code, out, _ = run("why", "photos/slip", "--json", "--in", folder)
    found = json.loads(out)
    assert found["verdict"] == "one witness"
    assert (found["dated"]["earliest"], found["dated"]["latest"]) == ("1932-07-01", "1932-07-31")
    assert found["dated"]["states"]["configurations/works-1932"]["verdict"] == "cannot"


def test_why_of_an_event_tells_its_day(run, content):
    code, out, _ = run("why", "events/tail-post-mod", "--json", "--in", content(BASE))
    assert code == 0
    found = json.loads(out)
    assert found["verdict"] == "no earlier than 1 May 1933"
    assert found["dated"]["latest"] == "1933-08-31"


def test_why_of_what_nothing_is_concluded_of(run, content):
    folder = content(BASE + part(CLAIM) + photo("slip") + MEASURED)
    for ref in (
        "measurements/pitch",
        "questions/why",
        "surveys/floor",
        "people/hb",
        "people/HB",
        "photos/slip#chine",
    ):
        code, out, _ = run("why", ref, "--in", folder)
        assert code == 0, ref
        assert "recorded" in out and "It is in the record; nothing is concluded of it." in out
        assert json.loads(run("why", ref, "--in", folder, "--json")[1])["verdict"] == "recorded"
    code, _, err = run("why", "measurements/pich", "--in", folder)
    assert code == 2 and "measurements/pitch" in err


def test_why_tells_the_problems_of_what_is_leant_on(run, content):
    claim = "  - id: it\n    aspect: shape\n    says: It is so\n    evidence: [{photo: slip}]"
    folder = content(BASE + part(claim) + photo("slip", more="frmae: whole"))
    out = run("why", "parts/chine#it", "--in", folder)[1]
    assert "Problems in the records leant on:" in out
    assert re.search(r"photos/slip\.md:\d+:\d+: problem\[field-unknown\]", out)
    found = json.loads(run("why", "parts/chine#it", "--in", folder, "--json")[1])
    assert "field-unknown" in [problem["code"] for problem in found["problems"]]
    folder = content(BASE + part(claim) + photo("slip"))
    out = run("why", "parts/chine#it", "--in", folder)[1]
    assert "field-unknown" not in out


def test_why_of_a_part_ends_with_the_caution(run, content):
    folder = content(BASE + part(CLAIM))
    out = run("why", "parts/chine", "--in", folder)[1]
    assert out.splitlines()[-1] == "Display only; figures are never approved data for flight."
    assert "[C1]" in out
    for step in json.loads(run("why", "parts/chine", "--in", folder, "--json")[1]):
        assert step["caution"].startswith("Display only")


def test_new_and_schema_where_nothing_can_be_written(run, tmp_path, monkeypatch):
    def refused(path, *words, **more):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "mkdir", refused)  # root may write everywhere: refused here
    for words in (["new", "ours/deep"], ["schema", "--out", "schemas/deep"]):
        code, _, err = run(*words)
        assert code == 3
        assert "can't be written: you have no permission to write there." in err


def test_content_that_cannot_be_read_at_all(run, content, monkeypatch):
    folder = content(BASE)
    (folder / "aircraft.yaml").write_bytes(b"\xff\x00\x89: [\n\xff")
    for command in ("check", "build"):
        code, _, err = run(command, folder)
        assert code == 3 and "aircraft.yaml can be read" in err
    folder = content(BASE)
    monkeypatch.setattr(os, "scandir", _denied)
    code, _, err = run("check", folder)
    assert code == 3 and "can't be read" in err


def _denied(path=".", *more):
    raise PermissionError(13, "Permission denied", str(path))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["check"], "Stopped; nothing was changed.\n"),
        (["new", "ours"], "Stopped; what was written until now is still there.\n"),
    ],
)
def test_ctrl_c_ends_in_a_sentence(run, monkeypatch, words, says):
    def stopped(*more, **named):
        raise KeyboardInterrupt

    monkeypatch.setattr("archive.pipeline.weigh", stopped)
    monkeypatch.setattr("archive.write.starter.new_folder", stopped)
    monkeypatch.setattr("archive.cli.check.content_folder", stopped)
    assert run(*words) == (130, "", says)


@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
def test_a_reader_who_has_enough_is_no_error(content, tmp_path):
    many = "".join(part(CLAIM, id_=f"chine-{n}") for n in range(120))
    folder = content(BASE + many)
    words = [sys.executable, "-m", "archive", "find", "kind:part", "--limit", "500"]
    with subprocess.Popen(
        [*words, "--in", str(folder)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "WITNESSMARK_CACHE": str(tmp_path / "cache")},
        cwd=Path(__file__).parents[2],
    ) as process:
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(60) == 0


def test_a_broken_picture_is_told_by_its_place_from_any_folder(run, content, tmp_path):
    folder = content(BASE + photo("one"))
    (folder / "photos" / "one.jpg").write_bytes(b"")
    code, out, _ = run("check")
    assert code == 1 and "photos/one.jpg: problem[" in out


def test_may_we_answers_with_an_exit_code(run, content):
    folder = content(
        BASE
        + """
== sources/print.md ==
---
title: Print
citation: {type: graphic}
rights:
  basis: permission
  credit: The archive
  grants: [{use: panel, until: 2027-05-01, owes: A copy of the panel}]
---
"""
        + photo("one", "print")
    )
    ask = ("why", "photo/one#chine", "--in", folder, "--as-of", "2027-05-01", "--use")
    code, out, _ = run(*ask, "panel")
    assert code == 0 and "Credit line: The archive" in out and "Owed: A copy" in out
    code, out, _ = run(*ask, "web")
    assert code == 5 and "[U3]" in out
    assert run(*ask[:5], "2027-05-02", "--use", "panel")[0] == 5
    code, out, _ = run(*ask, "panel", "--json")
    assert code == 0 and json.loads(out)["until"] == "2027-05-01"
    assert run("why", "parts/none", "--in", folder, "--use", "web")[0] == 2
    assert run("why", "zones/700", "--in", folder, "--use", "web")[0] == 2


def test_a_picture_without_a_note_is_a_problem_and_no_more(run, content):
    folder = content(BASE + part(CLAIM))
    saved(folder / "photos" / "alone.png")
    code, out, _ = run("check", folder)
    assert code == 1 and "photos/alone.png: problem[note-missing]" in out
    assert run("build", folder)[0] == 1
