"""A sealed record leaves no trace in the crew's view, and moves no grade."""

from __future__ import annotations

from datetime import date

import pytest
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


def test_a_day_that_rests_on_a_sealed_record_is_kept_and_its_reasons_are_not(weighed):
    secret = (
        source("zz-neg", "sealed: yes\ndated: {is: 1932-07-02, by: HB, on: 2026-01-02, because: x}")
        .replace("vintage-print", "negative")
        .replace("Source zz-neg", "ZZ-NEG")
    )
    ours = source("print", "derived_from: sources/zz-neg")
    hidden = part(
        "  - {id: it, aspect: shape, says: It is so}",
        "survives: no\nsealed: yes\nfitted: {from: floats-fitted}",
        "zz-part",
    ).replace("Part zz-part", "ZZ-PART")
    text = (
        secret
        + ours
        + hidden
        + photo("one", "print", "shows: [{feature: parts/zz-part, is: seen}]")
        + photo("two").replace("is: must", "is: may")
        + photo(
            "three", more="date: {argued: 1932-01}\nshows: [{feature: parts/zz-part, is: seen}]"
        )
        + part(
            "  - id: it\n    aspect: shape\n    says: So\n    configuration: survey-1932\n"
            "    evidence: [{photo: one#chine}, {photo: two#chine}]"
        )
    )
    findings, view = view_of(weighed, text)
    assert findings.clashes and "ZZ-PART" in repr(findings.clashes)
    dated = view.findings.dates["photos/one"]
    assert str(dated.earliest) == "1932-07-02"
    assert KEPT in [reason.says for reason in dated.earliest_finding.reasons]
    shown = repr((view.findings, view.library)).lower()
    assert "zz-neg" not in shown
    assert "zz-part" not in shown


def test_a_clash_with_a_sealed_record_leaves_no_problem(content):
    from small_records import BASE

    from archive.pipeline import weigh

    folder = content(
        BASE
        + part(
            "  - {id: it, aspect: shape, says: It is so}",
            "survives: no\nsealed: yes\nfitted: {from: floats-fitted}",
            "zz-part",
        )
        + photo("one", more="date: {argued: 1932-01}\nshows: [{feature: parts/zz-part, is: seen}]")
    )
    (folder / "photos" / "one.jpg").touch()
    found = weigh(folder)
    assert any(problem.code == "dates-clash" for problem in found.problems)
    view = crew_view(found.library, found.findings, found.problems, {}, DAY)
    assert "zz-part" not in repr(view.problems)


def test_figures_together_keep_their_value_and_not_the_sealed_one(weighed):
    """The value is that of the whole record; the sealed line, its share and its name are gone."""
    text = (
        source("zz-print", "sealed: yes")
        + photo("one")
        + photo("zz-two", more="sealed: yes")
        + part(
            "  - id: it\n    aspect: size\n    says: So big\n    evidence:\n"
            "      - {photo: one#chine, value: 250 mm +/- 4 mm}\n"
            "      - {photo: zz-two#chine, value: 252 mm +/- 2 mm}"
        )
    )
    findings, view = view_of(weighed, text)
    whole, shown = (f.estimates["parts/chine#it"] for f in (findings, view.findings))
    assert whole.together.value_mm == shown.together.value_mm == pytest.approx(251.6)
    assert [line.ref for line in shown.lines] == ["photos/one#chine"]
    assert view.findings.claims["parts/chine#it"].held.value_mm == pytest.approx(251.6)
    assert "zz-two" in repr(findings) and "zz-two" not in repr(view)
