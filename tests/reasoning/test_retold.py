"""Days once a record falls or reads otherwise: told the quick way as working all of it out does."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from archive.core.dates import parse_edtf
from archive.reasoning.chronology import chronology
from archive.reasoning.falls import falls
from archive.reasoning.impact import impact
from archive.reasoning.independence import witness_groups
from archive.reasoning.retold import retold
from archive.reasoning.supposing import suppose
from archive.reasoning.weigh import weigh
from archive.records.aircraft import Aircraft, Configuration, Event
from archive.records.citation import Citation
from archive.records.claim import Claim, Evidence
from archive.records.library import EMPTY, Library
from archive.records.part import Fitted, Part
from archive.records.photo import InConfiguration, Photo, PhotoDate, Shows
from archive.records.source import Source
from archive.records.spec import Judged

AIRCRAFT = Aircraft(
    id="aircraft",
    name="A",
    units="mm",
    target="configurations/early",
    events=(
        Event(id="first", says="First", when=parse_edtf("1932-03")),
        Event(id="change", says="Changed", when=parse_edtf("1933-01")),
        Event(id="last", says="Last"),
    ),
    configurations=(
        Configuration(id="early", name="E", after=("events/first",), before=("events/change",)),
        Configuration(id="late", name="L", after=("events/change",), before=("events/last",)),
    ),
)
DATES = ("1931-05", "1932-06", "1933-02", "1935", "1932/1935")
days = st.sampled_from((None, *DATES))
prints = st.tuples(
    st.integers(0, 2),  # the negative
    days,  # the print's own date
    days,  # what is written on it
    days,  # what is argued of it
    st.sampled_from((None, "first", "change", "last")),
    st.booleans(),
    st.integers(0, 2),  # the claim that leans on it
)


def archive(negatives: list[str | None], drawn: list[tuple]) -> Library:
    """Prints of three negatives, with what is said of their days, and claims that lean on them."""

    def dated(words: str | None) -> Judged | None:
        return Judged(says=parse_edtf(words)) if words else None

    sources = {
        f"n{n}": Source(id=f"n{n}", title=f"n{n}", generation="negative", dated=dated(words))
        for n, words in enumerate(negatives)
    }
    photos: dict[str, Photo] = {}
    evidence: dict[int, list[Evidence]] = {0: [], 1: [], 2: []}
    for i, (negative, made, stated, argued, event, absent, claim) in enumerate(drawn):
        published = bool(i % 2)
        sources[f"s{i}"] = Source(
            id=f"s{i}",
            title=f"s{i}",
            generation="halftone" if published else "vintage-print",
            derived_from=(f"sources/n{negative}",),
            citation=Citation(
                type="article-newspaper" if published else "graphic",
                issued=parse_edtf(made) if made else None,
            ),
        )
        shows = Shows(
            feature=f"events/{event}", is_seen="absent" if absent else "seen", would_have_shown=True
        )
        photos[f"p{i}"] = Photo(
            id=f"p{i}",
            title=f"p{i}",
            shows_what="period",
            source=f"sources/s{i}",
            airframe=Judged(says="this"),
            date=PhotoDate(stated=parse_edtf(stated) if stated else None, argued=dated(argued)),
            shows=(shows,) if event else (),
        )
        evidence[claim].append(Evidence(photo=f"photos/p{i}"))
    states = ("configurations/early", "configurations/late", None)
    claims = tuple(
        Claim(
            id=f"c{n}",
            aspect="existence",
            says="so",
            evidence=tuple(evidence[n]),
            configuration=states[n],
        )
        for n in range(3)
    )
    part = Part(id="p", title="p", claims=claims, fitted=Fitted(until="events/change"))
    return replace(
        EMPTY,
        aircraft=AIRCRAFT,
        sources=dict(sorted(sources.items())),
        photos=photos,
        parts={"p": part},
    )


archives = st.builds(
    archive,
    st.lists(days, min_size=3, max_size=3),
    st.lists(prints, min_size=1, max_size=6),
)


@given(archives)
@settings(deadline=None, max_examples=150)
def test_what_falls_with_a_dated_source_is_what_weighing_all_gives(library):
    findings = weigh(library)
    found, untried = falls(library, findings)
    assert untried == 0
    for ref, quick in found.items():
        assert quick == impact(library, findings, ref), ref


@given(archives, st.integers(0, 5), st.sampled_from(("early", "late")))
@settings(deadline=None, max_examples=150)
def test_a_ruling_more_is_told_as_working_it_all_out_tells_it(library, which, state):
    times = chronology(library)
    ids = list(library.photos)
    photo = library.photos[ids[which % len(ids)]]
    ruling = InConfiguration(configuration=f"configurations/{state}", is_in="must", because="so")
    changed = replace(
        library, photos={**library.photos, photo.id: replace(photo, configurations=(ruling,))}
    )
    group = next(g for g in witness_groups(library).values() if photo.ref in g.members)
    whole = chronology(changed)
    if times.clashes or whole.clashes or times.tightened.contradicted:
        return
    few = retold(changed, times, group.members)
    for ref in group.members:
        if ref in whole.dates:
            one, other = few.dates[ref], whole.dates[ref]
            assert (one.earliest, one.latest) == (other.earliest, other.latest)
            assert [f.verdict for f in one.states.values()] == [
                f.verdict for f in other.states.values()
            ]


def test_a_cutting_that_falls_takes_the_latest_day_of_a_print_along():
    """The newspaper is no evidence of the claim; it dates the plate, and so the other print."""
    library = archive(
        [None, None, None],
        [
            (0, None, None, None, "first", False, 1),
            (0, "1932-06", None, None, None, False, 2),
        ],
    )
    findings = weigh(library)
    late = "configurations/late"
    assert findings.dates["photos/p0"].states[late].verdict == "cannot"
    moved = falls(library, findings)[0]["sources/s1"].moved
    assert ("parts/p#c1", "grade", "conjecture", "seen") in {
        (m.ref, m.what, m.before, m.after) for m in moved
    }
    days = {(m.ref, m.before, m.after) for m in moved if m.what == "day"}
    assert ("photos/p0", "between March and June 1932", "no earlier than 1 March 1932") in days
    fallen = suppose(library, "sources/s1", "discredited").library
    assert weigh(fallen).dates["photos/p0"].states[late].verdict == "may"
