"""Each rule of the chronology, on the smallest folder that shows it."""

from __future__ import annotations

from datetime import date

import pytest
from small_records import part, source


def photo(id_: str, more: str = "", source: str = "", airframe: str = "this") -> str:
    """A period photograph's note, with nothing that dates it but what `more` says."""
    of = f"source: {source}\n" if source else ""
    return (
        f"\n== photos/{id_}.md ==\n---\ntitle: Photo {id_}\nkind: period\nalt: A picture\n{of}"
        f"airframe: {{is: {airframe}, by: HB, on: 2026-01-02, because: the mark}}\n{more}\n---\n"
    )


def argued(words: str) -> str:
    return f"date: {{argued: {{is: {words}, by: HB, on: 2026-01-02, because: the log}}}}"


def shows(*features: str) -> str:
    return "shows:\n" + "".join(f"  - {{{one}}}\n" for one in features)


def ruled(state: str, word: str) -> str:
    return (
        f"configurations: [{{configuration: {state}, is: {word}, by: HB, on: 2026-01-02, "
        "because: it looks so}]"
    )


def fitted(id_: str, words: str) -> str:
    return part("  - {id: it, aspect: shape, says: It is so}", f"survives: no\n{words}", id_)


FLOATS = fitted("floats", "fitted: {from: floats-fitted}")
WHEELS = fitted("wheels", "fitted: {from: first-flight, until: floats-fitted}")


def bounds(dated) -> tuple[str, str]:
    return str(dated.earliest), str(dated.latest)


def rules(finding) -> list[str]:
    return [reason.rule for reason in finding.reasons]


def words(dated) -> dict[str, str]:
    return {ref.partition("/")[2]: found.verdict for ref, found in dated.states.items()}


@pytest.fixture
def dates(weighed):
    def make(text: str):
        findings, _, _ = weighed(text)
        assert not findings.clashes
        return findings.dates

    return make


def test_events_are_dated_and_states_lie_between_them(weighed):
    findings, _, _ = weighed("")
    assert bounds(findings.dates["events/tail-post-mod"]) == ("1933-05-01", "1933-08-31")
    spell = findings.spells["configurations/survey-1932"]
    assert bounds(spell.begins) == ("1932-06-11", "1932-06-11")
    assert bounds(spell.ends) == ("1933-05-01", "1933-08-31")


def test_an_argued_date_counts(dates):
    found = dates(photo("one", argued("1932-07")))["photos/one"]
    assert bounds(found) == ("1932-07-01", "1932-07-31")
    assert rules(found.earliest_finding) == rules(found.latest_finding) == ["T3"]
    assert found.earliest_finding.verdict == "no earlier than 1 July 1932"
    assert words(found) == {"works-1932": "cannot", "survey-1932": "must", "survey-1934": "cannot"}


def test_an_argued_date_stands_for_the_written_one(dates):
    both = "date: {stated: 1933-01, argued: {is: 1932-07, by: HB, on: 2026-01-02, because: log}}"
    found = dates(photo("one", both))["photos/one"]
    assert bounds(found) == ("1932-07-01", "1932-07-31")
    assert rules_of(found.told) == ["T4"]
    assert "January 1933" in found.told[0].says


def rules_of(reasons) -> list[str]:
    return [reason.rule for reason in reasons]


def test_a_written_date_counts_where_nobody_argued(dates):
    found = dates(photo("one", "date: {stated: 1932-07-19}"))["photos/one"]
    assert bounds(found) == ("1932-07-19", "1932-07-19")
    assert rules(found.latest_finding) == ["T4"]


def test_a_written_date_that_is_marked_as_a_guess_bounds_nothing(dates):
    found = dates(photo("one", "date: {stated: 1932~}"))["photos/one"]
    assert (found.earliest, found.latest) == (None, None)
    assert found.earliest_finding.verdict == "no earliest day"


def test_a_written_date_falls_to_what_is_stronger(dates):
    text = FLOATS + photo(
        "one", "date: {stated: 1932-05}\n" + shows("feature: parts/floats, is: seen")
    )
    found = dates(text)["photos/one"]
    assert bounds(found) == ("1932-06-11", "None")
    assert rules_of(found.told) == ["T4"]
    assert "It can't be" in found.told[0].says


def test_a_written_date_on_a_copy_is_a_latest_day(dates):
    text = source("cutting", "").replace("vintage-print", "halftone")
    found = dates(text + photo("one", "date: {stated: 1932-07-16}", "cutting"))["photos/one"]
    assert bounds(found) == ("None", "1932-07-16")


