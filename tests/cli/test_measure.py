"""`witnessmark measure`: figures, refusals, simulation, and an id that isn't there."""

from __future__ import annotations

import json
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from archive.cli.main import main

DEMO = Path(__file__).parents[2] / "content"


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    cache = tmp_path_factory.mktemp("cache")

    def call(*words):
        runner = CliRunner(env={"WITNESSMARK_CACHE": str(cache)})
        result = runner.invoke(main, ["measure", *words, "--in", str(DEMO)])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


def test_all_of_them(run):
    code, out, _ = run("--json")
    results = json.loads(out)
    assert code == 0 and len(results) >= 12
    for result in results:
        assert {"ref", "value_mm", "u_mm", "refused"} <= set(result)
        no_size = result["refused"] is not None or result["method"] == "mock-up"
        assert (result["value_mm"] is None) == no_size


def test_one_by_name_or_by_reference(run):
    code, out, _ = run("strut-slipway")
    assert code == 0
    assert "58 1/2 in ±" in out and "To halve the error" in out
    assert run("measurements/strut-slipway")[1] == out


def test_it_says_in_which_claims_a_measurement_counts(run):
    code, out, _ = run("strut-slipway", "--json")
    (found,) = json.loads(out)
    (counts,) = found["counts_in"]
    assert (code, counts["claim"]) == (0, "parts/strut-front-port#length")
    assert 0 < counts["share"] < 1 and counts["verdict"] == "agree" and counts["value_mm"]
    assert "In parts/strut-front-port#length it counts for" in run("strut-slipway")[1]
    assert "it is not counted in (agree). It is only said" in run("strut-hangar")[1]


def test_a_refusal_says_why_and_the_way_out(run):
    code, out, _ = run("strut-sister")
    assert code == 0
    assert "no size:" in out and "Pick more surveyed points" in out


def test_simulation_agrees_with_the_terms(run):
    (result,) = json.loads(run("stripe-slipway", "--simulate", "--json")[1])
    assert result["simulated"]["draws"] == 500
    assert 0.8 < result["simulated"]["u_mm"] / result["u_mm"] < 1.2


def test_an_unknown_name_is_wrong_use(run):
    code, out, err = run("strut-slipwy")
    assert (code, out) == (2, "")
    assert "There is no measurement strut-slipwy." in err and "strut-slipway" in err


def test_a_template_is_set_on_paper(run, tmp_path):
    made = tmp_path / "side.pdf"
    code, out, _ = run("stripe-slipway", "--template", str(made), "--paper", "letter")
    assert code == 0 and "1 sheet to read first, 2 to join. Print at 100 %." in out
    reader = pypdf.PdfReader(made)
    assert len(reader.pages) == 3
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == [612, 792]
    part = ("--area", "-50,-200", "250,-500")
    code, out, _ = run("stripe-slipway", "--template", str(made), *part)
    assert code == 0 and "4 to join" in out
    assert len(pypdf.PdfReader(made).pages) == 5


def test_no_template_of_what_is_refused_or_has_no_plane(run, tmp_path):
    made = str(tmp_path / "no.pdf")
    code, _, err = run("hatch-length-belly", "--template", made)
    assert code == 5 and "No template: What is measured lies outside" in err
    code, _, err = run("strut-slipway", "--template", made)
    assert code == 2 and "not measured on a plane" in err
    assert run("stripe-slipway", "--template", made, "--area", "9000,0", "9500,9")[0] == 2
    assert run("stripe-slipway", "--template", made, "--area", "here", "there")[0] == 2
    assert run("--template", made)[0] == 2
    assert run("stripe-slipway", "--whole")[0] == 2
    assert not (tmp_path / "no.pdf").exists()
