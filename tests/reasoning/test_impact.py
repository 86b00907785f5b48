"""If a record falls: what moves is what a second weighing of the changed files gives."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_records import BASE, letter, part, photo, source

from archive.core.dates import parse_edtf
from archive.core.foresight import Foreseen
from archive.core.lengths import Length
from archive.pipeline import Weighed, foresee
from archive.pipeline import weigh as weigh_folder
from archive.read.load import load
from archive.reasoning.differences import AGREE, CLASH, between, keep
from archive.reasoning.falls import falls
from archive.reasoning.ground import Given
from archive.reasoning.impact import impact
from archive.reasoning.supposing import CannotSuppose
from archive.reasoning.weigh import weigh
from archive.records.claim import Claim, Evidence
from archive.records.library import EMPTY, Library
from archive.records.measurement import KnownLength, Measurement, Pick
from archive.records.part import Part
from archive.records.photo import Photo, PhotoDate, SameNegative
from archive.records.source import Source
from archive.records.spec import Judged

DEMO = Path(__file__).parents[2] / "content"
CLAIMS = """\
  - id: pitch
    aspect: size
    says: Even
    configuration: survey-1932
    tolerance: 9 mm
    evidence:
      - {photo: "one#chine", value: 22 mm +/- 2 mm}
      - {source: letter, value: 23 mm +/- 8 mm}
"""
LETTER = letter("letter", "first_hand: yes\ndated: 1932-05-03")
TEXT = (
    source("print")
    + source("idle")
    + LETTER
    + photo("one", "print")
    + part(
        CLAIMS,
        "survives: no\nmates: [float]\nmade:\n"
        "  - {by: LM, on: 2026-03-01, what: A length of angle, card: 0001-1, mark: N}",
    )
    + part("  - {id: there, aspect: existence, says: So}", "survives: whole", "float")
)


def lines(found) -> list[tuple[str, str, str, str]]:
    return [(m.ref, m.what, m.before, m.after) for m in found.moved]


def test_a_print_falls_and_the_claim_with_it(weighed):
    findings, problems, library = weighed(TEXT)
    assert problems == []
    found = impact(library, findings, "sources/print")
    claim = "parts/chine#pitch"
    assert (claim, "grade", "corroborated", "seen") in lines(found)
    assert (claim, "size", "7/8 in ± 5/64 in", "7/8 in ± 11/32 in") in lines(found)
    rules = {m.what: m.matters.rule for m in found.moved if m.matters}
    assert rules == {"made": "I6"}
    assert [(b.how, b.other) for b in found.beside] == [("mates with", "parts/float")]
    assert found.finding.verdict == "1 claim falls"
    assert found.as_json()["verdict"] == "1 claim falls"


def test_what_still_stands_is_told(weighed):
    more = CLAIMS + (
        "  - id: there\n    aspect: existence\n    says: So\n    configuration: survey-1932\n"
        '    evidence:\n      - {photo: "one#chine"}\n      - {part: chine}\n'
    )
    text = TEXT.replace(CLAIMS, more).replace("survives: no", "survives: fragment")
    findings, problems, library = weighed(text)
    assert problems == []
    found = impact(library, findings, "sources/print")
    assert found.stands == ("parts/chine#there",)
    assert found.fallen == ("parts/chine#pitch",)


def test_a_record_that_nobody_leans_on_moves_nothing(weighed):
    findings, _, library = weighed(TEXT)
    for what in ("discredited", "gone", "sister", "unknown-airframe", "consent-withdrawn"):
        found = impact(library, findings, "sources/idle", what)
        assert [m for m in found.moved if m.what != "group"] == [], what
        assert found.finding.verdict in ("nothing moves", "something moves, nothing falls")


def test_the_floor_of_a_cut_is_told(weighed):
    one = TEXT.replace("      - {source: letter, value: 23 mm +/- 8 mm}\n", "")
    findings, _, library = weighed(one)
    found = impact(library, findings, "photos/one")
    matters = next(m.matters for m in found.moved if m.what == "grade")
    assert matters.rule == "I1" and "seen, the floor for a cut" in matters.says
    assert next(m.matters.rule for m in found.moved if m.what == "size") == "I3"
    assert "sources/print" in found.supposed


def test_a_signed_decision_reopens_and_one_signed_without_a_state_only_moves(weighed):
    decision = """
