"""What the public gets of each kind of record, and what a public site is refused for."""

from __future__ import annotations

import shutil
from datetime import date

import pytest
from click.testing import CliRunner
from PIL import Image
from small_records import BASE, part, photo, source

from archive.audience.public import public_problems, public_view
from archive.audience.shown import SHOWN
from archive.cli.main import main
from archive.core.images import ImageFacts
from archive.read.load import load
from archive.reasoning.labels import label_problems
from archive.reasoning.weigh import weigh
from archive.records.checks import check
from archive.records.spec import fields_of

DAY = date(2027, 6, 1)
WEB = "rights: {basis: permission, credit: Kindly lent, overprint: yes, grants: [{use: web}]}"


def decision(more: str) -> str:
    return f"""
== decisions/it.md ==
---
title: It
question: Do we build it?
about: parts/chine
choice: leave-off
because: The letter says so
{more}
---
"""


@pytest.fixture
def seen(content, tmp_path):
    """`seen(text, sums)` → (library, the public's view, what a public site is refused for)."""

    def see(text, **sums):
        shutil.rmtree(tmp_path / "content", ignore_errors=True)
        library = load(content(BASE + text)).library
        findings = weigh(library)
        images = {
            id_: ImageFacts(sums.get(id_, id_), "JPEG", "L", 900, 600, 1, 1)
            for id_ in library.photos
        }
        view = public_view(library, findings, images, DAY)
        problems = [*check(library), *label_problems(library, findings)]
        return library, view, public_problems(library, view, problems)

    return see


def test_every_listed_field_is_one_of_its_kind():
    for cls, names in SHOWN.items():
        assert set(names) <= set(fields_of(cls)), cls


def test_a_decision_gives_its_reason_only_where_nothing_is_withheld(seen):
    claims = part("  - {id: it, aspect: shape, says: So}")
    _, view, _ = seen(claims + decision(""))
    assert view.library.decisions["it"].because == "The letter says so"
    _, view, _ = seen(claims + source("hidden") + decision("leans_on: sources/hidden"))
    assert "may not be shown" in view.library.decisions["it"].because
    _, view, _ = seen(
        claims + source("hidden") + decision("leans_on: sources/hidden\ntold: For want of proof")
    )
    assert view.library.decisions["it"].because == "For want of proof"


def test_a_question_about_what_is_withheld_is_left_out(seen):
    text = """
== questions/one.md ==
---
title: One
question: What of it?
about: {about}
---
"""
    hidden = source("hidden")
    _, view, _ = seen(hidden + text.replace("{about}", "sources/hidden"))
    assert not view.library.questions
    _, view, _ = seen(hidden + text.replace("{about}", "zones/700"))
    assert "one" in view.library.questions


def test_a_covered_place_is_an_alteration(seen):
    covered = photo("one", "print").replace("10, 10]]}", "10, 10]], withheld: yes}")
    _, view, _ = seen(source("print", WEB) + covered)
    assert view.terms["one"].flat == (((0.0, 0.0), (10.0, 0.0), (10.0, 10.0)),)
    assert view.library.photos["one"].regions == ()
    _, view, _ = seen(source("print", WEB.replace("overprint: yes", "overprint: no")) + covered)
    assert not view.library.photos


def test_regions_are_drawn_only_where_drawing_is_allowed(seen):
    _, view, _ = seen(source("print", WEB) + photo("one", "print"))
    assert [one.id for one in view.library.photos["one"].regions] == ["chine"]
    _, view, _ = seen(source("print", WEB.replace("overprint: yes, ", "")) + photo("one", "print"))
    assert view.library.photos["one"].regions == ()


def test_one_file_under_two_notes_is_withheld_under_both(seen):
    text = source("print", WEB) + source("hidden") + photo("one", "print") + photo("two", "hidden")
    _, view, _ = seen(text, one="alike", two="alike")
    assert not view.library.photos and not view.images
    _, view, _ = seen(text)
    assert list(view.library.photos) == ["one"]


def test_a_person_is_named_once_they_agree(seen):
    _, view, _ = seen("")
    assert not view.library.people


def test_a_word_that_may_have_been_meant_to_seal_withholds(seen):
    _, view, _ = seen(part("  - {id: it, aspect: shape, says: So}", "survives: no\nsealde: yes"))
    assert not view.library.parts
    _, view, _ = seen(part("  - {id: it, aspect: shape, says: So}", "survives: no\nmates: [a b]"))
    assert view.library.parts


def test_words_of_a_withheld_letter_refuse_the_site(seen):
    letter = source("letter", "transcript: She left the water in the time it takes to read this")
    story = """
== stories/it.md ==
---
title: It
summary: {summary}
---
Told.
"""
    _, _, against = seen(letter + story.replace("{summary}", "She left the water in no time"))
    assert against == []
    said = "They said she left the water, in the time it takes a man"
    _, _, against = seen(letter + story.replace("{summary}", said))
    assert [problem.code for problem in against] == ["words-withheld"]
    assert against[0].where.path == "stories/it.md"


def test_contradictory_rights_and_a_label_that_goes_too_far_refuse_the_site(seen):
    _, _, against = seen(source("print", "rights: {basis: unknown, grants: [{use: web}]}"))
    assert [problem.code for problem in against] == ["rights-contradict"]
    labelled = part(
        "  - {id: it, aspect: shape, says: So}", "survives: no\nlabel: Exactly as she was"
    )
    _, _, against = seen(labelled)
    assert {problem.code for problem in against} == {"label-overclaims"}
    _, _, against = seen(labelled.replace("survives: no", "survives: no\nsealed: yes"))
    assert against == []


def test_the_command_makes_no_site_while_something_stands_against_it(
    content, monkeypatch, tmp_path
):
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    folder = content(BASE + source("print", WEB) + photo("one", "print"))
    Image.new("L", (90, 60)).save(folder / "photos" / "one.jpg")
    out = tmp_path / "out"
    words = ["build", str(folder), "--for", "public", "--out", str(out), "--as-of", "2027-06-01"]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0 and (out / "photos" / "one.html").exists()
    note = folder / "sources" / "print.md"
    note.write_text(note.read_text("utf-8").replace("grants:", "refused: [web], grants:"), "utf-8")
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 1 and "rights-contradict" in done.stderr
    assert "still stands there" in done.stderr
    assert (out / "photos" / "one.html").exists(), "the old site stands until somebody mends it"
