"""A sealed record leaves no trace in the crew's view, and moves no grade."""

from __future__ import annotations

from datetime import date

from small_records import part, photo, source

from archive.audience.crew import KEPT, crew_view

DAY = date(2026, 11, 25)


def view_of(weighed, text):
    findings, _, library = weighed(text)
    return findings, crew_view(library, findings, (), {}, DAY)


def test_nothing_sealed_is_the_record_as_it_is(weighed):
    findings, view = view_of(weighed, photo("one"))
    assert view.findings is findings


def test_a_sealed_source_is_nowhere_and_the_grade_stays(weighed):
    secret = source("zz-secret-letter", "sealed: yes").replace("graphic", "personal_communication")
    text = (
        secret.replace(
            "sealed: yes",
            "sealed: yes\nairframe: {is: this, by: HB, on: 2026-01-02}\nfirst_hand: yes\n"
            "dated: 1932-05-03",
        )
        + source("print", "derived_from: sources/zz-secret-letter")
        + part(
            "  - id: it\n    aspect: material\n    says: Ply\n"
            "    evidence: [{source: zz-secret-letter}]"
        )
    )
    findings, view = view_of(weighed, text)
    claim = "parts/chine#it"
    assert findings.claims[claim].grade == view.findings.claims[claim].grade == "seen"
    assert view.findings.claims[claim].finding.reasons[0].says == KEPT
    assert "zz-secret" in repr(findings)
    assert "zz-secret" not in repr(view)


def test_a_sealed_part_takes_its_claims_and_problems_along(weighed):
    text = part("  - {id: it, aspect: shape, says: It is so}", "survives: no\nsealed: yes")
    _, view = view_of(weighed, text)
    assert view.library.parts == {}
    assert view.findings.claims == {}
    assert view.findings.zones["700"].parts == ()
