"""One file, one record: places, hints, and what is kept of a record with mistakes."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.read import nodes
from archive.read.records import Entry, read_record, read_translation
from archive.records.measurement import Measurement
from archive.records.part import Part
from archive.records.photo import Photo
from archive.records.source import Source
from archive.records.spec import Record

PART = """\
---
title: Chine rail
zone: zone/510
survives: fragment
tag: "041"
mates:
  - nose-bowl
  - part/keel
claims:
  - id: pitch
    aspect: size
    says: Rivets stand at an even pitch
    tolerance: 1/32 in
    evidence:
      - {photo: slipway#chine, against: yes, rival: other}
---
Prose.
"""


def read(text: str, cls: type[Record] = Part, path: str = "parts/rail.md") -> Entry:
    return read_record(path, text.encode(), cls, "rail")


def told(entry: Entry) -> list[str]:
    return [f"{p.where.line}:{p.where.column} {p.code}" for p in entry.problems]


def test_values_and_the_places_they_stand_at() -> None:
    part: Part = read(PART).made
    assert part.zone == "zones/510"
    assert part.mates == ("parts/nose-bowl", "parts/keel")
    assert part.tag == "041"
    assert part.marks["zone"] == (3, 7)
    assert part.marks["mates[1]"] == (8, 5)
    claim = part.claims[0]
    assert claim.tolerance.mm == pytest.approx(25.4 / 32)
    assert claim.marks[""] == (10, 5)
    assert claim.marks["tolerance"] == (13, 16)
    item = claim.evidence[0]
    assert (item.photo, item.against, item.rival) == ("photos/slipway#chine", True, "other")
    assert item.marks["against"] == (15, 41)
    assert (part.prose, part.prose_line) == ("Prose.\n", 17)
    assert part.lost == ()


def test_a_line_break_of_another_system_moves_no_place() -> None:
    assert read(PART.replace("\n", "\r\n")).made.marks == read(PART).made.marks


def test_words_that_are_near_are_hinted_at() -> None:
    entry = read("---\ntitle: A\nzone: 510\nsurvives: fragmnt\nhazrads: radium\n---\n")
    assert [p.hint for p in entry.problems] == [
        "Perhaps fragment is meant; it can be whole, fragment, no.",
        "Perhaps hazards is meant.",
    ]


def test_missing_fields_are_told_where_the_fields_begin() -> None:
    entry = read("---\n\ntitle: A\n---\n")
    assert told(entry) == ["3:1 field-missing", "3:1 field-missing"]


def test_what_could_not_be_read_is_marked_as_lost() -> None:
    """An `against` that is misspelt must not pass for evidence in favour."""
    text = PART.replace("against: yes", "against: Maybe")
    item = read(text).made.claims[0].evidence[0]
    assert item.against is None and item.lost == ("against",)


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("title: Chine #2 port", "14"),
        ("tag: #041", "6"),
        ("number: P-114 # port", "15"),
        ("summary: Two\n  lines #1", "9"),
        ("station: 184 mm # +/- 5 mm", "17"),
        ("station: 184 mm  # +/- 5 mm", "18"),
        ("lead_days: 12 #days", "15"),
        ("custody:\n  - Works #3", "11"),
        ("custody:\n  - #3", "5"),
        ("extent: {count: 4 #of\n  }", "19"),
    ],
)
def test_what_a_comment_cuts_off_is_told(line: str, place: str) -> None:
    entry = read(f"---\n{line}\n---\n")
    found = [p for p in entry.problems if p.code == "text-cut"]
    assert [str(p.where.column) for p in found] == [place]
    assert line.partition(":")[0] in entry.made.lost


@pytest.mark.parametrize(
    "line",
    [
        "title: Chine  # port",
        "title: 'Chine #2'",
        "title: Chine#2",
        "side: port # as found",
        "side: port  # as found",
        "tag: # not yet",
        "station: 184 mm  # by tape",
        "# title: Chine #2",
        "mates: [nose-bowl] # and more",
    ],
)
def test_ordinary_remarks_are_left_alone(line: str) -> None:
    assert "text-cut" not in [p.code for p in read(f"---\n{line}\n---\n").problems]


def test_names_that_no_field_has_and_fields_that_stand_twice_are_lost() -> None:
    text = PART.replace("against: yes", "agianst: yes")
    assert read(text).made.claims[0].evidence[0].lost == ("agianst",)
    assert read("---\nretuched: yes\n---\n", Photo).made.lost == ("retuched",)
    assert read("---\ntitle: A\ntitle: B\n---\n").made.lost == ("title",)
    line = "flipped: {is: yes, by: HB, on: 2027-01-10, becuase: so, by: LM}"
    assert read(JUDGED.format(line=line), Photo).made.flipped.lost == ("becuase", "by")


def test_a_syntax_error_costs_its_own_field_alone() -> None:
    entry = read(PART.replace('tag: "041"', "tag: one: two"))
    assert told(entry) == ["5:9 yaml-syntax"]
    assert entry.made.tag is None and entry.made.lost == ("tag",)
    assert len(entry.made.claims) == 1 and entry.made.claims[0].marks[""] == (10, 5)


def test_a_syntax_error_in_one_claim_leaves_the_others() -> None:
    bad = "  - id: odd\n    aspect: size\n    says: 'It's odd'\n"
    entry = read(PART.replace("---\nProse", f"{bad}---\nProse"))
    assert [claim.id for claim in entry.made.claims] == ["pitch"]
    assert told(entry) == ["18:15 yaml-syntax"]
    assert entry.made.lost == ("claims",)


@pytest.mark.parametrize(
    ("field", "says"),
    [
        ("tag: 'It's'", "Text goes on here where the value had ended"),
        ('tag: "A', "The quotation mark that opens here isn't closed."),
        ("mates: [a, b", "The list that opens here with [ isn't closed."),
        ("fitted: {from: a", "The group that opens here with { isn't closed."),
        ("tag: @a", "A text can't begin with @ unquoted."),
        ("tag: *seen*", "A text can't begin with * or & unless it is in quotes."),
        ("\ttag: a", "A tab stands here; lines are indented with blanks."),
        ('tag: "a\\q"', "A backslash in double quotes means something of its own."),
        ("tag: > a", "After | or > the text begins on the next line."),
        ("tag", "This line has no colon after a field's name."),
        ("mates: [a, b #chine]", "The blank before # makes a comment of the rest, and the ]"),
        ("fitted: {from: a #1}", "The blank before # makes a comment of the rest, and the }"),
        ("tag:\u00a0a", "A no-break space stands after the colon"),
    ],
)
def test_syntax_errors_are_told_in_plain_words(field: str, says: str) -> None:
    entry = read(f"---\ntitle: A\nzone: 510\nsurvives: whole\n{field}\n---\n")
    assert entry.made.title == "A"
    assert [p.where.line for p in entry.problems] == [5], entry.problems
    assert entry.problems[0].says.startswith(says)


def test_a_tab_is_told_at_its_own_column() -> None:
    entry = read("---\ntitle: A\nzone: 510\nsurvives: whole\nfitted:\n  \tfrom: a\n---\n")
    assert "6:3 yaml-syntax" in told(entry)


def test_a_list_written_as_one_text_is_told_as_a_list() -> None:
    entry = read("---\nhazards: radium, asbestos\nmates: nose-bowl, parts/keel\n---\n")
    hints = [p.hint for p in entry.problems if p.where.line in (2, 3) and "Write" in p.hint]
    assert hints == ["Write [radium, asbestos].", "Write [parts/nose-bowl, parts/keel]."]


def test_a_no_break_space_is_named() -> None:
    entry = read("---\nside: port\u00a0\n---\n")
    assert "“port⟨no-break space⟩”" in " ".join(p.says for p in entry.problems)


JUDGED = "---\ntitle: A\nkind: period\nalt: A\n{line}\n---\n"


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("airframe: this", []),
        ("airframe: {is: this, by: HB, on: 2027-01-10}", []),
        ("airframe: {is: this, by: HB}", ["5:11 judgement-unsigned"]),
        ("airframe: {is: that, by: HB, on: 2027-01-10}", ["5:16 word-unknown"]),
        ("airframe: {by: HB, on: 2027-01-10}", ["5:11 field-missing"]),
        ("airframe: {is: this, by: HB, on: 2027-01-10, why: so}", ["5:46 field-unknown"]),
        ("flipped: yes", ["5:10 judgement-unsigned"]),
        ("flipped: {is: yes, by: HB, on: 2027-01-10, because: so}", []),
    ],
)
def test_judgements_bear_a_name_and_a_day(line: str, codes: list[str]) -> None:
    entry = read(JUDGED.format(line=line), Photo, "photos/a.md")
    assert told(entry) == codes


def test_a_judgement_is_read_with_its_signature() -> None:
    line = "flipped: {is: yes, by: people/hanne-brekk, on: 2027-01-10, because: backwards}"
    flipped = read(JUDGED.format(line=line), Photo, "photos/a.md").made.flipped
    assert (flipped.says, flipped.by, flipped.because) == (True, "hanne-brekk", "backwards")
    assert flipped.marks["says"] == (5, 15)


def test_pixels_and_picks() -> None:
    text = (
        "---\ntitle: A\nkind: period\nregions:\n"
        "  - {id: a, outline: [[0, 1.5], [2, 3], [4, 5]]}\npicks:\n  stem: [402, 611]\n---\n"
    )
    photo: Photo = read(text, Photo, "photos/a.md").made
    assert photo.regions[0].outline == ((0.0, 1.5), (2.0, 3.0), (4.0, 5.0))
    assert photo.picks == {"stem": (402.0, 611.0)}
    assert photo.marks["picks[stem]"] == (7, 3)


def test_a_group_without_its_name_is_left_out_and_told() -> None:
    entry = read(PART.replace("id: pitch", "note: pitch"))
    assert entry.made.claims == ()
    assert "10:5 field-unknown" in told(entry) and "10:5 field-missing" in told(entry)


def test_plain_yaml_records_have_no_front_matter() -> None:
    text = (
        "title: A\nphotos: p\nmethod: plane\nbetween: [a, b]\npicks:\n  - {point: a, at: [1, 2]}\n"
    )
    entry = read(text, Measurement, "measurements/a.yaml")
    assert entry.problems == () and entry.made.picks[0].at == (1.0, 2.0)
    assert entry.made.marks["title"] == (1, 8)


def test_a_translation_brings_a_title_and_prose() -> None:
    entry = read_translation("stories/a.nb.md", b"---\ntitle: P\xc3\xa5 vannet\n---\nTekst.\n")
    assert (entry.made.title, entry.made.prose) == ("På vannet", "Tekst.\n")


def test_a_block_of_text_keeps_its_lines_but_not_its_last_break() -> None:
    entry = read("---\ntitle: |\n  One\n  Two\nzone: 510\nsurvives: whole\n---\n")
    assert entry.made.title == "One\nTwo"


def test_the_parser_in_python_reads_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    fast = read(PART)
    monkeypatch.setattr(nodes, "Loader", nodes.PureLoader)
    slow = read(PART)
    assert slow == fast and slow.made.marks == fast.made.marks
    assert slow.made.claims[0].evidence[0].marks == fast.made.claims[0].evidence[0].marks


SOURCE = """\
---
title: Letter
citation: {type: personal_communication, author: Works, issued: 1932-05}
derived_from: sources/copy
rights: {basis: permission, grants: [{use: panel, until: 2027-05-01}]}
---
"""

_CHARS = st.sampled_from(list("\n\t :-#[]{}&*!|>'\"%@`,?~<=0aZé\x00\x07\x85\u2028\ufeff"))
_EDIT = st.tuples(st.integers(0, 10_000), st.integers(0, 12), st.text(_CHARS, max_size=8))


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from([(PART, Part), (SOURCE, Source), (JUDGED.format(line="front: x"), Photo)]),
    st.lists(_EDIT, min_size=1, max_size=6),
)
def test_no_edit_of_a_record_ever_raises(what: tuple[str, Any], edits: list[Any]) -> None:
    text, cls = what
    for at, length, put in edits:
        at %= len(text) + 1
        text = text[:at] + put + text[at + length :]
    entry = read(text, cls)
    assert entry.made.id == "rail"
    lines = text.count("\n") + text.count("\r") + text.count("\x85") + text.count("\u2028") + 2
    for problem in entry.problems:
        assert problem.says and 0 <= problem.where.line <= lines


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_ever_raise(data: bytes) -> None:
    assert read_record("parts/a.md", b"---\n" + data, Part, "a").made.id == "a"
    assert read_record("measurements/a.yaml", data, Measurement, "a").made.id == "a"