== decisions/angle.md ==
---
title: The angle
question: Which?
about: [parts/chine]
choice: build
because: So
approvals:
  - {by: HB, role: lead, on: 2026-02-01STATE}
---
"""
    bare = decision.replace("STATE", "")
    findings, _, library = weighed(TEXT + bare)
    found = impact(library, findings, "sources/print")
    assert [m.matters for m in found.moved if m.what == "evidence"] == [None]
    assert "reopened" not in {m.after for m in found.moved}
    state = findings.decisions["decisions/angle"].evidence_state
    pinned = decision.replace("STATE", f', state: "{state}"')
    findings, _, library = weighed(TEXT + pinned)
    found = impact(library, findings, "sources/print")
    assert ("decisions/angle", "decision", "stands", "reopened") in lines(found)
    assert "1 decision reopens" in found.finding.verdict


def test_rights_change_use_and_no_grade(weighed):
    rights = "rights: {basis: permission, grants: [{use: panel}, {use: web}]}"
    findings, _, library = weighed(TEXT.replace(source("print"), source("print", rights)))
    found = impact(library, findings, "photos/one", "rights-revoked")
    assert [m.before for m in found.moved] == ["granted for panel", "granted for web"]
    assert found.finding.verdict == "use only: no grade changes"
    assert {m.matters.rule for m in found.moved} == {"I7"}


@pytest.mark.parametrize(
    ("ref", "what", "other"),
    [
        ("parts/chine", "discredited", ""),
        ("photos/one", "same-as", ""),
        ("photos/one", "same-as", "photos/one"),
        ("photos/one", "redated", "last spring"),
        ("photos/one", "redated", ""),
        ("photos/none", "gone", ""),
        ("sources/idle", "flipped", ""),
        ("zones/700", "gone", ""),
    ],
)
def test_what_makes_no_sense_is_refused_with_a_sentence(weighed, ref, what, other):
    findings, _, library = weighed(TEXT)
    with pytest.raises(CannotSuppose) as caught:
        impact(library, findings, ref, what, other)
    assert caught.value.says.endswith(".")


WRITTEN = {
    "discredited": (
        "sources/print.md",
        "discredited: {is: yes, by: HB, on: 2026-01-02, because: a fake}",
    ),
    "consent-withdrawn": (
        "sources/letter.md",
        "consent: {given: 2026-01-01, withdrawn: {on: 2026-05-01, by: heirs, extent: all-use}}",
    ),
    "flipped": (
        "photos/one.md",
        "flipped: {is: yes, by: HB, on: 2026-01-02, because: letters}",
    ),
    "sister": ("photos/one.md", "airframe: sister"),
    "unknown-airframe": ("photos/one.md", "airframe: unknown"),
    "same-as": (
        "photos/one.md",
        "same_negative: [{photo: two, is: same, by: HB, on: 2026-01-02, because: dust}]",
    ),
    "gone": ("photos/one.md", ""),
    "redated": (
        "photos/one.md",
        "date: {argued: {is: 1934-01, by: HB, on: 2026-01-02, because: a new find}}",
    ),
}
"""Supposition → the file that a person would change if it came true, and the line they'd write."""


