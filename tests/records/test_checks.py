"""Each rule between records: what breaks it is told at its word, and what keeps it is not."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from archive.core.images import ImageFacts
from archive.core.messages import MESSAGES
from archive.read.load import load
from archive.records.checks import check, check_pictures

Content = Callable[..., Path]


def told(folder: Path, as_of: date | None = None) -> list[str]:
    loaded = load(folder)
    assert [p for p in loaded.problems if not p.code.startswith("picture-")] == []
    return [f"{p.where} {p.code}" for p in check(loaded.library, as_of)]


def part(fields: str = "", claims: str = "", id_: str = "rail") -> str:
    head = f"== parts/{id_}.md ==\n---\ntitle: A\nzone: 510\nsurvives: whole\n"
    return f"{head}{fields}{'claims:' if claims else ''}{claims}\n---\n"


def claim(id_: str, more: str = "", evidence: str = "") -> str:
    items = f"\n    evidence: [{evidence}]" if evidence else ""
    return f"\n  - id: {id_}\n    aspect: size\n    says: A{more}{items}"


def photo(fields: str, id_: str = "slip") -> str:
    return f"== photos/{id_}.md ==\n---\ntitle: A\nkind: period\nalt: A\n{fields}\n---\n"


def source(fields: str, id_: str = "letter") -> str:
    return (
        f"== sources/{id_}.md ==\n---\ntitle: A\n"
        f"citation: {{type: figure, title: A}}\n{fields}\n---\n"
    )


def decision(fields: str, id_: str = "refit") -> str:
    return (
        f"== decisions/{id_}.md ==\n---\ntitle: A\nquestion: A\nabout: parts/rail\n"
        f"choice: refit\nbecause: A\n{fields}\n---\n"
    )


def states(*rulings: tuple[str, str]) -> str:
    """Rulings on the state that a photograph shows."""
    lines = (f"  - {{configuration: {n}, is: {i}, because: A, {RULED}}}\n" for n, i in rulings)
    return "configurations:\n" + "".join(lines)


RULED = "by: HB, on: 2027-01-10"


def treated(done: str = "on: 2027-01-20", more: str = "") -> str:
    return part(f"treatments: [{{id: a, done: {{by: HB, {done}, says: A}}{more}}}]\n")


SIGNED = (
    (
        "== people.yaml ==\npeople:\n  - {id: hanne, initials: HB, name: A, role: lead}\n"
        "  - {id: oda, initials: OW, name: A, role: owner}\n"
    )
    + decision(
        "leans_on: parts/rail#a\napprovals: [{by: HB, on: 2027-01-10, role: lead}, "
        "{by: OW, on: 2027-01-10, role: owner, letter: letter}]"
    )
    + source("")
)

CASES = {
    "a REF to nothing": (part("mates: [nose]\n"), ["parts/rail.md:5:9 ref-unknown"]),
    "a REF to what is there": (part("mates: [keel]\n") + part(id_="keel"), []),
    "a zone that isn't": (part().replace("510", "511"), ["parts/rail.md:3:7 ref-unknown"]),
    "a piece that isn't": (
        part(claims=claim("a", evidence="{photo: slip#bow}")) + photo(""),
        ["parts/rail.md:9:24 piece-unknown"],
    ),
    "a piece that is": (
        part(claims=claim("a", evidence="{photo: slip#stem}"))
        + photo("regions: [{id: stem, outline: [[0, 0], [1, 0], [1, 1]]}]"),
        [],
    ),
    "a piece of what has none": (
        part(claims=claim("a", evidence="{source: letter#one}")) + source(""),
        ["parts/rail.md:9:25 piece-unknown"],
    ),
    "an unknown person": (part("by: XY\n"), ["parts/rail.md:5:5 person-unknown"]),
    "a person by initials or id": (part("by: HB\nloan: {from: leif-moen}\n"), []),
    "an unknown person in a judgement": (
        photo("airframe: {is: this, by: XY, on: 2027-01-10}"),
        ["photos/slip.md:5:26 person-unknown"],
    ),
    "one piece twice": (
        part("treatments: [{id: a}]\n", claim("a")),
        ["parts/rail.md:7:9 piece-twice"],
    ),
    "a system code that isn't": (part("system: 9999\n"), ["parts/rail.md:5:9 system-unknown"]),
    "a system code that is": (part("system: 5320\n"), []),
    "a side that its zone denies": (part("side: starboard\n"), ["parts/rail.md:3:7 zone-side"]),
    "a side that its zone bears out": (part("side: port\n"), []),
    "fitted backwards": (
        part("fitted: {from: tail-post-mod, until: rolled-out}\n"),
        ["parts/rail.md:5:38 fitted-order"],
    ),
    "fitted forwards": (part("fitted: {from: rolled-out, until: tail-post-mod}\n"), []),
    "a sister without a name": (part("airframe: sister\n"), ["parts/rail.md:5:11 sister-unnamed"]),
    "nothing named": (
        part(claims=claim("a", evidence="{quote: A}")),
        ["parts/rail.md:9:16 evidence-nothing"],
    ),
    "two things named": (
        part(claims=claim("a", evidence="{part: keel, source: letter}"))
        + part(id_="keel")
        + source(""),
        ["parts/rail.md:9:37 evidence-two"],
    ),
    "a rival that isn't": (
        part(claims=claim("a", "\n    rival_of: b")),
        ["parts/rail.md:9:15 rival-unknown"],
    ),
    "a rival of itself": (
        part(claims=claim("a", "\n    rival_of: a")),
        ["parts/rail.md:9:15 rival-itself"],
    ),
    "a rival of another aspect": (
        part(claims=claim("a", "\n    rival_of: b") + claim("b").replace("size", "finish")),
        ["parts/rail.md:9:15 rival-aspect"],
    ),
    "evidence for a rival that isn't": (
        part(claims=claim("a", evidence="{part: keel, rival: b, against: yes}")) + part(id_="keel"),
        ["parts/rail.md:9:36 rival-unknown"],
    ),
    "evidence for a rival that isn't against": (
        part(claims=claim("a", evidence="{part: keel, rival: b}") + claim("b")) + part(id_="keel"),
        ["parts/rail.md:9:36 rival-without-against"],
    ),
    "evidence for a rival and against": (
        part(claims=claim("a", evidence="{part: keel, rival: b, against: yes}") + claim("b"))
        + part(id_="keel"),
        [],
    ),
    "a size below nothing": (
        part(claims=claim("a", evidence="{part: keel, value: -184 mm}")) + part(id_="keel"),
        ["parts/rail.md:9:36 size-not-positive"],
    ),
    "a position below nothing": (
        part(claims=claim("a", evidence="{part: keel, value: -184 mm}")).replace(
            "aspect: size", "aspect: position"
        )
        + part(id_="keel"),
        [],
    ),
    "two states at once": (
        photo(states(("works-1932", "must"), ("survey-1932", "must"))),
        ["photos/slip.md:7:21 configurations-contradict"],
    ),
    "a state ruled in and out": (
        photo(states(("works-1932", "must"), ("works-1932", "cannot"))),
        ["photos/slip.md:7:21 configurations-contradict"],
    ),
    "two states of which one may be": (
        photo(states(("works-1932", "must"), ("survey-1932", "may"))),
        [],
    ),
    "an override": (
        f"== policy.yaml ==\noverrides:\n  - {{rule: G7, says: A, because: A, {RULED}}}\n",
        ["policy.yaml:2:12 policy-not-applied"],
    ),
    "a rival that is": (part(claims=claim("a", "\n    rival_of: b") + claim("b")), []),
    "a member that isn't": (
        part("members: [{tag: A}, {tag: A}]\n", claim("a", "\n    applies_to: [B]")),
        ["parts/rail.md:5:27 name-twice", "parts/rail.md:10:18 member-unknown"],
    ),
    "a figure of a member that isn't": (
        part(
            "members: [{tag: A}]\n",
            claim("a", "\n    evidence: [{part: rail, member: A}, {part: rail, member: B}]"),
        ),
        ["parts/rail.md:10:62 member-unknown"],
    ),
    "made from each other": (
        source("derived_from: sources/b", "a") + source("derived_from: sources/a", "b"),
        ["sources/a.md:4:15 circle"],
    ),
    "made from each other by way of a photograph": (
        source("derived_from: photos/slip", "a") + photo("source: a"),
        ["photos/slip.md:5:9 circle"],
    ),
    "within itself": (source("within: letter"), ["sources/letter.md:4:9 circle"]),
    "assemblies in a circle": (
        part("assembly: keel\n") + part("assembly: rail\n", id_="keel"),
        ["parts/keel.md:5:11 circle"],
    ),
    "replaced by each other": (
        part("replaces: keel\n") + part("replaces: rail\n", id_="keel"),
        ["parts/keel.md:5:11 circle"],
    ),
    "superseded by each other": (
        part()
        + decision("supersedes: decisions/b", "a")
        + decision("supersedes: decisions/a", "b"),
        ["decisions/a.md:7:13 circle"],
    ),
    "claims that lean on each other": (
        part(claims=claim("a", evidence="{part: keel#b}"))
        + part(claims=claim("b", evidence="{part: rail#a}"), id_="keel"),
        ["parts/keel.md:9:23 support-circular"],
    ),
    "a claim that leans on the metal of its own part": (
        part(claims=claim("a", evidence="{part: rail}")),
        [],
    ),
    "a measurement whose scale is what it measures": (
        part(claims=claim("a", evidence="{photo: slip, measured: pitch}"))
        + photo("")
        + "== measurements/pitch.yaml ==\ntitle: A\nphotos: slip\nmethod: scale\nbetween: [p, q]\n"
        "picks: [{point: p, at: [0, 0]}, {point: q, at: [1, 1]}]\n"
        "references: [{between: [p, q], length: parts/rail#a}]\n",
        ["measurements/pitch.yaml:6:40 support-circular"],
    ),
    "a value and a measurement": (
        part(claims=claim("a", evidence="{photo: other, measured: pitch, value: 1 in}"))
        + photo("", "other")
        + photo("")
        + "== measurements/pitch.yaml ==\ntitle: A\nphotos: slip\nmethod: scale\nbetween: [p, r]\n"
        "picks: [{point: p, at: [0, 0]}, {point: q, at: [1, 1], photo: other}]\n"
        "references: [{between: [p], length: surveys/floor}]\n"
        "== surveys/floor.yaml ==\ntitle: A\ninstrument: A\n"
        "points: [{id: a, x: 0 mm, y: 0 mm, z: 0 mm, opposite: b}]\n",
        [
            "measurements/pitch.yaml:4:14 pick-unknown",
            "measurements/pitch.yaml:5:63 pick-elsewhere",
            "measurements/pitch.yaml:6:24 pair-expected",
            "parts/rail.md:9:41 measured-elsewhere",
            "parts/rail.md:9:55 value-twice",
            "surveys/floor.yaml:3:55 point-unknown",
        ],
    ),
    "a flipped print with a handed part": (
        photo(
            f"flipped: {{is: yes, {RULED}, because: A}}\n"
            "regions: [{id: chine, outline: [[0, 0], [1, 0], [1, 1]], part: rail}]\n"
            "picks: {stem: [0, 0]}"
        )
        + part("side: port\n")
        + "== surveys/floor.yaml ==\ntitle: A\ninstrument: A\n"
        "points: [{id: stem, x: 0 mm, y: 0 mm, z: 0 mm, part: rail}]\n",
        ["photos/slip.md:6:64 side-to-rule", "photos/slip.md:7:9 side-to-rule"],
    ),
    "a flipped print, ruled": (
        photo(
            f"flipped: {{is: yes, {RULED}, because: A}}\npicks_ruled: {{{RULED}}}\n"
            f"regions: [{{id: chine, outline: [[0, 0], [1, 0], [1, 1]], part: rail, "
            f"ruled: {{part: rail, {RULED}}}}}]\npicks: {{stem: [0, 0]}}"
        )
        + part("side: port\n"),
        [],
    ),
    "a side in a region's name": (
        photo("regions: [{id: port-chine, outline: [[0, 0], [1, 0], [1, 1]]}]"),
        ["photos/slip.md:5:16 region-side"],
    ),
    "seen in a region that isn't": (
        photo("shows: [{feature: parts/rail, is: seen, region: bow}]") + part(),
        ["photos/slip.md:5:49 region-unknown"],
    ),
    "one negative and two by way of a third": (
        photo(f"same_negative: [{{photo: b, is: same, {RULED}, because: A}}]", "a")
        + photo(f"same_negative: [{{photo: b, is: same, {RULED}, because: A}}]", "c")
        + photo(f"same_negative: [{{photo: c, is: different, {RULED}, because: A}}]", "a").replace(
            "photos/a", "photos/d"
        )
        + photo(f"same_negative: [{{photo: d, is: same, {RULED}, because: A}}]", "b"),
        ["photos/d.md:5:32 negatives-contradict"],
    ),
    "a picture without words": (
        photo("").replace("alt: A\n", ""),
        ["photos/slip.md:2:1 alt-missing"],
    ),
    "a citation too thin": (
        source("").replace("figure", "article-newspaper"),
        ["sources/letter.md:3:18 citation-thin"] * 2,
    ),
    "discredited without a reason": (
        source(f"discredited: {{is: yes, {RULED}}}"),
        ["sources/letter.md:4:14 because-missing"],
    ),
    "consent withdrawn before it was given": (
        source("consent: {given: 2026-02-01, withdrawn: {on: 2025-02-01, by: A, extent: all-use}}"),
        ["sources/letter.md:4:46 consent-order"],
    ),
    "an option that isn't": (
        part() + decision("options: [{id: refit, says: A}]\noption: copy"),
        ["decisions/refit.md:8:9 option-unknown"],
    ),
    "an owner's approval without a letter": (
        part() + decision(f"approvals: [{{{RULED}, role: owner}}]"),
        ["decisions/refit.md:7:44 approval-no-letter"],
    ),
    "a treatment that wasn't weighed": (
        part("treatments: [{id: a, options: [keep, patch], choice: path}]\n"),
        ["parts/rail.md:5:54 option-unknown"],
    ),
    "a treatment after one that isn't": (
        part("treatments: [{id: a, after: [b]}]\n"),
        ["parts/rail.md:5:29 treatment-after"],
    ),
    "treatments that wait for one another": (
        part("treatments: [{id: a, after: b}, {id: b, after: a}]\n"),
        ["parts/rail.md:5:29 treatment-after", "parts/rail.md:5:48 treatment-after"],
    ),
    "a treatment carried out and signed for": (SIGNED + treated(), []),
    "a treatment carried out before it was signed": (
        SIGNED + treated("on: 2027-01-09"),
        ["parts/rail.md:5:28 treatment-unsigned"],
    ),
    "a treatment begun before it was signed": (
        SIGNED + treated("began: 2027-01-09, on: 2027-01-20"),
        ["parts/rail.md:5:28 treatment-unsigned"],
    ),
    "a treatment carried out, and signed by two, not the owner": (
        SIGNED.replace("role: owner", "role: museum") + treated(),
        ["parts/rail.md:5:28 treatment-unsigned"],
    ),
    "a treatment carried out on one signature": (
        SIGNED.replace("{by: HB, on: 2027-01-10, role: lead}, ", "") + treated(),
        ["parts/rail.md:5:28 treatment-unsigned"],
    ),
    "a treatment carried out that nothing allowed": (
        treated(),
        ["parts/rail.md:5:28 treatment-unsigned"],
    ),
    "a treatment carried out before it was begun": (
        SIGNED + treated("began: 2027-01-21, on: 2027-01-20"),
        ["parts/rail.md:5:60 treatment-days"],
    ),
    "a treatment carried out before it was proposed": (
        SIGNED + treated(more=", proposed: {by: HB, on: 2027-02-01}"),
        ["parts/rail.md:5:28 treatment-days"],
    ),
    "a treatment carried out before what it builds on": (
        SIGNED + treated(more=", after: b}, {id: b"),
        ["parts/rail.md:5:41 treatment-days"],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_a_rule(case: str, content: Content) -> None:
    text, expected = CASES[case]
    assert told(content(text)) == expected


def test_the_three_files_alone_are_in_order(content: Content) -> None:
    assert told(content()) == []


AIRCRAFT = """\
== aircraft.yaml ==
name: A
units: mm
datum: {station_zero: A}
target: one
events:
  - {id: early, when: 1932, says: A}
  - {id: late, when: 1933, says: A}
  - {id: late, when: 1934, says: A}
