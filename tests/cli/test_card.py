"""`witnessmark card`: numbers, issues, check codes, recalls and what was cut, by exit code."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import numpy
import pytest
from click.testing import CliRunner
from cutting import MARKED, claims, decision
from PIL import Image
from small_records import BASE, part, photo, source

from archive.cli.main import main
from archive.pipeline import weigh

ROOT = Path(__file__).parents[2]
PART = "parts/chine"
PRINTED = re.compile(r"\d{4,}-\d+-[0-9A-HJKMNP-TV-Z]{8}")
FILES = (
    source("one")
    + source("two")
    + photo("one", "sources/one")
    + photo("two", "sources/two")
    + part(claims(), MARKED)
    + decision()
)


@pytest.fixture
def folder(content, tmp_path: Path) -> Path:
    """A small archive of one part that is cleared for a cut, on two photographs of its own."""
    made = content(BASE + FILES)
    for number, name in enumerate(("one", "two"), 1):
        noise = numpy.random.default_rng(number).integers(0, 255, (64, 64), numpy.uint8)
        Image.fromarray(noise).save(made / "photos" / f"{name}.jpg")
    _edit(made, "decisions/it.md", "STATE", "000000")
    state = weigh(made).findings.decisions["decisions/it"].evidence_state
    _edit(made, "decisions/it.md", "000000", state)
    return made


@pytest.fixture
def run(monkeypatch, tmp_path, folder):
    """`run(words…)` → (exit code, standard output, standard error)."""
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))

    def call(*words: str):
        result = CliRunner().invoke(main, ["card", *map(str, words), "--in", str(folder)])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


def _issue(run, *more: str) -> str:
    code, out, _ = run(PART, "--on", "2026-11-24", "--json", *more)
    assert code == 0
    return json.loads(out)["card"]


def _edit(folder: Path, path: str, old: str, new: str) -> None:
    file = folder / path
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def _discredit(folder: Path, source: str) -> None:
    fallen = "discredited: {is: yes, by: HB, on: 2026-11-25, because: a fake}\ntitle:"
    _edit(folder, f"sources/{source}.md", "title:", fallen)


def test_a_cleared_step_gets_a_number_and_holds(run, folder):
    printed = _issue(run, "--as", "HB")
    assert PRINTED.fullmatch(printed) and printed.startswith("0001-1-")
    assert 'by: "HB"' in (folder / "cards" / "0001.yaml").read_text("utf-8")
    assert run("--check", printed)[:2] == (0, f"{printed}: unchanged\n")


@pytest.mark.parametrize(
    "mangle",
    [
        str.lower,
        lambda text: text.replace("-", ""),
        lambda text: text.replace("0", "O").replace("1", "l"),
        lambda text: text.replace("0001", "1"),
        lambda text: f"  {text[:12]} {text[12:]} ",
    ],
)
def test_it_forgives_how_people_type(run, mangle):
    assert run("--check", mangle(_issue(run)))[0] == 0


def test_a_letter_misread_or_two_that_changed_places_never_pass(run, folder):
    printed = _issue(run)
    head, code = printed[:7], printed[7:]
    letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    wrong = {code[:i] + letter + code[i + 1 :] for i in range(8) for letter in letters} - {code}
    wrong |= {
        code[:i] + code[j] + code[i + 1 : j] + code[i] + code[j + 1 :]
        for i in range(8)
        for j in range(i + 1, 8)
    } - {code}
    from archive.cli.card import _found

    weighed = weigh(folder)
    for other in sorted(wrong):
        with pytest.raises(SystemExit) as ended:
            _found(weighed, head + other)
        assert ended.value.code == 2


def test_a_held_step_gets_no_card_and_the_reasons(run, folder):
    _edit(folder, "decisions/it.md", "choice: build", "choice: leave-off")
    code, out, _ = run("chine")
    assert code == 5 and "Its evidence has moved" in out
    assert "Cleared: mock-up, trial." in out
    assert not (folder / "cards").exists()
    code, out, _ = run("chine", "--json")
    assert code == 5 and json.loads(out)["verdict"] == "hold"


def test_wrong_use(run):
    assert run()[0] == 2
    assert run(PART, "--recalls")[0] == 2
    assert run("parts/nothing")[0] == 2
    assert run(PART, "--as", "Nobody")[0] == 2
    code, _, err = run("--check", "0031-2-K7M4QX2H")
    assert code == 2 and "Don't cut by it" in err
    assert run("--check", "0031-2-K7M4QXU2")[0] == 2
    assert run("--check", "hello")[0] == 2


def test_asked_again_it_is_the_same_card_until_something_moves(run, folder):
    trial = ("--step", "trial")
    first = _issue(run, *trial)
    assert _issue(run, *trial) == first
    assert _issue(run, *trial, "--new").startswith("0002-1-")
    (folder / "cards" / "0002.yaml").unlink()
    _discredit(folder, "one")
    second = _issue(run, *trial)
    assert second.startswith("0001-2-")
    code, out, _ = run("--check", first)
    assert (code, out.splitlines()[0]) == (5, f"{first}: superseded")
    assert "witnesses: 2 → 1" in out, "what moved is told of a superseded issue too"
    assert run("--check", second)[0] == 0


def test_the_issue_is_raised_in_the_file_with_all_other_lines_as_they_are(run, folder):
    first = _issue(run)
    path = folder / "cards" / "0001.yaml"
    before = path.read_text("utf-8") + "# a note of ours\n"
    path.write_text(before, "utf-8")
    second = _issue(run, "--again")
    assert second.startswith("0001-2-") and second[7:] != first[7:]
    after = path.read_text("utf-8")
    kept = iter(after.splitlines())
    assert all(line in kept for line in before.splitlines()), "every line stands, in its order"
    assert run("--check", first)[:1] == (5,)
    assert run("--check", second)[:1] == (0,)


def test_a_source_that_falls_recalls_the_card_line_by_line(run, folder):
    printed = _issue(run)
    _discredit(folder, "one")
    code, out, _ = run("--check", printed)
    assert code == 5 and out.startswith(f"{printed}: recall\n")
    assert "parts/chine" in out and "→" in out and "[I" in out
    code, out, _ = run("--recalls", "--json")
    assert code == 5 and [one["card"] for one in json.loads(out)] == [printed]
    code, out, _ = run("--cut", printed, "--as", "LM", "--made", "one hatch", "--on", "2026-11-26")
    assert code == 5 and "LM made a piece from issue 1" in out
    code, out, _ = run("--recalls")
    assert "worked from already" in out and "[K12]" in out


def test_what_moves_without_mattering_is_told_and_is_no_recall(run, folder):
    printed = _issue(run, "--step", "trial")
    _discredit(folder, "one")
    code, out, _ = run("--check", printed)
    assert (code, out.splitlines()[0]) == (5, f"{printed}: changed")
    assert "Doesn't matter." in out
    assert run("--recalls")[0] == 0


def test_a_decision_signed_anew_changes_the_card_and_recalls_it_no_more(run, folder):
    printed = _issue(run)
    _edit(folder, "parts/chine.md", "tolerance: 1/4 in", "tolerance: 5/16 in")
    code, out, _ = run("--check", printed)
    assert code == 5 and "reopened" in out and "[I4]" in out
    for who in ("OW",):
        words = ["sign", "it", "--as", who, "--in", str(folder), "--on", "2026-11-25"]
        assert CliRunner().invoke(main, words).exit_code == 0
    code, out, _ = run("--check", printed)
    assert (code, out.splitlines()[0]) == (5, f"{printed}: changed")
    assert run("--recalls")[0] == 0


def test_a_hazard_found_later_and_a_material_reworded_recall(run, folder):
    printed = _issue(run)
    _edit(folder, "parts/chine.md", "survives: no", "survives: no\nhazards: [asbestos]")
    assert "[K5]" in run("--check", printed)[1]
    again = _issue(run)
    assert run("--check", again)[0] == 0
    was, now = "aspect: material\n    says: It is so", "aspect: material\n    says: It is of steel"
    _edit(folder, "parts/chine.md", was, now)
    code, out, _ = run("--check", again)
    assert code == 5 and "[K4]" in out and "It is of steel" in out


def test_a_register_altered_by_hand_is_no_register(run, folder):
    printed = _issue(run)
    _edit(folder, "cards/0001.yaml", "tolerance_mm: ", "tolerance_mm: 9")
    code, out, _ = run("--check", printed)
    assert code == 5 and "[K10]" in out
    result = CliRunner().invoke(main, ["check", str(folder)])
    assert result.exit_code == 1 and "card-altered" in result.stdout


def test_a_number_is_not_given_again_after_its_file_is_deleted(run, folder):
    _issue(run)
    _issue(run, "--new")
    (folder / "cards" / "0002.yaml").unlink()
    assert _issue(run, "--new").startswith("0003-1-")


def _start(folder: Path, cache: str) -> subprocess.Popen[str]:
    words = [sys.executable, "-m", "archive", "card", PART, "--new", "--json", "--in", str(folder)]
    return subprocess.Popen(
        words,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "WITNESSMARK_CACHE": cache, "PYTHONPATH": str(ROOT)},
        cwd=folder.parent,
    )


def test_two_at_once_get_two_numbers_and_a_killed_one_leaves_a_whole_register(
    folder, tmp_path, run
):
    _issue(run)
    running = [_start(folder, str(tmp_path / "cache")) for _ in range(4)]
    cards = [json.loads(one.communicate()[0])["card"] for one in running]
    assert len({card[:4] for card in cards}) == 4
    victims = [_start(folder, str(tmp_path / "cache")) for _ in range(2)]
    time.sleep(1.0)
    for one in victims:
        one.send_signal(signal.SIGKILL)
        one.communicate()
    files = sorted((folder / "cards").glob("*.yaml"))
    assert len(files) >= 5
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0
    numbers = {file.stem for file in files}
    assert _issue(run, "--new")[:4] not in numbers


def test_impact_and_states_name_cards(run, folder):
    _issue(run)
    result = CliRunner().invoke(main, ["impact", "sources/one", "--in", str(folder), "--json"])
    lines = {(one["ref"], one["what"]): one["after"] for one in json.loads(result.stdout)["moved"]}
    assert lines[("cards/0001", "card")] == "recall"
    CliRunner().invoke(main, ["state", "before", "--in", str(folder)])
    assert '"cards/0001": {"state": "unchanged"}' in (folder / "states/before.yaml").read_text()


def test_a_sheet_superseded_by_the_next_and_what_was_cut_from_it_stay_in_the_recalls(run, folder):
    first = _issue(run)
    assert run("--cut", first, "--as", "LM", "--on", "2026-11-25")[0] == 0
    _edit(folder, "parts/chine.md", "survives: no", "survives: no\nhazards: [asbestos]")
    second = _issue(run)
    code, out, _ = run("--recalls")
    assert code == 5 and f"Recall {first}" in out and "worked from already" in out
    assert "[K5]" in out and "[K12]" in out and "[K13]" in out and second not in out
    card = folder / "cards" / "0001.yaml"
    text = card.read_text("utf-8")
    back = "returned:\n  - {by: LM, on: 2026-11-26, issue: 1}\n"
    card.write_text(text + back, "utf-8")
    code, out, _ = run("--recalls")
    assert code == 5 and f"Look again: {first}" in out and "[K13]" not in out
    look = "issue: 1, looked_at: {by: LM, on: 2026-11-26, against: 2, says: it meets it}}"
    at = text.rindex("issue: ")
    card.write_text(text[:at] + look + "\n" + back, "utf-8")
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0
    assert run("--recalls")[0] == 0


def test_what_names_an_issue_that_is_not_there_is_told(run, folder):
    _issue(run)
    with (folder / "cards" / "0001.yaml").open("a", encoding="utf-8") as file:
        file.write("returned: [{by: LM, on: 2026-11-26, issue: 4}]\n")
        file.write("cut: [{by: LM, on: 2026-11-26, issue: 1, looked_at: ")
        file.write("{by: LM, on: 2026-11-27, against: 3}}]\n")
    out = CliRunner().invoke(main, ["check", str(folder)]).stdout
    assert "no issue 4 that could come back" in out and "no issue 3 that it could be held" in out


def test_a_clock_that_is_behind_what_was_written_here_is_not_believed(run, folder):
    _issue(run)
    early, late = date(2001, 1, 1), date(2026, 12, 1)
    assert weigh(folder, clock=early).given.as_of == date(2026, 11, 24)
    assert weigh(folder, clock=late).given.as_of == late
    assert weigh(folder, as_of=early, clock=late).given.as_of == early
    assert weigh(folder).given.as_of is None
    code, _, err = run(PART, "--on", "2031-01-01")
    assert code == 2 and "still to come" in err
    assert run(PART, "--as-of", "2026-01-01")[0] == 5, "nobody had signed by then"
