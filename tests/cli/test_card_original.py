"""`witnessmark card --step original`: what was signed and nothing else, and what recalls it."""

from __future__ import annotations

import json
from pathlib import Path

import numpy
import pytest
from click.testing import CliRunner
from originals import WHOLE
from PIL import Image

from archive.cli.main import main
from archive.pipeline import weigh
from archive.read.load import load
from archive.records.checks import check

COWL = "parts/cowl"
SECOND = """  - id: straighten
    options: [leave the dents, dress them out]
    choice: dress them out
    operations: straighten
    proposed: {by: LM, on: 2026-07-02}
---
"""


def edit(folder: Path, path: str, old: str, new: str) -> None:
    file = folder / path
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def folder(content, tmp_path: Path) -> Path:
    """An original with one treatment that is cleared."""
    made = content(WHOLE)
    noise = numpy.random.default_rng(1).integers(0, 255, (64, 64), numpy.uint8)
    Image.fromarray(noise).save(made / "photos" / "asfound.jpg")
    state = weigh(made).findings.decisions["decisions/reuse"].evidence_state
    edit(made, "decisions/reuse.md", "PINNED", state)
    return made


@pytest.fixture
def run(monkeypatch, tmp_path, folder):
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))

    def call(command: str, *words: str):
        result = CliRunner().invoke(main, [command, *words, "--in", str(folder)])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.stdout, result.stderr

    return call


def issue(run, *more: str) -> str:
    code, out, err = run("card", COWL, "--step", "original", "--json", *more)
    assert code == 0, (out, err)
    return json.loads(out)["card"]


def test_one_treatment_of_several_has_a_card_of_its_own(run, folder):
    edit(folder, "parts/cowl.md", "on: 2026-07-01}\n---\n", "on: 2026-07-01}\n" + SECOND)
    code, out, _ = run("card", COWL, "--step", "original")
    assert code == 5 and "Cleared by itself: parts/cowl#let-in" in out
    code, out, _ = run("card", COWL, "--step", "original", "--treatment", "straighten")
    assert code == 5 and "parts/cowl#straighten, original: hold" in out
    first = issue(run, "--treatment", "let-in")
    code, out, _ = run("card", f"{COWL}#let-in", "--step", "original", "--json")
    assert (code, json.loads(out)["card"]) == (0, first), "it holds, and is the same card"
    assert run("card", f"{COWL}#let-in")[0] == 2, "a cut is of no treatment"
    assert run("card", COWL, "--step", "original", "--treatment", "let-out")[0] == 2


def test_the_register_holds_what_was_signed(run, folder):
    issue(run)
    loaded = load(folder)
    assert [p for p in check(loaded.library) if p.where.path.startswith("cards/")] == []
    (line,) = loaded.library.cards["0001"].issues[-1].treatments
    assert (line.treatment, line.choice) == ("let-in", "let in a patch")
    assert line.work == "trim, drill, refit"
    assert line.takes == "corroded sheet; kept at shelf 12"
    assert line.hazards == "lead paint: wet work only"
    assert line.signed == "OW, owner, 20 July 2026; HB, lead, 18 July 2026"
    edit(folder, "cards/0001.yaml", "corroded sheet", "the whole edge")
    assert "card-altered" in {problem.code for problem in check(load(folder).library)}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("operations: [trim, drill, refit]", "operations: [trim, drill, refit, straighten]"),
        ("corroded sheet", "half of the cowl"),
        ("kept_at: shelf 12", "kept_at: the skip"),
        ("wet work only", "dry sanding"),
        ("condition: dented", "condition: torn"),
        ("options: [keep it, let in a patch]", "options: [store it, let in a patch]"),
        ("id: let-in", "id: let-out"),
    ],
)
def test_a_treatment_that_was_changed_recalls_its_card(run, folder, old, new):
    card = issue(run)
    assert run("card", "--check", card)[0] == 0
    edit(folder, "parts/cowl.md", old, new)
    code, out, _ = run("card", "--check", card)
    assert code == 5 and ": recall" in out and "[K14]" in out


def test_work_by_it_is_noted_in_words_that_fit_and_what_is_done_spends_it(run, folder):
    card = issue(run)
    code, out, _ = run(
        "card", "--cut", card, "--as", "LM", "--on", "2026-08-03", "--made", "let in"
    )
    assert code == 0 and "LM worked on the original by issue 1" in out and "cut" not in out
    assert "parts/cowl#let-in" in out
    done = "    done: {by: LM, on: 2026-08-03, says: Let in}\n---\n"
    edit(folder, "parts/cowl.md", "on: 2026-07-01}\n---\n", "on: 2026-07-01}\n" + done)
    code, out, _ = run("card", "--check", card)
    assert code == 5 and ": changed" in out and "done" in out
    assert run("card", "--recalls")[0] == 0, "the work is done: nothing is to be fetched back"
    code, out, _ = run("clear", COWL, "--step", "original")
    assert code == 5 and "needs a treatment of its own" in out


def test_a_card_on_the_bench_for_work_that_was_done_without_it_comes_back(run, folder):
    card = issue(run)
    done = "    done: {by: LM, on: 2026-08-03, says: Let in}\n---\n"
    edit(folder, "parts/cowl.md", "on: 2026-07-01}\n---\n", "on: 2026-07-01}\n" + done)
    code, out, _ = run("card", "--check", card)
    assert code == 5 and ": recall" in out and "This card is spent." in out


def test_a_letter_that_falls_recalls_the_card_of_what_it_allowed(run, folder):
    card = issue(run)
    fall = "discredited: {is: yes, by: HB, on: 2026-11-25, because: a forgery}\ntitle:"
    edit(folder, "sources/owner-letter.md", "title:", fall)
    code, out, _ = run("card", "--check", card)
    assert code == 5 and ": recall" in out and "[K3]" in out