def test_prints_of_one_negative_share_its_day(dates):
    text = (
        source("neg", "dated: {is: 1932-07-02, by: HB, on: 2026-01-02, because: book}").replace(
            "vintage-print", "negative"
        )
        + source("a", "derived_from: sources/neg")
        + source("b", "derived_from: sources/a").replace("vintage-print", "halftone")
        + photo("one", "", "a")
        + photo("two", "", "b")
    )
    found = dates(text)
    assert bounds(found["photos/one"]) == bounds(found["photos/two"]) == ("1932-07-02",) * 2
    assert rules(found["photos/two"].earliest_finding) == ["T5", "T3"]


def test_a_print_is_made_later_than_its_negative(dates):
    """A print's own date bounds the exposure on the late side only."""
    made = "dated: {is: 1932-07-02, by: HB, on: 2026-01-02, because: stamp}"
    found = dates(source("a", made) + photo("one", "", "a"))["photos/one"]
    assert bounds(found) == ("None", "1932-07-02")
    assert rules(found.latest_finding) == ["T6", "T3"]


def test_a_ruling_of_one_negative_shares_the_day(dates):
    same = "same_negative: [{photo: one, is: same, by: HB, on: 2026-01-02, because: dust on both}]"
    found = dates(photo("one", argued("1932-07-02")) + photo("two", same))["photos/two"]
    assert bounds(found) == ("1932-07-02", "1932-07-02")


def test_a_publication_is_the_latest_day_of_all_it_was_made_from(dates):
    """A halftone of a spring plate, printed in July: the plate and its prints are no later."""
    cutting = (
        "\n== sources/cutting.md ==\n---\ntitle: Cutting\ngeneration: halftone\n"
        "citation: {type: article-newspaper, title: A, issued: 1932-07-16}\n"
        "derived_from: sources/neg\n---\n"
    )
    text = (
        source("neg").replace("vintage-print", "negative")
        + source("a", "derived_from: sources/neg")
        + cutting
        + WHEELS
        + photo("print", shows("feature: parts/wheels, is: seen"), "a")
        + photo("halftone", "date: {stated: 1932-07-16}", "cutting")
    )
    found = dates(text)
    assert bounds(found["photos/print"]) == ("1932-04-09", "1932-06-11")
    assert bounds(found["photos/halftone"]) == ("1932-04-09", "1932-06-11")
    assert words(found["photos/halftone"])["survey-1932"] == "cannot"
    without_wheels = dates(text.replace("is: seen", "is: absent"))
    assert bounds(without_wheels["photos/print"]) == ("None", "1932-07-16")
    assert "T6" in rules(without_wheels["photos/print"].latest_finding)


def test_a_picture_in_a_dated_brochure_is_no_later(dates):
    text = (
        source("leaf", "within: brochure")
        + "\n== sources/brochure.md ==\n---\ntitle: B\ngeneration: original\n"
        "citation: {type: pamphlet, title: B, issued: 1932-09}\n---\n" + photo("one", "", "leaf")
    )
    assert bounds(dates(text)["photos/one"]) == ("None", "1932-09-30")


def test_an_album_dates_nothing(dates):
    text = (
        source("leaf", "within: album")
        + "\n== sources/album.md ==\n---\ntitle: A\ngeneration: original\n"
        "citation: {type: collection, title: A, issued: 1932}\n---\n" + photo("one", "", "leaf")
    )
    assert bounds(dates(text)["photos/one"]) == ("None", "None")


def test_a_discredited_source_dates_nothing(dates):
    made = (
        "dated: {is: 1932-07-02, by: HB, on: 2026-01-02, because: stamp}\n"
        "discredited: {is: yes, by: HB, on: 2026-01-02, because: made up}"
    )
    found = dates(source("a", made) + photo("one", "", "a"))["photos/one"]
    assert bounds(found) == ("None", "None")


def test_a_feature_seen_dates_whatever_the_calendar_says(dates):
    """An undated event still tells before from after."""
    text = fitted("patch", "fitted: {from: patched}") + photo(
        "one", shows("feature: parts/patch, is: seen")
    )
    found = dates(text)["photos/one"]
    assert bounds(found) == ("1932-01-01", "None")
    assert rules(found.earliest_finding) == ["T7", "T1"]


def test_what_shows_the_floats_must_be_after_whatever_the_day(dates):
    text = FLOATS + photo("one", argued("1932") + "\n" + shows("feature: parts/floats, is: seen"))
    found = dates(text)["photos/one"]
    assert words(found) == {"works-1932": "cannot", "survey-1932": "must", "survey-1934": "cannot"}
    must = found.states["configurations/survey-1932"]
    says = "It was taken after “Floats fitted” and before “Rudder post lengthened”."
    assert must.reasons[0].says == says
    assert rules(must)[:2] == ["T12", "T7"]


