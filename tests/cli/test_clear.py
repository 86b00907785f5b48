"""`witnessmark clear`: go or hold, by exit code, with the reasons and the cautions."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from click.testing import CliRunner
from small_records import BASE, part

from archive.cli.main import main

SHAPE = "  - {id: it, aspect: shape, says: It is so}"


@pytest.fixture
def run(monkeypatch, tmp_path):
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))

    def call(*words: str):
        result = CliRunner().invoke(main, ["clear", *(str(word) for word in words)])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


def test_a_mock_up_goes_and_a_cut_is_held(run, content):
    folder = content(BASE + part(SHAPE, "survives: no\nhazards: [asbestos]"))
    code, out, _ = run("chine", "--step", "mock-up", "--in", folder)
    assert (code, out.splitlines()[0]) == (0, "parts/chine, mock-up: cleared")
    code, out, _ = run("part/chine", "--step", "cut", "--in", folder)
    assert (code, out.splitlines()[0]) == (5, "parts/chine, cut: hold")
    assert "[C3] Nothing is claimed of its size." in out
    assert "Take care. Asbestos suspected: Leave it alone" in out
    assert out.rstrip().endswith("never approved data for flight.")


@pytest.mark.parametrize("policy", ["overrides: [", "at_least: 2", "- 1"])
def test_a_policy_that_cannot_be_read_holds_and_is_named(run, content, policy):
    folder = content(BASE + part(SHAPE) + f"\n== policy.yaml ==\n{policy}\n")
    code, out, err = run("chine", "--step", "cut", "--in", folder)
    assert code == 5 and "[C9] Mend this first: in policy.yaml" in out
    assert "policy.yaml:1:" in out + err


def test_the_finding_as_json(run, content):
    folder = content(BASE + part(SHAPE, "survives: no\nhazards: [asbestos]"))
    code, out, _ = run("chine", "--step", "trial", "--in", folder, "--json")
    found = json.loads(out)
    assert (code, found["verdict"], found["step"]) == (5, "hold", "trial")
    assert {"rule", "says", "rests_on"} == set(found["reasons"][0])
    assert found["cautions"][0]["hazard"] == "Asbestos suspected"
    assert "flight" in found["caution"]


def test_wrong_use_is_told_from_a_hold(run, content):
    folder = content(BASE + part(SHAPE))
    code, _, err = run("chyne", "--step", "cut", "--in", folder)
    assert (code, "There is no part chyne." in err, "chine" in err) == (2, True, True)
    assert run("parts/chine#it", "--step", "cut", "--in", folder)[0] == 2
    assert run("chine", "--step", "look", "--in", folder)[0] == 2


def test_a_part_is_known_by_the_number_that_its_page_shows(run, content):
    folder = content(BASE + part(SHAPE, "survives: no\nnumber: 700-03"))
    code, out, _ = run("700-03", "--step", "mock-up", "--in", folder)
    assert (code, out.splitlines()[0]) == (0, "parts/chine, mock-up: cleared")


COWL = """
== parts/cowl.md ==
---
title: Port cowl
zone: zones/700
survives: whole
hazards: none-found
treatments:
  - {id: straighten, options: [no, yes], choice: yes, operations: straighten, takes_nothing: yes}
  - {id: paint, options: [no, yes], choice: no, takes_nothing: yes}
---
"""


def test_a_treatment_is_asked_for_by_its_name(run, content):
    folder = content(BASE + COWL)
    code, out, _ = run("cowl", "--step", "original", "--treatment", "straighten", "--in", folder)
    assert (code, out.splitlines()[0]) == (5, "parts/cowl#straighten, original: hold")
    assert "[C7] As-found record missing" in out and "[C11] Decision missing" in out
    code, out, _ = run("cowl", "--step", "original", "--treatment", "paint", "--in", folder)
    assert code == 5 and "nothing is to be done by it" in out
    found = json.loads(run("cowl", "--step", "original", "--in", folder, "--json")[1])
    assert found["verdict"] == "hold" and found["treatment"] is None
    code, _, err = run("cowl", "--step", "original", "--treatment", "pant", "--in", folder)
    assert (code, "no treatment pant" in err, "paint" in err) == (2, True, True)
    assert run("cowl", "--step", "cut", "--treatment", "paint", "--in", folder)[0] == 2


def test_why_of_a_treatment_is_the_same_finding(content, tmp_path):
    folder = content(BASE + COWL)
    runner = CliRunner(env={"WITNESSMARK_CACHE": str(tmp_path / "cache")})
    out = runner.invoke(main, ["why", "parts/cowl#straighten", "--in", str(folder)]).stdout
    assert out.startswith("parts/cowl#straighten, original: hold")


def test_a_reader_who_goes_away_turns_no_hold_into_a_go(content, tmp_path):
    folder = content(BASE + part(SHAPE))
    ends, writes = os.pipe()
    os.close(ends)
    asked = [sys.executable, "-m", "archive", "clear", "chine", "--step", "cut", "--in", folder]
    env = os.environ | {"WITNESSMARK_CACHE": str(tmp_path / "cache")}
    ran = subprocess.run(asked, stdout=writes, stderr=subprocess.PIPE, env=env, text=True)
    os.close(writes)
    assert (ran.returncode, ran.stderr) == (5, "")
