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


def test_a_size_scaled_by_a_sealed_part_keeps_its_figure_and_no_name(weighed):
    text = (
        photo("one", more="file: {sha256: abcdef0123456789, size: [3000, 2000]}")
        + part(
            "  - id: length\n    aspect: size\n    says: A metre\n"
            "    evidence: [{part: zz-rule, value: 1000 mm +/- 2 mm}]",
            "survives: whole\nsealed: yes",
            "zz-rule",
        )
        + """
== measurements/pitch.yaml ==
title: Pitch
photos: one
method: scale
between: [a, b]
picks:
  - {point: a, at: [100, 300]}
  - {point: b, at: [350, 300]}
  - {point: c, at: [100, 100]}
  - {point: d, at: [600, 100]}
references: [{between: [c, d], length: parts/zz-rule#length, same_plane: yes}]
tilt_deg: 5
"""
    )
    findings, view = view_of(weighed, text)
    whole, shown = (f.measurements["measurements/pitch"] for f in (findings, view.findings))
    assert whole.value_mm == shown.value_mm == 500
    assert shown.half95_mm == whole.half95_mm
    assert whole.budget and shown.budget == () and shown.errors == ()
    assert "zz-rule" in repr(findings) and "zz-rule" not in repr(view)