def test_on_the_very_day_of_the_event_it_may_be_either(dates):
    found = dates(photo("one", argued("1932-06-11")))["photos/one"]
    assert words(found) == {"works-1932": "may", "survey-1932": "may", "survey-1934": "cannot"}
    may, decides = found.states["configurations/survey-1932"].reasons
    assert may.says == "Nothing says that it was taken after “Floats fitted” (11 June 1932)."
    assert "a day later than 11 June 1932" in decides.says


def test_what_would_decide_names_the_parts(dates):
    found = dates(FLOATS + WHEELS + photo("one"))["photos/one"]
    decides = found.states["configurations/survey-1932"].reasons[1]
    assert "“Part floats” seen, or seen not to be there" in decides.says
    assert "parts/floats" in decides.rests_on


def test_absence_counts_only_where_it_would_have_shown(dates):
    seen = "feature: parts/floats, is: absent"
    assert bounds(dates(FLOATS + photo("one", shows(seen)))["photos/one"]) == ("None", "None")
    would = f"{seen}, would_have_shown: yes"
    found = dates(FLOATS + photo("one", shows(would)))["photos/one"]
    assert bounds(found) == ("None", "1932-06-11")
    assert rules(found.latest_finding) == ["T8", "T1"]


def test_absence_of_what_came_and_went_waits_for_the_other_side_to_close(dates):
    gone = shows("feature: parts/wheels, is: absent, would_have_shown: yes")
    assert bounds(dates(WHEELS + photo("one", gone))["photos/one"]) == ("None", "None")
    text = WHEELS + photo("one", argued("1932-05/1932-12") + "\n" + gone)
    found = dates(text)["photos/one"]
    assert bounds(found) == ("1932-06-11", "1932-12-31")
    assert rules(found.earliest_finding)[0] == "T8"
    assert words(found)["survey-1932"] == "must"


def test_features_of_ours_say_nothing_of_a_sister_or_a_stranger(dates):
    seen = shows("feature: parts/floats, is: seen")
    for whose in ("unknown", "type", "sister"):
        found = dates(FLOATS + photo("one", seen, airframe=whose))["photos/one"]
        assert bounds(found) == ("None", "None")
        assert words(found) == {}


SISTER = """
== aircraft.yaml ==
name: Test biplane
mark: QK-41
units: in
datum: {station_zero: the firewall}
target: first
configurations: [{id: first, name: First}]
sisters:
  - id: qk-43
    mark: QK-43
    built: 1932-08
    events: [{id: sister-crash, when: 1938-02, says: Crashed}]
    configurations: [{id: sister-whole, name: Whole, before: [sister-crash]}]
"""


def test_a_sister_has_a_life_of_her_own(dates):
    text = SISTER + photo(
        "one",
        "sister: qk-43\n" + shows("feature: events/sister-crash, is: seen"),
        airframe="sister",
    )
    found = dates(text)
    assert bounds(found["photos/one"]) == ("1938-02-01", "None")
    assert words(found["photos/one"]) == {"sister-whole": "cannot"}
    whole = dates(SISTER + photo("one", "sister: qk-43", airframe="sister"))["photos/one"]
    assert bounds(whole) == ("1932-08-01", "None")
    assert rules(whole.earliest_finding) == ["T10", "T10"]


def test_a_ruling_dates_the_photograph(dates):
    found = dates(photo("one", ruled("works-1932", "must")))["photos/one"]
    assert bounds(found) == ("1932-04-09", "1932-06-11")
    assert words(found) == {"works-1932": "must", "survey-1932": "cannot", "survey-1934": "cannot"}
    assert rules(found.earliest_finding) == ["T9", "T1"]


def test_a_ruling_that_it_cannot_closes_one_side(dates):
    text = photo("one", argued("1932-05/1932-12") + "\n" + ruled("survey-1932", "cannot"))
    found = dates(text)["photos/one"]
    assert bounds(found) == ("1932-05-01", "1932-06-11")
    assert words(found)["survey-1932"] == "cannot"


def test_a_doubt_is_not_overruled_by_the_chronology(dates):
    found = dates(photo("one", argued("1932-07") + "\n" + ruled("survey-1932", "may")))[
        "photos/one"
    ]
    assert words(found)["survey-1932"] == "may"
    assert rules(found.states["configurations/survey-1932"]) == ["T9"]


def test_a_state_without_events_is_a_persons_to_rule(dates):
    text = SISTER + photo("one", argued("1932-07"))
    assert words(dates(text)["photos/one"]) == {"first": "may"}
    text = SISTER + photo("one", ruled("first", "must"))
    assert words(dates(text)["photos/one"]) == {"first": "must"}