@pytest.mark.parametrize("what", WRITTEN)
def test_what_is_foretold_is_what_changed_files_give(content, what):
    text = BASE + TEXT.replace("part: parts/", "part: ") + source("second") + photo("two", "second")
    text = (
        text.replace(
            "      - {source: letter",
            '      - {photo: "two#chine", value: 22 mm +/- 3 mm}\n      - {source: letter',
        )
        .replace(
            "outline: [[0, 0], [10, 0], [10, 10]]",
            "outline: [[0, 0], [10, 0], [10, 10]], part: chine",
        )
        .replace("survives: no", "survives: no\nside: port")
    )
    folder = content(text)
    for note in folder.glob("photos/*.md"):
        note.with_suffix(".jpg").touch()
    library = load(folder, None).library
    before = weigh(library)
    path, line = WRITTEN[what]
    ref = path.removesuffix(".md")
    other = {"same-as": "photos/two", "redated": "1934-01"}.get(what, "")
    foretold = impact(library, before, ref, what, other)
    file = folder / path
    if line:
        word = line.partition(":")[0]
        kept = re.sub(rf"^{word}: .*\n", "", file.read_text(), flags=re.M)
        if what == "redated":  # what was ruled of its state is then wrong as well
            kept = re.sub(r"^configurations:\n  - .*\n", "", kept, flags=re.M)
        file.write_text(kept.replace("---\ntitle", f"---\n{line}\ntitle", 1))
    else:
        file.unlink()
    after_library = load(folder, None).library
    assert after_library != library
    after = weigh(after_library)
    really = between(
        library,
        keep(library, before.claims, before.decisions, before.parts, before.cards),
        keep(after_library, after.claims, after.decisions, after.parts, after.cards),
    )
    assert really, "the change moves something, or it tests nothing"
    besides = ("group", "day", "belongs", "conflict")
    assert tuple(m for m in foretold.moved if m.what not in besides) == really


def test_a_supposed_date_wins_over_what_the_record_itself_rules(weighed):
    """Its own ruling that it must fall in the survey state is then wrong, and so is its date."""
    day = "date: {argued: {is: 1932-07-02, by: HB, on: 2026-01-02, because: the logbook}}"
    text = TEXT.replace(photo("one", "print"), photo("one", "print", day))
    findings, problems, library = weighed(text)
    assert problems == [] and findings.clashes == ()
    found = impact(library, findings, "photos/one", "redated", "1934-06")
    told = lines(found)
    state = "fall in “Survey state”"
    assert ("photos/one", "belongs", f"must {state}", f"cannot {state}") in told
    assert ("parts/chine#pitch", "grade", "corroborated", "seen") in told
    assert not [line for line in told if line[1] == "conflict"]
    assert "1 claim falls" in found.finding.verdict


def test_a_supposed_date_that_others_contradict_is_told_as_a_clash(weighed):
    """What was published in July 1932 was not taken in June 1934."""
    text = TEXT.replace(
        source("print"),
        source("print").replace("{type: graphic,", "{type: article-newspaper, issued: 1932-07,"),
    )
    findings, problems, library = weighed(text)
    assert problems == [] and findings.clashes == ()
    found = impact(library, findings, "photos/one", "redated", "1934-06")
    (clash,) = (m for m in found.moved if m.what == "conflict")
    assert (clash.ref, clash.before, clash.after) == ("photos/one", AGREE, CLASH)
    assert clash.matters.rule == "T11" and "published July 1932" in clash.matters.says
    assert "1 clash of dates appears" in found.finding.verdict
    back = impact(
        replace(library, photos=_redated(library, "1934-06")),
        weigh(replace(library, photos=_redated(library, "1934-06"))),
        "photos/one",
        "redated",
        "1932-07",
    )
    assert [(m.before, m.after) for m in back.moved if m.what == "conflict"] == [(CLASH, AGREE)]


def _redated(library: Library, written: str) -> dict[str, Photo]:
    one = library.photos["one"]
    argued = Judged(says=parse_edtf(written), by="HB", because="so")
    return {"one": replace(one, date=PhotoDate(argued=argued), configurations=())}


