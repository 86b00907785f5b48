"""impact, sign, state and what `why` says would lift a claim, as commands."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner
from PIL import Image
from small_records import BASE, part, photo, source

from archive.cli.main import main

PEOPLE = BASE.replace(
    "{id: hb, initials: HB, name: Hanne Brekk}",
    "{id: hb, initials: HB, name: Hanne Brekk, role: lead}",
).replace(
    "{id: ow, initials: OW, name: Oda Wiik}",
    "{id: ow, initials: OW, name: Oda Wiik, role: owner}",
)
CLAIM = """\
  - id: it
    aspect: shape
    says: So
    configuration: survey-1932
    evidence:
      - {photo: "one#chine"}
"""
DECISION = """
== decisions/angle.md ==
---
title: The angle
question: Which?
about: [parts/chine]
choice: build
because: So   # a note that stays
---
"""
TEXT = PEOPLE + source("print") + source("letter") + photo("one", "print") + part(CLAIM) + DECISION


@pytest.fixture
def run(monkeypatch, tmp_path, content):
    """`run(words…)` → (exit code, standard output, standard error), in a folder with TEXT."""
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    folder = content(TEXT)
    Image.new("L", (40, 30), 90).save(folder / "photos" / "one.jpg")
    monkeypatch.chdir(tmp_path)

    def call(*words: str):
        result = CliRunner().invoke(main, [str(word) for word in words])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


def test_impact_tells_before_and_after_and_writes_nothing(run, tmp_path):
    note = tmp_path / "content" / "sources" / "print.md"
    before = note.read_bytes()
    code, out, _ = run("impact", "source/print")
    assert code == 0
    assert "parts/chine#it, grade: seen → conjecture" in out and "[I1]" in out
    assert note.read_bytes() == before
    found = json.loads(run("impact", "sources/print", "--json")[1])
    assert {"ref", "verdict", "reasons", "moved", "stands", "beside", "told_in"} <= set(found)
    assert found["moved"][0]["before"] == "seen"


def test_impact_refuses_what_is_not_there_and_what_makes_no_sense(run):
    assert run("impact", "sources/prnt")[0] == 2
    code, _, err = run("impact", "sources/print", "--if", "burnt")
    assert code == 2 and "discredited" in err
    assert run("impact", "parts/chine", "--if", "flipped")[0] == 2
    assert run("impact", "photos/one", "--if", "same-as=photos/none")[0] == 2


def test_sign_adds_one_line_pins_the_evidence_and_reopens_when_it_moves(run, tmp_path):
    file = tmp_path / "content" / "decisions" / "angle.md"
    before = file.read_text()
    code, out, _ = run("sign", "angle", "--as", "HB", "--on", "2026-11-23")
    assert code == 0
    state = json.loads(run("why", "decisions/angle", "--json")[1])["asks"].rpartition(" ")[2]
    assert state in out
    added = set(file.read_text().splitlines()) - set(before.splitlines())
    assert [line for line in added if "by: HB" in line] and "approvals:" in added
    assert "# a note that stays" in file.read_text()
    assert '"verdict": "stands"' in run("why", "decisions/angle", "--json")[1]
    once = file.read_text()
    assert "already" in run("sign", "angle", "--as", "HB")[1]
    assert file.read_text() == once
    note = tmp_path / "content" / "sources" / "print.md"
    fake = "discredited: {is: yes, by: HB, on: 2026-11-26, because: a fake}\n---\n"
    note.write_text(note.read_text().replace("\n---\n", "\n" + fake))
    assert '"verdict": "reopened"' in run("why", "decisions/angle", "--json")[1]
    assert run("sign", "angle", "--as", "HB", "--on", "2026-11-25")[0] == 0
    assert '"verdict": "stands"' in run("why", "decisions/angle", "--json")[1]


def test_a_signature_counts_from_its_day_on(run, tmp_path):
    file = tmp_path / "content" / "decisions" / "angle.md"
    before = file.read_bytes()
    code, _, err = run("sign", "angle", "--as", "HB", "--on", "2031-01-01")
    assert code == 2 and "still to come" in err
    assert file.read_bytes() == before
    assert run("sign", "angle", "--as", "HB", "--on", "2026-11-25")[0] == 0
    assert run("check")[0] == 0
    file.write_text(file.read_text().replace("2026-11-25", "2031-01-01"))
    code, out, _ = run("check")
    assert code == 1 and "problem[signed-to-come]" in out and "2031-01-01" in out
    why = "why", "decisions/angle", "--json"
    assert '"verdict": "unsigned"' in run(*why)[1]
    assert '"verdict": "stands"' in run(*why, "--as-of", "2031-01-01")[1]
    assert "[C5]" in run("clear", "chine", "--step", "cut")[1]
    assert run("sign", "angle", "--as", "HB")[0] == 0, "the one to come is none yet"
    assert '"verdict": "stands"' in run(*why)[1]


def test_sign_refuses_who_is_unknown_and_what_is_missing(run, tmp_path):
    file = tmp_path / "content" / "decisions" / "angle.md"
    before = file.read_bytes()
    assert run("sign", "decisions/none", "--as", "HB")[0] == 2
    assert run("sign", "angle", "--as", "XX")[0] == 2
    assert run("sign", "angle", "--as", "HB", "--letter", "nothing")[0] == 2
    code, _, err = run("sign", "angle", "--as", "OW")
    assert code == 5 and "letter" in err
    assert file.read_bytes() == before
    assert run("sign", "angle", "--as", "OW", "--letter", "letter")[0] == 0
    assert "letter: sources/letter" in file.read_text()


def test_the_policy_says_whose_approval_needs_a_letter(run, tmp_path):
    policy = tmp_path / "content" / "policy.yaml"
    policy.write_text("letter_from: [lead]\n")
    assert run("sign", "angle", "--as", "HB")[0] == 5
    assert run("sign", "angle", "--as", "OW")[0] == 0


def test_a_decision_that_can_not_be_read_or_is_superseded_is_not_signed(run, tmp_path):
    folder = tmp_path / "content" / "decisions"
    newer = (folder / "angle.md").read_text().replace("because", "supersedes: angle\nbecause")
    (folder / "newer.md").write_text(newer)
    code, _, err = run("sign", "angle", "--as", "HB")
    assert code == 5 and "decisions/newer" in err
    (folder / "newer.md").write_text(newer.replace("choice: build", "choice: bulid"))
    assert run("sign", "newer", "--as", "HB")[0] == 5


def test_state_keeps_compares_and_never_overwrites_unasked(run, tmp_path):
    assert run("state", "first", "--as-of", "2026-11-25")[0] == 0
    kept = tmp_path / "content" / "states" / "first.yaml"
    text = kept.read_text()
    assert "So" not in text
    assert run("state", "first")[0] == 2
    assert "no lines moved" in run("state", "first", "--changes")[1]
    note = tmp_path / "content" / "photos" / "one.md"
    note.write_text(note.read_text().replace("is: this", "is: sister"))
    assert "grade: seen → said" in run("state", "first", "--changes")[1]
    assert run("state", "second", "--as-of", "2026-11-26")[0] == 0
    note.write_text(note.read_text().replace("is: sister", "is: this"))
    found = json.loads(run("state", "first", "--changes", "--to", "second", "--json")[1])
    assert (found["since"], found["until"]) == ("first", "second")
    assert (found["moved"][0]["what"], found["moved"][0]["after"]) == ("grade", "said")
    assert "no lines moved" in run("state", "first", "--changes")[1]
    assert kept.read_text() == text
    assert run("state", "third", "--changes")[0] == 2
    kept.write_text("on: [")
    assert run("check")[0] == 1


def test_what_has_moved_since_the_last_build(run, tmp_path):
    code, _, err = run("state", "--changes")
    assert (code, "remembered" in err, "witnessmark build" in err) == (2, True, True)
    assert run("state")[0] == 2
    assert "Since the last build" not in run("build")[1]
    assert "today: no lines moved" in run("state", "--changes")[1]
    note = tmp_path / "content" / "photos" / "one.md"
    text = note.read_text()
    dated = "date: {argued: {is: 1932-07, by: HB, on: 2026-01-02, because: the log}}\nregions:"
    note.write_text(text.replace("regions:", dated))
    (tmp_path / "content" / "sources" / "print.md").unlink()
    out = run("state", "--changes")[1]
    assert out.startswith("From the last build to today")
    assert "photos/one, day:" in out and "July 1932" in out
    told = run("build")[1]
    assert "Since the last build" in told
    assert "Since the last build" not in run("build")[1]


def test_a_state_keeps_days_and_conflicts(run, tmp_path):
    assert run("state", "first")[0] == 0
    note = tmp_path / "content" / "photos" / "one.md"
    dated = "date: {argued: {is: 1919, by: HB, on: 2026-01-02, because: the log}}\nregions:"
    note.write_text(note.read_text().replace("regions:", dated))
    out = run("state", "first", "--changes")[1]
    assert "photos/one, day: between" in out
    assert "photos/one, conflict: the dates agree → the dates can't all be true" in out
    state = tmp_path / "content" / "states" / "first.yaml"
    old = state.read_text().partition("dates:")[0]
    state.write_text(old)
    assert "photos/one, day" not in run("state", "first", "--changes")[1], "it kept no days then"


def test_impact_takes_bare_ids_and_names_labels(run, tmp_path):
    (tmp_path / "content" / "photos" / "two.md").write_text(
        (tmp_path / "content" / "photos" / "one.md").read_text()
    )
    assert run("impact", "photos/one", "--if", "same-as two")[0] == 0
    assert run("impact", "photos/one", "--if", "consent-withdrawn")[0] == 0
    chine = tmp_path / "content" / "parts" / "chine.md"
    chine.write_text(chine.read_text().replace("claims:", "label: The angle\nclaims:", 1))
    assert "parts/chine, on its label" in run("impact", "sources/print")[1]
    code, _, err = run("impact", "aircraft/aircraft")
    assert (code, "stand on" in err) == (2, True)


def test_why_says_what_would_lift_a_claim(run):
    out = run("why", "parts/chine#it")[1]
    assert "What would lift it" in out and "[L14]" in out and "→ corroborated" in out
    found = json.loads(run("why", "parts/chine#it", "--json")[1])
    assert {"rule", "says", "to", "outcome", "rests_on"} <= set(found["lifts"][0])
    assert "lifts" not in json.loads(run("why", "zones/700", "--json")[1])