def test_a_ruling_against_the_dates_is_a_clash(weighed):
    text = photo("one", argued("1934-07") + "\n" + ruled("survey-1932", "must"))
    text += photo("two", argued("1932-07"))
    findings, _, _ = weighed(text)
    (clash,) = findings.clashes
    assert rules(clash.finding) == ["T1", "T3", "T9"]
    assert [clash.finding.reasons[i].rule for i in clash.aside] == ["T3", "T9"]
    assert set(clash.refs) >= {"photos/one", "events/tail-post-mod"}
    found = findings.dates["photos/one"]
    assert bounds(found) == ("None", "None")
    assert set(words(found).values()) == {"may"}
    assert rules_of(found.told) == ["T11"]
    assert words(findings.dates["photos/two"])["survey-1932"] == "must"


def test_a_clash_is_a_problem_that_names_the_records(content):
    from small_records import BASE

    from archive.pipeline import weigh

    folder = content(BASE + FLOATS + photo("one", argued("1932-05") + shows_after("parts/floats")))
    (folder / "photos" / "one.jpg").touch()
    told = [p for p in weigh(folder).problems if p.code == "dates-clash"]
    assert [(p.where.path, p.advice) for p in told] == [("photos/one.md", False)]
    assert "photos/one" in told[0].says
    assert "events/floats-fitted" in told[0].says
    assert "whether “Photo one” really shows “Part floats”" in told[0].hint


def shows_after(feature: str) -> str:
    return "\n" + shows(f"feature: {feature}, is: seen")


def test_what_is_seen_to_be_absent_gives_way_first(weighed):
    gone = shows("feature: parts/floats, is: absent, would_have_shown: yes")
    findings, _, _ = weighed(FLOATS + photo("one", argued("1932-07") + "\n" + gone))
    (clash,) = findings.clashes
    assert clash.advice
    assert [clash.finding.reasons[i].rule for i in clash.aside] == ["T8"]
    assert bounds(findings.dates["photos/one"]) == ("1932-07-01", "1932-07-31")


def test_two_written_dates_of_one_negative_that_differ_are_both_set_aside(weighed):
    text = (
        source("neg").replace("vintage-print", "negative")
        + source("a", "derived_from: sources/neg")
        + source("b", "derived_from: sources/neg")
        + photo("one", "date: {stated: 1932-07}", "a")
        + photo("two", "date: {stated: 1933-07}", "b")
    )
    findings, _, _ = weighed(text)
    (clash,) = findings.clashes
    assert clash.advice and len(clash.aside) == 2
    assert bounds(findings.dates["photos/one"]) == ("None", "None")


def test_wrong_dates_of_events_clash_among_themselves(weighed):
    text = SISTER.replace(
        "configurations: [{id: first, name: First}]",
        "events:\n  - {id: a, when: 1933, says: A}\n  - {id: b, when: 1932, says: B}\n"
        "configurations: [{id: first, name: First, after: [a], before: [b]}]",
    )
    findings, _, _ = weighed(text)
    (clash,) = findings.clashes
    assert rules(clash.finding) == ["T1", "T1", "T2"]
    assert len(clash.aside) == 3


def test_many_photographs_may_date_an_event(dates):
    """The event has no date of its own: one photograph is before it, another after."""
    base = SISTER.replace(
        "configurations: [{id: first, name: First}]",
        "events: [{id: change, says: Changed}]\n"
        "configurations: [{id: first, name: First, before: [change]}]",
    )
    text = base + (
        photo(
            "before",
            argued("1932-05-03")
            + "\n"
            + shows("feature: events/change, is: absent, would_have_shown: yes"),
        )
        + photo("after", argued("1932-08-20") + "\n" + shows("feature: events/change, is: seen"))
        + photo("early", argued("1932-01"))
        + photo("middle", argued("1932-06"))
    )
    found = dates(text)
    assert bounds(found["events/change"]) == ("1932-05-03", "1932-08-20")
    assert found["events/change"].earliest == date(1932, 5, 3)
    assert words(found["photos/early"]) == {"first": "must"}
    assert words(found["photos/middle"]) == {"first": "may"}


def test_a_written_date_does_not_bound_against_what_was_set_aside(weighed):
    """A date is argued and a state is ruled that don't go together: both are set aside. What was
    pencilled on the print goes with one of them only, and no longer slips in as the date that is
    left; a later one, which goes with either, counts (T4)."""
    both = argued("1932-07") + "\n" + ruled("survey-1934", "must")
    for pencilled, latest in (("1932-01", "None"), ("1934-01", "1934-01-31")):
        issued = f"{{type: graphic, issued: {pencilled},"
        print_ = source("print").replace("{type: graphic,", issued)
        findings, _, _ = weighed(print_ + photo("one", both, "print"))
        (clash,) = findings.clashes
        assert [clash.finding.reasons[i].rule for i in clash.aside] == ["T3", "T9"]
        assert bounds(findings.dates["photos/one"]) == ("None", latest)