def made(draw: list[tuple[int, int, int]], discredited: set[int], joined: bool) -> Library:
    """Claims on photographs of prints of negatives; some have no source, some are joined."""
    sources = {
        f"n{n}": Source(
            id=f"n{n}",
            title=f"n{n}",
            generation="negative",
            discredited=Judged(says=True) if n in discredited else None,
        )
        for n in range(3)
    }
    photos: dict[str, Photo] = {}
    evidence: dict[int, list[Evidence]] = {}
    for i, (claim, negative, reading) in enumerate(draw):
        name = f"p{i}"
        same = (SameNegative(photo="photos/p0", is_same="same"),) if joined and i == 1 else ()
        photos[name] = Photo(
            id=name,
            title=name,
            shows_what="period",
            airframe=Judged(says="this"),
            source=f"sources/n{negative}" if negative < 3 else None,
            same_negative=same,
        )
        word = ("clear", "probable", "possible")[reading]
        evidence.setdefault(claim, []).append(Evidence(photo=f"photos/{name}", reading=word))
    claims = tuple(
        Claim(
            id=f"c{n}",
            aspect="existence",
            says="so",
            evidence=tuple(items),
            rival_of="c0" if n == 2 and 0 in evidence else None,
        )
        for n, items in sorted(evidence.items())
    )
    return replace(
        EMPTY, sources=sources, photos=photos, parts={"p": Part(id="p", title="p", claims=claims)}
    )


@given(
    st.lists(
        st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(0, 2)), min_size=1, max_size=7
    ),
    st.sets(st.integers(0, 2), max_size=2),
    st.booleans(),
)
@settings(deadline=None)
def test_the_quick_way_gives_what_weighing_all_gives(draw, discredited, joined):
    library = made(draw, discredited, joined)
    findings = weigh(library)
    found, untried = falls(library, findings)
    assert untried == 0
    assert set(found) == {r for r in findings.leaning if r in findings.group_of}
    for ref, quick in found.items():
        assert quick == impact(library, findings, ref), ref


def measured_chain(
    negatives: list[int], discredited: set[int], rival: bool, refused: bool, scan: tuple[int, int]
) -> Library:
    """A pole known from a paper and a rule; a pitch measured by the pole; a gap by the pitch.

    Photographs 0 and 1 measure the pitch and the gap, 2 the pitch once more; 3 is of the pole.
    """
    sources = {
        f"n{n}": Source(
            id=f"n{n}",
            title=f"n{n}",
            generation="halftone" if refused and n == 2 else "negative",
            discredited=Judged(says=True) if n in discredited else None,
        )
        for n in range(3)
    }
    photos = {
        f"p{i}": Photo(
            id=f"p{i}",
            title=f"p{i}",
            shows_what="period",
            airframe=Judged(says="this"),
            source=f"sources/n{negative}",
        )
        for i, negative in enumerate(negatives)
    }
    at = {"a": (100, 300), "b": (100 + scan[0], 300), "c": (100, 100), "d": (100 + scan[1], 100)}
    picks = tuple(Pick(point=name, at=place) for name, place in at.items())
    measurements = {
        id_: Measurement(
            id=id_,
            title=id_,
            photos=(photo,),
            method="scale",
            between=("a", "b"),
            picks=picks,
            references=(KnownLength(between=("c", "d"), known=known, same_plane=True),),
            camera_distance=Length(10_000.0, 980.0, False, "10 m"),
            tilt_deg=10,
        )
        for id_, photo, known in (
            ("pitch", "photos/p0", "parts/p#pole"),
            ("again", "photos/p2", "parts/p#pole"),
            ("gap", "photos/p1", "parts/p#pitch"),
        )
    }
    tight, wide = Length(1000.0, 2.0, False, "1 m"), Length(1030.0, 90.0, False, "1 m")
    claims = (
        Claim(
            id="pole",
            aspect="size",
            says="so",
            evidence=(
                Evidence(photo="photos/p3", value=tight),
                Evidence(photo="photos/p1", value=wide),
            ),
        ),
        Claim(
            id="pitch",
            aspect="size",
            says="so",
            evidence=(
                Evidence(photo="photos/p0", measured="measurements/pitch"),
                Evidence(photo="photos/p2", measured="measurements/again"),
            ),
        ),
        Claim(
            id="gap",
            aspect="size",
            says="so",
            evidence=(Evidence(photo="photos/p1", measured="measurements/gap"),),
            rival_of="pole" if rival else None,
        ),
    )
    return replace(
        EMPTY,
        sources=sources,
        photos=photos,
        measurements=measurements,
        parts={"p": Part(id="p", title="p", claims=claims)},
    )


