"""`witnessmark clear`: go or hold, by exit code, with the reasons and the cautions."""

from __future__ import annotations

import json

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
