"""What pictures prove, leave open, and only hint at, and how a person's word stands above it."""

from __future__ import annotations

from datetime import date

import pytest
from small_records import BASE, photo

from archive.core.likeness import ANOTHER, COPIES, OPEN, Likeness
from archive.read.load import load
from archive.reasoning.alike import questions
from archive.reasoning.independence import witness_key
from archive.reasoning.weigh import weigh

SUMS = {"one": "a" * 64, "two": "b" * 64, "three": "c" * 64}


def found_of(content, likenesses, **more):
    """Findings of three photographs of three sources, with the answers about their pictures."""
    folder = content(BASE + "".join(photo(name, more=more.get(name, "")) for name in SUMS))
    for note in folder.glob("photos/*.md"):
        note.with_suffix(".jpg").touch()
    library = load(folder, None).library
    pairs = tuple(
        Likeness(*sorted((SUMS[one], SUMS[other])), answer, **figures)
        for one, other, answer, figures in likenesses
    )
    return library, weigh(library, date(2028, 1, 1), SUMS, alike=pairs)


def groups(found, *names):
    return [found.groups[found.group_of[f"photos/{name}"]] for name in names]


def test_shared_grain_joins_and_shares_the_day(content):
    _, found = found_of(content, [("one", "two", COPIES, {})], one="date: {argued: 1932-07-01}")
    first, second, third = groups(found, "one", "two", "three")
    assert first is second and first is not third
    assert [reason.rule for reason in first.finding.reasons] == ["W6"]
    assert str(found.dates["photos/two"].latest) == "1932-07-01"
    assert {r.rule for r in found.dates["photos/two"].latest_finding.reasons} >= {"T5"}


@pytest.mark.parametrize("ruled", ["", "same", "different"])
def test_what_cannot_be_told_counts_once_until_somebody_rules(content, ruled):
    ruling = f"same_negative: [{{photo: two, is: {ruled}, by: HB, on: 2027-01-01, because: So}}]"
    library, found = found_of(
        content,
        [("one", "two", OPEN, {"agreeing": 0.9})],
        one="date: {argued: 1932-07-01}" + ("\n" + ruling if ruled else ""),
    )
    first, second = groups(found, "one", "two")
    assert (first is second) == (ruled == "same")
    keys = {witness_key(group, "shape") for group in (first, second)}
    assert len(keys) == (2 if ruled == "different" else 1)
    assert len({witness_key(group, "finish") for group in (first, second)}) == 1
    dated = found.dates["photos/two"].latest
    assert (str(dated) == "1932-07-01") == (ruled == "same"), "no day is shared unruled"
    asked = [problem.code for problem in questions(library, found.related)]
    assert asked == ([] if ruled else ["negative-to-rule"])
    if not ruled:
        assert "W7" in {reason.rule for reason in first.beside}


def test_another_negative_is_one_occasion(content):
    library, found = found_of(content, [("one", "two", ANOTHER, {"moved": 0.2})])
    first, second, third = groups(found, "one", "two", "three")
    assert first is not second
    assert witness_key(first, "shape") != witness_key(second, "shape")
    assert witness_key(first, "finish") == witness_key(second, "finish")
    assert witness_key(first, "finish") != witness_key(third, "finish")
    assert {reason.rule for reason in first.beside} == {"W8"}
    assert not list(questions(library, found.related))


def test_a_ruling_stands_against_shared_grain_and_is_told(content):
    library, found = found_of(
        content,
        [("one", "two", COPIES, {})],
        two="same_negative: [{photo: one, is: different, by: HB, on: 2027-01-01, because: No}]",
    )
    first, second = groups(found, "one", "two")
    assert first is not second
    assert [p.code for p in questions(library, found.related)] == ["ruled-against-grain"]


@pytest.mark.parametrize(
    ("one", "two", "asked"),
    [("", "", True), ("yes", "", False), ("yes", "yes", True), ("yes", "no", False)],
)
def test_a_mirrored_match_asks_which_is_the_wrong_way_round(content, one, two, asked):
    def word(value):
        if not value:
            return ""
        return f"flipped: {{is: {value}, by: HB, on: 2027-01-01, because: The mark}}"

    library, found = found_of(
        content, [("one", "two", COPIES, {"mirrored": True})], one=word(one), two=word(two)
    )
    codes = [problem.code for problem in questions(library, found.related)]
    assert ("way-round-to-settle" in codes) == asked


def test_copies_of_a_copy_ask_nothing(content):
    """What grain joins by way of a third is not asked about."""
    library, found = found_of(
        content,
        [("one", "two", OPEN, {}), ("one", "three", COPIES, {}), ("two", "three", COPIES, {})],
    )
    assert not list(questions(library, found.related))
    assert len({group.id for group in groups(found, *SUMS)}) == 1