configurations:
  - {id: one, name: A, after: [late], before: [early]}
  - {id: two, name: A, after: [early], before: [early]}
  - {id: three, name: A, after: [early], before: [late]}
sisters:
  - id: qk-43
    events: [{id: lost, when: 1935, says: A}]
    configurations: [{id: as-built, name: A, before: [lost]}]
== zones.yaml ==
zones: [{id: 99, name: A}, {id: 900, name: A}, {id: 510, name: A}, {id: 510, name: B}]
== people.yaml ==
people: [{id: a, initials: A, name: A}, {id: b, initials: A, name: B}]
"""


def test_the_aircraft_its_zones_and_its_people(content: Content) -> None:
    assert told(content(AIRCRAFT)) == [
        "aircraft.yaml:8:10 name-twice",
        "aircraft.yaml:10:48 configuration-order",
        "aircraft.yaml:11:49 configuration-order",
        "people.yaml:1:59 name-twice",
        "zones.yaml:1:14 zone-impossible",
        "zones.yaml:1:33 zone-impossible",
        "zones.yaml:1:73 name-twice",
    ]


def test_chains_are_said(content: Content) -> None:
    text, _ = CASES["one negative and two by way of a third"]
    (problem,) = check(load(content(text)).library)
    assert "photos/d is photos/b is photos/c" in problem.says


def test_near_names_are_hinted_at(content: Content) -> None:
    (problem,) = check(load(content(part("mates: [keal]\n") + part(id_="keel"))).library)
    assert problem.hint == "Perhaps keel is meant."


def test_days_to_come_are_advice_and_only_when_asked(content: Content) -> None:
    folder = content(part("on: 2027-01-10\n"))
    assert told(folder) == []
    assert told(folder, date(2027, 1, 10)) == []
    assert told(folder, date(2026, 1, 8)) == ["parts/rail.md:5:5 day-to-come"]
    assert told(folder, date(2026, 1, 9)) == []


FACTS = ImageFacts("ab" * 32, "JPEG", "L", 100, 80, 1, 5000)

DRAWN = {
    "within": ("file: {sha256: abababab, size: [100, 80]}", []),
    "no file named": ("", ["photos/slip.md:2:1 scan-not-named"]),
    "another file": ("file: {sha256: cdcdcdcd}", ["photos/slip.md:7:16 drawn-on-another-scan"]),
    "another size": (
        "file: {sha256: abababab, size: [80, 100]}",
        ["photos/slip.md:7:32 drawn-on-another-scan"],
    ),
    "too short": ("file: {sha256: ab}", ["photos/slip.md:7:16 checksum-short"]),
}


@pytest.mark.parametrize("case", DRAWN)
def test_what_is_drawn_belongs_to_the_picture(case: str, content: Content) -> None:
    line, expected = DRAWN[case]
    region = "regions: [{id: a, outline: [[0, 0], [100, 80], [0, 80]]}]\npicks: {b: [1, 2]}\n"
    library = load(content(photo(region + line))).library
    found = check_pictures(library, {"slip": FACTS})
    assert [f"{p.where} {p.code}" for p in found] == expected
    assert check_pictures(library, {}) == []


def test_what_lies_off_the_picture_is_told(content: Content) -> None:
    text = photo(
        "file: {sha256: abababab}\n"
        "regions: [{id: a, outline: [[0, 0], [101, 80], [0, 80]]}]\n"
        "picks: {b: [1, -2]}\n"
        "retouched: [{outline: [[0, 0], [9, 81], [0, 80]]}]"
    ) + (
        "== measurements/m.yaml ==\ntitle: A\nphotos: slip\nmethod: scale\nbetween: [p, q]\n"
        "picks: [{point: p, at: [0, 0]}, {point: q, at: [999, 1]}]\n"
    )
    found = check_pictures(load(content(text)).library, {"slip": FACTS})
    assert [f"{p.where}" for p in found if p.code == "outside-picture"] == [
        "measurements/m.yaml:5:48",
        "photos/slip.md:6:28",
        "photos/slip.md:7:9",
        "photos/slip.md:8:23",
    ]
    assert {p.code for p in found} == {"outside-picture"}


def test_every_word_used_is_explained() -> None:
    import re

    import archive.read
    import archive.records

    used: set[str] = set()
    for package in (archive.read, archive.records):
        for file in Path(package.__path__[0]).glob("*.py"):
            text = file.read_text("utf-8")
            used |= set(
                re.findall(r'(?:problem|refuse)\([^"]*?"([a-z]+(?:-[a-z0-9]+)+|circle)"', text)
            )
            used |= set(re.findall(r'Problem\(\s*[^"]*?"([a-z]+(?:-[a-z0-9]+)+)"', text))
    assert len(used) > 50
    assert used <= set(MESSAGES)


def test_two_notes_with_the_very_same_picture(content: Content) -> None:
    loaded = load(content(photo("", "a") + photo("", "b") + photo("", "c")))
    other = dataclasses.replace(FACTS, sha256="cd" * 32)
    (problem,) = check_pictures(loaded.library, {"a": FACTS, "b": FACTS, "c": other})
    assert (str(problem.where), problem.code) == ("photos/b.md:2:1", "picture-twice")
    assert "photos/a" in problem.says and "photos/b" in problem.says


def test_what_is_signed_on_a_day_to_come_is_told(content: Content) -> None:
    signed = "approvals:\n  - {by: HB, role: lead, on: 2026-03-02, state: AAAAAA}"
    ruled = "\n    graded: [{is: seen, by: HB, on: 2026-03-03, because: A, at_state: AAAAAA}]"
    folder = content(part(claims=claim("a", ruled)) + decision(signed))
    assert told(folder, date(2026, 3, 3)) == []
    assert [line.split()[1] for line in told(folder, date(2026, 3, 1))] == ["signed-to-come"] * 2
    assert told(folder) == []
