"""What holds the work up: stops with the parts that they hold, and the day to start."""

from __future__ import annotations

from datetime import date

from small_records import BASE, part

from archive.reasoning.holding import holding

QUESTION = """
== questions/which.md ==
---
title: Which of the two?
question: Which?
about: [parts/one, parts/two]
---
"""


def test_a_question_is_one_stop_for_all_parts_that_it_holds(weighed):
    claims = "  - {id: there, aspect: existence, says: So}"
    findings, _, library = weighed(
        part(claims, id_="one") + part(claims, id_="two") + part(claims, id_="three") + QUESTION
    )
    stops = {stop.on: stop for stop in holding(library, findings).stops if stop.on}
    assert stops["questions/which"].parts == ("parts/one", "parts/two")
    assert stops["questions/which"].alone == ()


def test_a_part_that_one_thing_alone_holds_is_told(weighed):
    claims = "".join(
        f"  - id: {aspect}\n    aspect: {aspect}\n    says: So\n    tolerance: 9 mm\n"
        f"    evidence:\n      - {{part: one, value: 5 mm +/- 1 mm}}\n"
        for aspect in ("existence", "shape", "size", "material")
    )
    findings, _, library = weighed(
        part(claims, "survives: whole\nstatus: pattern-only\nshelf: bay 1", "one")
    )
    (stop,) = holding(library, findings).stops
    assert (stop.rule, stop.alone) == ("C5", ("parts/one",))
    assert stop.says.startswith("No signed decision says build")


def test_wants_of_one_aspect_are_one_stop_whatever_their_figures(weighed):
    claims = "  - id: l\n    aspect: size\n    says: So\n    tolerance: {}\n    evidence:\n" + (
        "      - {{part: {}, value: {}}}\n"
    )
    findings, _, library = weighed(
        part(claims.format("1 mm", "one", "5 mm +/- 2 mm"), "survives: whole", "one")
        + part(claims.format("2 mm", "two", "9 mm +/- 3 mm"), "survives: whole", "two")
    )
    stops = [stop for stop in holding(library, findings).stops if stop.rule == "C4"]
    assert [stop.parts for stop in stops] == [("parts/one", "parts/two")]


def test_the_latest_day_is_counted_back_from_the_handover(weighed):
    claims = "  - {id: there, aspect: existence, says: So}"
    text = f"== aircraft.yaml ==\n{BASE.split('== ')[1].partition(chr(10))[2]}"
    text += "handover: 2027-05-28\n"
    findings, _, library = weighed(
        text
        + part(claims, "survives: no\nlead_days: 28", "long")
        + part(claims, "survives: no\nlead_days: 8", "short")
        + part(claims, "survives: no", "unknown")
    )
    waiting = holding(library, findings).waiting
    assert [(one.part, one.latest) for one in waiting] == [
        ("parts/long", date(2027, 4, 30)),
        ("parts/short", date(2027, 5, 20)),
        ("parts/unknown", None),
    ]
