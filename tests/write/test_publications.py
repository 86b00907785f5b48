"""The record of an edition: read back as it was written, never over another, damage told."""

from __future__ import annotations

import json
from datetime import date

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from site_sample import written

from archive.cli.main import main
from archive.core.publications import Carried, Publication
from archive.read.publications import publication_of, read_publications
from archive.write.publications import keep_publication, text_of

DAY = date(2027, 3, 15)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@given(st.lists(texts, max_size=4), st.dictionaries(texts, st.tuples(texts, texts), max_size=5))
def test_any_edition_is_read_back_as_it_was_written(copies, carried):
    lines = {ref: Carried(grade, label) for ref, (grade, label) in carried.items()}
    one = Publication("2027-03-15-1", DAY, "public", "0" * 64, tuple(copies), lines)
    assert publication_of(one.name, text_of(one).encode()) == one


def test_editions_of_one_day_are_told_apart_and_sorted_by_number(tmp_path):
    one = Publication("", DAY, "public", "0" * 64, ("kiosk",), {})
    names = [keep_publication(tmp_path, one).name for _ in range(11)]
    assert names[0] == "2027-03-15-1" and names[10] == "2027-03-15-11"
    assert [found.name for found in read_publications(tmp_path).published] == names


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text.replace("on: 2027-03-15", "on: soon"),
        lambda text: text.replace("carried:\n", ""),
        lambda text: text.replace('{"grade"', "{grade"),
        lambda text: text.replace("build:", "built:"),
        lambda text: text + "what is this\n",
        lambda text: text + "  - 7\n",
    ],
)
def test_damage_is_a_problem_and_no_error(tmp_path, spoil):
    lines = {"parts/a#b": Carried("seen", "")}
    one = keep_publication(tmp_path, Publication("", DAY, "public", "0" * 64, ("kiosk",), lines))
    file = tmp_path / one.path
    file.write_text(spoil(file.read_text()))
    found = read_publications(tmp_path)
    assert not found.published
    assert [problem.code for problem in found.problems] == ["edition-damaged"]


def test_the_command_records_and_check_then_tells(tmp_path, monkeypatch):
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    content, site = written(tmp_path / "content"), tmp_path / "site"
    for file in ("print", "negative", "letter"):
        path = content / f"sources/{file}.md"
        text = path.read_text().partition("\nrights:")[0].removesuffix("\n---\n").rstrip()
        path.write_text(f"{text}\nrights: {{basis: own, because: We made it, credit: Ours}}\n---\n")
    words = ["build", str(content), "--out", str(site), "--as-of", "2026-11-24"]

    def run(*more):
        return CliRunner().invoke(main, list(more))

    assert run(*words, "--publish").exit_code == 2
    assert run(*words, "--for", "public", "--to", "kiosk").exit_code == 2
    done = run(*words, "--for", "public", "--publish", "--to", "kiosk")
    assert "Recorded in publications/2026-11-24-1.yaml" in done.output, done.output
    letter = content / "sources/letter.md"
    letter.write_text(letter.read_text().replace("basis: own", "basis: unknown"))
    again = run(*words, "--for", "public")
    assert "must be corrected" in again.output and "Tell: kiosk." in again.output
    assert "sources/letter: Nobody knows who holds its rights." in again.output
    checked = json.loads(run("check", str(content), "--as-of", "2026-11-24", "--json").output)
    advice = [one for one in checked if one["code"] == "edition-to-correct"]
    assert len(advice) == 1 and "sources/letter" in advice[0]["says"]
    run(*words[:3], str(tmp_path / "crew"), *words[4:])
    page = (tmp_path / "crew/editions.html").read_text()
    assert "kiosk" in page and "May not be shown any more" in page
