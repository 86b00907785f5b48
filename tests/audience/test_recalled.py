"""What an edition carried, and what of it may not be shown any more: whom to tell, and why."""

from __future__ import annotations

import dataclasses
from datetime import date

import pytest
from site_sample import AS_OF, FILES, written

from archive.audience.public import public_view
from archive.audience.recalled import carried_by, recall_advice, recalled, recalled_for
from archive.core.publications import Carried, Publication
from archive.pipeline import weigh
from archive.write.publications import keep_publication

OPEN = FILES["sources/letter.md"].replace(
    "generation: original",
    "generation: original\nrights: {basis: own, because: We wrote it, credit: Ours}",
)
TOLD = {
    "sources/letter.md": OPEN,
    "sources/interview.md": """---
title: Interview with the rigger
citation: {type: interview, issued: 1981}
consent: {form: sources/letter, given: 2026-02-01, deed: sources/letter}
rights:
  basis: permission
  holder: The narrator
  grants: [{use: web}]
---
""",
    "parts/wing.md": FILES["parts/wing.md"].replace(
        "survives: no", "survives: no\nlabel: Perhaps a wing stood here; we guess."
    ),
}
WITHDRAWN = {
    **TOLD,
    "sources/interview.md": TOLD["sources/interview.md"].replace(
        "deed: sources/letter}",
        "deed: sources/letter, withdrawn: {on: 2027-05-01, by: family, extent: publication}}",
    ),
}


def _went_out(folder):
    weighed = weigh(folder)
    view = public_view(weighed.library, weighed.findings, weighed.images, AS_OF)
    edition = Publication("", AS_OF, "public", "0" * 64, ("kiosk", "web host"), carried_by(view))
    return keep_publication(folder, edition)


def _recalled(folder, day=date(2027, 6, 1)):
    weighed = weigh(folder)
    view = public_view(weighed.library, weighed.findings, weighed.images, day)
    return weighed, recalled(weighed.published, weighed.library, weighed.findings, view)


@pytest.fixture
def folder(tmp_path):
    written(tmp_path / "content", TOLD)
    _went_out(tmp_path / "content")
    return tmp_path / "content"


def test_nothing_moved_nothing_to_tell(folder):
    weighed, found = _recalled(folder)
    assert weighed.published[0].carried["sources/interview"] == Carried()
    assert weighed.published[0].carried["parts/strut#there"].grade
    assert [one.to_tell for one in found] == [False]
    assert not found[0].moved and not list(recall_advice(found))


def test_consent_withdrawn_after_the_edition_went_out(folder):
    """STORIES: a family withdraws consent; grades stay, the edition is recalled by name."""
    before = weigh(folder).findings.claims
    written(folder, WITHDRAWN)
    weighed, (one,) = _recalled(folder)
    assert {ref: g.grade for ref, g in weighed.findings.claims.items()} == {
        ref: g.grade for ref, g in before.items()
    }
    ((ref, why),) = one.withdrawn
    assert ref == "sources/interview" and "Consent was taken back" in why.reasons[0].says
    (advice,) = recall_advice([one])
    assert advice.advice and advice.code == "edition-to-correct"
    assert "sources/interview" in advice.says and "kiosk; web host" in advice.hint


def test_a_destroyed_and_a_sealed_record_are_told(folder):
    (folder / "sources/interview.md").unlink()
    letter = TOLD["sources/letter.md"].replace("number: S-28", "number: S-28\nsealed: yes")
    (folder / "sources/letter.md").write_text(letter)
    weighed, (one,) = _recalled(folder)
    told = {ref: why.reasons[0].says for ref, why in one.withdrawn}
    assert told["sources/interview"] == "It is in the record no longer."
    assert told["sources/letter"] == "It is sealed."
    seen = dataclasses.replace(weighed.library, sources={})
    (crew,) = recalled_for([one], weighed.library, seen)
    assert "sources/letter" not in dict(crew.withdrawn), "the crew knows nothing of what is sealed"
    assert "sources/interview" in dict(crew.withdrawn)


def test_a_label_that_reads_otherwise_and_a_grade_that_moved(folder):
    wing = TOLD["parts/wing.md"].replace("we guess", "we do not know")
    (folder / "parts/wing.md").write_text(wing.lstrip("\n"))
    strut = FILES["parts/strut.md"].replace("reading: clear, by: HB}", "reading: possible, by: HB}")
    (folder / "parts/strut.md").write_text(strut.lstrip("\n"))
    _, (one,) = _recalled(folder)
    assert one.labels[0][0] == "parts/wing" and "reads otherwise today" in one.labels[0][1]
    assert [ref for ref, _, _ in one.moved] == ["parts/strut#there"]