SIZES = Given(sizes={f"photos/p{i}": (3000, 2000) for i in range(4)})


@given(
    st.lists(st.integers(0, 2), min_size=4, max_size=4),
    st.sets(st.integers(0, 2), max_size=1),
    st.booleans(),
    st.booleans(),
    st.tuples(st.integers(150, 900), st.integers(300, 900)),
)
@settings(deadline=None)
def test_the_quick_way_measures_anew_what_leans_on_what_fell(
    negatives, discredited, rival, refused, scan
):
    library = measured_chain(negatives, discredited, rival, refused, scan)
    findings = weigh(library, sizes=SIZES.sizes)
    found, untried = falls(library, findings, SIZES)
    assert untried == 0 and len(found) > len(set(negatives))
    for ref, quick in found.items():
        assert quick == impact(library, findings, ref, given=SIZES), ref


def test_a_reference_that_moves_moves_the_sizes_measured_by_it():
    library = measured_chain([0, 1, 2, 2], set(), False, False, (250, 500))
    findings = weigh(library, sizes=SIZES.sizes)
    before = {ref: graded.held for ref, graded in findings.claims.items()}
    assert before["parts/p#gap"].value_mm == pytest.approx(250, rel=0.01)
    for found in (
        falls(library, findings, SIZES)[0]["sources/n2"],
        impact(library, findings, "photos/p3", "discredited", given=SIZES),
    ):
        moved = {m.ref for m in found.moved if m.what == "size"}
        assert moved == {"parts/p#pole", "parts/p#pitch", "parts/p#gap"}
    lost = falls(library, findings, SIZES)[0]["sources/n1"]
    assert ("parts/p#gap", "grade", "seen", "conjecture") in lines(lost)


def test_a_measurement_can_be_gone():
    library = measured_chain([0, 1, 2, 2], set(), False, False, (250, 500))
    findings = weigh(library, sizes=SIZES.sizes)
    found = impact(library, findings, "measurements/gap", given=SIZES)
    assert ("parts/p#gap", "grade", "seen", "conjecture") in lines(found)


@pytest.fixture(scope="module")
def demo() -> Weighed:
    """The demo with its pictures, so that sizes are measured on them."""
    return weigh_folder(DEMO)


def test_the_quick_way_gives_what_weighing_all_gives_on_the_demo(demo):
    found, _ = falls(demo.library, demo.findings, demo.given)
    assert len(found) > 30
    moved = [line for quick in found.values() for line in quick.moved]
    assert any(demo.findings.claims[line.ref].held for line in moved if line.what == "size")
    for ref, quick in found.items():
        assert quick == impact(demo.library, demo.findings, ref, given=demo.given), ref


def test_in_a_large_archive_the_most_leaned_on_are_tried_and_the_rest_bounded(demo):
    every, _ = falls(demo.library, demo.findings, demo.given)
    some, bound = falls(demo.library, demo.findings, demo.given, at_most=120)
    assert 0 < len(some) < len(every) and bound > 0
    assert all(every[ref] == found for ref, found in some.items())
    assert all(len(every[ref].fallen) <= bound for ref in every if ref not in some)


def test_the_one_that_carries_most_comes_first_and_a_family_is_told_once(demo):
    carriers = foresee(demo).carriers
    counts = [len(one.fallen) for one in carriers]
    assert counts == sorted(counts, reverse=True)
    assert len({one.fallen for one in carriers}) == len(carriers)
    assert Foreseen().carriers == ()


def test_a_photograph_that_falls_takes_the_sizes_measured_on_it(demo):
    measured = {
        graded.held.measured: ref
        for ref, graded in demo.findings.claims.items()
        if graded.held and graded.held.measured
    }
    assert measured
    for name, claim in measured.items():
        (photo, *others) = demo.library.measurements[name.partition("/")[2]].photos
        if others or demo.library.photos[photo.partition("/")[2]].source is None:
            continue
        found = impact(demo.library, demo.findings, photo, given=demo.given)
        assert claim in {line.ref for line in found.moved if line.what == "size"}, photo
